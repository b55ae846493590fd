//! Jumpers: the short wires between things that stand together, out of sets that are bought as such: behind the levers, from encoder to encoder, from
//! the contact of a drive to its controller.

use std::collections::BTreeMap;

use super::colour::{Colour, colour};
use super::encoders::{Encoder, Input};
use super::ends::{End, LampLead, LatchTag, Port, Switch, Tap};
use super::levers::{CROSSED, Chain, Shown, lamp_section, leaves, lever_end, shown};
use super::proving::{Proving, proving_contacts};
use super::run::Use;
use crate::catalogue::Catalogue;
use crate::id::{ControllerId, DriveId, LeverId, SchemeId};
use crate::layout::Layout;
use crate::power::Demand;
use crate::scheme::{Action, Assignment, Connection};

/// Out of what a jumper is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Set {
    /// A set of wires for levers, at this one.
    Lever(LeverId),
    /// The lead that comes with this encoder, from 2, and joins it to the one before.
    Encoder(u32),
    /// A set of wires for the contact at this drive.
    Contact(DriveId),
}

/// A short wire between two things that stand together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Jumper {
    /// Out of what it is taken.
    pub set: Set,
    /// What it is called, in two or three words.
    pub label: String,
    /// From here.
    pub from: End,
    /// To here.
    pub to: End,
    /// Its colour.
    pub colour: Colour,
}

/// All jumpers of a plan, lever by lever, then encoder by encoder and contact by contact.
pub fn jumpers(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    demands: &[Demand],
    encoders: &[Encoder],
) -> Vec<Jumper> {
    let read = |lever: LeverId| encoders.iter().flat_map(|encoder| &encoder.inputs).find(|input| input.lever == lever).cloned();
    let mut layer =
        Layer { layout, catalogue, assignment, demands, jumpers: Vec::new(), last_input: None, last: BTreeMap::new() };
    layer.at_levers(read);
    let pairs = encoders.iter().zip(encoders.iter().skip(1));
    for (before, after) in pairs.filter(|(before, after)| before.site == after.site) {
        let [before, after] = [before, after].map(|encoder| encoder.number);
        for (n, port) in (0..).zip([Port::Plus, Port::Minus, Port::Link]) {
            let purpose = if port == Port::Link { Use::Link } else { Use::Power };
            let ends = [End::Encoder(before, port), End::Encoder(after, port)];
            layer.join(Set::Encoder(after), format!("encoder {after} {}", port.word()), (purpose, n % 2), ends);
        }
    }
    layer.at_contacts();
    layer.jumpers
}

/// How many wires of sets each lever takes, and how many of their ends stand under a screw. It does not hang on the encoders bought: at which of them a lever is read, its wires are as many.
pub(crate) fn panel_wires(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: &Assignment,
    demands: &[Demand],
) -> BTreeMap<LeverId, (u32, u32)> {
    let lamps = catalogue.rates.lamps_per_lever;
    let read = |lever: LeverId| Some(Input { lever, encoder: 1, input: 1, outputs: (1..=lamps).collect() });
    let mut layer =
        Layer { layout, catalogue, assignment, demands, jumpers: Vec::new(), last_input: None, last: BTreeMap::new() };
    layer.at_levers(read);
    let mut wires: BTreeMap<LeverId, (u32, u32)> = BTreeMap::new();
    for jumper in layer.jumpers {
        if let Set::Lever(lever) = jumper.set {
            let (count, screwed) = wires.entry(lever).or_default();
            *count += 1;
            *screwed += [jumper.from, jumper.to].into_iter().map(|end| u32::from(end.is_screwed())).sum::<u32>();
        }
    }
    wires
}

struct Layer<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    assignment: &'a Assignment,
    demands: &'a [Demand],
    jumpers: Vec<Jumper>,
    /// From where the common of the inputs goes on: of all encoders, whose minus is joined by their leads.
    last_input: Option<End>,
    /// From where each chain goes on.
    last: BTreeMap<Chain, End>,
}

