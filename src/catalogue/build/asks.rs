//! The small notations of `Assemblies` and `Tasks`: what is asked, how many, and when a row counts.

use std::fmt::Write as _;

use rust_decimal::Decimal;

use super::field::{Field, split};
use super::log::Log;
use super::parts::text_value;
use crate::catalogue::goods::{Form, Kind, Value};
use crate::catalogue::rules::Asked;
use crate::catalogue::vocabulary::{Attr, Condition, Measure, Per, Word};
use crate::diagnostic::{Code, Diagnostic};
use crate::name::nearest;
use crate::quantity::Dimension;

/// The largest amount of a rule: far more than goes with any one thing, and few enough that a thousand things stay countable.
const MOST: u32 = 1_000;

/// What a row counts and what it asks for, where both could be read.
#[derive(Debug, Clone, Copy)]
pub(super) struct Subject<'a> {
    /// What the row counts.
    pub(super) per: Option<Per>,
    /// What it asks for.
    pub(super) kind: Option<&'a Kind>,
}

/// `length lead length; waveform waveform; colour RD`.
pub(super) fn asks(field: &Field<'_>, subject: Subject<'_>, log: &mut Log) -> Vec<(Attr, Asked)> {
    let mut asks: Vec<(Attr, Asked)> = Vec::new();
    for written in split(field.text(log).unwrap_or_default()) {
        match ask(field, written, subject) {
            Ok((attr, _)) if asks.iter().any(|(asked, _)| *asked == attr) => {
                let what = format!("`{}` is asked twice", attr.word());
                log.push(field.error(Code::DuplicateKey, what).expected("each attribute once"));
            }
            Ok(ask) => asks.push(ask),
            Err(error) => log.push(error),
        }
    }
    asks
}

fn ask(field: &Field<'_>, written: &str, subject: Subject<'_>) -> Result<(Attr, Asked), Diagnostic> {
    let (attr, rest) = attribute(field, written)?;
    if let Some(kind) = subject.kind
        && !kind.matching.contains_key(&attr)
    {
        let what = format!("`{}` would choose nothing: parts of the kind `{}` are not matched by it", attr.word(), kind.name);
        let mut error = field.error(Code::Contradiction, what).one_of(attr.word(), kind.matching.keys().map(|attr| attr.word()));
        if kind.matching.is_empty() {
            error.expected = Some(format!("`{}` in the column `match` of the sheet Kinds", attr.word()));
        }
        return Err(error);
    }
    if rest.is_empty() {
        let what = format!("it is not said which `{}` is asked", attr.word());
        return Err(field.error(Code::EmptyCell, what).found(written).expected(example(attr)));
    }
    let Some(dimension) = attr.dimension() else {
        if attr == Attr::Waveform && rest.eq_ignore_ascii_case("waveform") {
            return Ok((attr, Asked::Waveform));
        }
        return text_value(field, attr, rest).map(|value| (attr, Asked::Value(value)));
    };
    if let Some(measure) = Measure::from_word(rest) {
        return measured(field, attr, measure, dimension, subject);
    }
    if rest.starts_with(|c: char| c.is_ascii_digit() || "+-.,".contains(c)) {
        return field.measure(rest, dimension, None).map(|quantity| (attr, Asked::Value(Value::Measured(quantity))));
    }
    let fitting = Measure::ALL.iter().filter(|measure| measure.dimension() == dimension).map(|measure| measure.word());
    let what = format!("`{rest}` is no {} and no measure", dimension.name());
    let mut error = field.error(Code::UnknownWord, what).found(written).expected(example(attr));
    error.nearest = nearest(rest, fitting);
    Err(error)
}

/// Splits `length lead length` into the attribute and the rest; the longest attribute that fits is taken.
fn attribute<'a>(field: &Field<'_>, written: &'a str) -> Result<(Attr, &'a str), Diagnostic> {
    let fits = |attr: &Attr| {
        let (word, rest) = written.split_at_checked(attr.word().len())?;
        (word.eq_ignore_ascii_case(attr.word()) && (rest.is_empty() || rest.starts_with(' '))).then_some((*attr, rest.trim()))
    };
    let best = Attr::ALL.iter().filter_map(fits).min_by_key(|(_, rest)| rest.len());
    best.ok_or_else(|| {
        let word = written.split(' ').next().unwrap_or_default();
        let what = format!("`{word}` is no attribute of parts");
        field.error(Code::UnknownWord, what).one_of(word, Attr::ALL.iter().map(|attr| attr.word())).found(written)
    })
}

