//! Where the sections of a feed come into a circuit: the lead of the supply, its fuses, and what else hangs there.

use std::collections::{BTreeMap, BTreeSet};

use super::cases::Case;
use super::crossing::line_of;
use crate::catalogue::{Attr, Catalogue, Per, Rates};
use crate::id::{DriveId, SchemeId};
use crate::layout::Waveform;
use crate::power::{Demand, Hung, Load, OnFuse, Section, fuses_branches, levers_bear};
use crate::quantity::{Current, Length, Resistance};
use crate::takeoff::Subject;

/// Where a section of a feed comes in, with wires of certain sizes behind it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Inlet {
    /// What the lead of its supply resists on the way out, with plug, fuse and holder.
    pub(super) out: Resistance,
    /// And on the way back.
    pub(super) back: Resistance,
    /// The fuses of a branch of it and their holders, all beside one another; nothing where the wires hang on the section's own.
    pub(super) branch: Resistance,
    /// Whether something else of the section hangs right behind its fuse, or draws through it: encoders, lights, other schemes.
    pub(super) shared: bool,
}

/// A section of the feed of a scheme, summed once for all its cases and all sizes of wire.
#[derive(Debug)]
pub(super) struct Incoming<'a> {
    section: &'a Section,
    lead: Resistance,
    /// What the wires of the scheme feed of it, where a branch may have fuses of its own.
    hung: Option<Hung>,
    /// What the wires behind levers bear that the scheme feeds.
    levers: Option<Current>,
    beside: Option<Beside>,
}

impl<'a> Incoming<'a> {
    /// The sections of a feed; `is_own` tells which loads are the circuit's own.
    pub(super) fn of(catalogue: &Catalogue, (feed, scheme): (&'a Demand, SchemeId), is_own: impl Fn(&Load) -> bool) -> Vec<Self> {
        let has_branches = fuses_branches(catalogue);
        let sections = feed.sections.iter().map(|section| Self {
            section,
            lead: supply_lead(catalogue, feed.waveform, section.before_the_fuse()),
            hung: has_branches.then(|| Hung::of(section, Some(scheme))),
            levers: least(
                section.loads.iter().filter(|load| load.through == Some(scheme)).filter_map(|load| levers_bear(catalogue, load)),
            ),
            beside: Beside::of(section.loads.iter().filter(|load| !is_own(load))),
        });
        sections.collect()
    }

    /// Where it comes in, with wires behind it the thinnest of which bears so much.
    pub(super) fn inlet(&self, catalogue: &Catalogue, thinnest: Option<Current>) -> Inlet {
        let rates = &catalogue.rates;
        let thin = least(thinnest.into_iter().chain(self.levers)).filter(|rating| self.section.leaves_bare(*rating));
        // For the drop they are taken to be dealt evenly: while wires are chosen, which goes to which fuse is not known.
        let split = self.hung.zip(thin).and_then(|(hung, bears)| hung.fuses(bears, |count| Some(OnFuse::even(count))));
        Inlet {
            out: self.lead + self.section.fuse.map_or(Resistance::ZERO, |rating| fuse(rates, rating)),
            back: self.lead,
            branch: split.map_or(Resistance::ZERO, |(rating, count)| fuse(rates, rating) / f64::from(count)),
            shared: self.beside.is_some(),
        }
    }

    /// What hangs on it beside the circuit draws in a case.
    pub(super) fn draws_beside(&self, case: &Case) -> Current {
        self.beside.as_ref().map_or(Current::ZERO, |beside| beside.draws(case))
    }
}

/// The loads beside a circuit.
#[derive(Debug)]
struct Beside {
    /// What they draw at switch-on.
    start_up: Current,
    /// What they draw while no drive moves. A discharge unit may charge at any time.
    standing: Current,
    /// What each drive draws more while it moves.
    moving: BTreeMap<DriveId, Current>,
}

impl Beside {
    fn of<'l>(loads: impl Iterator<Item = &'l Load>) -> Option<Self> {
        let mut beside: Option<Self> = None;
        for load in loads {
            let sum =
                beside.get_or_insert_with(|| Self { start_up: Current::ZERO, standing: Current::ZERO, moving: BTreeMap::new() });
            sum.start_up += load.start_up;
            sum.standing += load.continuous;
            match load.subject {
                Subject::Drive(drive) => *sum.moving.entry(drive).or_default() += load.moving,
                _ => sum.standing += load.moving,
            }
        }
        beside
    }

