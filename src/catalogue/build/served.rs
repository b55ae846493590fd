//! Whether what a rule asks can be met by any part at all: a slip in a word would otherwise only show as a part that nobody sells.

use super::field::Field;
use super::log::Log;
use crate::catalogue::goods::{Ask, Kind, Part, Value};
use crate::catalogue::rules::Asked;
use crate::catalogue::vocabulary::{Attr, Word};
use crate::diagnostic::{Code, Diagnostic};
use crate::id::KindId;
use crate::name::nearest;

/// Notes each thing asked that no part of the kind can meet, and a kind without parts.
pub(super) fn served(field: &Field<'_>, kind: (KindId, &Kind), asks: &[(Attr, Asked)], parts: &[Option<Part>], log: &mut Log) {
    let (id, kind) = kind;
    let parts: Vec<&Part> = parts.iter().flatten().filter(|part| part.kind == id).collect();
    if parts.is_empty() {
        let what = format!("there is no part of the kind `{}`, so what this row asks for cannot be bought", kind.name);
        log.push(notice(field, what, &kind.name).expected(format!("a row with `{}` in the sheet Parts", kind.name)));
        return;
    }
    for (attr, asked) in asks {
        if !parts.iter().any(|part| meets(part, *attr, asked, kind)) {
            log.push(unmet(field, *attr, asked, kind, &parts));
        }
    }
}

/// Whether a part states the attribute and, where the value is written in the rule, meets it.
fn meets(part: &Part, attr: Attr, asked: &Asked, kind: &Kind) -> bool {
    match (asked, kind.matching.get(&attr)) {
        (Asked::Value(value), Some(&sense)) => part.serves(&[Ask { attr, sense, value: value.clone() }]),
        _ => part.attributes.contains_key(&attr),
    }
}

fn unmet(field: &Field<'_>, attr: Attr, asked: &Asked, kind: &Kind, parts: &[&Part]) -> Diagnostic {
    let Asked::Value(value) = asked else {
        let what = format!("no part of the kind `{}` states its `{}`, so none can ever be chosen", kind.name, attr.word());
        return notice(field, what, attr.word()).expected(format!("a value in the column `{}` of the sheet Parts", attr.word()));
    };
    let what = format!("no part of the kind `{}` serves where `{} {value}` is asked", kind.name, attr.word());
    let mut notice = notice(field, what, &value.to_string());
    if let Value::Text(word) = value {
        let known = parts.iter().filter_map(|part| match part.attributes.get(&attr) {
            Some(Value::Text(known)) => Some(known.as_str()),
            _ => None,
        });
        notice.nearest = nearest(word.as_str(), known);
    }
    notice.expected(format!("a part of the kind `{}` in the sheet Parts that does", kind.name))
}

fn notice(field: &Field<'_>, what: String, found: &str) -> Diagnostic {
    Diagnostic::notice(Code::UnknownId, field.place.clone(), what).found(found)
}
