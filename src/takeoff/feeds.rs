//! Lists what stands at the feeds: encoders, supplies, and branches with fuses of their own.

use std::collections::BTreeMap;

use super::facts::{Facts, Subject, Under};
use super::model::{Guard, Site};
use super::subjects::{Lister, least_bearing, ratings_asked, whole_milliamperes};
use crate::catalogue::{Condition, Measure, Per};
use crate::id::{BoardId, FeedId};
use crate::layout::Waveform;
use crate::power::Branch;
use crate::wiring::End;

impl Lister<'_> {
    /// As many as draw: what reads the levers of drives with controllers.
    pub(super) fn encoders(&mut self) {
        let mut counted: BTreeMap<Option<BoardId>, u32> = BTreeMap::new();
        for load in self.demands.iter().flat_map(|demand| &demand.loads).filter(|load| load.is_encoder(self.catalogue)) {
            let board = match load.subject {
                Subject::Board(board) => Some(board),
                _ => None,
            };
            let n = counted.entry(board).or_default();
            let site = board.map_or(Site::Panel, Site::Board);
            let mut facts = Facts::new(Subject::Encoder(board, *n), Under::One(load.through), site);
            *n += 1;
            if let Some(family) = load.through {
                facts.guard = Guard::Open(site, family);
                facts.scheme_guard = facts.guard;
            }
            self.list(Per::Encoder, facts);
        }
    }

    pub(super) fn supplies(&mut self) {
        for demand in self.demands {
            let leads = ratings_asked(self.catalogue, Measure::SupplyCurrent, Some(demand.waveform));
            for (n, section) in (0..).zip(&demand.sections) {
                let mut facts = Facts::new(Subject::Supply(demand.id, n), Under::One(None), Site::Layout);
                facts.measures.insert(Measure::Voltage, demand.voltage.quantity());
                facts.measures.insert(Measure::Current, whole_milliamperes(section.asked()));
                let lead = least_bearing(&leads, section.before_the_fuse())
                    .or(leads.last().copied())
                    .unwrap_or_default()
                    .max(section.fuse.unwrap_or_default());
                facts.measures.insert(Measure::SupplyCurrent, lead.quantity());
                let source = demand.source(n as usize);
                facts.strips = self.strips(|end| match end {
                    End::Socket(of) | End::Fuse(of) | End::Branch(of, ..) => of == source,
                    _ => false,
                });
                if let Some(fuse) = section.fuse {
                    facts.measures.insert(Measure::FuseRating, fuse.quantity());
                }
                facts.waveform = Some(demand.waveform);
                facts.holds.push(if demand.waveform == Waveform::Ac { Condition::Ac } else { Condition::Dc });
                if section.owned.is_none() {
                    facts.holds.push(Condition::SupplyToBuy);
                }
                self.list(Per::Supply, facts);
            }
        }
    }

    pub(super) fn branches(&mut self, branches: &[Branch]) {
        let mut counted: BTreeMap<FeedId, u32> = BTreeMap::new();
        for branch in branches {
            for _ in 0..branch.count {
                let n = counted.entry(branch.feed).or_default();
                let mut facts = Facts::new(Subject::Branch(branch.feed, *n), Under::One(branch.scheme), Site::Layout);
                *n += 1;
                facts.measures.insert(Measure::FuseRating, branch.fuse.quantity());
                self.list(Per::Branch, facts);
            }
        }
    }
}