    fn draws(&self, case: &Case) -> Current {
        match case {
            Case::SwitchOn => self.start_up,
            Case::Moving(moving) => {
                let moving: BTreeSet<&DriveId> = moving.iter().collect();
                self.standing + moving.into_iter().filter_map(|drive| self.moving.get(drive).copied()).sum::<Current>()
            }
        }
    }
}

/// The least of some currents.
fn least(currents: impl Iterator<Item = Current>) -> Option<Current> {
    currents.reduce(|a, b| Current(a.0.min(b.0)))
}

/// What a fuse and its holder resist.
fn fuse(rates: &Rates, rating: Current) -> Resistance {
    let drop = if rating.0 < rates.small_fuse.0 * (1.0 - 1e-9) { rates.small_fuse_drop } else { rates.fuse_drop };
    rates.contact + if rating > Current::ZERO { Resistance(drop.0 / rating.0) } else { Resistance::ZERO }
}

/// What one core of the lead of a supply resists with its plug: of the leads that bear what the supply may give the weakest, or where none does the
/// strongest; of those alike the one that resists most. A part that states neither length nor copper counts as nothing.
fn supply_lead(catalogue: &Catalogue, waveform: Waveform, must_bear: Current) -> Resistance {
    let kinds = catalogue.rules.iter().filter(|rule| rule.per == Per::Supply && rule.measure.is_none()).map(|rule| rule.kind);
    let leads = kinds.flat_map(|kind| catalogue.to_be_had(kind)).filter(|(_, part)| part.suits(waveform));
    let leads = leads.filter_map(|(_, part)| {
        let length = Length::try_from(part.measured(Attr::Length)?).ok()?;
        let bears = part.measured(Attr::Current).map_or(Current(f64::INFINITY), |current| Current(current.to_f64()));
        Some((bears, line_of(part)? * length))
    });
    let leads: Vec<(Current, Resistance)> = leads.collect();
    let strongest = leads.iter().map(|(bears, _)| *bears).fold(Current::ZERO, Current::max);
    let enough = leads.into_iter().filter(|(bears, _)| *bears >= must_bear || *bears >= strongest);
    let weakest = enough.min_by(|a, b| a.0.0.total_cmp(&b.0.0).then(b.1.0.total_cmp(&a.1.0)));
    weakest.map_or(Resistance::ZERO, |(_, resists)| resists + catalogue.rates.contact)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_hangs_beside_draws_more_where_its_own_drive_moves() {
        let load = |subject: Subject, continuous: f64, start_up: f64, moving: f64| Load {
            subject,
            through: None,
            continuous: Current(continuous),
            start_up: Current(start_up),
            moving: Current(moving),
            blocked: Current::ZERO,
        };
        let [drive, other] = [0, 1].map(DriveId::at);
        // A discharge unit that charges, and a motor of another scheme.
        let loads = [load(Subject::Panel, 0.0, 0.5, 0.5), load(Subject::Drive(drive), 0.01, 0.2, 0.1)];
        let beside = Beside::of(loads.iter()).unwrap();
        let draws = |case: Case, amperes: f64| (beside.draws(&case).0 - amperes).abs() < 1e-9;
        assert!(draws(Case::SwitchOn, 0.7));
        assert!(draws(Case::Moving(vec![other]), 0.51));
        // Named twice, it moves once.
        assert!(draws(Case::Moving(vec![drive, other, drive]), 0.61));
        assert!(Beside::of([].into_iter()).is_none());
    }
}
