//! The order in which nodes go back, where records say something and where
//! they do not.
//!
//! The rank of each is given (`by_rank` in `mod.rs`): what ranks first goes first, and brings forward what it needs. A node that
//! does not go back keeps what is before it before what is after it.

use super::graph::{Components, Graph};

/// An order of everything.
#[derive(Clone, Debug)]
pub struct Sequence {
    /// The nodes that are ranked, in their order.
    pub nodes: Vec<usize>,
    /// All components, each behind what is before it.
    pub components: Vec<usize>,
}

/// Puts nodes in order: those of `ranked` as they stand there, each brought
/// forward as far as another needs it. `parts` are the components of the graph;
/// none holds two ranked nodes.
#[must_use]
pub fn sequence(graph: &Graph, parts: &Components, ranked: &[usize]) -> Sequence {
    let mut rank = vec![usize::MAX; parts.count()];
    let mut node_of = vec![None; parts.count()];
    for (place, node) in ranked.iter().enumerate() {
        rank[parts.of[*node]] = place;
        node_of[parts.of[*node]] = Some(*node);
    }
    let mut seen = vec![false; parts.count()];
    let mut order = Vec::with_capacity(parts.count());
    let starts = ranked.iter().map(|node| parts.of[*node]);
    for start in starts.chain((0..parts.count()).rev()) {
        if seen[start] {
            continue;
        }
        seen[start] = true;
        let mut path = vec![(start, before(graph, parts, &rank, start))];
        while let Some((part, waiting)) = path.last_mut() {
            if let Some(next) = waiting.pop() {
                if !seen[next] {
                    seen[next] = true;
                    path.push((next, before(graph, parts, &rank, next)));
                }
            } else {
                order.push(*part);
                path.pop();
            }
        }
    }
    Sequence {
        nodes: order.iter().filter_map(|part| node_of[*part]).collect(),
        components: order,
    }
}

/// The components right before one, the first in rank last.
fn before(graph: &Graph, parts: &Components, rank: &[usize], part: usize) -> Vec<usize> {
    let mut found: Vec<usize> = parts
        .members(part)
        .iter()
        .flat_map(|node| graph.entering(*node))
        .map(|edge| parts.of[graph.edges()[*edge].0])
        .filter(|other| *other != part)
        .collect();
    found.sort_by_key(|other| std::cmp::Reverse((rank[*other], *other)));
    found.dedup();
    found
}
