//! Terminal strips way by way, and the tails that lead from those beside the plugs to their pins.

use super::plan::Plan;
use super::schedule::stop;
use super::words::capitalised;
use crate::id::{BoardId, JointId};
use crate::report::{Block, Cell, ColumnHead, Row, Section, Table};
use crate::wiring::{End, Stop, Strip, Tail, Way, pin_area};

/// The strips of a plan that stand on such boards; on none where they stand beside what brings power or commands in, at the panel.
pub(super) fn strips(plan: &Plan, stand: impl Fn(Option<BoardId>) -> bool) -> Option<Section> {
    let on = |strip: &Strip| match strip.at {
        End::Strip(board, _) => Some(board),
        End::Controller(id) => plan.estimate.assignment.controllers.get(id.index()).map(|controller| controller.spot.board),
        _ => None,
    };
    let strips: Vec<&Strip> = plan.estimate.strips.iter().filter(|strip| stand(on(strip))).collect();
    let mut blocks = vec![Block::text(
        "A way is a screw on either side of the same metal: one wire goes in at the numbered side, and ways that are bridged are one point. A strip beside \
         another thing spares the terminals of that more wires than they take: its first way is joined to the terminal by a short piece \
         from an offcut, as thick as the thickest of the others. At each drive a strip of its own takes the wires of the board on one side; on the other, offcuts \
         of the same colours lead to the tags of the motor.",
    )];
    blocks.extend(strips.iter().map(|strip| Block::Table(table(plan, strip))));
    (!strips.is_empty()).then(|| Section::new("strips", "Terminal strips, way by way", blocks))
}

fn table(plan: &Plan, strip: &Strip) -> Table {
    let rows = (1_usize..).zip(&strip.ways).map(|(number, way)| {
        Row::of([
            Cell::from(number),
            label(plan, way).into(),
            way.colour.letters().into(),
            to(plan, strip, way).into(),
            if way.is_bridged { format!("to way {}", number - 1) } else { String::new() }.into(),
        ])
    });
    let name = strip.at.name(plan.layout, plan.catalogue);
    let title = capitalised(&name_by_place(&name, strip.at));
    let columns = [
        ColumnHead::number("way", "Way"),
        ColumnHead::words("label", "Label"),
        ColumnHead::words("colour", "Colour"),
        ColumnHead::words("to", "From there to"),
        ColumnHead::words("bridged", "Bridged"),
    ];
    Table::new("strips", title, columns).rows(rows)
}

fn label(plan: &Plan, way: &Way) -> String {
    let runs = &plan.estimate.wiring.runs;
    way.wire.and_then(|(run, _)| runs.get(run)).map_or_else(String::new, |run| run.label.clone())
}

fn to(plan: &Plan, strip: &Strip, way: &Way) -> String {
    match (way.wire, way.to) {
        (Some((run, _)), to) => stop(plan, run, to),
        (None, Stop::At(end)) if end == strip.at => format!("{} itself", end.name(plan.layout, plan.catalogue)),
        (None, Stop::At(end)) => end.name(plan.layout, plan.catalogue),
        (None, Stop::Plug(_)) => String::new(),
    }
}

/// What a strip is called: by itself, or by what it stands beside.
pub(super) fn name_by_place(name: &str, at: End) -> String {
    if matches!(at, End::Strip(..)) { name.to_owned() } else { format!("strip beside {name}") }
}

/// The tails of each joint.
pub(super) fn tails(plan: &Plan) -> Option<Section> {
    let tails = &plan.estimate.tails;
    let takes = pin_area(plan.catalogue, plan.layout.rules.matings()).map_or_else(String::new, |area| format!(" of {area}"));
    let length = (plan.catalogue.rates.end_tail * 2).quantity();
    let mut blocks = vec![Block::text(format!(
        "A wire that is thicker than a pin takes, or whose current is spread over several pins, ends in the first of its ways in a strip beside the plug; from \
         there tails{takes}, {length} each, lead to the pins. Both halves of a joint have the same. Each tail bears the label of its wire at both ends.",
    ))];
    let joints = (0..plan.layout.joints.len()).map(JointId::at);
    blocks.extend(joints.filter_map(|joint| {
        let mine: Vec<&Tail> = tails.iter().filter(|tail| tail.joint == joint).collect();
        (!mine.is_empty()).then(|| Block::Table(of_joint(plan, joint, &mine)))
    }));
    (!tails.is_empty()).then(|| Section::new("tails", "Tails at the joints", blocks))
}

fn of_joint(plan: &Plan, joint: JointId, tails: &[&Tail]) -> Table {
    let rows = tails.iter().map(|tail| {
        Row::of([
            Cell::from(tail.way),
            Cell::from(&*tail.label),
            tail.colour.letters().into(),
            tail.plug.into(),
            tail.pin.into(),
            if tail.is_bridged { format!("to way {}", tail.way - 1) } else { String::new() }.into(),
        ])
    });
    let columns = [
        ColumnHead::number("way", "Way"),
        ColumnHead::words("label", "Label"),
        ColumnHead::words("colour", "Colour"),
        ColumnHead::number("plug", "To plug"),
        ColumnHead::number("pin", "Pin"),
        ColumnHead::words("bridged", "Bridged"),
    ];
    Table::new("tails", format!("Joint {}, on each half", plan.layout.joint(joint).name), columns).rows(rows)
}
