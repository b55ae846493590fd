//! What the user asks of an order, and how long it may be searched for.

use std::collections::BTreeSet;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::model::Halt;
use crate::id::SupplierId;

/// How long the search may go on. When it is stopped, the best order found is returned with its proven gap.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    /// Work steps, about a nanosecond each; two runs with the same limit agree to the last byte.
    pub steps: u64,
    /// How long one search may take by the clock; with it, two runs may differ where they do not come to an end.
    pub patience: Option<Duration>,
    /// Is told how the search goes, and may stop it.
    pub watch: Option<&'static Watch>,
}

impl Limits {
    /// So many work steps and no clock.
    pub const fn steps(steps: u64) -> Self {
        Self { steps, patience: None, watch: None }
    }

    /// As much work as can be done in so much time.
    pub const fn patience(patience: Duration) -> Self {
        Self { steps: u64::MAX, patience: Some(patience), watch: None }
    }
}

impl Default for Limits {
    fn default() -> Self {
        Self::steps(64_000_000)
    }
}

/// What the user asks of the order besides the least money.
#[derive(Debug, Clone, Default)]
pub struct Choices {
    /// Order from these suppliers only; `None` for all.
    pub only: Option<BTreeSet<SupplierId>>,
    /// Order from none of these.
    pub without: BTreeSet<SupplierId>,
    /// Order from at most so many suppliers.
    pub most_parcels: Option<usize>,
    /// How long each order may be searched for.
    pub limits: Limits,
}

impl Choices {
    /// No choice but how long to search.
    pub fn within(limits: Limits) -> Self {
        Self { limits, ..Self::default() }
    }

    /// The same, ordering from one supplier alone.
    #[must_use]
    pub fn alone(&self, supplier: SupplierId) -> Self {
        Self { only: Some(BTreeSet::from([supplier])), ..self.clone() }
    }

    /// Whether as many suppliers may be ordered from as the catalogue has.
    pub fn leave_all(&self) -> bool {
        self.only.is_none() && self.without.is_empty() && self.most_parcels.is_none()
    }

    /// Whether a supplier may be ordered from.
    pub fn allow(&self, supplier: SupplierId) -> bool {
        self.only.as_ref().is_none_or(|only| only.contains(&supplier)) && !self.without.contains(&supplier)
    }
}

/// Looks on while orders are searched for.
#[derive(Debug, Default)]
pub struct Watch {
    stopped: AtomicBool,
    done: AtomicUsize,
    last: Mutex<Option<Standing>>,
}

/// How a search stands, in minor units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Standing {
    /// What the best order found costs.
    pub best: i64,
    /// No order costs less.
    pub bound: i64,
}

impl Watch {
    /// Nothing was seen yet.
    pub const fn new() -> Self {
        Self { stopped: AtomicBool::new(false), done: AtomicUsize::new(0), last: Mutex::new(None) }
    }

    /// Stops all searches; true if they were stopped already. Safe in an interrupt handler.
    pub fn stop(&self) -> bool {
        self.stopped.swap(true, Ordering::Relaxed)
    }

    /// How many searches have ended.
    pub fn done(&self) -> usize {
        self.done.load(Ordering::Relaxed)
    }

    /// How the search stands that was heard of last.
    pub fn last(&self) -> Option<Standing> {
        *self.last.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn tell(&self, standing: Standing) {
        *self.last.lock().unwrap_or_else(PoisonError::into_inner) = Some(standing);
    }

    pub(super) fn tell_end(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }
}

/// The steps left of a search.
#[derive(Debug)]
pub(super) struct Work {
    left: u64,
    until: Option<Instant>,
    watch: Option<&'static Watch>,
    since_look: u64,
    halt: Halt,
}

impl Work {
    /// Steps between two looks at the clock.
    const LOOK: u64 = 1 << 20;

    pub(super) fn new(limits: Limits) -> Self {
        let until = limits.patience.and_then(|patience| Instant::now().checked_add(patience));
        Self { left: limits.steps, until, watch: limits.watch, since_look: 0, halt: Halt::Work }
    }

    /// Takes `steps` off what is left.
    pub(super) fn spend(&mut self, steps: usize) {
        let steps = steps as u64;
        self.left = self.left.saturating_sub(steps);
        self.since_look += steps;
        if self.since_look >= Self::LOOK {
            self.since_look = 0;
            if self.watch.is_some_and(|watch| watch.stopped.load(Ordering::Relaxed)) {
                (self.left, self.halt) = (0, Halt::Hand);
            } else if self.until.is_some_and(|until| Instant::now() >= until) {
                (self.left, self.halt) = (0, Halt::Clock);
            }
        }
    }

    /// Whether the search must stop.
    pub(super) fn is_done(&self) -> bool {
        self.left == 0
    }

    /// What stops the search, if it is stopped without a proof.
    pub(super) fn halt(&self) -> Halt {
        if self.is_done() { self.halt } else { Halt::Room }
    }

    /// Tells how the search stands.
    pub(super) fn tell(&self, best: i64, bound: i64) {
        if let Some(watch) = self.watch {
            watch.tell(Standing { best, bound });
        }
    }

    /// Tells that the search has ended.
    pub(super) fn tell_end(&self) {
        if let Some(watch) = self.watch {
            watch.tell_end();
        }
    }
}
