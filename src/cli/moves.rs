//! Moves named on the command line, to be followed second by second like a route.

use std::collections::BTreeMap;

use super::files::Inputs;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::estimate::Estimate;
use crate::id::LeverId;
use crate::layout::{Layout, NoLever, Route, Throwable};
use crate::name::folded;
use crate::power::{Planned, timelines};

/// Adds to a plan what happens as these devices are thrown one after the other, and to its layout the route that they make. The plan's sums
/// stay as they are: what moves at once is told by the rules. Gives a notice for each lever that is named by several devices and thrown once.
pub(super) fn follow(inputs: &mut Inputs, plan: &mut Estimate, moves: &[String]) -> Result<Vec<Diagnostic>, Diagnostic> {
    let names: Vec<&str> = moves.iter().map(|name| name.trim()).filter(|name| !name.is_empty()).collect();
    if moves.is_empty() {
        return Ok(Vec::new());
    }
    if names.is_empty() {
        return Err(Diagnostic::error(Code::UnknownId, place(), "no device is named").found(moves.join(",")));
    }
    let (levers, notices) = thrown(&inputs.layout, &names)?;
    let name = names.join(", ").into();
    inputs.layout.routes.push(Route { name, place: place(), levers });
    let planned = Planned {
        layout: &inputs.layout,
        catalogue: &inputs.catalogue,
        assignment: &plan.assignment,
        wiring: &plan.wiring,
        demands: &plan.demands,
        discharges: &plan.discharges,
    };
    plan.timelines = timelines(planned);
    Ok(notices)
}

/// The levers of what is named, in order. What is named again is thrown again, there and back; a lever that another name has thrown already,
/// as that of the other end of a crossover, is not.
fn thrown(layout: &Layout, names: &[&str]) -> Result<(Vec<LeverId>, Vec<Diagnostic>), Diagnostic> {
    let throwable = Throwable::of(layout);
    let mut levers = Vec::new();
    let mut notices = Vec::new();
    let mut first: BTreeMap<LeverId, &str> = BTreeMap::new();
    for &name in names {
        for &lever in throwable.find(name).map_err(|why| no_lever(layout, &throwable, name, &why))? {
            let by = *first.entry(lever).or_insert(name);
            let is_again = levers.contains(&lever);
            if !is_again || folded(by) == folded(name) {
                levers.push(lever);
            } else {
                let what = format!("`{name}` is thrown by the lever that `{by}` has thrown already, so it is not thrown back");
                let notice = Diagnostic::notice(Code::Contradiction, place(), what).found(names.join(","));
                notices.push(notice.expected(format!("`{by}` once more, to throw this lever there and back")));
            }
        }
    }
    Ok((levers, notices))
}

fn place() -> Place {
    Place::Flag("--throws".into())
}

/// What is wrong with a name that throws nothing.
fn no_lever(layout: &Layout, throwable: &Throwable, name: &str, why: &NoLever) -> Diagnostic {
    if let Some((what, expected)) = why.part() {
        return Diagnostic::error(Code::UnknownId, place(), what).found(name).expected(expected);
    }
    if *why == NoLever::Bare {
        return Diagnostic::error(Code::Contradiction, place(), format!("nothing of {name} is thrown by a lever"));
    }
    let what = "this is no device of the layout";
    let mut unknown = Diagnostic::error(Code::UnknownId, place(), what).one_of(name, layout.devices.iter().map(|it| &*it.name));
    let words: Vec<&str> = name.split_whitespace().collect();
    if words.len() > 1 && words.iter().all(|word| throwable.find(word).is_ok()) {
        unknown = unknown.expected("the devices with commas between and no blanks");
        unknown.nearest = vec![words.join(",")];
    }
    unknown
}
