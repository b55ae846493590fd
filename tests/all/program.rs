//! Runs the program as a user does: arguments and files in, standard output, standard error and exit code out.

#![allow(clippy::unwrap_used, reason = "a test stops where it finds what it did not look for")]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A folder of its own in which the program runs; it goes when the test ends.
#[derive(Debug)]
pub(crate) struct Desk {
    folder: PathBuf,
}

/// What a run gave.
#[derive(Debug)]
pub(crate) struct Ran {
    /// Standard output.
    pub(crate) stdout: String,
    /// Standard error.
    pub(crate) stderr: String,
    /// Exit code; `None` where a signal ended it.
    pub(crate) code: Option<i32>,
}

impl Desk {
    /// An empty folder.
    pub(crate) fn new() -> Self {
        static NEXT: AtomicUsize = AtomicUsize::new(0);
        let name = format!("desk-{}-{}", std::process::id(), NEXT.fetch_add(1, Ordering::Relaxed));
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
        fs::create_dir_all(&folder).unwrap();
        Self { folder }
    }

    /// With a file in it.
    pub(crate) fn file(self, name: &str, text: impl AsRef<[u8]>) -> Self {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
        self
    }

    /// With a catalogue as a folder of tables, of `(sheet, CSV text)` pairs; blanks at the start of lines do not count.
    pub(crate) fn tables(mut self, folder: &str, sheets: &[(&str, &str)]) -> Self {
        for (sheet, text) in sheets {
            let text = text.lines().map(str::trim_start).collect::<Vec<_>>().join("\n");
            self = self.file(&format!("{folder}/{sheet}.csv"), text);
        }
        self
    }

    /// Where a file of the folder is.
    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// The program, with nothing of the tester's surroundings.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_underboard"));
        command.args(args);
        self.seated(command)
    }

    /// In the folder, with nothing of the tester's surroundings but where coverage is to be noted.
    fn seated(&self, mut command: Command) -> Command {
        const PROFILE: &str = "LLVM_PROFILE_FILE";
        command.current_dir(&self.folder).env_clear().envs(std::env::var_os(PROFILE).map(|file| (PROFILE, file)));
        command.stdin(Stdio::null());
        command
    }

    /// The program run by a shell after some of its words, such as limits on what it may take.
    #[cfg(unix)]
    pub(crate) fn command_after(&self, words: &str, args: &[&str]) -> Command {
        let mut command = Command::new("/bin/sh");
        command.arg("-c").arg(format!("{words}\nexec \"$@\"")).arg("sh").arg(env!("CARGO_BIN_EXE_underboard")).args(args);
        self.seated(command)
    }

    /// Runs the program with so many MiB of address space.
    #[cfg(unix)]
    pub(crate) fn run_within(&self, mebibytes: u64, args: &[&str]) -> Ran {
        ran(self.command_after(&format!("ulimit -v {}", mebibytes << 10), args).output().unwrap())
    }

    /// Runs the program.
    pub(crate) fn run(&self, args: &[&str]) -> Ran {
        ran(self.command(args).output().unwrap())
    }
}

/// What a run gave, as text.
pub(crate) fn ran(output: Output) -> Ran {
    let Output { status, stdout, stderr } = output;
    Ran { stdout: String::from_utf8(stdout).unwrap(), stderr: String::from_utf8(stderr).unwrap(), code: status.code() }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.folder);
    }
}

impl Ran {
    /// The run gave exactly this.
    #[track_caller]
    pub(crate) fn gives(&self, code: i32, stdout: &str, stderr: &str) {
        assert_eq!((self.stdout.as_str(), self.stderr.as_str(), self.code), (stdout, stderr, Some(code)));
    }

    /// The run ended well or short, with nothing on standard error; gives its output.
    #[track_caller]
    pub(crate) fn report(self, code: i32) -> String {
        assert_eq!((self.stderr.as_str(), self.code), ("", Some(code)), "{}", self.stdout);
        self.stdout
    }
}
