//! Mends by drawing less at once, over more or thicker wires: only those are offered after which the plan passes.

use std::cell::OnceCell;

use super::wiring::overloaded_link_return;
use crate::catalogue::{Attr, Catalogue, Measure, Role, Value};
use crate::estimate::Estimate;
use crate::finding::{Aim, Also, Change, Finding, ToTry};
use crate::id::{FeedId, SchemeId};
use crate::layout::{AtOnce, Layout, SwitchOn};
use crate::mends::{self, Changed};
use crate::power::{Demand, cure, starved};
use crate::quantity::{Area, Quantity};
use crate::wiring::{Wiring, better_panel, feeds_and_wiring, middle, open_schemes, pin_area};

/// So many more sections than a plan has are tried.
const MORE: u32 = 2;

/// Cross-sections of IEC 60228 that are tried where the thickest sold does not serve, in square millimetres.
const THICKER: [f64; 5] = [1.5, 2.5, 4.0, 6.0, 10.0];

/// A changed plan as far as it tells whether a change helps.
pub(super) struct Outcome {
    changed: Changed,
    demands: Vec<Demand>,
    wiring: Wiring,
}

/// What is tried on a plan, once for all its findings and only if one asks.
pub(super) struct Tried<'a> {
    pub(super) layout: &'a Layout,
    pub(super) catalogue: &'a Catalogue,
    pub(super) estimate: &'a Estimate,
    done: OnceCell<Vec<(Change, Outcome)>>,
    pairs: OnceCell<Vec<(Change, Outcome)>>,
}

impl<'a> Tried<'a> {
    pub(super) fn new(layout: &'a Layout, catalogue: &'a Catalogue, estimate: &'a Estimate) -> Self {
        Self { layout, catalogue, estimate, done: OnceCell::new(), pairs: OnceCell::new() }
    }

    /// Adds to a finding the mends that are known only by trying, where it has room for them. It has none left then.
    pub(super) fn advise(&self, mut finding: Finding) -> Finding {
        let Some(ToTry { aim, after }) = finding.to_try.take() else { return finding };
        let rest = finding.mends.split_off(after.min(finding.mends.len()));
        let mut finding = match aim {
            Aim::EnoughArrives(scheme) => {
                let finding = self.offer(self.offer_panel(finding, scheme), aim);
                self.offer_thicker(finding, scheme)
            }
            Aim::EveryCoilThrows(scheme) => self.offer_stronger(finding, scheme),
            _ => self.offer(finding, aim),
        };
        finding.mends.extend(rest);
        finding
    }

    /// Whether a changed plan is as a finding asks.
    pub(super) fn meets(&self, aim: Aim, outcome: &Outcome) -> bool {
        let Outcome { changed, demands, wiring } = outcome;
        // The feeds of a changed plan are numbered anew: they are known by what they give.
        let of = |feed: FeedId| {
            let known = self.estimate.demands.get(feed.index());
            demands.iter().filter(move |other| known.is_some_and(|known| other.is_of(known.voltage, known.waveform)))
        };
        match aim {
            Aim::OwnedCarry(feed) => of(feed).any(|demand| !demand.is_bought()),
            Aim::EveryCoilThrows(scheme) => {
                starved(&changed.layout, &changed.catalogue, &changed.assignment, wiring, scheme).is_empty()
            }
            Aim::LinkReturnBears(scheme) => overloaded_link_return(&changed.catalogue, wiring, scheme).is_none(),
            Aim::EnoughArrives(scheme) => wiring.far_ends.iter().any(|far| far.scheme == scheme && far.is_within()),
            Aim::WiresBear { scheme, per } => {
                let mut mine = wiring.sizings.iter().filter(|sizing| (sizing.scheme, sizing.per) == (scheme, per));
                mine.all(|sizing| sizing.bears)
            }
            Aim::AllFused => demands.iter().flat_map(|demand| &demand.sections).all(|section| section.fuse.is_some()),
            Aim::FusesWithin(feed) => of(feed).flat_map(|demand| &demand.sections).all(|section| {
                section.owned.is_none_or(|id| section.fuse.is_some_and(|fuse| fuse <= self.layout.supply(id).current))
            }),
        }
    }

    /// Adds the changes after which a plan is as asked; where none alone serves, those of two together.
    fn offer(&self, finding: Finding, aim: Aim) -> Finding {
        let finding = self.first_of_each(finding, self.singles(), aim);
        let serves = finding.mends.iter().any(|mend| mend.change.is_some());
        if serves { finding } else { self.first_of_each(finding, self.pairs(), aim) }
    }

