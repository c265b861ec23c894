//! petgraph's answers held against published graphs and against networkx on random digraphs.
//!
//! What the program leans on petgraph for: strongly connected components, topological order, dominators, each by the function
//! that the program calls.
//! Each check names its source and says how the expected answer was come by: read (in a public repository that quotes the
//! source), computed (with networkx, its version in `fixtures/graphs.json`, the script beside it), or from memory.
//! It does not call the program itself.

use petgraph::algo::dominators::simple_fast;
use petgraph::algo::{kosaraju_scc, toposort};
use petgraph::graph::{DiGraph, NodeIndex};
use serde_json::Value;
use std::collections::BTreeMap;

/// The fixture that `fixtures/graphs.py` writes.
fn fixture() -> Value {
    serde_json::from_str(include_str!("fixtures/graphs.json")).expect("a fixture")
}

/// Immediate dominators by name, the start left out, of edges written as pairs of letters.
fn dominators(start: char, edges: &str) -> BTreeMap<char, char> {
    let mut graph = DiGraph::<char, ()>::new();
    let mut nodes = BTreeMap::new();
    for edge in edges.split_whitespace() {
        let ends: Vec<NodeIndex> = edge
            .chars()
            .map(|name| *nodes.entry(name).or_insert_with(|| graph.add_node(name)))
            .collect();
        graph.add_edge(ends[0], ends[1], ());
    }
    let found = simple_fast(&graph, nodes[&start]);
    let of = |node: &NodeIndex| found.immediate_dominator(*node).map(|by| graph[by]);
    nodes
        .iter()
        .filter_map(|(name, node)| Some((*name, of(node)?)))
        .collect()
}

/// `"ar br"`: the immediate dominator of a is r, that of b is r.
fn pairs(text: &str) -> BTreeMap<char, char> {
    let pair = |text: &str| {
        (
            text.chars().next().expect("a node"),
            text.chars().nth(1).expect("its dominator"),
        )
    };
    text.split_whitespace().map(pair).collect()
}

/// The published graphs: name in the fixture, start, edges, immediate dominators.
const PUBLISHED: [(&str, char, &str, &str); 4] = [
    // T. Lengauer, R. E. Tarjan, "A fast algorithm for finding dominators in a flowgraph", ACM TOPLAS 1(1), 121-141, 1979,
    // figures 1 and 2. Read in a public test suite that quotes it; computed with networkx, equal.
    (
        "lengauer-tarjan-1",
        'r',
        "ra rb rc ad ba bd be cf cg dl eh fi gi gj he hk ik ji kr ki lh",
        "ar br cr dr er hr ir kr fc gc jg ld",
    ),
    // The Boost Graph Library's example of a dominator tree. Read in networkx's tests; computed, equal.
    (
        "boost",
        '0',
        "01 12 13 27 34 45 46 57 64",
        "10 21 31 43 54 64 71",
    ),
    // K. D. Cooper, T. J. Harvey, K. Kennedy, "A simple, fast dominance algorithm", 2006, figure 2. Read in networkx's
    // tests; computed, equal.
    (
        "cooper-harvey-kennedy-2",
        '5',
        "12 21 32 41 53 54",
        "15 25 35 45",
    ),
    // The same, figure 4.
    (
        "cooper-harvey-kennedy-4",
        '6',
        "12 21 23 32 42 43 51 64 65",
        "16 26 36 46 56",
    ),
];

#[test]
fn dominators_are_those_of_the_published_figures() {
    for (name, start, edges, expected) in PUBLISHED {
        assert_eq!(dominators(start, edges), pairs(expected), "{name}");
    }
}

#[test]
fn the_published_figures_read_and_computed_are_the_same() {
    let fixture = fixture();
    for (name, start, edges, expected) in PUBLISHED {
        let case = &fixture["published"][name];
        assert_eq!(case["start"], start.to_string(), "{name}");
        let computed: String = case["edges"]
            .as_array()
            .expect("edges")
            .iter()
            .map(|edge| format!("{}{} ", text(&edge[0]), text(&edge[1])))
            .collect();
        assert_eq!(computed.trim_end(), edges, "{name}");
        let computed = case["dominators"].as_object().expect("dominators").iter();
        let computed: String = computed
            .map(|(node, by)| format!("{node}{} ", text(by)))
            .collect();
        assert_eq!(pairs(&computed), pairs(expected), "{name}");
    }
}

