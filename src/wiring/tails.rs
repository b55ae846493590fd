//! Tails: the short wires from a strip beside a plug to its pins, on both halves of a joint.

use std::collections::BTreeSet;

use super::colour::Colour;
use super::model::{Carried, Wiring};
use crate::id::JointId;
use crate::layout::Layout;

/// A tail: one on each half of the joint, and the halves are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tail {
    /// The joint.
    pub joint: JointId,
    /// The way of the strip beside the plug, from 1: the wire of that label ends in the first of its ways.
    pub way: u32,
    /// The label of the wire.
    pub label: String,
    /// Its colour.
    pub colour: Colour,
    /// The plug, from 1.
    pub plug: u32,
    /// The pin, from 1.
    pub pin: u32,
    /// Whether the way is bridged to the one before it.
    pub is_bridged: bool,
}

impl Wiring {
    /// The joints at which runs, by their places, end in a strip beside the plug.
    pub fn tailed(&self) -> BTreeSet<(JointId, usize)> {
        let pins = self.joints.iter().enumerate().flat_map(|(joint, load)| load.pins.iter().map(move |pin| (joint, pin)));
        let by_tail = pins.filter(|(_, pin)| pin.by_tail).filter_map(|(joint, pin)| match pin.carried {
            Carried::Run { index, .. } => Some((JointId::at(joint), index as usize)),
            Carried::Lead { .. } => None,
        });
        by_tail.collect()
    }

    /// The tails of one half of each joint, joint by joint.
    pub fn tails(&self, layout: &Layout) -> Vec<Tail> {
        let mut tails = Vec::new();
        for (index, load) in self.joints.iter().enumerate() {
            let mut before = None;
            for (way, pin) in (1..).zip(load.pins.iter().filter(|pin| pin.by_tail)) {
                let (label, _, colour) = self.conductor(layout, pin);
                let is_bridged = before == Some(pin.carried);
                before = Some(pin.carried);
                let joint = JointId::at(index);
                tails.push(Tail { joint, way, label, colour, plug: pin.plug, pin: pin.number, is_bridged });
            }
        }
        tails
    }
}