    /// Adds to a finding of too much loss the board from which a panel would lose less, where that is enough.
    fn offer_panel(&self, finding: Finding, scheme: SchemeId) -> Finding {
        let Estimate { assignment, encoders_counted, .. } = self.estimate;
        let far = self.estimate.wiring.far_ends.iter().find(|far| far.scheme == scheme);
        let better = far.and_then(|far| better_panel(self.layout, self.catalogue, assignment, encoders_counted, far));
        let Some((board, better)) = better else { return finding };
        finding.mend_by(
            format!(
                "Put the panel, and with it the supply, on board {0} (`panel: {{board: {0}}}`): then {1} arrive at the farthest.",
                self.layout.board(board).name,
                better.arrives
            ),
            Change::PanelAt(board),
        )
    }

    /// Adds to a finding of too much loss what thickness of wire would serve: alone, or with more sections.
    fn offer_thicker(&self, finding: Finding, scheme: SchemeId) -> Finding {
        // Where more supplies alone serve, thicker wire beside them is no advice.
        let alone = finding.mends.iter().any(|mend| matches!(mend.change, Some(Change::Sections(_))));
        let whole = [None].into_iter().chain(self.sections().map(Some).filter(|_| !alone));
        let areas = self.thicker(scheme);
        let takes = pin_area(self.catalogue, self.layout.rules.matings()).map(Quantity::to_f64);
        let found = whole.into_iter().find_map(|sections| {
            let serves = |area: &&Area| self.serves_with(scheme, **area, sections);
            // Thicker wire loses less, save that what a pin does not take meets tails: where neither the thickest serves nor the thickest without tails,
            // none does.
            let bare = areas.iter().rfind(|area| takes.is_none_or(|takes| area.0 <= takes));
            let at_best = |area: &&Area| Some(*area) == areas.last() || Some(*area) == bare;
            let best = areas.iter().rev().filter(at_best).find(serves)?;
            areas.iter().find(|area| *area == best || serves(area)).map(|area| (*area, sections))
        });
        match found {
            Some((area, None)) => finding.mend(
                format!(
                    "Add a wire of at least {area} to the workbook, with ferrules and strips that take it, and their prices: none that it has for this is so \
                     thick, and with it enough arrives."
                ),
                None,
            ),
            Some((area, Some(sections))) => finding.mend(
                format!(
                    "Add a wire of at least {area} to the workbook, with ferrules and strips that take it, and their prices, and divide the feeds over {sections} supplies (`sections: {sections}` \
                     in the rules): with both enough arrives, with thicker wire alone it does not."
                ),
                None,
            ),
            None if alone => finding,
            None => finding.mend(
                format!(
                    "No thicker wire that is usual serves, not even beside {} supplies: too much is lost in plugs, fuse and the lead of the supply. Put \
                     panel and supply nearer to what they feed, or change several things together: still more supplies, fewer levers at once, \
                     thicker wire.",
                    self.sections().last().unwrap_or(MORE)
                ),
                None,
            ),
        }
    }

    /// The cross-sections beyond the thickest that is sold for the wires of a scheme.
    pub(super) fn thicker(&self, scheme: SchemeId) -> Vec<Area> {
        let mine = self.estimate.wiring.sizings.iter().filter(|sizing| sizing.scheme == Some(scheme));
        let thickest = mine.map(|sizing| sizing.area.0).fold(0.0, f64::max);
        THICKER.into_iter().filter(|area| *area > thickest * (1.0 + 1e-9)).map(Area).collect()
    }

    /// Whether enough arrives if a wire of such an area could be had for every run of a scheme.
    fn serves_with(&self, scheme: SchemeId, area: Area, sections: Option<u32>) -> bool {
        let Some(catalogue) = with_wire(self.catalogue, scheme, area) else { return false };
        let mut layout = self.layout.clone();
        if let Some(sections) = sections {
            layout.rules.sections.value = sections;
        }
        let changed = Changed { layout, catalogue, assignment: self.estimate.assignment.clone() };
        self.meets(Aim::EnoughArrives(scheme), &self.planned(changed))
    }

    fn singles(&self) -> &[(Change, Outcome)] {
        self.done.get_or_init(|| self.changes().into_iter().filter_map(|change| self.carried_out(change)).collect())
    }

    fn pairs(&self) -> &[(Change, Outcome)] {
        self.pairs.get_or_init(|| {
            let also: Vec<Also> = self.beside_sections();
            let pairs = also.into_iter().flat_map(|also| self.sections().map(move |least| Change::SectionsAnd { least, also }));
            pairs.filter_map(|change| self.carried_out(change)).collect()
        })
    }

    fn carried_out(&self, change: Change) -> Option<(Change, Outcome)> {
        let changed = mends::carry_out(self.layout, self.catalogue, self.estimate, change)?;
        Some((change, self.planned(changed)))
    }

    /// The feeds and wires of a changed plan, with the encoders of the plan itself.
    pub(super) fn planned(&self, changed: Changed) -> Outcome {
        let Changed { layout, catalogue, assignment } = &changed;
        let (demands, wiring) = feeds_and_wiring(layout, catalogue, assignment, &self.estimate.encoders_counted);
        Outcome { changed, demands, wiring }
    }