fn measured(
    field: &Field<'_>,
    attr: Attr,
    measure: Measure,
    dimension: Dimension,
    subject: Subject<'_>,
) -> Result<(Attr, Asked), Diagnostic> {
    if measure.dimension() != dimension {
        let what = format!("the measure `{}` is a {}, not a {}", measure.word(), measure.dimension().name(), dimension.name());
        return Err(field.error(Code::WrongUnit, what).expected(example(attr)));
    }
    fitting(field, measure, subject.per)?;
    Ok((attr, Asked::Measure(measure)))
}

/// How an attribute is asked, for messages.
fn example(attr: Attr) -> String {
    let Some(dimension) = attr.dimension() else { return format!("`{}` and a word", attr.word()) };
    let mut example = format!("`{} {}`", attr.word(), dimension.example());
    for measure in Measure::ALL.iter().filter(|measure| measure.dimension() == dimension) {
        let _ = write!(example, " or `{} {}`", attr.word(), measure.word());
    }
    example
}

/// Refuses a measure that nothing the row counts can have.
fn fitting(field: &Field<'_>, measure: Measure, per: Option<Per>) -> Result<(), Diagnostic> {
    let Some(per) = per.filter(|per| !subjects(measure).contains(per)) else { return Ok(()) };
    let what = format!("nothing that is counted per `{}` has a `{}`", per.word(), measure.word());
    let valid: Vec<&str> =
        Measure::ALL.iter().filter(|measure| subjects(**measure).contains(&per)).map(|measure| measure.word()).collect();
    let error = field.error(Code::Contradiction, what);
    Err(if valid.is_empty() {
        error.expected("a value written in the cell")
    } else {
        error.expected(format!("one of {}", valid.join(", ")))
    })
}

/// What has a measure.
fn subjects(measure: Measure) -> &'static [Per] {
    use Per::{Arm, Aspect, Board, Branch, Controller, Drive, Frog, Joint, JointPin, Lamp, Layout, Lever, Panel, Signal, Supply};
    match measure {
        Measure::RunLength | Measure::WireArea | Measure::ScrewedEnds => {
            &[Drive, Arm, Lever, Frog, Lamp, Aspect, Signal, Supply, Board, Controller, Layout]
        }
        Measure::LeadLength => &[Drive, Arm, Joint],
        Measure::RodLength | Measure::BracketLength | Measure::ContactsToFit => &[Drive, Arm],
        Measure::StripWays => &[Board, Supply, Layout],
        Measure::StripBridges => &[Board, Supply, Joint, Layout],
        Measure::StripCurrent => &[Drive, Supply, Board, Joint, Layout],
        Measure::PanelWires | Measure::PanelEnds => &[Lever],
        Measure::WireEnds => &[Board, Panel],
        Measure::Tails | Measure::TailLength => &[Joint],
        Measure::LinkLength | Measure::LinkEnds => &[Board, Controller],
        Measure::Conductors => &[Drive, Arm, Joint, JointPin],
        Measure::Channels => &[Controller],
        Measure::Plugs | Measure::Matings | Measure::PinArea => &[Joint, JointPin],
        Measure::Ways => &[Joint, JointPin, Lever],
        Measure::Voltage | Measure::SupplyCurrent => &[Supply],
        Measure::Current => &[Supply, Lever],
        Measure::FuseRating => &[Supply, Branch],
        Measure::PulseEnergy | Measure::PulseCapacitance => &[Layout],
    }
}

/// `2`, `2 x run length` or `run length`.
pub(super) fn amount(field: &Field<'_>, subject: Subject<'_>, log: &mut Log) -> Option<(Decimal, Option<Measure>)> {
    field.read(log, |text| {
        let (number, measure) = parse_amount(field, text)?;
        if number <= Decimal::ZERO || number > Decimal::from(MOST) {
            let what = format!("`{text}` is no amount");
            return Err(field.error(Code::OutOfRange, what).expected(format!("more than 0, at most {MOST}")));
        }
        if let Some(measure) = measure {
            fitting(field, measure, subject.per)?;
        }
        if let Some(kind) = subject.kind {
            formed(field, number, measure, kind)?;
        }
        Ok((number, measure))
    })
}

