//! The planner's order and loops on graphs, held against `petgraph`.

use matchmark::reports::refit::{Graph, Knots, Sequence, components, knots, sequence};
use petgraph::algo::{dijkstra, is_cyclic_directed, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use proptest::collection::vec;
use proptest::prelude::*;

/// Loops and order, the nodes ranked by their numbers; all that are in no loop
/// go back.
fn solve(graph: &Graph, returns: &[bool]) -> (Knots, Sequence) {
    let knots = knots(graph, returns);
    let untangled = knots.untangled(graph);
    let parts = components(&untangled);
    let ranked: Vec<usize> = (0..graph.count())
        .filter(|node| returns[*node] && !knots.caught[*node] && !knots.snared[*node])
        .collect();
    let sequence = sequence(&untangled, &parts, &ranked);
    (knots, sequence)
}

fn theirs(count: usize, edges: &[(usize, usize)]) -> DiGraph<(), ()> {
    let mut graph = DiGraph::new();
    for _ in 0..count {
        graph.add_node(());
    }
    for (first, then) in edges {
        graph.add_edge(NodeIndex::new(*first), NodeIndex::new(*then), ());
    }
    graph
}

/// The graph among nodes that go back, the others contracted: an edge where one
/// leads to another with none that goes back in between.
fn contracted(graph: &Graph, returns: &[bool]) -> DiGraph<(), ()> {
    let mut edges = Vec::new();
    for start in (0..graph.count()).filter(|node| returns[*node]) {
        let mut seen = vec![false; graph.count()];
        let mut open = vec![start];
        while let Some(node) = open.pop() {
            for edge in graph.leaving(node) {
                let (_, then) = graph.edges()[*edge];
                if std::mem::replace(&mut seen[then], true) {
                    continue;
                }
                if !returns[then] {
                    open.push(then);
                } else if then != start {
                    edges.push((start, then));
                }
            }
        }
    }
    theirs(graph.count(), &edges)
}

/// The length of the shortest way round on which two of these nodes lie, by
/// another search: there and back between any two of them.
fn shortest_round(graph: &Graph, nodes: &[usize]) -> usize {
    let whole = theirs(graph.count(), graph.edges());
    let far: Vec<_> = nodes
        .iter()
        .map(|node| dijkstra(&whole, NodeIndex::new(*node), None, |_| 1_usize))
        .collect();
    let way = |from: usize, to: usize| far[from].get(&NodeIndex::new(nodes[to])).copied();
    (0..nodes.len())
        .flat_map(|one| (0..one).map(move |other| (one, other)))
        .filter_map(|(one, other)| Some(way(one, other)? + way(other, one)?))
        .min()
        .expect("two nodes of a knot")
}

/// The first loop that is named of each knot is the shortest there is.
fn first_loops_are_shortest(graph: &Graph, returns: &[bool]) -> Result<(), TestCaseError> {
    let (knots, _) = solve(graph, returns);
    let contracted = contracted(graph, returns);
    for part in tarjan_scc(&contracted)
        .into_iter()
        .filter(|part| part.len() > 1)
    {
        let tangle: Vec<usize> = part.into_iter().map(NodeIndex::index).collect();
        let of_it = |found: &&Vec<usize>| {
            let mut nodes = found.iter().map(|edge| graph.edges()[*edge].0);
            nodes.any(|node| tangle.contains(&node))
        };
        let first = knots.loops.iter().find(of_it).map(Vec::len);
        prop_assert_eq!(first, Some(shortest_round(graph, &tangle)), "{:?}", tangle);
    }
    Ok(())
}

/// What must hold for any graph.
fn check(graph: &Graph, returns: &[bool]) -> Result<(), TestCaseError> {
    let (knots, sequence) = solve(graph, returns);
    let theirs = contracted(graph, returns);
    let tangles: Vec<Vec<usize>> = tarjan_scc(&theirs)
        .into_iter()
        .filter(|part| part.len() > 1)
        .map(|part| part.into_iter().map(NodeIndex::index).collect())
        .collect();
    // Each knot of theirs has a loop of ours, each loop of ours is in one knot.
    let nodes = |found: &Vec<usize>| -> Vec<usize> {
        found.iter().map(|edge| graph.edges()[*edge].0).collect()
    };
    for tangle in &tangles {
        prop_assert!(
            knots
                .loops
                .iter()
                .any(|found| nodes(found).iter().any(|node| tangle.contains(node))),
            "no loop is named for {tangle:?}"
        );
    }
    for found in &knots.loops {
        let ends = found.iter().zip(found.iter().cycle().skip(1));
        for (edge, next) in ends {
            prop_assert_eq!(graph.edges()[*edge].1, graph.edges()[*next].0);
        }
        let on_it: Vec<usize> = nodes(found)
            .into_iter()
            .filter(|node| returns[*node])
            .collect();
        prop_assert!(on_it.len() > 1);
        prop_assert!(
            tangles
                .iter()
                .any(|tangle| on_it.iter().all(|node| tangle.contains(node)))
        );
    }
    prop_assert_eq!(knots.loops.is_empty(), !is_cyclic_directed(&theirs));
    // Every node that goes back is in one place.
    let mut place = vec![None; graph.count()];
    for (at, node) in sequence.nodes.iter().enumerate() {
        prop_assert!(place[*node].replace(at).is_none());
        prop_assert!(returns[*node] && !knots.caught[*node] && !knots.snared[*node]);
    }
    for node in (0..graph.count()).filter(|node| returns[*node]) {
        prop_assert!(place[node].is_some() || knots.caught[node] || knots.snared[node]);
    }
    // And behind what leads to it, unless both were in one knot.
    let of = {
        let mut of = vec![usize::MAX; graph.count()];
        for (number, tangle) in tangles.iter().enumerate() {
            for node in tangle {
                of[*node] = number;
            }
        }
        of
    };
    for edge in theirs.edge_indices() {
        let (first, then) = theirs.edge_endpoints(edge).expect("ends");
        let (first, then) = (first.index(), then.index());
        let in_one_knot = of[first] != usize::MAX && of[first] == of[then];
        if let (Some(at), Some(behind), false) = (place[first], place[then], in_one_knot) {
            prop_assert!(at < behind, "{first} is not before {then}");
        }
    }
    // Inside a knot, what a record says of two that are in no loop still holds.
    for (first, then) in graph.edges() {
        if let (Some(at), Some(behind)) = (place[*first], place[*then]) {
            prop_assert!(first == then || at < behind, "{first} is not before {then}");
        }
    }
    Ok(())
}

/// A graph without loops: each edge from the lower to the higher, numbers
/// shuffled by a step that meets all of them.
fn no_loops(count: usize, edges: &[(usize, usize)]) -> Vec<(usize, usize)> {
    let shuffled = |node: usize| (node * 7919) % count;
    edges
        .iter()
        .map(|(a, b)| (a % count, b % count))
        .filter(|(a, b)| a != b)
        .map(|(a, b)| (shuffled(a.min(b)), shuffled(a.max(b))))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn small_graphs_in_every_shape(
        count in 1_usize..14,
        edges in vec((0_usize..14, 0_usize..14), 0..40),
        returns in vec(any::<bool>(), 14),
    ) {
        let edges = edges.iter().map(|(a, b)| (a % count, b % count)).collect();
        let graph = Graph::new(count, edges);
        check(&graph, &returns[..count])?;
        first_loops_are_shortest(&graph, &returns[..count])?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Up to 5,000 nodes and 50,000 edges, with loops and without.
    #[test]
    fn large_graphs(
        count in prop_oneof![Just(5_003_usize), 50_usize..5_003],
        edges in prop_oneof![vec((any::<u32>(), any::<u32>()), 50_000), vec((any::<u32>(), any::<u32>()), 0..8_000)],
        loops in any::<bool>(),
    ) {
        let edges: Vec<(usize, usize)> = edges.iter().map(|(a, b)| (*a as usize, *b as usize)).collect();
        let edges = if loops {
            edges.iter().map(|(a, b)| (a % count, b % count)).filter(|(a, b)| a != b).collect()
        } else {
            no_loops(count, &edges)
        };
        let graph = Graph::new(count, edges);
        let returns = vec![true; count];
        if !loops {
            prop_assert!(knots(&graph, &returns).loops.is_empty());
        }
        check(&graph, &returns)?;
    }
}

/// A chain as long as nobody's journal: nothing here may call itself.
#[test]
fn a_long_chain_and_a_long_loop() {
    let count = 200_000;
    let chain: Vec<(usize, usize)> = (1..count).rev().map(|node| (node - 1, node)).collect();
    let graph = Graph::new(count, chain.clone());
    let (knots, found) = solve(&graph, &vec![true; count]);
    assert!(knots.loops.is_empty());
    assert_eq!(found.nodes, (0..count).collect::<Vec<_>>());
    let ring = chain.into_iter().chain([(count - 1, 0)]).collect();
    let (knots, found) = solve(&Graph::new(count, ring), &vec![true; count]);
    assert_eq!(knots.loops.len(), 1);
    assert_eq!(knots.loops[0].len(), count);
    assert!(found.nodes.is_empty());
}

/// "Getting dressed", Cormen, Leiserson, Rivest, Stein, Introduction to
/// Algorithms, chapter on topological sort: 9 pieces of clothing, 9 edges, 1,728
/// valid orders (from memory, not opened; the count is made here).
#[test]
fn a_professor_gets_dressed() {
    let clothes = [
        "undershorts",
        "pants",
        "belt",
        "shirt",
        "tie",
        "jacket",
        "socks",
        "shoes",
        "watch",
    ];
    let edges = vec![
        (0, 1),
        (0, 7),
        (1, 7),
        (1, 2),
        (2, 5),
        (3, 2),
        (3, 4),
        (4, 5),
        (6, 7),
    ];
    assert_eq!((clothes.len(), edges.len()), (9, 9));
    assert_eq!(orders(&edges, 0), 1_728);
    let graph = Graph::new(9, edges.clone());
    let (knots, found) = solve(&graph, &[true; 9]);
    assert!(knots.loops.is_empty());
    assert_eq!(found.nodes.len(), 9);
    let at = |node: usize| found.nodes.iter().position(|other| *other == node);
    for (first, then) in edges {
        assert!(
            at(first) < at(then),
            "{} before {}",
            clothes[first],
            clothes[then]
        );
    }
}

/// How many orders of nine nodes respect these edges, `taken` being on already.
fn orders(edges: &[(usize, usize)], taken: u32) -> u32 {
    if taken == (1 << 9) - 1 {
        return 1;
    }
    (0..9)
        .filter(|node| taken & (1 << node) == 0)
        .filter(|node| {
            edges
                .iter()
                .all(|(first, then)| then != node || taken & (1 << first) != 0)
        })
        .map(|node| orders(edges, taken | (1 << node)))
        .sum()
}
