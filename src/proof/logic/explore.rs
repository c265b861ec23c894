//! What can come of changing inputs one after the other: every settled state that can be come to, explored to closure.
//!
//! Besides the inputs the sky is tried in three ways, or relays that wait for dusk could never be seen to close: sun and
//! wind as at the instant, none at all, and each at the most of its day. It is bounded, and says when it came to the bound.
//! Of a state only what contacts remember is kept, a few bytes a part; one run is put back to each in turn.

use super::{Bench, PATIENCE};
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use crate::run::{Frozen, Reached, Settled};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The most settled states that are looked at in a small plan: twelve inputs under three skies come to 12,288 by
/// themselves, and what remembers multiplies that.
pub const STATES: usize = 131_072;
/// In a large plan so many as are kept in about this many bytes, each part taking some.
const BYTES: usize = 128 << 20;
/// About what a state takes besides its parts.
const BYTES_OF_STATE: usize = 256;

/// The most findings of one kind that are kept.
const SHOWN: usize = 8;

/// One change on the way to a state.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Way {
    /// An input's function becomes true or false.
    Input(PartId, bool),
    /// Sun and wind give nothing any more.
    Dark,
    /// Sun and wind give the most of their day.
    Bright,
    /// Sun and wind give again what they give at the instant.
    AsNow,
}

/// States that, once come to, are never left again, whatever the inputs do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Trap {
    /// Changes that lead there from the instant, the fewest.
    pub way: Vec<Way>,
    /// Contacts that then stay as they are though they were otherwise before, and whether they conduct.
    pub stay: Vec<(PartId, bool)>,
    /// Loads that then run for good or never again though they could do otherwise before, and which of the two.
    pub loads: Vec<(PartId, bool)>,
}

/// A change upon which contacts open and close without end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chatter {
    /// Changes from the instant, the last of which brings it about; none where it is so at the instant itself.
    pub way: Vec<Way>,
    /// The contacts; none where it is timers that never come to rest.
    pub contacts: Vec<PartId>,
}

/// The same inputs and sky, come to in two ways, and a load that runs after the one and not after the other.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct OrderMatters {
    /// Changes after which it runs.
    pub runs: Vec<Way>,
    /// Changes after which it does not.
    pub rests: Vec<Way>,
    /// The load.
    pub load: PartId,
}

/// What was found.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Exploration {
    /// How many settled states were come to.
    pub states: usize,
    /// Whether all there are were looked at; if not, "never" means "not in these".
    pub complete: bool,
    /// Inputs that were left as they are, because there are too many.
    pub left_out: Vec<PartId>,
    /// States that can't be left.
    pub traps: Vec<Trap>,
    /// Loads that never run, not even in passing.
    pub never_run: Vec<PartId>,
    /// Contacts that never close, not even in passing; inputs are not among them.
    pub never_close: Vec<PartId>,
    /// Changes after which contacts chatter or timers never rest.
    pub chatters: Vec<Chatter>,
    /// Loads for which the order of changes matters.
    pub order: Vec<OrderMatters>,
}

/// What a settled state is told by: what contacts remember and do, and the sky.
type Key = (Settled, u8);

/// How a state was come to, and what is so in it.
#[derive(Clone, Debug)]
struct Seen {
    /// The state before and the change; none for the first.
    from: Option<(usize, Way)>,
    settled: Settled,
    inputs: Vec<bool>,
    sky: u8,
    runs: Vec<bool>,
    conducts: Vec<bool>,
}

/// Explores, one state at a step.
#[derive(Clone, Debug)]
pub struct Explorer {
    bench: Bench,
    ids: Vec<PartId>,
    known: BTreeMap<Key, usize>,
    seen: Vec<Seen>,
    edges: Vec<(usize, usize)>,
    /// The run that is put back to a state and then changed.
    work: Frozen,
    reached: Reached,
    chatters: Vec<Chatter>,
    /// Contacts whose chatter is already told.
    told: BTreeSet<Vec<usize>>,
    bounded: bool,
    /// The most states that are looked at.
    most: usize,
    /// So many of `seen` are looked at, in their order.
    looked: usize,
}

