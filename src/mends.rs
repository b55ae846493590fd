//! What mending costs: each change that a finding proposes, carried out and put through the evaluator.

use std::collections::BTreeSet;

use crate::buying::{Choices, Proof, Purchase};
use crate::catalogue::{Asked, AssemblyRule, Attr, Catalogue, Per, Role, Value};
use crate::diagnostic::Given;
use crate::estimate::{Estimate, draft};
use crate::finding::{Change, Finding};
use crate::id::{BoardId, DriveId, LeverId, SchemeId};
use crate::layout::{AtOnce, Layout, Lever, OwnedSupply};
use crate::money::Money;
use crate::power::starved;
use crate::quantity::Length;
use crate::scheme::{Assignment, assign, split};
use crate::takeoff::Subject;
use crate::wiring::with_panel_at;

/// What a plan is made of.
#[derive(Debug, Clone)]
pub struct Changed {
    /// The layout.
    pub layout: Layout,
    /// The catalogue.
    pub catalogue: Catalogue,
    /// The schemes and controllers.
    pub assignment: Assignment,
}

/// Each change takes an estimate of its own: of a layout with many findings the first are priced.
const MOST_PRICED: usize = 24;

/// Works out the prices of all mends that propose a change, and leaves out the findings that only matter if a mend is cheaper where none is known
/// to be. A price stays unknown where the search of either order was stopped or the order leaves something out: it would be a guess.
pub fn price_mends(layout: &Layout, catalogue: &Catalogue, plan: &mut Estimate, choices: &Choices) {
    if is_exact(&plan.purchase) {
        price(layout, catalogue, plan, choices);
    }
    let saves = |finding: &Finding| finding.mends.iter().filter_map(|mend| mend.price).any(|price| price.minor() < 0);
    plan.findings.retain(|finding| !finding.if_cheaper || saves(finding));
}

fn price(layout: &Layout, catalogue: &Catalogue, plan: &mut Estimate, choices: &Choices) {
    let mut worked_out: Vec<(Change, Option<Money>)> = Vec::new();
    let mut findings = std::mem::take(&mut plan.findings);
    for mend in findings.iter_mut().flat_map(|finding| &mut finding.mends) {
        let Some(change) = mend.change else { continue };
        let known = worked_out.iter().find(|(known, _)| *known == change).map(|(_, price)| *price);
        if known.is_none() && worked_out.len() >= MOST_PRICED {
            continue;
        }
        mend.price = known.unwrap_or_else(|| {
            let price = difference(layout, catalogue, plan, change, choices);
            worked_out.push((change, price));
            price
        });
    }
    plan.findings = findings;
}

/// Whether an order leaves nothing out and is proven the cheapest.
fn is_exact(purchase: &Purchase) -> bool {
    purchase.unmet.is_empty() && purchase.proof == Proof::Whole
}

fn difference(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, change: Change, choices: &Choices) -> Option<Money> {
    let changed = carry_out(layout, catalogue, plan, change)?;
    let other = draft(&changed.layout, &changed.catalogue, changed.assignment, choices);
    if !is_exact(&other.purchase) {
        return None;
    }
    let (with, without) = match change {
        // The plan has the supply on its bill; the change is that the user had one.
        Change::BuySupply(_) => (&plan.purchase, &other.purchase),
        _ => (&other.purchase, &plan.purchase),
    };
    let difference = with.total.amount().checked_sub(without.total.amount())?;
    // A supply that makes its order no dearer is no part of the price that could be told.
    if matches!(change, Change::BuySupply(_)) && difference.is_sign_negative() {
        return None;
    }
    // Working the layout in another way is no purchase: where it saves nothing, there is no price to tell.
    if matches!(change, Change::OneLeverAtOnce) && difference.is_zero() {
        return None;
    }
    Money::from_decimal(difference, catalogue.rates.home)
}

