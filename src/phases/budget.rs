//! What to build first for a budget, in the user's order of devices.

use std::collections::BTreeMap;

use super::steps::Steps;
use crate::buying::{Choices, Purchase, purchase};
use crate::catalogue::Catalogue;
use crate::estimate::Estimate;
use crate::id::DeviceId;
use crate::layout::Layout;
use crate::money::Money;
use crate::takeoff::{Takeoff, part};

/// What can be built for a budget.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Budget {
    /// The budget.
    pub money: Money,
    /// The devices to build first, as many as it pays for, in the order of the layout file.
    pub built: Vec<DeviceId>,
    /// The first device that it does not pay for, and what the order would come to with it; `None` where it pays for all.
    pub next: Option<(DeviceId, Money)>,
    /// Devices left for later, `next` included.
    pub later: Vec<DeviceId>,
    /// Devices motorised already, in the same order. What they still need, a lever or wires, is bought first.
    pub owned: Vec<DeviceId>,
    /// What those to build first and those owned need.
    pub takeoff: Takeoff,
    /// What to buy for them.
    pub purchase: Purchase,
}

/// The longest run of devices, from the first of the layout file on, that a budget pays for.
///
/// One device more never costs less where orders are proven, so that halving the range finds it.
pub fn within(layout: &Layout, catalogue: &Catalogue, choices: &Choices, plan: &Estimate, money: Money) -> Budget {
    let (steps, devices) = Steps::by_device(layout, &plan.assignment);
    let mut known: BTreeMap<usize, (Takeoff, Purchase)> = BTreeMap::new();
    let mut order = |first: usize| {
        let (_, purchase) = known.entry(first).or_insert_with(|| {
            let takeoff = part(&plan.takeoff, catalogue, layout, |subject| steps.of(subject) < first);
            let purchase = purchase(&takeoff, catalogue, choices);
            (takeoff, purchase)
        });
        purchase.total
    };
    let (mut paid, mut beyond) = (0, devices.len() + 1);
    while beyond - paid > 1 {
        let middle = usize::midpoint(paid, beyond);
        if order(middle) <= money { paid = middle } else { beyond = middle }
    }
    let next = devices.get(paid).map(|&device| (device, order(paid + 1)));
    order(paid);
    let (takeoff, purchase) = known.remove(&paid).unwrap_or_else(|| (plan.takeoff.clone(), plan.purchase.clone()));
    let (built, later) = devices.split_at(paid);
    let owned = (0..layout.devices.len()).map(DeviceId::at).filter(|&device| layout.device(device).owned).collect();
    Budget { money, built: built.to_vec(), owned, next, later: later.to_vec(), takeoff, purchase }
}