impl Layer<'_> {
    fn join(&mut self, set: Set, label: String, (purpose, n): (Use, u32), [from, to]: [End; 2]) {
        self.jumpers.push(Jumper { set, label, from, to, colour: colour(purpose, n) });
    }

    fn at_levers(&mut self, read: impl Fn(LeverId) -> Option<Input>) {
        for id in (0..self.layout.levers.len()).map(LeverId::at) {
            let drives = self.layout.lever(id).drives.iter().filter_map(|&drive| self.assignment.of(drive));
            let mut families: Vec<SchemeId> = drives.map(|scheme| self.catalogue.family(scheme)).collect();
            families.sort_unstable();
            families.dedup();
            for family in families {
                let traits = self.catalogue.scheme(family);
                match (traits.connection, traits.action) {
                    (Connection::Local { .. }, _) if self.layout.panel.is_some() => self.input(id, family, read(id)),
                    (Connection::Direct { .. }, Action::Reversing) => self.crossed(id, family),
                    _ => {}
                }
            }
            if let Some(lit) = shown(self.layout, self.catalogue, self.assignment, id) {
                self.lamps(id, lit, read(id).as_ref());
            }
        }
    }

    fn lever(&self, id: LeverId, family: SchemeId, switch: Switch) -> End {
        lever_end(self.layout, self.catalogue, self.assignment, (id, Some(family)), switch)
    }

    fn name(&self, id: LeverId, what: &str) -> String {
        format!("{} {what}", self.layout.lever(id).name)
    }

    fn input(&mut self, id: LeverId, family: SchemeId, input: Option<Input>) {
        let Some(Input { encoder, input, .. }) = input else { return };
        let reads = [End::Encoder(encoder, Port::Input(input)), self.lever(id, family, Switch::Single(Tap::Reverse))];
        self.join(Set::Lever(id), self.name(id, "input"), (Use::Reading, 0), reads);
        let common = self.lever(id, family, Switch::Single(Tap::Common));
        let from = self.last_input.replace(common).unwrap_or(End::Encoder(encoder, Port::Common));
        self.join(Set::Lever(id), self.name(id, "input common"), (Use::Return, 0), [from, common]);
    }

    fn crossed(&mut self, id: LeverId, family: SchemeId) {
        for (n, pair) in (0..).zip(CROSSED) {
            let ends = pair.map(|switch| self.lever(id, family, switch));
            self.join(Set::Lever(id), self.name(id, &format!("crossed {}", n + 1)), (Use::Power, n), ends);
        }
    }

    /// Joins a lever's lamps and its latch to what lights them, and to the chains that go on from lever to lever.
    fn lamps(&mut self, id: LeverId, lit: (SchemeId, Shown), input: Option<&Input>) {
        let (family, shown) = lit;
        let lamps = self.catalogue.rates.lamps_per_lever;
        if shown == Shown::Reversed {
            return self.across(id, family, lamps);
        }
        if shown == Shown::Latch {
            self.coils(id, family);
        }
        let by = self.lit_by(id, lit, input);
        // From contacts at the drives the wires of the schedule bring minus.
        let (count, lead) = if shown == Shown::Contact {
            (lamps, LampLead::Plus)
        } else {
            (u32::try_from(by.len()).unwrap_or(lamps), LampLead::Minus)
        };
        if count == 0 {
            return;
        }
        let head = input.filter(|_| shown == Shown::Encoder).map(|input| End::Encoder(input.encoder, Port::Common));
        let mut lights = (0..).zip(by);
        for chain in Chain::to(lit, lamp_section(self.catalogue, self.demands, id)) {
            let (purpose, what) = match (chain, shown) {
                (Chain::Latches(_), _) => (Use::Return, "latch return"),
                (Chain::Plus(_), Shown::Latch) => (Use::Power, "latch plus"),
                (Chain::Plus(_), _) => (Use::Power, "lamps plus"),
                (Chain::Outputs | Chain::Minus(_), _) => {
                    lights.by_ref().for_each(|(n, from)| self.light(id, n, from));
                    (Use::Return, "lamps return")
                }
            };
            let [to, on] = chain.ends(id, shown, count);
            // Where it begins, it comes from the encoder, or by a wire of the schedule.
            if let Some(from) = self.last.insert(chain, on).or(head) {
                self.join(Set::Lever(id), self.name(id, what), (purpose, 0), [from, to]);
            }
        }
        self.beside(id, count, lead);
    }

    /// What lights each of a lever's lamps from beside it; nothing where wires of the schedule do.
    fn lit_by(&self, id: LeverId, (family, shown): (SchemeId, Shown), input: Option<&Input>) -> Vec<End> {
        let traits = self.catalogue.scheme(family);
        let lamps = 0..self.catalogue.rates.lamps_per_lever;
        match (shown, input) {
            (Shown::Encoder, Some(Input { encoder, outputs, .. })) => {
                outputs.iter().map(|&output| End::Encoder(*encoder, Port::Output(output))).collect()
            }
            (Shown::Latch, _) => lamps.map(|n| End::Latch(id, LatchTag::Contact(Tap::of(n)))).collect(),
            (Shown::Poles, _) => {
                lamps.map(|n| self.lever(id, family, leaves(traits.action, traits.shares_return(), n))).collect()
            }
            (Shown::Encoder | Shown::Contact | Shown::Reversed, _) => Vec::new(),
        }
    }

    /// From the lever to the coils of its latch.
    fn coils(&mut self, id: LeverId, family: SchemeId) {
        for (n, what) in (0..).zip(["latch normal", "latch reverse"]) {
            let ends = [self.lever(id, family, Switch::Single(Tap::of(n))), End::Latch(id, LatchTag::Coil(n))];
            self.join(Set::Lever(id), self.name(id, what), (Use::Drive, n), ends);
        }
    }

    /// From what lights a lamp to its plus.
    fn light(&mut self, id: LeverId, n: u32, from: End) {
        let label = self.name(id, &format!("lamp {}", n + 1));
        self.join(Set::Lever(id), label, (Use::Proving, n), [from, End::Lamp(id, n, LampLead::Plus)]);
    }

    /// From each of a lever's lamps to the next.
    fn beside(&mut self, id: LeverId, lamps: u32, lead: LampLead) {
        let purpose = if lead == LampLead::Plus { Use::Power } else { Use::Return };
        for n in 1..lamps {
            let label = self.name(id, &format!("lamps {n} to {}", n + 1));
            self.join(Set::Lever(id), label, (purpose, 0), [End::Lamp(id, n - 1, lead), End::Lamp(id, n, lead)]);
        }
    }

    /// Lamps across the two wires to a motor that is reversed: the second the other way round.
    fn across(&mut self, id: LeverId, family: SchemeId, lamps: u32) {
        let common = [0, 1].map(|pole| self.lever(id, family, leaves(Action::Reversing, false, pole)));
        let sides = [LampLead::Plus, LampLead::Minus];
        for ((n, from), side) in (0..).zip(common).zip(sides) {
            let label = self.name(id, &format!("lamps {}", n + 1));
            self.join(Set::Lever(id), label, (Use::Proving, n), [from, End::Lamp(id, 0, side)]);
        }
        for n in 1..lamps {
            for (at, side) in (0..).zip(sides) {
                let other = if (n % 2 == 0) == (side == LampLead::Plus) { LampLead::Plus } else { LampLead::Minus };
                let label = self.name(id, &format!("lamps 1 to {} {}", n + 1, if at == 0 { "plus" } else { "minus" }));
                self.join(Set::Lever(id), label, (Use::Proving, at), [End::Lamp(id, 0, side), End::Lamp(id, n, other)]);
            }
        }
    }

    /// From each contact that proves a drive with a controller to the channel of that.
    fn at_contacts(&mut self) {
        for (index, controller) in self.assignment.controllers.iter().enumerate() {
            for (channel, &drive) in (1..).zip(&controller.drives) {
                let proving = proving_contacts(self.layout, self.catalogue, self.assignment, drive);
                let Some(Proving { first, .. }) = proving else { continue };
                let name = &self.layout.drive(drive).name;
                for (n, (tap, word)) in (0..).zip([(Tap::Normal, "normal"), (Tap::Reverse, "reverse"), (Tap::Common, "common")]) {
                    let ends = [End::Channel(ControllerId::at(index), channel, tap), End::Contact(drive, first, tap)];
                    let of = if tap == Tap::Common { (Use::Return, 0) } else { (Use::Proving, n) };
                    self.join(Set::Contact(drive), format!("{name} contact {word}"), of, ends);
                }
            }
        }
    }
}
