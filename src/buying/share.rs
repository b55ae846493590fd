//! Sharing out parts of several classes among needs that each want an amount.

use super::limits::Work;
use super::mixed::{Row, Verdict};
use super::programme::{Need, Programme};

/// Needs that share parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sharing {
    /// For each need how much it wants, and what one of each class gives to it; 0 where the class does not serve.
    wants: Vec<(i64, Vec<i64>)>,
}

impl Sharing {
    /// The needs, with parts in classes.
    pub(super) fn new(programme: &Programme, needs: &[usize], classes: &[Vec<usize>]) -> Self {
        let wants = needs
            .iter()
            .filter_map(|&need| {
                let Need::Amount { amount, gains } = &programme.needs[need] else { return None };
                let gain_of = |part: usize| gains.iter().find(|gain| gain.0 == part).map_or(0, |gain| gain.1);
                Some((*amount, classes.iter().map(|parts| parts.first().map_or(0, |&part| gain_of(part))).collect()))
            })
            .collect();
        Self::of(wants)
    }

    /// Needs by how much each wants, and what one of each class gives to it.
    pub(super) fn of(wants: Vec<(i64, Vec<i64>)>) -> Self {
        Self { wants }
    }

    /// Rows that right counts obey. For every set of needs that some class serves: what all classes give to the set is enough for
    /// it; and likewise in whole parts of each size that occurs.
    pub(super) fn rows(&self) -> Vec<Row> {
        let classes = self.wants.first().map_or(0, |want| want.1.len());
        let mut sets: Vec<Vec<usize>> = vec![(0..self.wants.len()).collect()];
        sets.extend((0..self.wants.len()).map(|want| vec![want]));
        for class in 0..classes {
            // The needs that only this class and others serving the same can meet are weighed together.
            sets.push((0..self.wants.len()).filter(|&want| self.wants[want].1[class] > 0).collect());
            sets.push((0..self.wants.len()).filter(|&want| self.wants[want].1[class] == 0).collect());
        }
        let mut sizes: Vec<i64> = self.wants.iter().flat_map(|want| want.1.iter().copied()).filter(|&gain| gain > 0).collect();
        sizes.sort_unstable();
        sizes.dedup();
        sizes.insert(0, 1);
        sizes.dedup();
        let mut rows: Vec<Row> = Vec::new();
        for set in sets.iter().filter(|set| !set.is_empty()) {
            for &size in &sizes {
                let whole = |amount: i64| (amount + size - 1) / size;
                let gain = |class: usize| set.iter().map(|&want| whole(self.wants[want].1[class])).max().unwrap_or(0);
                let due = set.iter().map(|&want| whole(self.wants[want].0)).sum();
                let row = Row { gains: (0..classes).map(gain).collect(), due };
                if !rows.contains(&row) {
                    rows.push(row);
                }
            }
        }
        rows
    }

    /// How many of each class alone would always be enough for all it serves.
    pub(super) fn most(&self) -> Vec<i64> {
        let classes = self.wants.first().map_or(0, |want| want.1.len());
        let enough = |class: usize| -> i64 {
            self.wants.iter().filter(|want| want.1[class] > 0).map(|want| (want.0 + want.1[class] - 1) / want.1[class]).sum()
        };
        (0..classes).map(enough).collect()
    }

    /// Whether the counts can be shared out.
    pub(super) fn verdict(&self, counts: &[i64], work: &mut Work) -> Verdict {
        if self.is_plain() {
            work.spend(self.wants.len() * counts.len());
            return if self.flow(counts).is_some() { Verdict::Fits } else { Verdict::Fails };
        }
        let mut search = Search { sharing: self, nodes: 20_000, uses: vec![vec![0; counts.len()]; self.wants.len()] };
        let found = search.want(0, &mut counts.to_vec(), work);
        match found {
            true => Verdict::Fits,
            false if search.nodes > 0 => Verdict::Fails,
            false => Verdict::Open,
        }
    }

    /// How many of each class go to each need; `None` if the counts are found not to do.
    pub(super) fn share(&self, counts: &[i64]) -> Option<Vec<Vec<i64>>> {
        if self.is_plain() {
            return self.flow(counts);
        }
        let mut search = Search { sharing: self, nodes: 200_000, uses: vec![vec![0; counts.len()]; self.wants.len()] };
        let mut work = Work::new(super::Limits::steps(u64::MAX));
        search.want(0, &mut counts.to_vec(), &mut work).then_some(search.uses)
    }

