//! The sheet `Kinds`.

use std::collections::BTreeMap;

use super::field::{Field, split};
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use crate::catalogue::goods::{Form, Kind, Sense};
use crate::catalogue::vocabulary::{Attr, Word};
use crate::diagnostic::{Code, Diagnostic};

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn kinds(page: Option<&Page<'_>>, names: &Names, log: &mut Log) -> Vec<Option<Kind>> {
    let rows = page.into_iter().flat_map(Page::rows).enumerate();
    rows.map(|(index, row)| kind(&row, index, names, log)).collect()
}

fn kind(row: &Row<'_>, index: usize, names: &Names, log: &mut Log) -> Option<Kind> {
    let title = row.field("title").text(log);
    let role = row.field("role").word(log);
    let unit = row.field("unit").text(log);
    let field = row.field("form");
    let form = field.read(log, |text| form(&field, text));
    let matching = matching(&row.field("match"), log);
    let spares = row.field("spares").yes(log).unwrap_or(false);
    let way_round = row.field("way round").text(log).map(str::to_owned);
    Some(Kind {
        name: names.shared(index),
        title: title?.to_owned(),
        place: row.place(),
        role: role?,
        unit: unit?.into(),
        form: form?,
        matching: matching?,
        spares,
        way_round,
    })
}

fn form(field: &Field<'_>, text: &str) -> Result<Form, Diagnostic> {
    let lower = text.to_lowercase();
    if lower == "at least" {
        return Ok(Form::AtLeast);
    }
    if lower == "pieces" {
        return Ok(Form::Pieces);
    }
    let Some(attr) = lower.strip_prefix("capacity of ") else {
        return Err(field.unknown(text, ["at least", "capacity of ways", "pieces"]));
    };
    let measured = Attr::ALL.iter().filter(|attr| attr.dimension().is_some()).map(|attr| attr.word());
    let attr = Attr::from_word(attr).filter(|attr| attr.dimension().is_some()).ok_or_else(|| {
        field.error(Code::UnknownWord, format!("`{attr}` is nothing of which parts have a capacity")).one_of(attr, measured)
    })?;
    Ok(Form::Capacity(attr))
}

/// `length >=; voltage =; colour =`; `None` where something in it is wrong.
fn matching(field: &Field<'_>, log: &mut Log) -> Option<BTreeMap<Attr, Sense>> {
    let mut matching = BTreeMap::new();
    let mut right = true;
    for written in split(field.text(log).unwrap_or_default()) {
        match attribute(field, written) {
            Ok((attr, sense)) => {
                if matching.insert(attr, sense).is_some() {
                    log.push(field.error(Code::DuplicateKey, format!("`{}` stands twice in `match`", attr.word())));
                }
            }
            Err(error) => {
                right = false;
                log.push(error);
            }
        }
    }
    right.then_some(matching)
}

fn attribute(field: &Field<'_>, written: &str) -> Result<(Attr, Sense), Diagnostic> {
    let signs = [(">=", Sense::AtLeast), ("≥", Sense::AtLeast), ("<=", Sense::AtMost), ("≤", Sense::AtMost), ("=", Sense::Equal)];
    let signed = signs.iter().find_map(|(sign, sense)| written.strip_suffix(sign).map(|word| (word.trim(), Some(*sense))));
    let (word, sense) = signed.unwrap_or((written, None));
    let attr = Attr::from_word(word).ok_or_else(|| {
        let what = format!("`{word}` is no attribute of parts");
        field.error(Code::UnknownWord, what).one_of(word, Attr::ALL.iter().map(|attr| attr.word()))
    })?;
    let wrong = |what: String, expected: String| field.error(Code::UnknownWord, what).found(written).expected(expected);
    match (sense, attr.dimension()) {
        (None | Some(Sense::Equal), None) => Ok((attr, Sense::Equal)),
        (Some(sense), Some(_)) => Ok((attr, sense)),
        (Some(_), None) => Err(wrong(format!("`{word}` is a word, and a word can only be equal"), format!("{word} ="))),
        (None, Some(_)) => Err(wrong(
            format!("`{written}` does not say in which sense parts are matched"),
            format!("{word} >=, {word} <= or {word} ="),
        )),
    }
}
