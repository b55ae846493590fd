//! The one exact evaluator: a layout, a catalogue and an assignment in, everything about the plan out.

use crate::buying::{Choices, Purchase, purchase};
use crate::catalogue::Catalogue;
use crate::cutlist::{Reel, cutting_list};
use crate::finding::{Finding, Weight};
use crate::findings::{advise, findings};
use crate::hours::{Hours, hours, set_up};
use crate::layout::Layout;
use crate::mechanics::{RodCheck, ScrewCheck, rods, screws};
use crate::power::{
    Branch, ConverterCheck, Demand, Discharge, Encoders, Fitted, LampCheck, Planned, SupplyCheck, Timeline, branches, check,
    converters, discharges, lamps, likely_encoders, ordered_encoders, timelines,
};
use crate::scheme::Assignment;
use crate::takeoff::{Subjects, Takeoff, subjects, take_off};
use crate::wiring::{Encoder, Jumper, Strip, Tail, Wiring, encoders, feeds_and_wiring, jumpers};

/// Everything about one plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The schemes and controllers it was worked out for.
    pub assignment: Assignment,
    /// Runs, leads and joints.
    pub wiring: Wiring,
    /// How many encoders are counted as drawing.
    pub encoders_counted: Encoders,
    /// What each feed draws.
    pub demands: Vec<Demand>,
    /// Wires with fuses of their own.
    pub branches: Vec<Branch>,
    /// How each supply stands.
    pub supplies: Vec<SupplyCheck>,
    /// How the converter of each controller stands.
    pub converters: Vec<ConverterCheck>,
    /// What the discharge units give.
    pub discharges: Vec<Discharge>,
    /// Lamps and their resistors.
    pub lamps: Vec<LampCheck>,
    /// Routes as they are thrown.
    pub timelines: Vec<Timeline>,
    /// The rods of drives, and how they work.
    pub rods: Vec<RodCheck>,
    /// Screws that do not suit the top they go into.
    pub screws: Vec<ScrewCheck>,
    /// What is needed.
    pub takeoff: Takeoff,
    /// What to buy.
    pub purchase: Purchase,
    /// What to cut from what.
    pub reels: Vec<Reel>,
    /// The encoders, and which lever is at which input.
    pub encoders: Vec<Encoder>,
    /// The terminal strips.
    pub strips: Vec<Strip>,
    /// The tails at the joints.
    pub tails: Vec<Tail>,
    /// The short wires at levers, encoders and contacts.
    pub jumpers: Vec<Jumper>,
    /// How long it takes.
    pub hours: Hours,
    /// What the builder should know.
    pub findings: Vec<Finding>,
}

impl Estimate {
    /// Seeks what mends the findings, by trying: as many plans again as there are changes to try.
    pub fn advise(&mut self, layout: &Layout, catalogue: &Catalogue) {
        let told = std::mem::take(&mut self.findings);
        self.findings = advise(layout, catalogue, self, told);
    }

    /// Whether everything can be moved and everything can be had.
    pub fn can_be_built(&self) -> bool {
        can_be_built(&self.assignment, &self.purchase)
    }

    /// Whether the supplies that are owned carry every feed they could feed, without one that must be bought beside them; a feed for which none
    /// is owned is not theirs to carry.
    pub fn owned_supplies_carry(&self) -> bool {
        let fed = |demand: &Demand| {
            let is_owned = |check: &SupplyCheck| check.feed == demand.id && check.is_owned;
            !(demand.is_bought() && self.supplies.iter().any(is_owned))
        };
        self.demands.iter().all(fed) && self.supplies.iter().all(|check| !check.is_owned || check.carries)
    }

    /// What makes the plan fall short.
    pub fn shortfalls(&self) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(|finding| finding.weight == Weight::Shortfall)
    }
}

/// A plan as far as its order: what a trial that only asks for a price has to work out.
#[derive(Debug)]
pub struct Draft {
    /// The schemes and controllers.
    pub assignment: Assignment,
    /// How many encoders are counted as drawing.
    pub encoders_counted: Encoders,
    /// What each feed draws.
    pub demands: Vec<Demand>,
    /// Runs, leads and joints.
    pub wiring: Wiring,
    /// Wires with fuses of their own.
    pub branches: Vec<Branch>,
    /// What needs and tasks are counted by.
    pub subjects: Subjects,
    /// What is needed.
    pub takeoff: Takeoff,
    /// What to buy.
    pub purchase: Purchase,
}