impl Explorer {
    /// What can come of `plan`'s inputs from the instant `t` on.
    pub fn new(plan: &Plan, t: Ms) -> Explorer {
        let bench = Bench::new(plan, t);
        let mut explorer = Explorer {
            ids: plan.parts.iter().map(|p| p.id.clone()).collect(),
            known: BTreeMap::new(),
            seen: Vec::new(),
            edges: Vec::new(),
            work: bench.now.clone(),
            reached: Reached::new(plan.parts.len()),
            chatters: Vec::new(),
            told: BTreeSet::new(),
            bounded: false,
            most: STATES.min(BYTES / (BYTES_OF_STATE + 4 * plan.parts.len())),
            looked: 0,
            bench,
        };
        explorer.come_to(0, None);
        explorer
    }

    /// Looks at one more state; false when there is none left.
    pub fn step(&mut self) -> bool {
        let at = self.looked;
        let Some(seen) = self.seen.get(at) else {
            return false;
        };
        let (settled, here) = (seen.settled.clone(), seen.sky);
        let (powers_here, _) = self.powers(here);
        self.looked += 1;
        for input in self.bench.inputs.clone() {
            self.work.put_back(&settled, &powers_here);
            let truth = !self.work.truth(input);
            self.work.set(&[(input, truth)], &[]);
            let way = Way::Input(self.ids[input].clone(), truth);
            self.come_to(here, Some((at, way)));
        }
        if !self.bench.skies.is_empty() {
            for sky in (0..3).filter(|sky| *sky != here) {
                let (powers, way) = self.powers(sky);
                self.work.put_back(&settled, &powers_here);
                self.work.set(&[], &powers);
                self.come_to(sky, Some((at, way)));
            }
        }
        true
    }

    /// How many states are looked at, and how many are known by now.
    pub fn progress(&self) -> (usize, usize) {
        (self.looked, self.seen.len())
    }

    fn powers(&self, sky: u8) -> (Vec<(usize, u64)>, Way) {
        let skies = self.bench.skies.iter();
        match sky {
            0 => {
                let now = |(at, _): &(usize, u64)| (*at, self.bench.now.available(*at));
                (skies.map(now).collect(), Way::AsNow)
            }
            1 => (skies.map(|(at, _)| (*at, 0)).collect(), Way::Dark),
            _ => (skies.copied().collect(), Way::Bright),
        }
    }

    /// Lets the run come to rest, and notes where it does.
    fn come_to(&mut self, sky: u8, from: Option<(usize, Way)>) {
        if !self.work.settle(PATIENCE, &mut self.reached) {
            let contacts = self.work.chattered();
            if self.chatters.len() < SHOWN && self.told.insert(contacts.clone()) {
                let way = self.way(from);
                let contacts = contacts.into_iter().map(|c| self.ids[c].clone()).collect();
                self.chatters.push(Chatter { way, contacts });
            }
            return;
        }
        let frozen = &self.work;
        let key = (frozen.settled(), sky);
        let at = match self.known.get(&key) {
            Some(at) => *at,
            None if self.seen.len() >= self.most => {
                self.bounded = true;
                return;
            }
            None => {
                let at = self.seen.len();
                let bench = &self.bench;
                let of = |places: &[usize], is: &dyn Fn(usize) -> bool| {
                    places.iter().map(|at| is(*at)).collect::<Vec<bool>>()
                };
                self.seen.push(Seen {
                    from: from.clone(),
                    settled: key.0.clone(),
                    sky,
                    inputs: of(&bench.inputs, &|at| frozen.truth(at)),
                    runs: of(&bench.loads, &|at| frozen.runs(at)),
                    conducts: of(&bench.others, &|at| frozen.conducts(at)),
                });
                self.known.insert(key, at);
                at
            }
        };
        if let Some((before, _)) = from {
            self.edges.push((before, at));
        }
    }

    /// The changes that lead from the instant to a change.
    fn way(&self, mut from: Option<(usize, Way)>) -> Vec<Way> {
        let mut way = Vec::new();
        while let Some((before, change)) = from {
            way.push(change);
            from = self.seen[before].from.clone();
        }
        way.reverse();
        way
    }

