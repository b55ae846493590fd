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

/// Halves of joints, and how far apart they are.
type Graph = UnGraph<(JointId, Spot), Length>;

/// The graph of joint halves: two halves on one board are as far apart as a wire between them, the two halves of a joint as its lead
/// is long.
#[derive(Debug)]
pub struct Paths {
    graph: Graph,
    halves: BTreeMap<BoardId, Vec<NodeIndex>>,
    known: Vec<Option<From>>,
}

/// All shortest ways from one half, by the half they lead to.
#[derive(Debug)]
struct From {
    cost: Vec<Option<Length>>,
    /// How many joints are crossed.
    crossed: Vec<usize>,
    /// The half before.
    before: Vec<Option<NodeIndex>>,
    /// The joints crossed, as far as they were asked for.
    crosses: BTreeMap<NodeIndex, Arc<[JointId]>>,
}

impl Paths {
    /// The graph of a layout.
    pub fn new(layout: &Layout) -> Self {
        let mut graph = Graph::new_undirected();
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
        let Self { graph, halves, known } = self;
        let mut best: Option<(Length, usize, NodeIndex, NodeIndex)> = None;
        for &out in halves.get(&from.board)? {
            let ways = known.get_mut(out.index())?.get_or_insert_with(|| From::new(graph, out));
            for &back in halves.get(&to.board)? {
                let Some(between) = ways.cost.get(back.index()).copied().flatten() else { continue };
                let length = across(from, graph[out].1) + between + across(graph[back].1, to);
                let crossed = ways.crossed.get(back.index()).copied().unwrap_or(0);
                let way = (length, crossed, back, out);
                best = Some(best.map_or(way, |best| best.min(way)));
            }
        }
        let (length, _, back, out) = best?;
        let crosses = known.get_mut(out.index())?.as_mut()?.crosses_to(graph, back);
        Some(Path { length, crosses })
    }
}

impl From {
    /// Dijkstra's algorithm from a half; the halves before are read back along exact costs.
    fn new(graph: &Graph, source: NodeIndex) -> Self {
        let costs = dijkstra(graph, source, None, |edge| *edge.weight());
        let cost: Vec<Option<Length>> = graph.node_indices().map(|node| costs.get(&node).copied()).collect();
        let cost_of = |node: NodeIndex| cost.get(node.index()).copied().flatten();
        let mut waiting: Vec<NodeIndex> =
            graph.node_indices().filter(|&node| node != source && cost_of(node).is_some()).collect();
        waiting.sort_by_key(|&node| (cost_of(node), node));
        let mut crossed: Vec<Option<usize>> = vec![None; cost.len()];
        let mut before: Vec<Option<NodeIndex>> = vec![None; cost.len()];
        if let Some(start) = crossed.get_mut(source.index()) {
            *start = Some(0);
        }
        // Ways of no length may need more than one pass; each pass reaches at least one more half or is the last.
        loop {
            let left = waiting.len();
            waiting.retain(|&node| {
                let reached = graph.edges(node).filter_map(|edge| {
                    let other = if edge.source() == node { edge.target() } else { edge.source() };
                    let so_far = crossed.get(other.index()).copied().flatten()?;
                    let so_far = so_far + usize::from(graph[other].0 == graph[node].0);
                    (Some(cost_of(other)? + *edge.weight()) == cost_of(node)).then_some((so_far, other))
                });
                let Some((so_far, other)) = reached.min() else { return true };
                if let (Some(crossed), Some(before)) = (crossed.get_mut(node.index()), before.get_mut(node.index())) {
                    *crossed = Some(so_far);
                    *before = Some(other);
                }
                false
            });
            if waiting.len() == left {
                break;
            }
        }
        let crossed = crossed.into_iter().map(|crossed| crossed.unwrap_or(0)).collect();
        Self { cost, crossed, before, crosses: BTreeMap::new() }
    }

    /// The joints crossed on the way to a half, in order.
    fn crosses_to(&mut self, graph: &Graph, half: NodeIndex) -> Arc<[JointId]> {
        if let Some(known) = self.crosses.get(&half) {
            return known.clone();
        }
        let mut crosses = Vec::new();
        let mut at = half;
        while let Some(before) = self.before.get(at.index()).copied().flatten() {
            if graph[before].0 == graph[at].0 {
                crosses.push(graph[at].0);
            }
            at = before;
        }
        crosses.reverse();
        let crosses: Arc<[JointId]> = crosses.into();
        self.crosses.insert(half, crosses.clone());
        crosses
    }
}

/// The length of a wire laid square to the board's edges.
fn across(a: Spot, b: Spot) -> Length {
    a.at.x.abs_diff(b.at.x) + a.at.y.abs_diff(b.at.y)
}
