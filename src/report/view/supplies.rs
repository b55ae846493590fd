//! Supplies: whether each carries what hangs on it, what a drive that sticks does to it, and which to buy.

use super::plan::Plan;
use super::power::name_of;
use super::words::{and, table_or};
use crate::catalogue::{Attr, Catalogue, Part, Role, Value};
use crate::estimate::Estimate;
use crate::power::SupplyCheck;
use crate::power::overload::{Opening, opening};
use crate::quantity::Share;
use crate::report::{Block, Cell, ColumnHead, Prose, Row, Section, Table, prose};

/// How the supplies stand, and which to buy.
pub(super) fn supplies(plan: &Plan) -> Section {
    let rows = plan.estimate.supplies.iter().map(|check| {
        let short = check.most.0 > check.rating.0;
        Row::of([
            Cell::from(&check.name),
            Cell::from(name_of(plan, check.feed)),
            check.section.map(|section| section + 1).into(),
            if check.is_owned { "yours" } else { "to buy" }.into(),
            check.rating.into(),
            check.most.into(),
            (!short).then(|| check.headroom()).into(),
            short.then(|| check.most - check.rating).into(),
            check.carries.into(),
        ])
    });
    let table = Table::new(
        "supplies",
        "",
        [
            ColumnHead::words("supply", "Supply"),
            ColumnHead::words("feed", "Feed"),
            ColumnHead::number("section", "As supply"),
            ColumnHead::words("whose", "Whose"),
            ColumnHead::number("rating", "Gives"),
            ColumnHead::number("most", "Must carry"),
            ColumnHead::number("headroom", "Left at the most"),
            ColumnHead::number("short", "Short by"),
            ColumnHead::words("carries", "Carries it"),
        ],
    )
    .rows(rows)
    .note(format!(
        "A supply carries its part if two things hold: what it gives reaches the most that is ever drawn, in use or at switch-on, and the load of \
         all the time takes at most {} of it, a rule of thumb (common practice, no source). One that is no supply of the table above is held \
         against the whole feed.",
        Share(1.0 - plan.layout.rules.headroom.value.0)
    ));
    let mut blocks = vec![table_or(table, "No supply is needed, or none can be had; see what is said of missing parts.")];
    let stuck: Vec<Prose> = plan.estimate.supplies.iter().filter_map(|check| stuck(plan, check)).collect();
    if !stuck.is_empty() {
        blocks.push(Block::text("If a drive sticks while the most moves:"));
        blocks.push(Block::List(stuck));
    }
    let buy = supplies_to_buy(plan.catalogue, plan.estimate);
    if !buy.is_empty() {
        blocks.push(Block::text(format!("To buy: {}.", and(&buy))));
    }
    Section::new("supplies", "Supplies", blocks)
}

/// What happens on a supply while a drive is stuck.
fn stuck(plan: &Plan, check: &SupplyCheck) -> Option<Prose> {
    let (section, fault) = (check.section?, check.fault?);
    let demand = plan.estimate.demands.get(check.feed.index()).filter(|demand| demand.sections.len() > 1);
    let name = demand.map_or_else(String::new, |demand| format!("Supply {} of {}: ", section + 1, demand.name())) + &check.name;
    let supply = if check.bears_a_blocked_one() {
        format!("{name} gives {} and bears the {fault}: nothing else stops.", check.rating)
    } else {
        format!(
            "{name} gives {}, would have to give {fault}, and is overloaded: its voltage falls or it switches itself off, and all that hangs on it stops or starts anew.",
            check.rating
        )
    };
    let fuse = match check.fuse.map(|fuse| (fuse, opening(fault, fuse))) {
        Ok((fuse, Opening::Stays)) => {
            format!(" The fuse of {fuse} does not open for that: the motor gets hot until you switch off and free it.")
        }
        Ok((fuse, Opening::AfterAnHour)) => format!(
            " The fuse of {fuse} carries that for an hour at least: switch off and free the motor before it gets hot. {STANDARD}"
        ),
        Ok((fuse, Opening::NotSaid)) => format!(
            " Do not wait for the fuse of {fuse}, which may take minutes or more than an hour: switch off and free the motor before it gets hot. {STANDARD}"
        ),
        Ok((fuse, Opening::Soon)) => format!(
            " The fuse of {fuse} opens within half an hour, a time-lag one as a rule within two minutes: switch off and free the motor before it gets \
             hot. {STANDARD}"
        ),
        Err(_) => String::new(),
    };
    Some(prose![format!("{supply}{fuse}")])
}

/// How long a fuse carries more than its rating, as [`opening`] reckons.
const STANDARD: &str = "(A fuse carries 1.5 times its rating for an hour at least and opens at 2.1 times within 30 minutes, a time-lag one as a rule \
                        within 2: IEC 60127-2, from memory; trust its maker's sheet.)";

/// The supplies to buy, such as `1 x enclosed supply, 12 V DC, 2 A`.
fn supplies_to_buy(catalogue: &Catalogue, estimate: &Estimate) -> Vec<String> {
    to_buy(catalogue, estimate).map(|(count, part)| format!("{count} x {}", part.title)).collect()
}

/// The supplies to buy by what they give, such as `1 x 12 V DC, 2 A`.
pub(super) fn outputs_to_buy(catalogue: &Catalogue, estimate: &Estimate) -> Vec<String> {
    let gives = |part: &Part| {
        let value = |attr| part.attributes.get(&attr);
        match (part.measured(Attr::Voltage), value(Attr::Waveform), part.measured(Attr::Current)) {
            (Some(voltage), Some(Value::Text(waveform)), Some(current)) => {
                format!("{voltage} {waveform}, {current}")
            }
            _ => part.title.clone(),
        }
    };
    to_buy(catalogue, estimate).map(|(count, part)| format!("{count} x {}", gives(part))).collect()
}

fn to_buy<'a>(catalogue: &'a Catalogue, estimate: &'a Estimate) -> impl Iterator<Item = (u32, &'a Part)> {
    let bought = estimate.purchase.uses.iter().filter(|used| used.count > used.from_stock);
    bought
        .map(|used| (used.count - used.from_stock, catalogue.part(used.part)))
        .filter(|(_, part)| catalogue.kind(part.kind).role == Role::Supply)
}
