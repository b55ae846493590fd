//! What can go wrong in writing: a full disk, a closed pipe, a folder that may not be written to, an end in the middle. Each gives a message
//! and an exit code, and nothing is left half-written. What the user gave is never changed.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};

use crate::program::{Desk, Ran, ran};
use crate::support::SMALL;

const LAYOUT: &str = "turnouts: [{id: T1}]\n";
const REPORTS: [&str; 7] = ["compare", "bill", "shop", "wiring", "power", "hours", "check"];

fn desk() -> Desk {
    Desk::new().file("layout.yaml", LAYOUT).tables("book", SMALL)
}

/// Every command that writes to standard output.
fn commands() -> Vec<Vec<&'static str>> {
    let reports = REPORTS.iter().flat_map(|verb| {
        ["terminal", "json"].map(|format| vec![*verb, "layout.yaml", "--catalogue", "book", "--format", format])
    });
    reports.chain([vec!["schema"], vec!["explain"], vec!["start", "railway"]]).collect()
}

#[test]
fn a_full_disk_under_the_report_is_told() {
    let full = || File::options().write(true).open("/dev/full").unwrap();
    for args in commands() {
        let ran = ran(desk().command(&args).stdout(full()).output().unwrap());
        assert_eq!(
            (ran.stderr.as_str(), ran.code),
            ("error: could not write the report: the disk is full\n", Some(3)),
            "{args:?}"
        );
    }
}

#[test]
fn a_pipe_that_nobody_reads_ends_quietly() {
    for args in commands() {
        let desk = desk();
        let mut child = desk.command(&args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        // A report that falls short says so in its exit code only if it was read.
        assert_eq!((output.stderr.len(), output.status.code()), (0, Some(0)), "{args:?}");
    }
}

#[test]
fn messages_that_nobody_reads_are_no_failure_of_their_own() {
    let full = || File::options().write(true).open("/dev/full").unwrap();
    let code = |args: &[&str]| desk().command(args).stderr(full()).status().unwrap().code();
    assert_eq!(code(&["check", "not-there.yaml"]), Some(3));
    assert_eq!(code(&["check", "layout.yaml", "--scheme", "nonesuch"]), Some(2));
    assert_eq!(code(&["no-verb"]), Some(2));
}

/// All files and folders below a folder, by path, with the content of files.
fn everything(folder: &Path) -> BTreeMap<String, Option<Vec<u8>>> {
    let mut all = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
            if path.is_dir() && !path.is_symlink() {
                all.insert(name, None);
                open.push(path);
            } else {
                all.insert(name, Some(fs::read(&path).unwrap_or_default()));
            }
        }
    }
    all
}

/// What `start` writes when nothing goes wrong.
fn whole() -> BTreeMap<String, Option<Vec<u8>>> {
    let desk = Desk::new();
    assert_eq!(desk.run(&["start", "railway"]).code, Some(0));
    everything(&desk.path("railway"))
}

/// Whatever stands under its own name is whole; anything else is a temporary file that says whose it is.
fn nothing_half_written(folder: &Path, whole: &BTreeMap<String, Option<Vec<u8>>>, when: &str) {
    if !folder.exists() {
        return;
    }
    for (name, content) in everything(folder) {
        let temporary = name.rsplit('/').next().unwrap().starts_with(".underboard-");
        assert!(temporary || whole.get(&name) == Some(&content), "{when}: {name} is half-written");
    }
}

