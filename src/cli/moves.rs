//! Moves named on the command line, to be followed second by second like a route.

use super::files::Inputs;
use crate::diagnostic::{Code, Diagnostic, Place};
use crate::estimate::Estimate;
use crate::id::{DeviceId, LeverId};
use crate::layout::{Layout, Route};
use crate::name::same;
use crate::power::{Planned, timelines};

/// Adds to a plan what happens as these devices are thrown one after the other, and to its layout the route that they make. The plan's sums
/// stay as they are: what moves at once is told by the rules.
pub(super) fn follow(inputs: &mut Inputs, plan: &mut Estimate, moves: &[String]) -> Result<(), Diagnostic> {
    let mut levers: Vec<LeverId> = Vec::new();
    for name in moves.iter().map(|name| name.trim()).filter(|name| !name.is_empty()) {
        let thrown = levers_of(&inputs.layout, name)?;
        levers.extend(thrown.into_iter().filter(|lever| !levers.contains(lever)).collect::<Vec<_>>());
    }
    if levers.is_empty() {
        return Ok(());
    }
    let name = moves.join(", ").into();
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
    Ok(())
}

fn place() -> Place {
    Place::Flag("throws".into())
}

/// The levers that throw a device.
fn levers_of(layout: &Layout, name: &str) -> Result<Vec<LeverId>, Diagnostic> {
    let found = layout.devices.iter().position(|device| same(&device.name, name)).map(DeviceId::at);
    let Some(device) = found else {
        let what = "this is no device of the layout";
        return Err(Diagnostic::error(Code::UnknownId, place(), what).one_of(name, layout.devices.iter().map(|it| &*it.name)));
    };
    let mut levers: Vec<LeverId> = layout.device(device).drives.iter().map(|&drive| layout.drive(drive).lever).collect();
    levers.dedup();
    if levers.is_empty() {
        return Err(Diagnostic::error(Code::Contradiction, place(), format!("nothing of {name} is thrown by a lever")));
    }
    Ok(levers)
}
