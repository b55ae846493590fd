//! `start`: writes a layout file and the starter catalogue into a folder.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;

use super::files::quoted;
use super::output::write_file;
use super::stop::{FileTrouble, Stop};
use crate::catalogue::starter;
use crate::report::harmless;

/// A layout to begin with.
const LAYOUT: &str = include_str!("start.yaml");

/// What to do about files that are there already.
const KEPT: &str =
    "They may be your own work, so `start` has no `--force` and replaces nothing: name another folder, or move these away first.";

/// Where to write.
#[derive(Debug, Args)]
pub(super) struct Start {
    /// The folder; made where there is none
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Writes what a user begins with, and gives what to tell. Nothing is overwritten: if any of the files is there, none is written.
pub(super) fn start(args: &Start) -> Result<String, Stop> {
    let folder = &args.folder;
    let starter = starter();
    let tables = starter.tables.iter().map(|(name, text)| (folder.join("catalogue").join(name), text.as_bytes()));
    let files: Vec<(PathBuf, &[u8])> =
        [(folder.join("layout.yaml"), LAYOUT.as_bytes()), (folder.join("catalogue.xlsx"), starter.workbook)]
            .into_iter()
            .chain(tables)
            .collect();
    let there: Vec<PathBuf> = files.iter().map(|(path, _)| path.clone()).filter(|path| path.symlink_metadata().is_ok()).collect();
    if !there.is_empty() {
        return Err(Stop::There(there, KEPT));
    }
    let made = make(&folder.join("catalogue"))?;
    let mut written: Vec<&Path> = Vec::new();
    for (path, bytes) in &files {
        if let Err(trouble) = write_file(path, bytes, false) {
            // All or nothing: what a failed start leaves would be in the way of the next.
            for path in written {
                drop(fs::remove_file(path));
            }
            for folder in made {
                drop(fs::remove_dir(folder));
            }
            return Err(trouble.into());
        }
        written.push(path);
    }
    Ok(told(folder))
}

/// Makes a folder and those it stands in; gives the ones that were not there, the innermost first.
fn make(folder: &Path) -> Result<Vec<PathBuf>, FileTrouble> {
    let absent = |folder: &&Path| !folder.as_os_str().is_empty() && !folder.exists();
    let made = folder.ancestors().take_while(absent).map(Path::to_owned).collect();
    fs::create_dir_all(folder).map_err(|source| FileTrouble::Write { path: folder.to_owned(), source })?;
    Ok(made)
}

fn told(folder: &Path) -> String {
    let shown = |path: PathBuf| harmless(&quoted(&path));
    let (layout, workbook, tables) =
        (shown(folder.join("layout.yaml")), shown(folder.join("catalogue.xlsx")), shown(folder.join("catalogue")));
    format!(
        "Written:
  {layout}  what is on your layout; edit it first
  {workbook}  parts, prices, suppliers, times; all prices are invented: put in your own
  {tables}  the same as a folder of CSV tables; keep whichever of the two you like

Then compare the ways of driving:
  underboard compare {layout} --catalogue {workbook}
"
    )
}