#[test]
fn a_disk_that_fills_up_leaves_nothing_of_start() {
    let whole = whole();
    let mut failed = 0;
    // A limit on the size of a file, in blocks of 512 bytes, fails the writing at another place each time.
    for blocks in [0, 1, 2, 3, 5, 8, 13, 21, 34, 55, 89, 10_000] {
        let desk = Desk::new();
        let limits = format!("trap '' XFSZ\nulimit -f {blocks}");
        let ran: Ran = ran(desk.command_after(&limits, &["start", "railway"]).output().unwrap());
        if ran.code == Some(0) {
            assert_eq!(everything(&desk.path("railway")), whole);
            continue;
        }
        failed += 1;
        assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(3)), "{blocks}");
        assert!(ran.stderr.starts_with("error: could not write railway/"), "{}", ran.stderr);
        assert!(!desk.path("railway").exists(), "{blocks}: {:?}", everything(&desk.path("railway")).keys());
    }
    assert!((5..12).contains(&failed), "{failed} of 12 limits were too small");
}

#[test]
fn an_end_at_any_write_leaves_no_half_of_a_file() {
    let whole = whole();
    // By the system, at the write that passes a limit.
    for blocks in [1, 2, 4, 8, 16, 32, 64] {
        let desk = Desk::new();
        let status = desk.command_after(&format!("ulimit -f {blocks}"), &["start", "railway"]).output().unwrap().status;
        nothing_half_written(&desk.path("railway"), &whole, &format!("limit of {blocks}, {status}"));
    }
    // From outside, at any time.
    let mut killed = 0;
    for step in 0..40 {
        let desk = Desk::new();
        let mut child = desk.command(&["start", "railway"]).stdout(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(400 * step));
        drop(child.kill());
        killed += u32::from(child.wait().unwrap().code().is_none());
        nothing_half_written(&desk.path("railway"), &whole, &format!("killed after step {step}"));
    }
    assert!(killed > 0, "nothing was ended while it ran");
}

#[test]
fn a_place_that_cannot_be_written_to_is_told() {
    let desk = desk();
    let told = |folder: &str| {
        let ran = desk.run(&["start", folder]);
        assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(3)), "{folder}: {}", ran.stderr);
        ran.stderr
    };
    let in_the_way = told("layout.yaml/railway");
    assert_eq!(in_the_way, "error: could not write layout.yaml/railway/catalogue: a part of the path is a file, not a folder\n");
    assert_eq!(fs::read_to_string(desk.path("layout.yaml")).unwrap(), LAYOUT);
    // A file system that nobody can write to, not even its owner.
    assert!(told("/proc/railway").starts_with("error: could not write /proc/railway/catalogue: "));
}

/// The program as one who has no rights here: whoever runs the tests, or nobody where that is root, whom no right stops. `None` where there
/// is no way to be nobody.
fn without_rights(desk: &Desk, args: &[&str]) -> Option<Ran> {
    let id = |which: &str| String::from_utf8(Command::new("id").arg(which).output().ok()?.stdout).ok();
    if id("-u")?.trim() != "0" {
        return Some(ran(desk.command(args).output().unwrap()));
    }
    let usual = desk.command(args);
    let mut command = Command::new("setpriv");
    command.args(["--reuid", "65534", "--regid", "65534", "--clear-groups"]).arg(usual.get_program()).args(args);
    command.current_dir(usual.get_current_dir()?).env_clear().stdin(Stdio::null());
    let output = command.output().ok()?;
    // Where nobody may not run the program, nothing is shown.
    let is_ours = matches!(output.status.code(), Some(0..=3)) && !String::from_utf8_lossy(&output.stderr).starts_with("setpriv");
    is_ours.then(|| ran(output))
}