    /// Whether each part counts as one wherever it serves.
    fn is_plain(&self) -> bool {
        self.wants.iter().all(|want| want.1.iter().all(|&gain| gain <= 1))
    }

    /// Shares out parts that count as one each: wants are served in turn, and where none is left, earlier ones change over to other
    /// classes along a path (augmenting paths of a bipartite flow).
    fn flow(&self, counts: &[i64]) -> Option<Vec<Vec<i64>>> {
        let mut left = counts.to_vec();
        let mut uses = vec![vec![0; counts.len()]; self.wants.len()];
        for want in 0..self.wants.len() {
            let mut missing = self.wants[want].0;
            while missing > 0 {
                let (path, amount) = self.path(want, missing, &left, &uses)?;
                for (step, &(taker, class)) in path.iter().enumerate() {
                    uses[taker][class] += amount;
                    match path.get(step + 1) {
                        Some(&(giver, _)) => uses[giver][class] -= amount,
                        None => left[class] -= amount,
                    }
                }
                missing -= amount;
            }
        }
        Some(uses)
    }

    /// A path from a want to a class with something left: who takes of which class, each from the next. With how much can move.
    fn path(&self, want: usize, missing: i64, left: &[i64], uses: &[Vec<i64>]) -> Option<(Vec<(usize, usize)>, i64)> {
        // For each class, who would take of it; for each want, from which class it would give.
        let mut taker = vec![None; left.len()];
        let mut gives = vec![None; self.wants.len()];
        let mut queue = std::collections::VecDeque::from([want]);
        while let Some(at) = queue.pop_front() {
            for class in 0..left.len() {
                if self.wants[at].1[class] == 0 || taker[class].is_some() {
                    continue;
                }
                taker[class] = Some(at);
                if left[class] > 0 {
                    return Some(trace(want, class, missing.min(left[class]), &taker, &gives, uses));
                }
                for other in 0..self.wants.len() {
                    if other != want && gives[other].is_none() && uses[other][class] > 0 {
                        gives[other] = Some(class);
                        queue.push_back(other);
                    }
                }
            }
        }
        None
    }
}

/// Follows a path back from the class with something left to the want it started at.
fn trace(
    want: usize,
    mut class: usize,
    mut amount: i64,
    taker: &[Option<usize>],
    gives: &[Option<usize>],
    uses: &[Vec<i64>],
) -> (Vec<(usize, usize)>, i64) {
    let mut path = Vec::new();
    while let Some(at) = taker[class] {
        path.push((at, class));
        if at == want {
            break;
        }
        let Some(from) = gives[at] else { break };
        amount = amount.min(uses[at][from]);
        class = from;
    }
    path.reverse();
    (path, amount)
}

/// A search for how to share out parts that give different amounts.
struct Search<'a> {
    sharing: &'a Sharing,
    nodes: u32,
    uses: Vec<Vec<i64>>,
}

impl Search<'_> {
    /// Serves the wants from `want` on.
    fn want(&mut self, want: usize, left: &mut Vec<i64>, work: &mut Work) -> bool {
        if want == self.sharing.wants.len() {
            return true;
        }
        let amount = self.sharing.wants[want].0;
        self.class(want, 0, amount, left, work)
    }

    /// Serves what is missing of a want by the classes from `class` on, with no part too many.
    fn class(&mut self, want: usize, class: usize, missing: i64, left: &mut Vec<i64>, work: &mut Work) -> bool {
        if missing <= 0 {
            return self.want(want + 1, left, work);
        }
        if class == left.len() || self.nodes == 0 || work.is_done() {
            return false;
        }
        self.nodes -= 1;
        work.spend(4 * (left.len() + 1));
        let gain = self.sharing.wants[want].1[class];
        let most = if gain == 0 { 0 } else { left[class].min((missing + gain - 1) / gain) };
        for n in (0..=most).rev() {
            self.uses[want][class] = n;
            left[class] -= n;
            if self.class(want, class + 1, missing - n * gain, left, work) {
                return true;
            }
            left[class] += n;
        }
        self.uses[want][class] = 0;
        false
    }
}