/// What a plan would be made of after a change. `None` where it cannot be carried out: the catalogue lacks what it takes.
pub fn carry_out(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, change: Change) -> Option<Changed> {
    let mut changed = Changed { layout: layout.clone(), catalogue: catalogue.clone(), assignment: plan.assignment.clone() };
    match change {
        Change::OneLeverAtOnce => changed.layout.rules.at_once.value = AtOnce::Levers(1),
        Change::SplitController(controller) => split(layout, catalogue, &mut changed.assignment, controller)?,
        Change::BuySupply(feed) => {
            let demand = plan.demands.get(feed.index())?;
            changed.layout.supplies.push(OwnedSupply {
                name: "".into(),
                place: layout.supplies.first()?.place.clone(),
                voltage: demand.voltage,
                waveform: demand.waveform,
                current: demand.needed,
            });
        }
        Change::LargerSupply { feed, least } => {
            let demand = plan.demands.get(feed.index())?;
            changed.layout.supplies.retain(|own| !demand.is_of(own.voltage, own.waveform) || own.current >= least);
        }
        Change::Sections(least) => changed.layout.rules.sections.value = least,
        Change::SectionsAnd { least, also } => {
            changed = carry_out(layout, catalogue, plan, also.into())?;
            changed.layout.rules.sections.value = least;
        }
        Change::AtSwitchOn(switch_on) => changed.layout.rules.switch_on.value = switch_on,
        Change::Rod { scheme, diameter } => {
            ask(&mut changed.catalogue, (Per::Drive, Role::Rod, scheme), (Attr::Diameter, None, diameter));
        }
        Change::Screw { per, scheme, from, to } => {
            ask(&mut changed.catalogue, (per, Role::Fixing, scheme), (Attr::Length, Some(from), to));
        }
        Change::OwnLevers(family) => {
            let mut levers: BTreeSet<LeverId> =
                starved(layout, catalogue, &plan.assignment, &plan.wiring, family).into_iter().collect();
            levers.extend(without_switch(layout, catalogue, plan, family));
            levers.into_iter().for_each(|lever| own_levers(&mut changed.layout, lever));
        }
        Change::DriveBy { board, from, to } => drive_by(&mut changed, board, from, to),
        Change::ControllersAt(controllers) => {
            changed.layout.rules.controllers.value = controllers;
            changed.assignment = assign(&changed.layout, catalogue, plan.assignment.chosen);
        }
        Change::PanelAt(board) => {
            changed.layout = with_panel_at(layout, board)?;
        }
    }
    Some(changed)
}

/// Makes the rules that count under a scheme ask for another length or diameter of their parts, those that ask for `from` if it is given.
fn ask(catalogue: &mut Catalogue, (per, role, scheme): (Per, Role, SchemeId), (attr, from, to): (Attr, Option<Length>, Length)) {
    let counts = |rule: &AssemblyRule| {
        rule.per == per
            && catalogue.kind(rule.kind).role == role
            && rule.scheme.is_none_or(|written| catalogue.counts_under(written, scheme))
    };
    let counted: Vec<bool> = catalogue.rules.iter().map(counts).collect();
    for (rule, _) in catalogue.rules.iter_mut().zip(counted).filter(|(_, counted)| *counted) {
        for (_, asked) in rule.asks.iter_mut().filter(|(asked, _)| *asked == attr) {
            if from.is_none_or(|from| *asked == Asked::Value(Value::Measured(from.quantity()))) {
                *asked = Asked::Value(Value::Measured(to.quantity()));
            }
        }
    }
}

/// The levers of a family with several drives for which no switch is sold that bears them all.
pub fn without_switch(layout: &Layout, catalogue: &Catalogue, plan: &Estimate, family: SchemeId) -> BTreeSet<LeverId> {
    let is_mine = |drive: &DriveId| plan.assignment.family_of(catalogue, *drive) == Some(family);
    let needs = plan.purchase.unmet.iter().map(|unmet| plan.takeoff.need(unmet.need));
    let switches = needs.filter(|need| catalogue.kind(need.kind).role == Role::Switch);
    let levers = switches.flat_map(|need| &need.reasons).filter_map(|reason| match reason.subject {
        Subject::Lever(lever) => Some(lever),
        _ => None,
    });
    levers.filter(|&lever| layout.lever(lever).drives.iter().filter(|drive| is_mine(drive)).count() > 1).collect()
}

/// Gives each drive of a lever one of its own, thrown in turn on every route.
fn own_levers(layout: &mut Layout, lever: LeverId) {
    let Some(first) = layout.levers.get_mut(lever.index()) else { return };
    let further = first.drives.split_off(first.drives.len().min(1));
    let (name, spot) = (first.name.clone(), first.spot);
    for (drive, number) in further.into_iter().zip(2..) {
        let own = LeverId::at(layout.levers.len());
        layout.levers.push(Lever { name: format!("{name}/{number}").into(), drives: vec![drive], lights: Vec::new(), spot });
        if let Some(drive) = layout.drives.get_mut(drive.index()) {
            drive.lever = own;
        }
        for route in layout.routes.iter_mut().filter(|route| route.levers.contains(&lever)) {
            route.levers.push(own);
        }
    }
}

/// Gives the drives of one scheme on a board another.
fn drive_by(changed: &mut Changed, board: BoardId, from: SchemeId, to: SchemeId) {
    let on_board: Vec<_> = changed
        .layout
        .drive_ids()
        .filter(|&drive| changed.layout.drive(drive).spot.board == board)
        .filter(|&drive| changed.assignment.of(drive) == Some(from))
        .collect();
    let place = changed.catalogue.scheme(to).place.clone();
    for drive in on_board {
        if let Some(drive) = changed.layout.drives.get_mut(drive.index()) {
            drive.fixed = Some(Given::new(to, place.clone()));
        }
    }
    changed.assignment = assign(&changed.layout, &changed.catalogue, changed.assignment.chosen);
}