    fn changes(&self) -> Vec<Change> {
        let beside = self.beside_sections().into_iter().filter(|also| !matches!(also, Also::PanelAt(_))).map(Change::from);
        self.sections().map(Change::Sections).chain(beside).collect()
    }

    /// What may be changed by itself, or together with more sections.
    fn beside_sections(&self) -> Vec<Also> {
        let held = Some(Also::AtSwitchOn(SwitchOn::Held)).filter(|_| self.could_be_held());
        let fewer = Some(Also::OneLeverAtOnce).filter(|_| self.layout.rules.at_once.value != AtOnce::Levers(1));
        let panel = self.layout.panel.as_ref().filter(|panel| panel.flying.is_none());
        let panel = panel.and_then(|panel| middle(self.layout).filter(|board| *board != panel.spot.board)).map(Also::PanelAt);
        panel.into_iter().chain(held).chain(fewer).collect()
    }

    /// More sections than any feed has.
    fn sections(&self) -> impl Iterator<Item = u32> + use<> {
        let most = self.estimate.demands.iter().map(|demand| demand.sections.len()).max().unwrap_or(1);
        let most = u32::try_from(most).unwrap_or(u32::MAX).max(self.layout.rules.sections.value);
        most.saturating_add(1)..=most.saturating_add(MORE)
    }

    fn could_be_held(&self) -> bool {
        self.layout.rules.switch_on.value == SwitchOn::Twitching
            && open_schemes(&self.estimate.assignment).into_iter().any(|scheme| cure(self.catalogue, scheme).is_some())
    }

    /// Adds the changes that help. Of several divisions of the same sort the first that helps is enough.
    fn first_of_each(&self, finding: Finding, tried: &[(Change, Outcome)], aim: Aim) -> Finding {
        let mut offered: Vec<Option<Also>> = Vec::new();
        let mut helping: Vec<Change> =
            tried.iter().filter(|(_, outcome)| self.meets(aim, outcome)).map(|(change, _)| *change).collect();
        helping.retain(|change| {
            let sort = match change {
                Change::Sections(_) => None,
                Change::SectionsAnd { also, .. } => Some(*also),
                _ => return true,
            };
            let is_new = !offered.contains(&sort);
            offered.push(sort);
            is_new
        });
        helping.into_iter().fold(finding, |finding, change| finding.mend_by(self.text(change), change))
    }

    fn text(&self, change: Change) -> String {
        match change {
            Change::Sections(least) => divide(least),
            Change::AtSwitchOn(_) => {
                "At switch-on all twitch together: hold them still (`switch on: held` in the rules).".to_owned()
            }
            Change::SectionsAnd { least, also } => {
                let second = match also {
                    Also::OneLeverAtOnce => ONE_LEVER.to_owned(),
                    Also::AtSwitchOn(_) => "Hold the motors still at switch-on (`switch on: held` in the rules).".to_owned(),
                    Also::PanelAt(board) => {
                        let name = &self.layout.board(board).name;
                        format!("Put the panel, and with it the supplies, on board {name} (`panel: {{board: {name}}}`).")
                    }
                };
                format!("One change alone does not serve, two do. First: {} Second: {second}", divide(least))
            }
            _ => ONE_LEVER.to_owned(),
        }
    }
}

/// The catalogue with a wire of such an area to be had for every run of a scheme; `None` where it has no wire for them at all.
pub(super) fn with_wire(catalogue: &Catalogue, scheme: SchemeId, area: Area) -> Option<Catalogue> {
    let mut catalogue = catalogue.clone();
    let rules = catalogue.rules.iter().filter(|rule| {
        rule.measure == Some(Measure::RunLength)
            && catalogue.kind(rule.kind).role == Role::Wire
            && rule.scheme.is_some_and(|written| catalogue.counts_under(written, scheme))
    });
    let kinds: Vec<_> = rules.map(|rule| rule.kind).collect();
    // What is in stock counts as had; rated for all that may flow, so that only its copper is on trial.
    let mut part = catalogue.parts.iter().find(|part| kinds.contains(&part.kind)).cloned()?;
    part.name = "tried".into();
    part.stock = 1;
    part.attributes.insert(Attr::Area, Value::Measured(area.quantity()));
    for stated in [Attr::LineResistance, Attr::Current] {
        part.attributes.remove(&stated);
    }
    catalogue.parts.push(part);
    Some(catalogue)
}

const ONE_LEVER: &str = "Throw one lever at a time, the next when the one before has moved (`at once: 1 lever` in the rules), if that is how you work the \
                         layout.";

fn divide(least: u32) -> String {
    format!(
        "Give boards supplies and power wires of their own: divide the feeds over {least} (`sections: {least}` in the rules)."
    )
}
