//! What is written on the ends of each run: what it is for, in two or three words.

use std::collections::BTreeSet;

use super::ends::{Clamp, End, LatchTag, Port, Tag};
use super::run::{Run, Use};
use crate::layout::Layout;
use crate::takeoff::Subject;

/// Labels every run, each differently: `T3 normal`, `S27 light 1`, `Quay power plus`. One that is taken gets a number.
pub(super) fn label(layout: &Layout, runs: &mut [Run]) {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    for run in runs {
        let plain = plain(layout, run);
        let mut label = plain.clone();
        let mut n = 1_u32;
        while !taken.insert(label.clone()) {
            n += 1;
            label = format!("{plain} {n}");
        }
        run.label = label;
    }
}

fn plain(layout: &Layout, run: &Run) -> String {
    let what = match (run.to.end, run.purpose) {
        (End::Motor(_, Tag::Coil(0)), _) => "normal".to_owned(),
        (End::Motor(_, Tag::Coil(1)), _) => "reverse".to_owned(),
        (End::Motor(_, Tag::Coil(n)), _) => format!("coil {}", n + 1),
        (End::Motor(_, Tag::End(n)), _) => format!("end {}", n + 1),
        (End::Frog(_), _) => "frog".to_owned(),
        (End::Rail(_, 0), _) => "rail normal".to_owned(),
        (End::Rail(..), _) => "rail reverse".to_owned(),
        (End::Light(_, n), _) => format!("light {}", n + 1),
        (End::Store(Clamp::Input(n)), _) => format!("discharge unit input {}", n + 1),
        (End::Lever(..), Use::Reading) => if run.first == 0 { "lever input" } else { "lever common" }.to_owned(),
        (End::Lever(id, ..), _) if matches!(run.subject, Subject::Layout) => {
            format!("{}levers {} to {}", if run.scheme.is_none() { "light " } else { "" }, sign(run), layout.lever(id).name)
        }
        (End::Lever(..), Use::Power) => format!("{}lever {}", if run.scheme.is_none() { "light " } else { "" }, sign(run)),
        (End::Encoder(_, Port::Link), _) => "encoder link".to_owned(),
        (End::Encoder(..), _) => format!("encoder {}", sign(run)),
        (End::Latch(_, LatchTag::Return), _) => "latches return".to_owned(),
        (End::Latch(..), _) => "latches plus".to_owned(),
        (End::Lamp(..), Use::Power) => "lamps plus".to_owned(),
        (End::Lamp(..), Use::Return) => "lamps return".to_owned(),
        (End::Socket(to), _) => format!("minus {} to {}", section(run.from.end), section(End::Socket(to))),
        (End::Store(Clamp::Minus), _) => format!("minus {} to discharge unit", section(run.from.end)),
        (_, Use::Power) if run.scheme.is_none() => "lights plus".to_owned(),
        (_, Use::Power) => format!("power {}", sign(run)),
        (_, Use::Return) if matches!(run.subject, Subject::Lamp(..)) => "contact return".to_owned(),
        (_, Use::Return) if run.scheme.is_none() && matches!(run.subject, Subject::Board(_)) => "lights return".to_owned(),
        (_, Use::Proving) => match run.subject {
            Subject::Lamp(_, n) => format!("lamp {}", n + 1),
            _ => "lamp".to_owned(),
        },
        (_, purpose) => purpose.word().to_owned(),
    };
    match whose(layout, run.subject) {
        Some(name) => format!("{name} {what}"),
        None => what,
    }
}

/// A socket's feed and section, without a comma, since labels are listed.
fn section(end: End) -> String {
    match end {
        End::Socket(source) => source.name().replace(", ", " "),
        _ => String::new(),
    }
}

fn sign(run: &Run) -> &'static str {
    if run.first == 0 { "plus" } else { "minus" }
}

/// The name of what a run belongs to, without saying what that is.
fn whose(layout: &Layout, subject: Subject) -> Option<String> {
    Some(match subject {
        Subject::Lever(id) | Subject::Lamp(id, _) => layout.lever(id).name.to_string(),
        Subject::Frog(id) => layout.frog(id).name.to_string(),
        Subject::Aspect(id, _) => layout.device(id).name.to_string(),
        Subject::Board(id) => layout.board(id).name.to_string(),
        Subject::Layout | Subject::Supply(..) => return None,
        other => other.name(layout),
    })
}
