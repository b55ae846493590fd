//! The sheet `Turnouts`.

use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use crate::catalogue::rules::{FrogFollows, TurnoutKind};
use crate::diagnostic::Code;

/// Drives, frogs or levers of one turnout, at most.
const MOST: u32 = 16;

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn turnouts(page: Option<&Page<'_>>, log: &mut Log) -> Vec<Option<TurnoutKind>> {
    let names = Names::of(page, "Turnouts", "kind", log);
    let rows = page.into_iter().flat_map(Page::rows).enumerate();
    rows.map(|(index, row)| turnout(&row, index, &names, log)).collect()
}

fn turnout(row: &Row<'_>, index: usize, names: &Names, log: &mut Log) -> Option<TurnoutKind> {
    let drives = row.field("drives").whole(log, 0..=MOST);
    let frogs = row.field("frogs").whole(log, 0..=MOST);
    let levers_field = row.field("levers");
    let levers = levers_field.whole(log, 0..=MOST);
    let follows_field = row.field("frog follows");
    let words = [("own", FrogFollows::Own), ("other", FrogFollows::Other), ("neighbour", FrogFollows::Neighbour)];
    let follows = follows_field.pick(log, &words).unwrap_or(FrogFollows::Own);
    let letters = row.field("letters").text(log).map(str::to_owned);
    let (drives, frogs, levers) = (drives?, frogs?, levers?);
    if levers > drives || (levers == 0 && drives > 0) {
        let what = format!("`levers` is {levers} where `drives` is {drives}, and each lever throws a drive or more");
        let expected = if drives < 2 { drives.to_string() } else { format!("from 1 to {drives}") };
        log.push(levers_field.error(Code::Contradiction, what).expected(expected));
    }
    let least = match follows {
        FrogFollows::Own => 1,
        FrogFollows::Other => 2,
        FrogFollows::Neighbour => 0,
    };
    if frogs > 0 && drives < least {
        let what = format!("the number of drives is {drives}, so that the frogs have no drive to follow in this way");
        let mut error = follows_field.error(Code::Contradiction, what);
        error.found.get_or_insert_with(|| "own, for the cell is empty".to_owned());
        log.push(error.expected(if drives == 1 {
            "own, or neighbour"
        } else {
            "neighbour: the drive of another device changes them over"
        }));
    }
    Some(TurnoutKind { name: names.shared(index), place: row.place(), drives, frogs, levers, follows, letters })
}