#[test]
fn what_one_has_no_right_to_is_told_and_nothing_is_left() {
    use std::os::unix::fs::PermissionsExt;
    let desk = desk().file("mine/keep.txt", "mine");
    let rights = |name: &str, mode: u32| fs::set_permissions(desk.path(name), fs::Permissions::from_mode(mode)).unwrap();
    let told = |args: &[&str]| without_rights(&desk, args).map(|ran| (ran.stdout, ran.stderr, ran.code));
    let gives = |said: &str| Some((String::new(), said.to_owned(), Some(3)));
    rights("mine", 0o555);
    rights("", 0o555);
    let before = everything(&desk.path(""));
    let bill = &["bill", "layout.yaml", "--catalogue", "book", "--scheme", "near"];
    let Some((_, _, code)) = told(bill) else { return };
    assert_eq!(code, Some(0), "what may only be read is enough to plan by");
    assert_eq!(told(&["start", "mine"]), gives("error: could not write mine/catalogue: you have no right to\n"));
    assert_eq!(told(&["start", "new"]), gives("error: could not write new/catalogue: you have no right to\n"));
    for args in WRITERS {
        let said = format!("error: could not write {}: you have no right to\n", args.last().unwrap());
        assert_eq!(told(args), gives(&said));
        assert_eq!(told(&[args, &["--force"]].concat()), gives(&said));
    }
    rights("layout.yaml", 0o000);
    rights("book/Parts.csv", 0o000);
    let both =
        "error: could not read book/Parts.csv: you have no right to\nerror: could not read layout.yaml: you have no right to\n";
    assert_eq!(told(bill), gives(both));
    for (name, mode) in [("layout.yaml", 0o644), ("book/Parts.csv", 0o644), ("mine", 0o755), ("", 0o755)] {
        rights(name, mode);
    }
    assert_eq!(everything(&desk.path("")), before);
}

#[test]
fn links_are_not_written_through() {
    let desk = Desk::new().file("mine.txt", "mine");
    fs::create_dir(desk.path("railway")).unwrap();
    symlink("../mine.txt", desk.path("railway/layout.yaml")).unwrap();
    symlink("../not-there.xlsx", desk.path("railway/catalogue.xlsx")).unwrap();
    let ran = desk.run(&["start", "railway"]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(3)));
    assert!(ran.stderr.contains("railway/layout.yaml is there already"), "{}", ran.stderr);
    assert!(ran.stderr.contains("railway/catalogue.xlsx is there already"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(desk.path("mine.txt")).unwrap(), "mine");
    assert!(!desk.path("not-there.xlsx").exists());
    // A link to a folder is as good as the folder.
    fs::create_dir(desk.path("elsewhere")).unwrap();
    symlink("elsewhere", desk.path("linked")).unwrap();
    assert_eq!(desk.run(&["start", "linked"]).code, Some(0));
    assert_eq!(everything(&desk.path("elsewhere")), whole());
}

#[test]
fn a_layout_that_never_ends_is_refused() {
    let ran = Desk::new().run_within(512, &["check", "/dev/zero"]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)));
    assert!(ran.stderr.starts_with("error[too-large]: this is larger than the 4 MiB that are taken\n"), "{}", ran.stderr);
    let ran = Desk::new().file("layout.yaml", LAYOUT).run_within(512, &["check", "layout.yaml", "--catalogue", "/dev/zero"]);
    assert_eq!((ran.stdout.as_str(), ran.code), ("", Some(2)));
}

#[test]
fn what_the_user_gave_is_never_changed() {
    let desk = desk();
    let start = ran(desk.command(&["start", "railway"]).output().unwrap());
    assert_eq!(start.code, Some(0));
    let long_ago = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
    for (name, content) in everything(&desk.path("")) {
        if content.is_some() {
            File::options().write(true).open(desk.path(&name)).unwrap().set_modified(long_ago).unwrap();
        }
    }
    let before = everything(&desk.path(""));
    for verb in REPORTS {
        for catalogue in ["book", "railway/catalogue", "railway/catalogue.xlsx"] {
            let scheme: &[&str] = match (verb, catalogue) {
                ("compare", _) => &[],
                (_, "book") => &["--scheme", "near"],
                _ => &["--scheme", "servo-made"],
            };
            let ran = desk.run(&[&[verb, "layout.yaml", "--catalogue", catalogue], scheme].concat());
            assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.stderr);
        }
    }
    assert_eq!(everything(&desk.path("")), before);
    for name in before.iter().filter(|(_, content)| content.is_some()).map(|(name, _)| name) {
        assert_eq!(fs::metadata(desk.path(name)).unwrap().modified().unwrap(), long_ago, "{name}");
    }
}

