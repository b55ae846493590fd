//! What to build first for a budget, with the shopping list for that.

use super::plan::{Plan, Show};
use super::shop::list;
use super::words::{and, count_of};
use crate::buying::{Beside, Fresh};
use crate::phases::Budget;
use crate::report::{Block, Document, Section, prose};

/// The shopping list for what a budget pays for. The plan is the one of the whole layout with its order cut down to that.
pub fn budget(plan: &Plan, budget: &Budget, beside: &Beside, fresh: Option<Fresh>) -> Document {
    let names = |devices: &[crate::id::DeviceId]| {
        and(&devices.iter().map(|&device| &*plan.layout.device(device).name).collect::<Vec<_>>())
    };
    let mut told = vec![if budget.built.is_empty() {
        prose!["A budget of ", budget.money, " does not pay for the first device and what it needs first."]
    } else {
        prose![
            "A budget of ",
            budget.money,
            " pays for ",
            count_of(budget.built.len(), "device"),
            ": ",
            names(&budget.built),
            ". The order for them comes to ",
            budget.purchase.total,
            "."
        ]
    }];
    if !budget.built.is_empty() && !budget.owned.is_empty() {
        let are = if budget.owned.len() == 1 { "is" } else { "are" };
        told.push(prose![format!(
            "{} {are} motorised already and no part of this count: what is still needed there, such as a lever and wires, is in the order.",
            names(&budget.owned)
        )]);
    }
    if let Some((next, total)) = budget.next {
        told.push(prose!["With ", &*plan.layout.device(next).name, " the order would come to ", total, "."]);
        told.push(prose!["For later: ", names(&budget.later), "."]);
    }
    told.push(
        "Devices are taken in the order of the layout file, each with its lever, and with the controllers, joints and wires of \
        the whole plan that it needs first, so that nothing is bought twice."
            .into(),
    );
    let first = Section::new("budget", "What to build first", [Block::List(told)]);
    let sections = std::iter::once(first).chain(list(plan, beside, fresh)).collect();
    plan.document("shop", "shopping list for a budget", sections, Show::ForOrder)
}
