//! How much waits behind something: directly, and in all.
//!
//! Counted for many starts at once, 64 in a pass over the graph, so that a
//! journal in which everything needs something is counted as quickly.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use super::graph::{Components, Graph};
use super::sequence::Sequence;

/// How many nodes that go back wait behind a start, the start itself not
/// counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Waiting {
    /// Nothing that goes back stands between.
    pub direct: usize,
    /// Directly or behind others.
    pub all: usize,
}

/// What is counted behind: a node, and nodes that it holds up besides.
#[derive(Clone, Debug, Default)]
pub struct Start {
    /// The node itself.
    pub node: usize,
    /// What else cannot go on before it is done.
    pub held: Vec<usize>,
}

/// Counts behind each start.
#[must_use]
pub fn waiting(
    graph: &Graph,
    parts: &Components,
    sequence: &Sequence,
    returns: &dyn Fn(usize) -> bool,
    starts: &[Start],
) -> Vec<Waiting> {
    let mut counts: Vec<Waiting> = starts
        .iter()
        .map(|start| Waiting {
            direct: direct(graph, returns, start),
            all: 0,
        })
        .collect();
    let mut position = vec![0; parts.count()];
    for (at, part) in sequence.components.iter().enumerate() {
        position[*part] = at;
    }
    // Neighbours have much the same behind them: they are counted together.
    let mut order: Vec<usize> = (0..starts.len()).collect();
    order.sort_by_key(|start| position[parts.of[starts[*start].node]]);
    let mut marks = vec![0_u64; parts.count()];
    for chunk in order.chunks(64) {
        // Walked in the order of everything, so that a part is met when all that
        // is before it has been.
        let mut open = BinaryHeap::new();
        let mut mark = |part: usize, bits: u64, open: &mut BinaryHeap<Reverse<usize>>| {
            if marks[part] == 0 {
                open.push(Reverse(position[part]));
            }
            marks[part] |= bits;
            marks[part]
        };
        for (bit, start) in chunk.iter().enumerate() {
            let start = &starts[*start];
            for node in start.held.iter().chain([&start.node]) {
                mark(parts.of[*node], 1 << bit, &mut open);
            }
        }
        let mut met = Vec::new();
        while let Some(Reverse(at)) = open.pop() {
            let part = sequence.components[at];
            let bits = mark(part, 0, &mut open);
            met.push(part);
            for node in parts.members(part) {
                for edge in graph.leaving(*node) {
                    let then = parts.of[graph.edges()[*edge].1];
                    if then != part {
                        mark(then, bits, &mut open);
                    }
                }
                let mut left = if returns(*node) { bits } else { 0 };
                while left != 0 {
                    let start = chunk[left.trailing_zeros() as usize];
                    left &= left - 1;
                    counts[start].all += usize::from(starts[start].node != *node);
                }
            }
        }
        for part in met {
            marks[part] = 0;
        }
    }
    counts
}

/// How many wait with nothing that goes back in between.
fn direct(graph: &Graph, returns: &dyn Fn(usize) -> bool, start: &Start) -> usize {
    let mut found: Vec<usize> = start.held.clone();
    let next = |node: usize| {
        graph
            .leaving(node)
            .iter()
            .map(|edge| graph.edges()[*edge].1)
    };
    let mut passed = BTreeSet::new();
    let mut open: Vec<usize> = next(start.node).collect();
    while let Some(node) = open.pop() {
        if returns(node) {
            found.push(node);
        } else if passed.insert(node) {
            open.extend(next(node));
        }
    }
    found.retain(|node| *node != start.node);
    found.sort_unstable();
    found.dedup();
    found.len()
}