impl Draft {
    /// Whether everything can be moved and everything can be had.
    pub fn can_be_built(&self) -> bool {
        can_be_built(&self.assignment, &self.purchase)
    }
}

fn can_be_built(assignment: &Assignment, purchase: &Purchase) -> bool {
    purchase.unmet.is_empty() && assignment.schemes.iter().all(Option::is_some)
}

/// Works out a plan as far as its order. Supplies and wires depend on how many encoders draw, which is known when they are bought: the plan is made
/// with as many as are likely, and where others are ordered, anew with those. Where no number agrees with its own order, more are counted.
pub fn draft(layout: &Layout, catalogue: &Catalogue, assignment: Assignment, choices: &Choices) -> Draft {
    let with = |counted: Encoders| {
        let draft = draft_with(layout, catalogue, assignment.clone(), choices, counted);
        let ordered = ordered_encoders(catalogue, (&draft.takeoff, &draft.purchase), &draft.encoders_counted);
        (draft, ordered)
    };
    let (first, mut ordered) = with(likely_encoders(layout, catalogue, &assignment));
    if ordered == first.encoders_counted {
        return first;
    }
    // From here on the count only grows, and there are never more encoders than inputs.
    loop {
        let (draft, again) = with(ordered);
        let mut most = draft.encoders_counted.clone();
        for (place, count) in again {
            most.entry(place).and_modify(|most| *most = count.max(*most));
        }
        if most == draft.encoders_counted {
            return draft;
        }
        ordered = most;
    }
}

/// Works out a plan as far as its order where so many encoders draw.
fn draft_with(
    layout: &Layout,
    catalogue: &Catalogue,
    assignment: Assignment,
    choices: &Choices,
    encoders_counted: Encoders,
) -> Draft {
    let (demands, mut wiring) = feeds_and_wiring(layout, catalogue, &assignment, &encoders_counted);
    let branches = branches(catalogue, &demands, &wiring);
    wiring.begin_behind(&branches, &demands);
    let subjects = subjects(layout, catalogue, &assignment, &wiring, &demands, &branches);
    let takeoff = take_off(catalogue, layout, &subjects);
    let purchase = purchase(&takeoff, catalogue, choices);
    Draft { assignment, encoders_counted, demands, wiring, branches, subjects, takeoff, purchase }
}

/// Works out a plan. A pure function: the same inputs give the same estimate. Its findings say what is wrong; what would mend it is sought by
/// [`Estimate::advise`].
pub fn estimate(layout: &Layout, catalogue: &Catalogue, assignment: Assignment, choices: &Choices) -> Estimate {
    let Draft { assignment, encoders_counted, demands, mut wiring, branches, subjects, takeoff, purchase } =
        draft(layout, catalogue, assignment, choices);
    let reels = cutting_list(&takeoff, catalogue, &purchase, &wiring);
    let encoders = encoders(layout, catalogue, &assignment, &takeoff, &purchase);
    wiring.read_at(&encoders);
    let (strips, tails) = (wiring.strips(&catalogue.rates), wiring.tails(layout));
    let jumpers = jumpers(layout, catalogue, &assignment, &demands, &encoders);
    let fitted = Fitted {
        assignment: &assignment,
        demands: &demands,
        branches: &branches,
        wiring: &wiring,
        takeoff: &takeoff,
        purchase: &purchase,
    };
    let supplies = check(layout, catalogue, fitted);
    let converters = converters(layout, catalogue, fitted);
    let discharges = discharges(layout, catalogue, &assignment, &wiring, &takeoff, &purchase);
    let lamps = lamps(catalogue, &takeoff, &purchase);
    let planned =
        Planned { layout, catalogue, assignment: &assignment, wiring: &wiring, demands: &demands, discharges: &discharges };
    let timelines = timelines(planned);
    let rods = rods(layout, catalogue, &assignment, &takeoff, &purchase);
    let screws = screws(layout, catalogue, &assignment);
    let mut hours = hours(catalogue, &subjects);
    hours.set_up = set_up(catalogue, &wiring);
    let mut estimate = Estimate {
        assignment,
        encoders_counted,
        wiring,
        demands,
        branches,
        supplies,
        converters,
        discharges,
        lamps,
        timelines,
        rods,
        screws,
        takeoff,
        purchase,
        reels,
        encoders,
        strips,
        tails,
        jumpers,
        hours,
        findings: Vec::new(),
    };
    estimate.findings = findings(layout, catalogue, &estimate);
    estimate
}
