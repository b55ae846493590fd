//! How long the search may go on, and what the user leaves out of it.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

use crate::id::SupplierId;

/// How long the search may go on. When it is stopped, the best order found is returned with its proven gap.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Work steps, about a nanosecond each; two runs with the same limit agree to the last byte.
    pub steps: u64,
    /// A moment at which to stop; with one, two runs may differ.
    pub until: Option<Instant>,
    /// Stops the search when it becomes true, as an interrupt handler can make it.
    pub cancel: Option<&'static AtomicBool>,
}

impl Limits {
    /// So many work steps and no clock.
    pub const fn steps(steps: u64) -> Self {
        Self { steps, until: None, cancel: None }
    }
}

impl Default for Limits {
    fn default() -> Self {
        Self::steps(16_000_000)
    }
}

/// What the user asks of the order besides the least money.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Choices {
    /// Order from these suppliers only; `None` for all.
    pub only: Option<BTreeSet<SupplierId>>,
    /// Order from none of these.
    pub without: BTreeSet<SupplierId>,
    /// Order from at most so many suppliers.
    pub most_parcels: Option<usize>,
}

impl Choices {
    /// Whether a supplier may be ordered from.
    pub fn allow(&self, supplier: SupplierId) -> bool {
        self.only.as_ref().is_none_or(|only| only.contains(&supplier)) && !self.without.contains(&supplier)
    }
}

/// The steps left of a search.
#[derive(Debug)]
pub(super) struct Work {
    left: u64,
    until: Option<Instant>,
    cancel: Option<&'static AtomicBool>,
    since_look: u64,
}

impl Work {
    /// Steps between two looks at the clock.
    const LOOK: u64 = 1 << 20;

    pub(super) fn new(limits: Limits) -> Self {
        Self { left: limits.steps, until: limits.until, cancel: limits.cancel, since_look: 0 }
    }

    /// Takes `steps` off what is left.
    pub(super) fn spend(&mut self, steps: usize) {
        let steps = steps as u64;
        self.left = self.left.saturating_sub(steps);
        self.since_look += steps;
        if self.since_look >= Self::LOOK {
            self.since_look = 0;
            let late = self.until.is_some_and(|until| Instant::now() >= until);
            if late || self.cancel.is_some_and(|cancel| cancel.load(Ordering::Relaxed)) {
                self.left = 0;
            }
        }
    }

    /// Whether the search must stop.
    pub(super) fn is_done(&self) -> bool {
        self.left == 0
    }
}
