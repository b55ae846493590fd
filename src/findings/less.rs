//! Mends by drawing less at once or over more wires: only those are offered after which the plan passes.

use std::cell::OnceCell;

use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::finding::{Change, Finding};
use crate::layout::{AtOnce, Layout, SwitchOn};
use crate::power::{Demand, cure, demand};
use crate::wiring::{Wiring, open_schemes, plan};

/// So many more sections than a plan has are tried.
const MORE: u32 = 2;

/// What is tried on a plan, once for all its findings and only if one asks.
pub(super) struct Tried<'a> {
    layout: &'a Layout,
    catalogue: &'a Catalogue,
    estimate: &'a Estimate,
    done: OnceCell<Vec<(Change, Vec<Demand>, Wiring)>>,
}

impl<'a> Tried<'a> {
    pub(super) fn new(layout: &'a Layout, catalogue: &'a Catalogue, estimate: &'a Estimate) -> Self {
        Self { layout, catalogue, estimate, done: OnceCell::new() }
    }

    /// Adds to a finding the mends after which its feeds and wires pass.
    pub(super) fn offer(&self, finding: Finding, passes: impl Fn(&[Demand], &Wiring) -> bool) -> Finding {
        let mut divided = false;
        let tried = self.done.get_or_init(|| self.changes().into_iter().filter_map(|change| self.carried_out(change)).collect());
        let helping = tried.iter().filter(|(_, demands, wiring)| passes(demands, wiring)).map(|(change, ..)| *change);
        // Of several divisions the first that helps is enough.
        let mends = helping.filter(|change| !(matches!(change, Change::Sections(_)) && std::mem::replace(&mut divided, true)));
        mends.fold(finding, |finding, change| finding.mend_by(text(change), change))
    }

    fn carried_out(&self, change: Change) -> Option<(Change, Vec<Demand>, Wiring)> {
        let mut layout = self.layout.clone();
        let rules = &mut layout.rules;
        match change {
            Change::OneLeverAtOnce => rules.at_once.value = AtOnce::Levers(1),
            Change::Sections(least) => rules.sections.value = least,
            Change::AtSwitchOn(switch_on) => rules.switch_on.value = switch_on,
            _ => return None,
        }
        let demands = demand(&layout, self.catalogue, &self.estimate.assignment);
        let wiring = plan(&layout, self.catalogue, &self.estimate.assignment, &demands);
        Some((change, demands, wiring))
    }

    fn changes(&self) -> Vec<Change> {
        let held = Some(Change::AtSwitchOn(SwitchOn::Held)).filter(|_| self.could_be_held());
        let fewer = Some(Change::OneLeverAtOnce).filter(|_| self.layout.rules.at_once.value != AtOnce::Levers(1));
        self.sections().chain(held).chain(fewer).collect()
    }

    /// More sections than any feed has.
    fn sections(&self) -> impl Iterator<Item = Change> + use<> {
        let most = self.estimate.demands.iter().map(|demand| demand.sections.len()).max().unwrap_or(1);
        let most = u32::try_from(most).unwrap_or(u32::MAX).max(self.layout.rules.sections.value);
        (most.saturating_add(1)..=most.saturating_add(MORE)).map(Change::Sections)
    }

    fn could_be_held(&self) -> bool {
        self.layout.rules.switch_on.value == SwitchOn::Twitching
            && open_schemes(&self.estimate.assignment).into_iter().any(|scheme| cure(self.catalogue, scheme).is_some())
    }
}

fn text(change: Change) -> String {
    match change {
        Change::Sections(least) => format!(
            "Give boards supplies and power wires of their own: divide the feeds over {least} (`sections: {least}` in the rules)."
        ),
        Change::AtSwitchOn(_) => "At switch-on all twitch together: hold them still (`switch on: held` in the rules).".to_owned(),
        _ => "Throw one lever at a time (`at once: 1 lever` in the rules), if that is how you work the layout.".to_owned(),
    }
}