fn parse_amount(field: &Field<'_>, text: &str) -> Result<(Decimal, Option<Measure>), Diagnostic> {
    if let Some(measure) = Measure::from_word(text) {
        return Ok((Decimal::ONE, Some(measure)));
    }
    let digits = text.find(|c: char| !(c.is_ascii_digit() || "+-.,".contains(c))).unwrap_or(text.len());
    let (number, rest) = text.split_at(digits);
    let rest = rest.trim();
    if rest.is_empty() {
        return field.measure(number, Dimension::Count, None).map(|number| (number.value(), None));
    }
    let times = rest.strip_prefix(['x', 'X', '×', '*']).map(str::trim).filter(|_| !number.is_empty());
    if let Some(measure) = times.and_then(Measure::from_word) {
        return field.measure(number, Dimension::Count, None).map(|number| (number.value(), Some(measure)));
    }
    let words: Vec<&str> = Measure::ALL.iter().map(|measure| measure.word()).collect();
    let what = format!("`{text}` is no amount");
    let mut error = field.error(Code::UnknownWord, what);
    error.nearest = nearest(times.unwrap_or(rest), words.iter().copied());
    Err(error.expected(format!("a number such as 2, or `2 x` and one of {}", words.join(", "))))
}

/// Refuses an amount that means nothing for the form of its kind.
fn formed(field: &Field<'_>, number: Decimal, measure: Option<Measure>, kind: &Kind) -> Result<(), Diagnostic> {
    let wrong = |what: String, expected: &str| Err(field.error(Code::Contradiction, what).expected(expected));
    match (kind.form, measure.map(Measure::dimension)) {
        (Form::Pieces, Some(Dimension::Length)) if number.is_integer() => Ok(()),
        (Form::Pieces, Some(Dimension::Length)) => {
            wrong(format!("`{}` is cut in pieces, and there is no part of a piece", kind.name), "a whole number of pieces")
        }
        (Form::Pieces, _) => wrong(
            format!("`{}` is cut in pieces, and it is not said how long each is", kind.name),
            "a number of pieces times a length, such as `2 x run length`",
        ),
        (Form::Capacity(attr), Some(dimension)) if attr.dimension() != Some(dimension) => wrong(
            format!("`{}` is counted by `{}`, which is no {}", kind.name, attr.word(), dimension.name()),
            "a plain number, or a measure of the same sort",
        ),
        (Form::AtLeast, Some(Dimension::Voltage | Dimension::Current | Dimension::Area)) => wrong(
            format!("`{}` is counted, and what is measured here is no number of things", kind.name),
            "a plain number or a count such as `conductors`",
        ),
        _ => Ok(()),
    }
}

/// Conditions that cannot hold together: at most one of each group does.
const GROUPS: [&[Condition]; 6] = [
    &[Condition::TieBar, Condition::Arm, Condition::Gate, Condition::Uncoupler, Condition::LightsOnly],
    &[Condition::LiveFrog, Condition::InsulatedFrog, Condition::BladeFedFrog],
    &[Condition::Scenic, Condition::Hidden],
    &[Condition::FixedPanel, Condition::FlyingPanel, Condition::NoPanel],
    &[Condition::LampsCommanded, Condition::LampsProved],
    &[Condition::Dc, Condition::Ac],
];

/// When a row counts: conditions separated by `;`, all of which must hold.
pub(super) fn conditions(field: &Field<'_>, per: Option<Per>, log: &mut Log) -> Vec<Condition> {
    let when: Vec<Condition> = field.words(log);
    for group in GROUPS {
        let mut both = group.iter().filter(|condition| when.contains(condition));
        if let (Some(one), Some(other)) = (both.next(), both.next()) {
            let what = format!("`{}` and `{}` never hold together, so the row would never count", one.word(), other.word());
            log.push(field.error(Code::Contradiction, what).expected("conditions that can all hold"));
        }
    }
    for (of_drives, lacks) in [(Condition::TailShort, "has a tail"), (Condition::HeldAtSwitchOn, "could twitch")] {
        if when.contains(&of_drives)
            && let Some(per) = per.filter(|per| !matches!(per, Per::Drive | Per::Arm))
        {
            let what = format!("nothing that is counted per `{}` {lacks}, so the row would never count", per.word());
            log.push(field.error(Code::Contradiction, what).expected(format!("`{}` in a row per drive", of_drives.word())));
        }
    }
    when
}
