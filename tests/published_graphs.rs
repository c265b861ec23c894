//! What the program finds in graphs, against published graphs, against networkx on random ones and against definitions.
//!
//! Each graph is wired as a plan: a node is a busbar that leads into a divider, and an edge is a wire from the divider of
//! one node to the busbar of another. So a fault in the program's own use of graphs fails here: closed loops and the
//! order of offers in `net`, and in `proof` what all power goes through.
//!
//! Each check says how the expected answer was come by: read (in a public repository that quotes the source), computed by
//! us (with networkx, its version in `fixtures/graphs.json`, the script beside it), or worked out here by definition.

use duskline::net::Net;
use duskline::plan::{Plan, read_plan};
use duskline::proof::{Loss, loads_behind, weak_points};
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// Nodes by number, edges from node to node.
struct Graph {
    nodes: usize,
    edges: Vec<(usize, usize)>,
}

impl Graph {
    /// Of edges written as pairs of letters; nodes are numbered in the letters' order.
    fn of(edges: &str) -> (Graph, Vec<char>) {
        let letters: BTreeSet<char> = edges.chars().filter(|c| !c.is_whitespace()).collect();
        let letters: Vec<char> = letters.into_iter().collect();
        let at = |c: char| letters.binary_search(&c).expect("a node");
        let pair = |edge: &str| {
            let ends: Vec<usize> = edge.chars().map(at).collect();
            (ends[0], ends[1])
        };
        let edges = edges.split_whitespace().map(pair).collect();
        let nodes = letters.len();
        (Graph { nodes, edges }, letters)
    }

    /// A random case of the fixture.
    fn case(case: &Value) -> Graph {
        let edges = case["edges"].as_array().expect("edges").iter();
        Graph {
            nodes: index(&case["nodes"]),
            edges: edges.map(|e| (index(&e[0]), index(&e[1]))).collect(),
        }
    }