    /// What is found so far.
    pub fn findings(&self) -> Exploration {
        let complete = !self.bounded && self.looked == self.seen.len();
        let bench = &self.bench;
        let named =
            |places: Vec<usize>| places.into_iter().map(|at| self.ids[at].clone()).collect();
        let never = |places: &[usize], was: &[bool]| {
            let places = places.iter().copied().filter(|at| !was[*at]);
            named(places.collect())
        };
        Exploration {
            states: self.seen.len(),
            complete,
            left_out: named(bench.left_out.clone()),
            // Half explored, any state may look as if it could not be left.
            traps: if complete { self.traps() } else { Vec::new() },
            never_run: never(&bench.loads, &self.reached.ran),
            never_close: never(&bench.others, &self.reached.conducted),
            chatters: self.chatters.clone(),
            order: self.order(),
        }
    }

    fn traps(&self) -> Vec<Trap> {
        let mut graph: DiGraph<(), ()> = DiGraph::new();
        for _ in &self.seen {
            graph.add_node(());
        }
        for (from, to) in &self.edges {
            graph.add_edge(NodeIndex::new(*from), NodeIndex::new(*to), ());
        }
        let mut groups = kosaraju_scc(&graph);
        groups.iter_mut().for_each(|g| g.sort_unstable());
        groups.sort_unstable();
        let mut of = vec![0; self.seen.len()];
        for (number, group) in groups.iter().enumerate() {
            group.iter().for_each(|node| of[node.index()] = number);
        }
        let mut left: Vec<bool> = vec![false; groups.len()];
        for (from, to) in &self.edges {
            left[of[*from]] |= of[*from] != of[*to];
        }
        let all: Vec<usize> = (0..self.seen.len()).collect();
        let never_left = groups.iter().zip(left).filter(|(_, left)| !left);
        never_left
            .filter_map(|(group, _)| {
                let group: Vec<usize> = group.iter().map(|node| node.index()).collect();
                let stay = self.stuck(&group, &all, &self.bench.others, |s| &s.conducts);
                let loads = self.stuck(&group, &all, &self.bench.loads, |s| &s.runs);
                if stay.is_empty() && loads.is_empty() {
                    return None;
                }
                let first = *group.first()?;
                Some(Trap {
                    way: self.way(self.seen[first].from.clone()),
                    stay,
                    loads,
                })
            })
            .take(SHOWN)
            .collect()
    }

    /// Those that are alike in all of a group of states and not alike in all.
    fn stuck(
        &self,
        group: &[usize],
        all: &[usize],
        places: &[usize],
        what: impl Fn(&Seen) -> &[bool],
    ) -> Vec<(PartId, bool)> {
        let alike = |states: &[usize], at: usize| {
            let mut values = states.iter().map(|s| what(&self.seen[*s])[at]);
            let first = values.next()?;
            values.all(|v| v == first).then_some(first)
        };
        let places = places.iter().enumerate();
        places
            .filter_map(|(at, part)| match (alike(group, at), alike(all, at)) {
                (Some(value), None) => Some((self.ids[*part].clone(), value)),
                _ => None,
            })
            .collect()
    }

    fn order(&self) -> Vec<OrderMatters> {
        let mut first: BTreeMap<(&[bool], u8), usize> = BTreeMap::new();
        let mut found: BTreeMap<usize, OrderMatters> = BTreeMap::new();
        for (at, seen) in self.seen.iter().enumerate() {
            let other = *first.entry((&seen.inputs, seen.sky)).or_insert(at);
            let before = &self.seen[other];
            for (load, part) in self.bench.loads.iter().enumerate() {
                if seen.runs[load] == before.runs[load] || found.len() >= SHOWN {
                    continue;
                }
                found.entry(load).or_insert_with(|| {
                    let way = |at: usize| self.way(self.seen[at].from.clone());
                    let (runs, rests) = if seen.runs[load] {
                        (way(at), way(other))
                    } else {
                        (way(other), way(at))
                    };
                    OrderMatters {
                        runs,
                        rests,
                        load: self.ids[*part].clone(),
                    }
                });
            }
        }
        found.into_values().collect()
    }
}
