//! Checks what was written and makes the layout.

use std::collections::BTreeSet;

use super::boards::Ground;
use super::devices::{drafts, spots};
use super::field::{Entry, Field};
use super::form::LAYOUT;
use super::forms::plain;
use super::levers::expand;
use super::model::Layout;
use super::names::name;
use super::raw::parse;
use super::report::Report;
use super::rules::{Circumstances, routes, rules, supplies};
use super::words::ScaleWord;
use crate::catalogue::Catalogue;
use crate::diagnostic::Diagnostic;
use crate::size::Size;

/// Reads a layout file. `file` is its name for messages; the catalogue tells the kinds of turnout and the schemes.
///
/// # Errors
/// All that is wrong with the file, in the order of the file. A value that cannot be read is taken for its default, so that reading
/// goes on and one mistake does not hide the next.
pub fn read(file: &str, text: &str, catalogue: &Catalogue) -> Result<Layout, Vec<Diagnostic>> {
    read_sized(file, text, catalogue, Size::Usual)
}

/// As [`read`], of a file that may be so large.
///
/// # Errors
/// As [`read`].
pub fn read_sized(file: &str, text: &str, catalogue: &Catalogue, size: Size) -> Result<Layout, Vec<Diagnostic>> {
    let mut report = Report::new(file, size);
    let root = parse(text, &mut report).ok();
    let entry = root.as_ref().and_then(|root| Field::root(root).entry(&LAYOUT, &mut report));
    let Some(entry) = entry else {
        return Err(report.finish().err().unwrap_or_default());
    };
    let layout = layout(&entry, catalogue, &mut report);
    let defaults = report.finish()?;
    Ok(Layout { defaults, ..layout })
}

fn layout(entry: &Entry<'_>, catalogue: &Catalogue, report: &mut Report) -> Layout {
    let title = title(entry, report);
    let scale = entry.get("scale").and_then(|field| field.read::<ScaleWord>(report)).map(|word| word.0);
    let ground = Ground::read(entry, report);
    let supplies = supplies(entry, report);
    let (drafts, names) = drafts(entry, &ground, catalogue, report);
    let spots = spots(&drafts, &ground, report);
    let used: BTreeSet<_> = drafts.iter().map(|draft| draft.board.value).collect();
    ground.check_reach(&used, report);
    let works = expand(&drafts, spots, &names, ground.panel.as_ref(), report);
    let routes = routes(entry, &drafts, &names, &works, report);
    let has = Circumstances { portable: !ground.joints.is_empty(), routes: !routes.is_empty() };
    let rules = rules(entry, catalogue, has, report);
    Layout {
        name: title,
        file: report.file().clone(),
        scale,
        boards: ground.boards,
        joints: ground.joints,
        panel: ground.panel,
        supplies,
        devices: works.devices,
        drives: works.drives,
        frogs: works.frogs,
        levers: works.levers,
        routes,
        rules,
        defaults: Vec::new(),
    }
}

/// The layout's name, or the file's without folder and ending.
fn title(entry: &Entry<'_>, report: &mut Report) -> String {
    if let Some(field) = entry.get("name") {
        return name(&field, report).map_or_else(String::new, |name| name.to_string());
    }
    let file = report.file().clone();
    let last = file.rsplit(['/', '\\']).next().unwrap_or_default();
    let stem = last.strip_suffix(".yaml").or_else(|| last.strip_suffix(".yml")).unwrap_or(last).to_owned();
    report.took("name", plain(&stem));
    stem
}
