//! How much waits behind something: directly, and in all.
//!
//! Counted for many starts at once, 64 in a pass over the graph, so that a
//! journal in which everything needs something is counted as quickly.

use std::collections::BTreeSet;

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
    let mut marks = vec![0_u64; parts.count()];
    for (chunk, starts) in starts.chunks(64).enumerate() {
        marks.fill(0);
        for (bit, start) in starts.iter().enumerate() {
            for node in start.held.iter().chain([&start.node]) {
                marks[parts.of[*node]] |= 1 << bit;
            }
        }
        for part in &sequence.components {
            for node in parts.members(*part) {
                for edge in graph.entering(*node) {
                    marks[*part] |= marks[parts.of[graph.edges()[*edge].0]];
                }
            }
            let returning = parts.members(*part).iter().filter(|node| returns(**node));
            for node in returning {
                let mut bits = marks[*part];
                while bits != 0 {
                    let bit = bits.trailing_zeros() as usize;
                    bits &= bits - 1;
                    if starts[bit].node != *node {
                        counts[chunk * 64 + bit].all += 1;
                    }
                }
            }
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