    /// The graph as a plan: wires first one for each edge, then one within each node. A source feeds node `start`, and
    /// every node's divider feeds a load of its own, named by the node's number.
    fn plan(&self, start: usize) -> Plan {
        let mut parts = vec![json!({"id": "source", "type": "source"})];
        let (mut outs, mut ins) = (vec![0; self.nodes], vec![0; self.nodes]);
        let next = |counts: &mut Vec<usize>, node: usize| {
            counts[node] += 1;
            counts[node]
        };
        let mut ends: Vec<(String, String)> = Vec::new();
        for (from, to) in &self.edges {
            let (out, input) = (next(&mut outs, *from), next(&mut ins, *to));
            ends.push((
                format!("divider{from}.out{out}"),
                format!("bus{to}.in{input}"),
            ));
        }
        for node in 0..self.nodes {
            parts.push(json!({"id": format!("bus{node}"), "type": "bus"}));
            parts.push(json!({"id": format!("divider{node}"), "type": "divider"}));
            ends.push((format!("bus{node}.out"), format!("divider{node}.in")));
        }
        for node in 0..self.nodes {
            parts.push(json!({"id": node.to_string(), "type": "lamp"}));
            let out = next(&mut outs, node);
            ends.push((format!("divider{node}.out{out}"), format!("{node}.in")));
        }
        let input = next(&mut ins, start);
        ends.push(("source.out".into(), format!("bus{start}.in{input}")));
        let wires: Vec<Value> = (1..)
            .zip(ends)
            .map(|(number, (from, to))| json!({"id": format!("w{number}"), "from": from, "to": to}))
            .collect();
        let types = json!([
            {"type": "source", "behaviour": "source", "peak": 9, "profile": "steady"},
            {"type": "bus", "behaviour": "busbar", "ways": 64},
            {"type": "divider", "behaviour": "divider", "ways": 64},
            {"type": "lamp", "behaviour": "load", "draw": 1},
        ]);
        let plan = json!({
            "format": "duskline/plan", "version": 1, "parts": parts, "wires": wires,
            "book": {"name": "own", "unit": "u", "step": 1, "types": types},
        });
        read_plan(&plan.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
    }

    /// The nodes that `start` reaches, by edges that `leads` and without going through `without`.
    fn reached(
        &self,
        start: usize,
        leads: &dyn Fn(usize) -> bool,
        without: Option<usize>,
    ) -> BTreeSet<usize> {
        let (mut found, mut look) = (BTreeSet::new(), vec![start]);
        while let Some(node) = look.pop() {
            if Some(node) == without || !found.insert(node) {
                continue;
            }
            let edges = self.edges.iter().enumerate();
            look.extend(
                edges
                    .filter(|(at, e)| e.0 == node && leads(*at))
                    .map(|(_, e)| e.1),
            );
        }
        found
    }

    /// The number of each node's strongly connected component, by definition: each reaches the other.
    fn components(&self) -> Vec<BTreeSet<usize>> {
        let reached: Vec<BTreeSet<usize>> = (0..self.nodes)
            .map(|node| self.reached(node, &|_| true, None))
            .collect();
        let with = |a: usize| {
            (0..self.nodes)
                .filter(|b| reached[a].contains(b) && reached[*b].contains(&a))
                .collect()
        };
        (0..self.nodes).map(with).collect()
    }

    /// Dominators by definition, of what is left when edges on loops carry nothing: for each node that `start` reaches
    /// those nodes, itself included, without which it is not reached.
    fn dominators(&self, start: usize) -> BTreeMap<usize, BTreeSet<usize>> {
        let component = self.components();
        let looped: Vec<bool> = (0..self.nodes)
            .map(|node| self.on_loop(&component, node))
            .collect();
        let leads = |at: usize| {
            let (from, to) = self.edges[at];
            !component[from].contains(&to)
        };
        // A node on a loop has its own inner wire on it, and so passes nothing on.
        let through = |at: usize| leads(at) && !looped[self.edges[at].0];
        let all = self.reached(start, &through, None);
        let mut found: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for node in all.iter().filter(|_| !looped[start]) {
            if !looped[*node] {
                found.insert(*node, BTreeSet::from([*node]));
            }
        }
        for gone in &all {
            let left = self.reached(start, &through, Some(*gone));
            for (node, by) in &mut found {
                if !left.contains(node) {
                    by.insert(*gone);
                }
            }
        }
        found
    }

    fn on_loop(&self, component: &[BTreeSet<usize>], node: usize) -> bool {
        component[node].len() > 1 || self.edges.contains(&(node, node))
    }
}

fn fixture() -> Value {
    serde_json::from_str(include_str!("fixtures/graphs.json")).expect("a fixture")
}

/// The random digraphs of the fixture, with what networkx computed of them.
fn random() -> Vec<Value> {
    fixture()["random"].as_array().expect("cases").clone()
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a node")).expect("a small number")
}

/// For each node whose load power can reach: the nodes that the program says all its power goes through.
fn found_dominators(graph: &Graph, start: usize) -> BTreeMap<usize, BTreeSet<usize>> {
    let plan = graph.plan(start);
    let points = weak_points(&plan);
    let mut found: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for (at, point) in points.iter().enumerate() {
        let Loss::Part(part) = &point.loss else {
            continue;
        };
        let Some(by) = part.as_str().strip_prefix("divider") else {
            continue;
        };
        for load in loads_behind(&points, at) {
            let load = load.as_str().parse().expect("a node");
            found
                .entry(load)
                .or_default()
                .insert(by.parse().expect("a node"));
        }
    }
    found
}

/// The way up a tree of immediate dominators, itself included.
fn chain(immediate: &BTreeMap<usize, usize>, node: usize) -> BTreeSet<usize> {
    std::iter::successors(Some(node), |node| immediate.get(node).copied()).collect()
}

/// The published graphs: name in the fixture, start, edges, immediate dominators in pairs: `ar` says that r dominates a.
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

/// Immediate dominators by name, of pairs.
fn pairs(text: &str) -> BTreeMap<char, char> {
    let pair = |text: &str| {
        let mut chars = text.chars();
        (
            chars.next().expect("a node"),
            chars.next().expect("its dominator"),
        )
    };
    text.split_whitespace().map(pair).collect()
}

/// Nodes that hang on no loop: what is published of them holds of the program too, which lets nothing through a loop.
/// For each the published dominators that it has, itself included.
fn published_before_loops(
    start: char,
    edges: &str,
    expected: &str,
) -> BTreeMap<char, BTreeSet<char>> {
    let (graph, letters) = Graph::of(edges);
    let component = graph.components();
    let immediate = pairs(expected);
    let reaches = |from: usize, to: usize| graph.reached(from, &|_| true, None).contains(&to);
    let hangs =
        |node: usize| (0..graph.nodes).any(|on| graph.on_loop(&component, on) && reaches(on, node));
    let free = (0..graph.nodes)
        .filter(|node| !hangs(*node))
        .map(|node| letters[node]);
    free.map(|c| {
        (
            c,
            std::iter::successors(Some(c), |c| immediate.get(c).copied()).collect(),
        )
    })
    .inspect(|(_, by): &(char, BTreeSet<char>)| assert!(by.contains(&start)))
    .collect()
}

#[test]
fn what_all_power_goes_through_is_what_the_published_figures_say_up_to_the_first_loop() {
    // Edges that lead back into the start dominate nothing, so `kr` is left out of the first.
    let nodes = [
        // The loop of e and h, and that of i and k, lie behind these.
        (
            "lengauer-tarjan-1",
            "ra rb rc ad ba bd be cf cg dl eh fi gi gj he hk ik ji ki lh",
            "abcdfgjlr",
        ),
        // 5 and 7 can be reached through the loop of 4 and 6 too.
        ("boost", PUBLISHED[1].2, "0123"),
        ("cooper-harvey-kennedy-2", PUBLISHED[2].2, "345"),
        ("cooper-harvey-kennedy-4", PUBLISHED[3].2, "456"),
    ];
    for ((name, start, _, expected), (same, edges, free)) in PUBLISHED.iter().zip(nodes) {
        assert_eq!(*name, same);
        let published = published_before_loops(*start, edges, expected);
        assert_eq!(published.keys().collect::<String>(), free, "{name}");
        let (graph, letters) = Graph::of(edges);
        let start = letters.binary_search(start).expect("the start");
        let found = found_dominators(&graph, start);
        for (node, by) in &published {
            let node = letters.binary_search(node).expect("a node");
            let found: BTreeSet<char> = found[&node].iter().map(|by| letters[*by]).collect();
            assert_eq!(&found, by, "{name}: {}", letters[node]);
        }
        // Behind the loops: by definition.
        assert_eq!(found, graph.dominators(start), "{name}");
    }
}

#[test]
fn the_published_figures_read_and_computed_are_the_same() {
    let fixture = fixture();
    let text = |value: &Value| value.as_str().expect("a name").to_string();
    for (name, start, edges, expected) in PUBLISHED {
        let case = &fixture["published"][name];
        assert_eq!(case["start"], start.to_string(), "{name}");
        let computed: Vec<String> = case["edges"]
            .as_array()
            .expect("edges")
            .iter()
            .map(|edge| text(&edge[0]) + &text(&edge[1]))
            .collect();
        assert_eq!(computed.join(" "), edges, "{name}");
        let computed = case["dominators"].as_object().expect("dominators").iter();
        let computed: Vec<String> = computed
            .map(|(node, by)| node.clone() + &text(by))
            .collect();
        assert_eq!(pairs(&computed.join(" ")), pairs(expected), "{name}");
    }
}

#[test]
fn closed_loops_of_random_digraphs_are_the_components_of_networkx() {
    // Computed by us with networkx.strongly_connected_components. A loop is the wires between nodes of one component, and
    // those within its nodes.
    for (number, case) in random().iter().enumerate() {
        let graph = Graph::case(case);
        let net = Net::compile(&graph.plan(0));
        let mut expected: Vec<BTreeSet<usize>> = Vec::new();
        for component in case["components"].as_array().expect("components") {
            let nodes: BTreeSet<usize> = component
                .as_array()
                .expect("nodes")
                .iter()
                .map(index)
                .collect();
            let edges = graph.edges.iter().enumerate();
            let mut wires: BTreeSet<usize> = edges
                .filter(|(_, (from, to))| nodes.contains(from) && nodes.contains(to))
                .map(|(at, _)| at)
                .collect();
            if !wires.is_empty() {
                wires.extend(nodes.iter().map(|node| graph.edges.len() + node));
                expected.push(wires);
            }
        }
        expected.sort();
        let found: Vec<BTreeSet<usize>> = net
            .loops
            .iter()
            .map(|l| l.iter().copied().collect())
            .collect();
        assert_eq!(found, expected, "case {number}");
        for (at, wire) in net.wires.iter().enumerate() {
            let on_loop = expected.iter().any(|wires| wires.contains(&at));
            assert_eq!(wire.closed, on_loop, "case {number}: wire {at}");
        }
        // Computed by us with networkx.is_directed_acyclic_graph.
        assert_eq!(
            net.loops.is_empty(),
            case["acyclic"].as_bool().expect("a bool"),
            "case {number}"
        );
    }
}

#[test]
fn offers_go_in_a_topological_order_of_all_wires_that_are_on_no_loop() {
    // The order itself is not unique; that it is one is checked by definition.
    for (number, case) in random().iter().enumerate() {
        let net = Net::compile(&Graph::case(case).plan(0));
        let mut all = net.order.clone();
        all.sort_unstable();
        assert_eq!(
            all,
            (0..net.part_of.len()).collect::<Vec<_>>(),
            "case {number}"
        );
        for (at, half) in net.order.iter().enumerate() {
            assert_eq!(net.place[*half], at, "case {number}");
        }
        for wire in net.wires.iter().filter(|wire| !wire.closed) {
            assert!(
                net.place[wire.from] < net.place[wire.to],
                "case {number}: {wire:?}"
            );
        }
    }
}

#[test]
fn what_all_power_goes_through_in_digraphs_without_cycles_is_what_networkx_finds() {
    // Computed by us with networkx.immediate_dominators from node 0.
    for (number, case) in random().iter().enumerate() {
        if case["acyclic"] != true {
            continue;
        }
        let immediate: BTreeMap<usize, usize> = case["dominators"]
            .as_object()
            .expect("dominators")
            .iter()
            .map(|(node, by)| (node.parse().expect("a node"), index(by)))
            .collect();
        let reached = immediate.keys().copied().chain([0]);
        let expected = reached
            .map(|node| (node, chain(&immediate, node)))
            .collect();
        assert_eq!(
            found_dominators(&Graph::case(case), 0),
            expected,
            "case {number}"
        );
    }
}

#[test]
fn what_all_power_goes_through_in_digraphs_with_cycles_is_so_by_definition() {
    for (number, case) in random().iter().enumerate() {
        let graph = Graph::case(case);
        assert_eq!(
            found_dominators(&graph, 0),
            graph.dominators(0),
            "case {number}"
        );
    }
}
