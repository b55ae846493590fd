//! The traits of a scheme: its own cells, and those of the schemes it is like where its own are blank.

use std::collections::BTreeSet;

use super::field::{Field, split};
use super::log::Log;
use super::page::Row;
use crate::diagnostic::{Code, Diagnostic};
use crate::layout::{Purpose, Waveform};
use crate::quantity::{Current, Dimension, Force, Length, Quantity, Seconds, Share, Voltage};
use crate::scheme::{Action, Connection, Draw, Electrics, Mechanics, Scheme, Spring};

/// Conductors or contacts of one drive, at most.
const MOST: u32 = 100;

/// The rows a scheme's traits stand in.
#[derive(Debug, Clone)]
pub(super) struct Traits<'p> {
    /// Its own.
    pub(super) own: Row<'p>,
    /// Those of the schemes it is like, nearest first.
    pub(super) like: Vec<Row<'p>>,
}

/// How current is drawn, as a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    Pulse,
    Move,
    Hold,
    Nothing,
}

/// How it is wired, as a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Direct,
    Local,
    Nothing,
}

impl<'p> Traits<'p> {
    /// The cell that holds a trait.
    pub(super) fn field(&self, column: &'static str) -> Field<'p> {
        self.row(column).field(column)
    }

    /// Whether the scheme's own cell is filled.
    pub(super) fn owns(&self, column: &'static str) -> bool {
        !self.own.field(column).is_blank()
    }

    /// The row that a trait stands in, the scheme's own or the nearest that is filled; else the last.
    fn row(&self, column: &'static str) -> Row<'p> {
        let mut rows = std::iter::once(self.own).chain(self.like.iter().copied());
        let last = self.like.last().copied().unwrap_or(self.own);
        rows.find(|row| !row.field(column).is_blank()).unwrap_or(last)
    }

    /// The cell of a trait that is needed because of what stands in `demanding`. If it is blank, the cell is that of the row that
    /// demands it, so that what a base lacks is not told again for each of its variants.
    fn demanded(&self, column: &'static str, demanding: &'static str, because: &'static str) -> Field<'p> {
        let field = self.field(column);
        if field.is_blank() { self.row(demanding).field(column).needed(because) } else { field.needed(because) }
    }

    /// Reads all traits; name, title, place and what it refers to are the caller's.
    pub(super) fn read(&self, log: &mut Log) -> Option<Scheme> {
        let always = "every scheme has one, of its own or taken over by `like`";
        let drives = self.drives(log);
        let way = self.demanded("wiring", "wiring", always);
        let way = way.pick(log, &[("direct", Way::Direct), ("local", Way::Local), ("none", Way::Nothing)]);
        let shape = self.demanded("draw", "draw", always);
        let words = [("pulse", Shape::Pulse), ("move", Shape::Move), ("hold", Shape::Hold), ("none", Shape::Nothing)];
        let shape = shape.pick(log, &words);
        let action = self.demanded("lever", "lever", always).pick(log, &Action::ALL.map(|action| (action.word(), action)));
        let connection = way.and_then(|way| self.connection(way, log));
        let draw = shape.and_then(|shape| self.draw(shape, log));
        let electrics = shape.and_then(|shape| self.electrics(shape, log));
        let contacts = self.field("contacts").whole(log, 0..=MOST).unwrap_or(0);
        let length = |column, log: &mut Log| self.length(column, log).unwrap_or(Length::ZERO);
        let spring = self.field("over-centre spring");
        let spring = (!spring.is_blank()).then(|| spring.pick(log, &Spring::ALL.map(|spring| (spring.word(), spring)))).flatten();
        let force = self.field("blade force").quantity(log, Dimension::Force).and_then(|force| Force::try_from(force).ok());
        let mechanics = Mechanics {
            bracket: length("bracket", log),
            lugs: self.length("lugs", log).filter(|lugs| *lugs > Length::ZERO),
            arm: length("arm", log),
            depth: length("depth", log),
            travel: self.length("travel", log).filter(|travel| *travel > Length::ZERO),
            force: force.filter(|force| *force > Force::ZERO),
            spring,
        };
        let (way, shape) = (way?, shape?);
        self.consistent(way, shape, action?, log);
        self.passed_over(way, shape, log);
        Some(Scheme {
            name: "".into(),
            title: String::new(),
            place: self.own.place(),
            offered: true,
            like: None,
            drives,
            instead: None,
            connection: connection?,
            draw: draw?,
            electrics: electrics?,
            action: action?,
            contacts,
            mechanics,
        })
    }

    fn drives(&self, log: &mut Log) -> BTreeSet<Purpose> {
        let field = self.demanded("drives", "drives", "every scheme drives something, of its own or taken over by `like`");
        let mut drives = BTreeSet::new();
        for word in split(field.text(log).unwrap_or_default()) {
            match Purpose::ALL.into_iter().find(|purpose| purpose.word().eq_ignore_ascii_case(word)) {
                Some(purpose) => {
                    drives.insert(purpose);
                }
                None => log.push(field.unknown(word, Purpose::ALL.map(Purpose::word))),
            }
        }
        drives
    }

    fn connection(&self, way: Way, log: &mut Log) -> Option<Connection> {
        let count = |column, because, log: &mut Log| self.demanded(column, "wiring", because).whole(log, 1..=MOST);
        match way {
            Way::Nothing => Some(Connection::None),
            Way::Direct => {
                let conductors = count("conductors", "the scheme is wired `direct`", log);
                let field = self.field("shared");
                let shared = field.whole(log, 0..=MOST).unwrap_or(0);
                if conductors.is_some_and(|conductors| shared > conductors) {
                    let what = format!("more conductors are shared than the {} there are", conductors.unwrap_or(0));
                    log.push(field.error(Code::Contradiction, what).expected("at most as many as `conductors`"));
                }
                Some(Connection::Direct { conductors: conductors?, shared })
            }
            Way::Local => {
                let because = "the scheme is wired `local`";
                let conductors = count("conductors", because, log);
                let (link, feed) = (count("link conductors", because, log), count("feed conductors", because, log));
                let tail = self.demanded("tail", "wiring", because).quantity(log, Dimension::Length);
                let longest = self.demanded("longest lead", "wiring", because).above_nothing(log, Dimension::Length);
                Some(Connection::Local {
                    tail: Length::try_from(tail?).ok()?,
                    longest: Length::try_from(longest?).ok()?,
                    conductors: conductors?,
                    link: link?,
                    feed: feed?,
                })
            }
        }
    }

    fn draw(&self, shape: Shape, log: &mut Log) -> Option<Draw> {
        let because = match shape {
            Shape::Nothing => return Some(Draw::None),
            Shape::Pulse => "the scheme draws a `pulse`",
            Shape::Move => "the scheme draws while it moves",
            Shape::Hold => "the scheme draws as long as it holds",
        };
        let moving = self.demanded("moving", "draw", because).above_nothing(log, Dimension::Current);
        let duration = self.demanded("duration", "draw", because).above_nothing(log, Dimension::Time);
        let mut current = |column, demanded: bool| {
            let field = demanded.then(|| self.demanded(column, "draw", because))?;
            field.quantity(log, Dimension::Current)
        };
        let rest = current("rest", shape != Shape::Pulse);
        let blocked = current("blocked", shape == Shape::Move);
        let switch_on = self.field("switch-on").quantity(log, Dimension::Current).or(rest);
        let current = |read: Option<Quantity>| Current::try_from(read?).ok();
        let (moving, duration) = (current(moving)?, Seconds::try_from(duration?).ok()?);
        Some(match shape {
            Shape::Nothing => Draw::None,
            Shape::Pulse => Draw::Pulse { current: moving, duration },
            Shape::Hold => Draw::Hold { moving, rest: current(rest)?, duration },
            Shape::Move => {
                Draw::Move { rest: current(rest)?, moving, blocked: current(blocked)?, switch_on: current(switch_on)?, duration }
            }
        })
    }

    /// What the scheme runs from: `Some(None)` where no current flows, `None` where something is wrong.
    #[expect(clippy::option_option, reason = "the outer one is that of every reading here")]
    fn electrics(&self, shape: Shape, log: &mut Log) -> Option<Option<Electrics>> {
        if shape == Shape::Nothing {
            return Some(None);
        }
        let because = "the scheme draws current";
        let voltage = self.demanded("voltage", "draw", because).above_nothing(log, Dimension::Voltage);
        let waveform = self.demanded("waveform", "draw", because);
        let waveform = waveform.pick(log, &[Waveform::Dc, Waveform::Ac].map(|waveform| (waveform.word(), waveform)));
        if let (Some(volts), Some(waveform)) = (voltage, waveform)
            && Voltage::try_from(volts).is_ok_and(|volts| volts > waveform.highest())
        {
            let what = "this is no extra-low voltage; mains stays inside a certified, enclosed supply";
            let expected = format!("at most {} {}", waveform.highest(), waveform.word());
            log.push(self.field("voltage").error(Code::OutOfRange, what).expected(expected));
        }
        let motor_voltage = self.field("motor voltage").quantity(log, Dimension::Voltage).or(voltage);
        let field = self.field("efficiency");
        let efficiency =
            field.share(log).map_or(Quantity::new(Dimension::Share, 1.into()), |share| Quantity::new(Dimension::Share, share));
        if efficiency.value().is_zero() {
            log.push(
                field
                    .error(Code::OutOfRange, "with no efficiency nothing would come through")
                    .expected("more than 0 %, at most 100 %"),
            );
        }
        let mut current = |column| {
            let read = self.field(column).quantity(log, Dimension::Current);
            read.map_or(Some(Current::ZERO), |read| Current::try_from(read).ok())
        };
        let (controller, panel) = (current("controller"), current("panel"));
        let stored = self.field("stored").yes(log).unwrap_or(false);
        Some(Some(Electrics {
            voltage: Voltage::try_from(voltage?).ok()?,
            waveform: waveform?,
            motor_voltage: Voltage::try_from(motor_voltage?).ok()?,
            efficiency: Share::try_from(efficiency).ok()?,
            controller: controller?,
            panel: panel?,
            stored,
        }))
    }

    /// Tells of traits that cannot hold together.
    fn consistent(&self, way: Way, shape: Shape, action: Action, log: &mut Log) {
        let mut contradict = |column, what: &str, expected: &str| {
            log.push(self.field(column).error(Code::Contradiction, what).expected(expected));
        };
        match (way, shape) {
            (Way::Nothing, Shape::Nothing) => {}
            (Way::Nothing, _) => {
                contradict("wiring", "a scheme that draws current needs wire", "direct or local, or `draw` none");
            }
            (_, Shape::Nothing) => {
                contradict("draw", "a scheme with wire to its drives must draw current", "pulse, move or hold, or `wiring` none");
            }
            (_, _) if action == Action::ByHand => {
                contradict("lever", "a scheme that draws current is not worked by hand", "momentary, maintained or reversing");
            }
            _ => {}
        }
        let stored = self.field("stored").yes(&mut Log::default()).unwrap_or(false);
        if stored && shape != Shape::Pulse {
            contradict("stored", "only pulses can come from a store of energy", "no, or `draw` pulse");
        }
    }

    /// Tells of the scheme's own cells that mean nothing for its wiring and draw.
    fn passed_over(&self, way: Way, shape: Shape, log: &mut Log) {
        let used: &[(&'static str, bool)] = &[
            ("conductors", way != Way::Nothing),
            ("shared", way == Way::Direct),
            ("tail", way == Way::Local),
            ("longest lead", way == Way::Local),
            ("link conductors", way == Way::Local),
            ("feed conductors", way == Way::Local),
            ("rest", matches!(shape, Shape::Move | Shape::Hold)),
            ("moving", shape != Shape::Nothing),
            ("blocked", shape == Shape::Move),
            ("switch-on", shape == Shape::Move),
            ("duration", shape != Shape::Nothing),
            ("voltage", shape != Shape::Nothing),
            ("waveform", shape != Shape::Nothing),
            ("motor voltage", shape != Shape::Nothing),
            ("efficiency", shape != Shape::Nothing),
            ("controller", shape != Shape::Nothing),
            ("panel", shape != Shape::Nothing),
        ];
        for (column, _) in used.iter().filter(|(_, used)| !used) {
            let field = self.own.field(column);
            let Some(text) = field.peek().filter(|text| *text != "0") else { continue };
            let what = format!("`{column}` means nothing for the wiring and draw of this scheme and is passed over");
            log.push(Diagnostic::notice(Code::Contradiction, field.place.clone(), what).found(text).expected("an empty cell"));
        }
    }

    fn length(&self, column: &'static str, log: &mut Log) -> Option<Length> {
        self.field(column).quantity(log, Dimension::Length).and_then(|length| Length::try_from(length).ok())
    }
}
