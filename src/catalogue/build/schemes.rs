//! The sheet `Schemes`: rows that take over what they leave blank.

use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use super::traits::Traits;
use crate::diagnostic::{Code, Diagnostic};
use crate::id::SchemeId;
use crate::scheme::Scheme;

/// The most schemes a catalogue has.
const MOST: usize = 200;

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn schemes(page: Option<&Page<'_>>, names: &Names, log: &mut Log) -> Vec<Option<Scheme>> {
    let Some(page) = page else { return Vec::new() };
    let rows: Vec<Row<'_>> = page.rows().collect();
    if rows.len() > MOST {
        let what = format!("there are more than {MOST} schemes");
        log.push(Diagnostic::error(Code::TooLarge, page.whole(), what));
        return Vec::new();
    }
    let mut like: Vec<Option<usize>> = rows.iter().map(|row| names.refer(&row.field("like"), log)).collect();
    unring(&mut like, &rows, names, "like", log);
    let traits: Vec<Traits<'_>> = rows
        .iter()
        .enumerate()
        .map(|(index, own)| {
            let chain = std::iter::successors(Some(index), |&at| like.get(at).copied().flatten()).skip(1);
            Traits { own: *own, like: chain.filter_map(|index| rows.get(index).copied()).collect() }
        })
        .collect();
    let mut instead: Vec<Option<usize>> = traits
        .iter()
        .enumerate()
        // A variant may take over from its base that it itself serves instead: that says nothing then.
        .map(|(index, traits)| {
            names.refer(&traits.field("instead"), log).filter(|&other| other != index || traits.owns("instead"))
        })
        .collect();
    unring(&mut instead, &rows, names, "instead", log);
    let offered: Vec<bool> = rows.iter().map(|row| row.field("offered").yes(log).unwrap_or(true)).collect();
    if !offered.contains(&true) {
        let what = "no scheme is offered, so there is nothing to choose from";
        log.push(
            Diagnostic::error(Code::MissingKey, page.whole(), what)
                .expected("at least one row whose cell of `offered` is yes or empty"),
        );
    }
    let read = traits.iter().zip(offered).enumerate().map(|(index, (traits, offered))| {
        let row = rows.get(index)?;
        let title = row.field("title").text(log);
        // What is taken over is not known where `like` leads nowhere, which has been told.
        let scheme = if lost(index, &like, &rows) { None } else { traits.read(log) };
        Some(Scheme {
            name: names.shared(index),
            title: title?.to_owned(),
            place: row.place(),
            offered,
            like: like.get(index).copied().flatten().map(SchemeId::at),
            instead: instead.get(index).copied().flatten().map(SchemeId::at),
            ..scheme?
        })
    });
    read.collect()
}

/// Whether following `like` ends at a row whose cell is filled, but with nothing that can be followed.
fn lost(index: usize, like: &[Option<usize>], rows: &[Row<'_>]) -> bool {
    let last = std::iter::successors(Some(index), |&at| like.get(at).copied().flatten()).last();
    last.and_then(|last| rows.get(last)).is_some_and(|row| !row.field("like").is_blank())
}

/// Tells of every ring that following the rows leads into, once, and opens it.
fn unring(next: &mut [Option<usize>], rows: &[Row<'_>], names: &Names, column: &'static str, log: &mut Log) {
    // Which walk came by each row; 0 for none yet.
    let mut walked = vec![0; next.len()];
    for (walk, start) in (1..).zip(0..next.len()) {
        let mut at = start;
        loop {
            if let Some(mark) = walked.get_mut(at).filter(|mark| **mark == 0) {
                *mark = walk;
            }
            let Some(after) = next.get(at).copied().flatten() else { break };
            match walked.get(after) {
                Some(0) => at = after,
                Some(&mark) if mark == walk => {
                    tell(after, next, rows, names, column, log);
                    if let Some(end) = next.get_mut(at) {
                        *end = None;
                    }
                    break;
                }
                _ => break,
            }
        }
    }
}

fn tell(first: usize, next: &[Option<usize>], rows: &[Row<'_>], names: &Names, column: &'static str, log: &mut Log) {
    let ring = std::iter::successors(Some(first), |&at| next.get(at).copied().flatten().filter(|&after| after != first));
    let name = |index: usize| names.written.get(index).map_or("", String::as_str);
    let mut shown: Vec<&str> = ring.map(name).collect();
    shown.push(name(first));
    if let Some(row) = rows.get(first) {
        let what = format!("following `{column}` leads back to where it started");
        let error = Diagnostic::error(Code::Ring, row.field(column).place, what);
        log.push(error.found(shown.join(" → ")).expected("one scheme at the end whose cell is empty"));
    }
}
