//! What must go back before what, as numbers: nodes, edges, and which nodes
//! hang together in a circle.
//!
//! It does not know what a node or an edge stands for.

/// Nodes `0..count` and edges between them, each `(first, then)`.
#[derive(Clone, Debug, Default)]
pub struct Graph {
    edges: Vec<(usize, usize)>,
    leaving: Lists,
    entering: Lists,
}

/// A list of edges for each node, in one piece.
#[derive(Clone, Debug, Default)]
struct Lists {
    starts: Vec<usize>,
    edges: Vec<usize>,
}

impl Lists {
    fn new(count: usize, node_of: impl Iterator<Item = usize> + Clone) -> Lists {
        let mut starts = vec![0; count + 1];
        for node in node_of.clone() {
            starts[node + 1] += 1;
        }
        for node in 0..count {
            starts[node + 1] += starts[node];
        }
        let mut next = starts.clone();
        let mut edges = vec![0; starts[count]];
        for (edge, node) in node_of.enumerate() {
            edges[next[node]] = edge;
            next[node] += 1;
        }
        Lists { starts, edges }
    }

    fn of(&self, node: usize) -> &[usize] {
        &self.edges[self.starts[node]..self.starts[node + 1]]
    }
}

impl Graph {
    /// A graph of `count` nodes. Edges name nodes below `count`.
    #[must_use]
    pub fn new(count: usize, edges: Vec<(usize, usize)>) -> Graph {
        Graph {
            leaving: Lists::new(count, edges.iter().map(|(first, _)| *first)),
            entering: Lists::new(count, edges.iter().map(|(_, then)| *then)),
            edges,
        }
    }

    /// How many nodes there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.leaving.starts.len().saturating_sub(1)
    }

    /// All edges, by number.
    #[must_use]
    pub fn edges(&self) -> &[(usize, usize)] {
        &self.edges
    }

    /// The edges to what comes after a node.
    #[must_use]
    pub fn leaving(&self, node: usize) -> &[usize] {
        self.leaving.of(node)
    }

    /// The edges from what comes before a node.
    #[must_use]
    pub fn entering(&self, node: usize) -> &[usize] {
        self.entering.of(node)
    }
}

/// Which nodes hang together: those of one component reach each other.
#[derive(Clone, Debug)]
pub struct Components {
    /// The component of each node.
    pub of: Vec<usize>,
    members: Lists,
}

impl Components {
    /// How many components there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.members.starts.len() - 1
    }

    /// The nodes of a component, in their order.
    #[must_use]
    pub fn members(&self, component: usize) -> &[usize] {
        self.members.of(component)
    }
}

/// The strongly connected components, those that come last first.
#[must_use]
pub fn components(graph: &Graph) -> Components {
    components_by(graph, &vec![true; graph.edges().len()])
}

/// The same by those edges only that are `alive` (Tarjan 1972), without
/// recursion: a chain may be as long as the journal.
pub(super) fn components_by(graph: &Graph, alive: &[bool]) -> Components {
    const UNSEEN: usize = usize::MAX;
    let count = graph.count();
    let mut seen = vec![UNSEEN; count];
    let mut low = vec![0; count];
    let mut of = vec![UNSEEN; count];
    let mut open = Vec::new();
    let mut path: Vec<(usize, usize)> = Vec::new();
    let mut clock = 0;
    let mut found = 0;
    for start in 0..count {
        if seen[start] != UNSEEN {
            continue;
        }
        path.push((start, 0));
        while let Some((node, at)) = path.last_mut() {
            let node = *node;
            if *at == 0 {
                seen[node] = clock;
                low[node] = clock;
                clock += 1;
                open.push(node);
            }
            let next = graph.leaving(node)[*at..]
                .iter()
                .position(|edge| alive[*edge])
                .map(|skipped| *at + skipped);
            if let Some(next) = next {
                *at = next + 1;
                let (_, then) = graph.edges[graph.leaving(node)[next]];
                if seen[then] == UNSEEN {
                    path.push((then, 0));
                } else if of[then] == UNSEEN {
                    low[node] = low[node].min(seen[then]);
                }
                continue;
            }
            path.pop();
            if let Some((before, _)) = path.last() {
                low[*before] = low[*before].min(low[node]);
            }
            if low[node] == seen[node] {
                while let Some(member) = open.pop() {
                    of[member] = found;
                    if member == node {
                        break;
                    }
                }
                found += 1;
            }
        }
    }
    let members = Lists::new(found, of.iter().copied());
    Components { of, members }
}
