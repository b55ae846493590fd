//! Shortest ways for wires: square to a board's edges on a board, over the joints between boards.

use std::collections::BTreeMap;
use std::sync::Arc;

use petgraph::algo::dijkstra;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;

use crate::id::{BoardId, JointId};
use crate::layout::{Layout, Spot};
use crate::quantity::Length;

/// The shortest way between two spots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    /// Its length, joint leads included.
    pub length: Length,
    /// The joints it crosses, in order.
    pub crosses: Arc<[JointId]>,
}

/// The graph of joint halves: two halves on one board are as far apart as a wire between them, the two halves of a joint as its lead
/// is long.
#[derive(Debug)]
pub struct Paths {
    graph: UnGraph<(JointId, Spot), Length>,
    halves: BTreeMap<BoardId, Vec<NodeIndex>>,
    known: Vec<Option<From>>,
}

/// All shortest ways from one half.
#[derive(Debug)]
struct From {
    cost: Vec<Option<Length>>,
    crosses: Vec<Arc<[JointId]>>,
}

impl Paths {
    /// The graph of a layout.
    pub fn new(layout: &Layout) -> Self {
        let mut graph = UnGraph::new_undirected();
        let mut halves: BTreeMap<BoardId, Vec<NodeIndex>> = BTreeMap::new();
        for (index, joint) in layout.joints.iter().enumerate() {
            let ends = [joint.from, joint.to].map(|spot| (spot, graph.add_node((JointId::at(index), spot))));
            graph.add_edge(ends[0].1, ends[1].1, joint.lead);
            for (spot, node) in ends {
                let others = halves.entry(spot.board).or_default();
                for &other in others.iter() {
                    let apart = across(spot, graph[other].1);
                    graph.add_edge(node, other, apart);
                }
                others.push(node);
            }
        }
        let known = graph.node_indices().map(|_| None).collect();
        Self { graph, halves, known }
    }

    /// The shortest way from one spot to another, or `None` where no joints connect their boards. Two spots of one board are joined on it.
    pub fn between(&mut self, from: Spot, to: Spot) -> Option<Path> {
        if from.board == to.board {
            return Some(Path { length: across(from, to), crosses: Arc::from([]) });
        }
        let mut best: Option<(Length, usize, NodeIndex, NodeIndex)> = None;
        for &out in self.halves.get(&from.board)? {
            let ways = self.known.get_mut(out.index())?.get_or_insert_with(|| ways_from(&self.graph, out));
            for &back in self.halves.get(&to.board)? {
                let Some(between) = ways.cost.get(back.index()).copied().flatten() else { continue };
                let length = across(from, self.graph[out].1) + between + across(self.graph[back].1, to);
                let crossed = ways.crosses.get(back.index()).map_or(0, |crosses| crosses.len());
                let way = (length, crossed, back, out);
                best = Some(best.map_or(way, |best| best.min(way)));
            }
        }
        let (length, _, back, out) = best?;
        let crosses = self.known.get(out.index())?.as_ref()?.crosses.get(back.index())?.clone();
        Some(Path { length, crosses })
    }
}

/// Dijkstra's algorithm from a half; the joints crossed are read back along exact costs.
fn ways_from(graph: &UnGraph<(JointId, Spot), Length>, source: NodeIndex) -> From {
    let costs = dijkstra(graph, source, None, |edge| *edge.weight());
    let cost: Vec<Option<Length>> = graph.node_indices().map(|node| costs.get(&node).copied()).collect();
    let mut order: Vec<NodeIndex> = graph.node_indices().filter(|node| costs.contains_key(node)).collect();
    order.sort_by_key(|node| (costs.get(node).copied(), *node));
    let mut reached: Vec<Option<Arc<[JointId]>>> = vec![None; cost.len()];
    if let Some(start) = reached.get_mut(source.index()) {
        *start = Some(Arc::from([]));
    }
    // Ways of no length may need more than one pass; each pass reaches at least one more half or is the last.
    loop {
        let mut changed = false;
        for &node in &order {
            if reached.get(node.index()).is_some_and(Option::is_some) {
                continue;
            }
            let before = graph
                .edges(node)
                .filter_map(|edge| {
                    let other = if edge.source() == node { edge.target() } else { edge.source() };
                    let crossed = reached.get(other.index())?.as_ref()?;
                    (Some(*costs.get(&other)? + *edge.weight()) == costs.get(&node).copied()).then_some((crossed.len(), other))
                })
                .min();
            let Some((_, other)) = before else { continue };
            let Some(crossed) = reached.get(other.index()).cloned().flatten() else { continue };
            let way =
                if graph[other].0 == graph[node].0 { crossed.iter().copied().chain([graph[node].0]).collect() } else { crossed };
            if let Some(slot) = reached.get_mut(node.index()) {
                *slot = Some(way);
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    let crosses = reached.into_iter().map(|way| way.unwrap_or_else(|| Arc::from([]))).collect();
    From { cost, crosses }
}

/// The length of a wire laid square to the board's edges.
fn across(a: Spot, b: Spot) -> Length {
    a.at.x.abs_diff(b.at.x) + a.at.y.abs_diff(b.at.y)
}