fn text(value: &Value) -> &str {
    value.as_str().expect("a name")
}

#[test]
fn post_dominators_are_those_of_the_boost_example_turned_round() {
    // Read in networkx's tests: dominators from node 7 with every edge of the Boost example reversed.
    assert_eq!(
        dominators('7', "10 21 31 72 43 54 64 75 46"),
        pairs("01 17 27 34 45 57 64")
    );
}

/// A random case of the fixture as a graph.
fn graph(case: &Value) -> DiGraph<(), ()> {
    let mut graph = DiGraph::new();
    let nodes: Vec<NodeIndex> = (0..index(&case["nodes"]))
        .map(|_| graph.add_node(()))
        .collect();
    for edge in case["edges"].as_array().expect("edges") {
        graph.add_edge(nodes[index(&edge[0])], nodes[index(&edge[1])], ());
    }
    graph
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a node")).expect("a small number")
}

/// Components as sorted lists, sorted.
fn sorted(components: Vec<Vec<NodeIndex>>) -> Vec<Vec<usize>> {
    let mut lists: Vec<Vec<usize>> = components
        .iter()
        .map(|list| list.iter().map(|node| node.index()).collect())
        .collect();
    lists.iter_mut().for_each(|list| list.sort_unstable());
    lists.sort();
    lists
}

#[test]
fn components_of_random_digraphs_are_those_of_networkx() {
    // Computed with networkx.strongly_connected_components.
    for case in fixture()["random"].as_array().expect("cases") {
        let graph = graph(case);
        let lists = case["components"].as_array().expect("components").iter();
        let expected: Vec<Vec<usize>> = lists
            .map(|list| list.as_array().expect("a list").iter().map(index).collect())
            .collect();
        assert_eq!(sorted(kosaraju_scc(&graph)), expected);
    }
}

#[test]
fn components_come_in_reverse_topological_order() {
    // petgraph's documentation promises it: no edge leads from an earlier component to a later one.
    for case in fixture()["random"].as_array().expect("cases") {
        let graph = graph(case);
        let components = kosaraju_scc(&graph);
        let mut place = vec![0; graph.node_count()];
        for (at, component) in components.iter().enumerate() {
            component.iter().for_each(|node| place[node.index()] = at);
        }
        assert!(
            graph
                .raw_edges()
                .iter()
                .all(|edge| place[edge.source().index()] >= place[edge.target().index()])
        );
    }
}

#[test]
fn a_topological_order_is_found_where_networkx_finds_one() {
    // Whether there is one, computed with networkx.is_directed_acyclic_graph; the order itself is not unique, so checked.
    for case in fixture()["random"].as_array().expect("cases") {
        let graph = graph(case);
        let acyclic = case["acyclic"].as_bool().expect("a bool");
        match toposort(&graph, None) {
            Ok(order) => {
                assert!(acyclic);
                let mut place = vec![0; graph.node_count()];
                order
                    .iter()
                    .enumerate()
                    .for_each(|(at, node)| place[node.index()] = at);
                assert!(
                    graph
                        .raw_edges()
                        .iter()
                        .all(|edge| place[edge.source().index()] < place[edge.target().index()])
                );
            }
            Err(_) => assert!(!acyclic),
        }
    }
}

#[test]
fn dominators_of_random_digraphs_are_those_of_networkx() {
    // Computed with networkx.immediate_dominators from node 0; nodes that 0 does not reach have none.
    for case in fixture()["random"].as_array().expect("cases") {
        let graph = graph(case);
        let found = simple_fast(&graph, NodeIndex::new(0));
        for node in graph.node_indices().skip(1) {
            let expected = case["dominators"].get(node.index().to_string()).map(index);
            assert_eq!(
                found.immediate_dominator(node).map(NodeIndex::index),
                expected
            );
        }
    }
}