/// The commands that write one file, which is named last.
const WRITERS: [&[&str]; 2] = [
    &["book", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--output", "made.html"],
    &["shop", "layout.yaml", "--catalogue", "book", "--scheme", "near", "--to", "made.xlsx"],
];

#[test]
fn a_file_asked_for_is_whole_or_absent_and_an_older_one_stays() {
    for args in WRITERS {
        let made = *args.last().unwrap();
        let usual = desk();
        let code = usual.run(args).code;
        assert!(matches!(code, Some(0 | 1)), "{args:?}");
        let whole = fs::read(usual.path(made)).unwrap();
        // A limit on the size of files, as a full disk sets one; with and without an end of the program at it.
        for (limits, ends) in [("trap '' XFSZ\nulimit -f 1", Some(3)), ("ulimit -f 1", None)] {
            let desk = desk();
            let first = ran(desk.command_after(limits, args).output().unwrap());
            assert_eq!(first.code, ends, "{made}: {}", first.stderr);
            assert!(!desk.path(made).exists(), "{made} is there, and cannot be whole");
            fs::write(desk.path(made), "of an earlier day").unwrap();
            let again = ran(desk.command_after(limits, &[args, &["--force"]].concat()).output().unwrap());
            assert_eq!(again.code, ends, "{made}: {}", again.stderr);
            assert_eq!(fs::read_to_string(desk.path(made)).unwrap(), "of an earlier day");
            if ends.is_some() {
                let left: Vec<String> =
                    everything(&desk.path("")).into_keys().filter(|name| name.starts_with(".underboard")).collect();
                assert!(left.is_empty(), "{left:?}");
                assert!(again.stderr.starts_with(&format!("error: could not write {made}: ")), "{}", again.stderr);
            }
        }
        // What is no plain file is kept, by force too: a device, and a link to what is not ours.
        let desk = desk().file("mine.txt", "mine");
        symlink("mine.txt", desk.path(made)).unwrap();
        let linked = desk.run(&[args, &["--force"]].concat());
        assert_eq!(linked.code, Some(3), "{}", linked.stderr);
        assert_eq!(fs::read_to_string(desk.path("mine.txt")).unwrap(), "mine");
        fs::remove_file(desk.path(made)).unwrap();
        assert_eq!(desk.run(args).code, code);
        assert_eq!(fs::read(desk.path(made)).unwrap(), whole, "the same bytes");
    }
}

#[test]
fn what_the_user_gave_is_kept_by_force_too() {
    let desk = desk();
    desk.run(&["start", "railway"]).report(0);
    symlink("book", desk.path("linked")).unwrap();
    fs::rename(desk.path("layout.yaml"), desk.path("layout.html")).unwrap();
    let before = everything(&desk.path(""));
    let workbook = "railway/catalogue.xlsx";
    for (verb, catalogue, flag, output) in [
        ("shop", "book", "--mps", "layout.html"),
        ("shop", "book", "--mps", "./book/../layout.html"),
        ("shop", "book", "--mps", "book/Parts.csv"),
        ("shop", "book", "--mps", "linked/new.mps"),
        ("shop", "book", "--to", "book"),
        ("shop", "linked", "--to", "book"),
        ("shop", workbook, "--to", workbook),
        ("book", "book", "--output", "layout.html"),
        ("book", "book", "--output", "book/new.html"),
    ] {
        let ran = desk.run(&[verb, "layout.html", "--catalogue", catalogue, flag, output, "--force"]);
        let said = format!(
            "error[contradiction]: this would be written over, or among, what you gave to be read\n  in {flag}\n  found: {output}\n  \
             expected: another name or folder\n"
        );
        assert_eq!((ran.stdout.as_str(), ran.stderr.as_str(), ran.code), ("", said.as_str(), Some(2)));
    }
    assert_eq!(everything(&desk.path("")), before);
}
