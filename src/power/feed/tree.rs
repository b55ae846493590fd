//! The trees of a feed: currents up and voltages down, each in one pass.

use super::{Carried, Feed, FeedError, Node};

/// How a node hangs on the node before it.
struct Twig {
    node: usize,
    parent: usize,
    conductor: usize,
    /// Whether the conductor was given from parent to node.
    along: bool,
}

/// The two trees that grow from the terminals, and the conductors beyond them.
pub(super) struct Forest {
    /// Nodes in an order in which each comes after its parent; the terminals are not among them.
    twigs: Vec<Twig>,
    /// Places of conductors that are no part of a tree: each closes a loop.
    pub(super) chords: Vec<usize>,
}

impl Forest {
    /// Grows the trees breadth first.
    pub(super) fn grow(feed: &Feed) -> Result<Self, FeedError> {
        let mut touching = vec![Vec::new(); feed.nodes];
        for (place, conductor) in feed.conductors.iter().enumerate() {
            touching[conductor.from.0].push((place, conductor.to.0, true));
            touching[conductor.to.0].push((place, conductor.from.0, false));
        }
        let mut reached = vec![false; feed.nodes];
        let mut in_tree = vec![false; feed.conductors.len()];
        let mut order = vec![Feed::OUT.0, Feed::BACK.0];
        let mut twigs = Vec::with_capacity(feed.nodes);
        for &terminal in &order {
            reached[terminal] = true;
        }
        let mut next = 0;
        while let Some(&parent) = order.get(next) {
            next += 1;
            for &(conductor, node, along) in &touching[parent] {
                if !reached[node] {
                    reached[node] = true;
                    in_tree[conductor] = true;
                    order.push(node);
                    twigs.push(Twig { node, parent, conductor, along });
                }
            }
        }
        if let Some(node) = reached.iter().position(|reached| !reached) {
            return Err(FeedError::Unconnected(Node(node)));
        }
        let chords = (0..feed.conductors.len()).filter(|&place| !in_tree[place]).collect();
        Ok(Self { twigs, chords })
    }

    /// Potentials and currents in the trees when a current leaves the network at each node; chords carry nothing.
    pub(super) fn carry(&self, feed: &Feed, mut leaving: Vec<f64>, voltage: f64) -> Carried {
        let mut conductors = vec![0.0; feed.conductors.len()];
        for twig in self.twigs.iter().rev() {
            let current = leaving[twig.node];
            leaving[twig.parent] += current;
            conductors[twig.conductor] = if twig.along { current } else { -current };
        }
        let total = leaving[Feed::OUT.0];
        let mut nodes = vec![0.0; feed.nodes];
        nodes[Feed::OUT.0] = voltage;
        for twig in &self.twigs {
            nodes[twig.node] = nodes[twig.parent] - feed.conductors[twig.conductor].ohms * leaving[twig.node];
        }
        Carried { nodes, conductors, total }
    }
}
