//! Where records contradict each other: loops, each whole and as short as it
//! can be, and what is left to be ordered without them.
//!
//! A loop through places that do not go back is none, unless two that do are on
//! it: what is on the vehicle is no longer in anyone's way.

use super::graph::{Components, Graph, components_by};

/// The loops of a graph.
#[derive(Clone, Debug)]
pub struct Knots {
    /// Each loop as its edges, head to tail.
    pub loops: Vec<Vec<usize>>,
    /// Nodes that are on one of the loops.
    pub caught: Vec<bool>,
    /// Nodes of a knot so tight that it was not taken apart to the end.
    pub snared: Vec<bool>,
    /// The edges that still order something: all but those inside a knot that
    /// touch what is caught or snared in it.
    alive: Vec<bool>,
    /// All nodes of each knot.
    bodies: Vec<Vec<usize>>,
}

impl Knots {
    /// The graph without its knots: the edges that still order something, and
    /// one node more for each knot, which keeps what is before the knot before
    /// what is after it.
    #[must_use]
    pub fn untangled(&self, graph: &Graph) -> Graph {
        let alive = graph.edges().iter().zip(&self.alive);
        let mut edges: Vec<(usize, usize)> = alive
            .filter(|(_, alive)| **alive)
            .map(|(edge, _)| *edge)
            .collect();
        let count = graph.count();
        let mut knot_of = vec![None; count];
        for (body, knot) in self.bodies.iter().zip(count..) {
            for node in body {
                knot_of[*node] = Some(knot);
            }
        }
        for (body, knot) in self.bodies.iter().zip(count..) {
            for node in body {
                let before = graph.entering(*node).iter();
                let before = before.map(|edge| graph.edges()[*edge].0);
                for node in before.filter(|node| knot_of[*node] != Some(knot)) {
                    edges.push((node, knot));
                    // One knot may lead into another.
                    edges.extend(knot_of[node].map(|other| (other, knot)));
                }
                let after = graph.leaving(*node).iter();
                let after = after.map(|edge| graph.edges()[*edge].1);
                let after = after.filter(|node| knot_of[*node] != Some(knot));
                edges.extend(after.map(|node| (knot, node)));
            }
        }
        Graph::new(count + self.bodies.len(), edges)
    }
}

/// How many loops of one knot are named before the rest of it has to wait until
/// a person has mended these.
const LOOPS_OF_A_KNOT: usize = 6;

/// How many edges are looked at, at most, for the shortest loop of a knot. A
/// loop that is found is whole in any case; only in a knot of thousands may it
/// not be the very shortest.
const LOOKS: usize = 2_000_000;

/// Finds the loops. `returns` says which nodes go back.
#[must_use]
pub fn knots(graph: &Graph, returns: &[bool]) -> Knots {
    let count = graph.count();
    let mut knots = Knots {
        loops: Vec::new(),
        caught: vec![false; count],
        snared: vec![false; count],
        alive: vec![true; graph.edges().len()],
        bodies: Vec::new(),
    };
    let mut steps = vec![[NOWHERE; 2]; count];
    for round in 0..=LOOPS_OF_A_KNOT {
        let parts = components_by(graph, &knots.alive);
        let mut any = false;
        for part in 0..parts.count() {
            let members = parts.members(part);
            let still = |node: &&usize| returns[**node] && !knots.caught[**node];
            if members.len() < 2 || members.iter().filter(still).count() < 2 {
                continue;
            }
            any = true;
            if round == 0 {
                knots.bodies.push(members.to_vec());
            }
            let search = LoopSearch {
                graph,
                alive: &knots.alive,
                parts: &parts,
                returns,
            };
            let found = (round < LOOPS_OF_A_KNOT)
                .then(|| search.shortest(members, &mut steps))
                .flatten();
            match found {
                Some(found) => {
                    for edge in &found {
                        let (first, _) = graph.edges()[*edge];
                        knots.caught[first] |= returns[first];
                    }
                    knots.loops.push(found);
                }
                None => {
                    for node in members {
                        knots.snared[*node] = returns[*node];
                    }
                }
            }
            for node in members {
                for edge in graph.leaving(*node) {
                    let (first, then) = graph.edges()[*edge];
                    let stuck = |node: usize| knots.caught[node] || knots.snared[node];
                    if parts.of[then] == part && (stuck(first) || stuck(then)) {
                        knots.alive[*edge] = false;
                    }
                }
            }
        }
        if !any {
            break;
        }
    }
    knots
}

/// Looking for a loop inside one component.
struct LoopSearch<'g> {
    graph: &'g Graph,
    alive: &'g [bool],
    parts: &'g Components,
    returns: &'g [bool],
}

/// How a walk came to a node, once before and once after it met another node
/// that goes back.
#[derive(Clone, Copy)]
struct WalkStep {
    /// Where the walk began.
    walk: usize,
    /// The node before, and whether another had been met there.
    before: (usize, usize),
    /// The edge from there.
    edge: usize,
}

const NOWHERE: WalkStep = WalkStep {
    walk: usize::MAX,
    before: (usize::MAX, 0),
    edge: usize::MAX,
};

impl LoopSearch<'_> {
    /// The shortest loop among `members` on which two nodes go back.
    fn shortest(&self, members: &[usize], steps: &mut [[WalkStep; 2]]) -> Option<Vec<usize>> {
        let mut best: Option<Vec<usize>> = None;
        let mut looks = 0;
        for start in members.iter().filter(|node| self.returns[**node]) {
            let most = best.as_ref().map_or(usize::MAX, Vec::len);
            if looks > LOOKS || most == 2 {
                break;
            }
            if let Some(found) = self.back_to(*start, most, steps, &mut looks) {
                best = Some(found);
            }
        }
        for node in members {
            steps[*node] = [NOWHERE; 2];
        }
        best
    }

    /// The shortest walk from a node back to itself past another one that goes
    /// back, if it takes fewer than `most` edges.
    fn back_to(
        &self,
        start: usize,
        most: usize,
        steps: &mut [[WalkStep; 2]],
        looks: &mut usize,
    ) -> Option<Vec<usize>> {
        let part = self.parts.of[start];
        let mut wave = vec![(start, 0)];
        for _ in 1..most {
            let mut next = Vec::new();
            for before in wave {
                let (node, met) = before;
                for edge in self.graph.leaving(node) {
                    *looks += 1;
                    let (_, then) = self.graph.edges()[*edge];
                    if !self.alive[*edge] || self.parts.of[then] != part {
                        continue;
                    }
                    if then == start {
                        if met == 1 {
                            return Some(whole(start, before, *edge, steps));
                        }
                        continue;
                    }
                    let met = if self.returns[then] { 1 } else { met };
                    if steps[then][met].walk != start {
                        steps[then][met] = WalkStep {
                            walk: start,
                            before,
                            edge: *edge,
                        };
                        next.push((then, met));
                    }
                }
            }
            wave = next;
        }
        None
    }
}

/// The edges of a walk from `start` to `end` and over the last edge home.
fn whole(start: usize, end: (usize, usize), last: usize, steps: &[[WalkStep; 2]]) -> Vec<usize> {
    let mut edges = vec![last];
    let mut at = end;
    while at.0 != start {
        let step = steps[at.0][at.1];
        edges.push(step.edge);
        at = step.before;
    }
    edges.reverse();
    edges
}
