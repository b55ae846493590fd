//! The sheets `Parts` and `Stock`.

use std::collections::BTreeMap;

use super::field::Field;
use super::log::Log;
use super::names::Names;
use super::page::{Page, Row};
use crate::catalogue::goods::{Form, Kind, Part, Value};
use crate::catalogue::vocabulary::{Attr, Word};
use crate::diagnostic::{Code, Diagnostic};
use crate::id::KindId;
use crate::layout::Waveform;
use crate::quantity::Dimension;
use crate::scheme::Action;

/// The largest stock of a part.
const STOCK: u32 = 1_000_000;

/// Reads the sheet; a row that is wrong leaves `None` in its place.
pub(super) fn parts(
    page: Option<&Page<'_>>,
    names: &Names,
    kind_names: &Names,
    kinds: &[Option<Kind>],
    log: &mut Log,
) -> Vec<Option<Part>> {
    let rows = page.into_iter().flat_map(Page::rows).enumerate();
    rows.map(|(index, row)| {
        let title = row.field("title").text(log);
        let kind = kind_names.refer(&row.field("kind"), log);
        let attributes = attributes(&row, log);
        if let Some(kind) = kind.and_then(|kind| kinds.get(kind)?.as_ref()) {
            capacity(&row, kind, &attributes, log);
        }
        let name = names.shared(index);
        Some(Part { name, title: title?.to_owned(), place: row.place(), kind: KindId::at(kind?), attributes, stock: 0 })
    })
    .collect()
}

fn attributes(row: &Row<'_>, log: &mut Log) -> BTreeMap<Attr, Value> {
    let read = |&attr: &Attr| {
        let field = row.field(attr.word());
        let value = match attr.dimension() {
            Some(Dimension::Count) => Value::Measured(crate::quantity::Quantity::count(field.whole(log, 0..=1_000_000)?)),
            Some(dimension) => Value::Measured(field.quantity(log, dimension)?),
            None => field.read(log, |text| text_value(&field, attr, text))?,
        };
        Some((attr, value))
    };
    Attr::ALL.iter().filter_map(read).collect()
}

/// The value of an attribute that is a word.
pub(super) fn text_value(field: &Field<'_>, attr: Attr, text: &str) -> Result<Value, Diagnostic> {
    let valid: &[&str] = match attr {
        Attr::Waveform => &[Waveform::Ac.word(), Waveform::Dc.word()],
        Attr::Action => &[Action::Momentary.word(), Action::Maintained.word(), Action::Reversing.word()],
        _ => &[],
    };
    if valid.is_empty() {
        return Ok(Value::Text(text.into()));
    }
    let known = valid.iter().find(|word| word.eq_ignore_ascii_case(text));
    known.map(|word| Value::Text((*word).into())).ok_or_else(|| {
        let what = format!("`{text}` is no {}", attr.word());
        field.error(Code::UnknownWord, what).one_of(text, valid.iter().copied())
    })
}

/// Tells of what a part of the kind must state, to be counted or cut, and does not.
fn capacity(row: &Row<'_>, kind: &Kind, attributes: &BTreeMap<Attr, Value>, log: &mut Log) {
    let (attr, because) = match kind.form {
        Form::AtLeast => return,
        Form::Capacity(attr) => (attr, "parts of this kind are counted by it"),
        Form::Pieces => (Attr::Length, "pieces are cut from parts of this kind"),
    };
    let field = row.field(attr.word()).needed(because);
    if field.is_blank() {
        field.text(log);
    } else if matches!(attributes.get(&attr), Some(Value::Measured(quantity)) if quantity.value().is_zero()) {
        let what = format!("`{}` must be more than nothing, because {because}", attr.word());
        log.push(field.error(Code::OutOfRange, what).expected("more than 0"));
    }
}

/// Puts what the user has beside the parts.
pub(super) fn stock(page: Option<&Page<'_>>, names: &Names, parts: &mut [Option<Part>], log: &mut Log) {
    let mut seen = BTreeMap::new();
    for row in page.into_iter().flat_map(Page::rows) {
        let field = row.field("part");
        let part = names.refer(&field, log);
        let count = row.field("count").whole(log, 0..=STOCK);
        let Some(index) = part else { continue };
        if let Some(first) = seen.insert(index, field.place.clone()) {
            let what = format!("the stock of `{}` stands twice, first in {first}", names.shared(index));
            log.push(field.error(Code::DuplicateId, what).expected("one row with the whole count"));
        }
        if let (Some(Some(part)), Some(count)) = (parts.get_mut(index), count) {
            part.stock = count;
        }
    }
}
