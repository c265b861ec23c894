//! A hunt for the least circuit of a space by one measure: best first, so that the first that does is the least.
//!
//! Circuits are met in the order of what they cost. Of each pair of a branching and a form of supply the first met has
//! the least counts that its bounds leave; one more of each bank comes after it, and costs more. A pair that fails even
//! with more than enough of every bank is left; where a dusk tap decides, that says nothing, for more panels move the
//! minute, and all counts are gone through.

use super::allowed::Tally;
use super::circuit::Feed;
use super::demand::LeastCounts;
use super::gates::GateContact;
use super::judge::hours_ms;
use super::judge::{keeps_all, serves};
use super::order::Least;
use super::space::Space;
use crate::book::Behaviour;
use crate::plan::Plan;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};
use std::sync::Arc;

/// A circuit of the space in numbers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Node {
    /// What it costs: by the measure, then by the others.
    cost: [u64; 3],
    /// Its branching.
    pub branching: usize,
    /// Its supplies.
    pub feeds: Vec<Feed>,
    /// From which of its counts on one more is met after it.
    grows: usize,
    /// Whether it is the first of its pair.
    first: bool,
}

/// What a step of a hunt came to.
pub(super) enum Step {
    /// A plan that does what is asked, checked.
    Found(Box<(Node, Plan)>),
    /// Nothing yet.
    On,
    /// There are no more circuits.
    Over,
}

/// A hunt under way.
#[derive(Clone)]
pub(super) struct Hunt {
    space: Arc<Space>,
    least: Least,
    heap: BinaryHeap<Reverse<Node>>,
    /// Starts of pairs that come after their first.
    waiting: BTreeMap<(usize, usize), LeastCounts>,
    /// Pairs of which no more is wanted.
    left: BTreeSet<(usize, Vec<usize>)>,
    /// How many circuits were run.
    pub runs: u64,
}

/// The least counts of every form, by the wants that it feeds.
type LeastKnown = BTreeMap<Vec<usize>, Vec<LeastCounts>>;

/// Counts that are gone through without asking first whether more than enough would do.
const FEW: u64 = 12;

impl Hunt {
    /// A hunt that has not begun.
    pub fn new(space: &Arc<Space>, least: Least) -> Hunt {
        let mut hunt = Hunt {
            space: space.clone(),
            least,
            heap: BinaryHeap::new(),
            waiting: BTreeMap::new(),
            left: BTreeSet::new(),
            runs: 0,
        };
        let mut known = LeastKnown::new();
        for branching in 0..hunt.space.branchings.len() {
            hunt.begin(branching, &mut known);
        }
        hunt
    }

    /// Puts in the first circuit of each pair of a branching.
    fn begin(&mut self, branching: usize, known: &mut LeastKnown) {
        let space = self.space.clone();
        let (own, _) = &space.branchings[branching];
        let wants: Vec<Vec<usize>> = own.lines.iter().map(super::branching::wants_on).collect();
        let kind = |at: usize| space.behaviour(at);
        let mut fitting: Vec<Vec<(usize, LeastCounts)>> = Vec::new();
        for (line, wants) in own.lines.iter().zip(wants) {
            let of_each = known.entry(wants.clone()).or_insert_with(|| {
                let all = space.forms.iter().enumerate();
                all.map(|(at, form)| {
                    let demand = &space.demand;
                    let least = demand.least_counts(form, &wants, &space.choices, &kind);
                    self.in_order(at, least)
                })
                .collect()
            });
            let fits = |form: &usize| space.pieces().fits(line, own, &space.forms[*form]);
            let feeds = (0..space.forms.len()).filter(fits);
            fitting.push(feeds.map(|at| (at, of_each[at].clone())).collect());
        }
        match &fitting[..] {
            [] => drop(self.put(branching, Vec::new(), 0, true)),
            [one] => {
                for (form, least) in one {
                    self.put_first(branching, *form, least);
                }
            }
            [one, two] => {
                let both = one.iter().flat_map(|a| two.iter().map(move |b| (a, b)));
                for (a, b) in both.filter(|(a, b)| space.go_together(a.0, b.0)) {
                    // Forms of two feeds have one source each, and so one start.
                    if let ((one, Some((n, _))), (two, Some((m, _)))) =
                        ((a.0, a.1.first()), (b.0, b.1.first()))
                    {
                        let feeds = vec![(one, n.clone()), (two, m.clone())];
                        self.put(branching, feeds, 0, true);
                    }
                }
            }
            _ => {}
        }
    }

    /// Puts in the cheapest start that is within what the order allows; the dearer ones wait until it is met.
    fn put_first(&mut self, branching: usize, form: usize, least: &LeastCounts) {
        let start = least.iter().position(|(counts, grows)| {
            self.put(branching, vec![(form, counts.clone())], *grows, true)
        });
        if let Some(at) = start.filter(|at| at + 1 < least.len()) {
            self.waiting
                .insert((branching, form), least[at + 1..].to_vec());
        }
    }

    /// Least counts of a form, the cheapest first.
    fn in_order(&self, form: usize, mut least: LeastCounts) -> LeastCounts {
        let space = &self.space;
        least.sort_by_key(|(counts, _)| {
            let tally = space.forms[form].tally(counts, &space.choices);
            self.cost(&tally)
        });
        least
    }

    fn cost(&self, tally: &Tally) -> [u64; 3] {
        let (materials, parts) = (self.space.allowed.cost(tally), tally.values().sum());
        let kinds = tally.len() as u64;
        match self.least {
            Least::Parts => [parts, materials, kinds],
            Least::Kinds => [kinds, materials, parts],
            Least::Materials | Least::Spilled => [materials, parts, kinds],
        }
    }

    /// Puts in a circuit, if it is within what the order allows; whether it is.
    fn put(&mut self, branching: usize, feeds: Vec<Feed>, grows: usize, first: bool) -> bool {
        let space = &self.space;
        let tally = space.pieces().tally(&space.branchings[branching].1, &feeds);
        if !within(space, &tally) {
            return false;
        }
        self.heap.push(Reverse(Node {
            cost: self.cost(&tally),
            branching,
            feeds,
            grows,
            first,
        }));
        true
    }

    /// No more circuits of this pair.
    pub fn leave(&mut self, node: &Node) {
        self.left.insert(pair(node));
    }

    /// Tries the next circuit.
    pub fn step(&mut self) -> Step {
        let Some(Reverse(node)) = self.heap.pop() else {
            return Step::Over;
        };
        if self.left.contains(&pair(&node)) {
            return Step::On;
        }
        let enough = self.enough(&node);
        if node.first && self.is_large(&node, &enough) && !self.would_do(&node, &enough) {
            self.leave(&node);
            return Step::On;
        }
        if node.first {
            self.put_others(&node);
        }
        let plan = self.does(&node);
        self.grow(&node, &enough);
        plan.map_or(Step::On, |plan| Step::Found(Box::new((node, plan))))
    }

    /// Puts in the other starts of a pair whose first is met.
    fn put_others(&mut self, node: &Node) {
        let [(form, _)] = node.feeds[..] else {
            return;
        };
        let others = self.waiting.remove(&(node.branching, form));
        for (counts, grows) in others.into_iter().flatten() {
            self.put(node.branching, vec![(form, counts)], grows, false);
        }
    }

    /// The plan of a circuit, if it does what is asked: with batteries as the book has them at the start, else full.
    pub fn does(&mut self, node: &Node) -> Option<Plan> {
        let plan = self.tried(node, Some(1000))?;
        Some(self.tried(node, None).unwrap_or(plan))
    }

    fn tried(&mut self, node: &Node, start: Option<u64>) -> Option<Plan> {
        let (own, _) = &self.space.branchings[node.branching];
        let plan = self.space.pieces().plan(own, &node.feeds, start)?;
        self.runs += 1;
        let check = serves(&plan)?;
        keeps_all(&plan, &check, &self.space.order).then_some(plan)
    }

    /// Puts in what comes after a circuit: one more of each bank from the one on that grew last.
    fn grow(&mut self, node: &Node, enough: &[Vec<u64>]) {
        let mut at = 0;
        for (number, (_, counts)) in node.feeds.iter().enumerate() {
            for place in 0..counts.len() {
                if at >= node.grows && counts[place] < enough[number][place] {
                    let mut feeds = node.feeds.clone();
                    feeds[number].1[place] += 1;
                    self.put(node.branching, feeds, at, false);
                }
                at += 1;
            }
        }
    }

    /// The same circuit with more in reserve: twice and four times the batteries, with as many sources or up to twice.
    pub fn with_more(&self, node: &Node) -> Vec<Node> {
        let forms = &self.space.forms;
        let (Some((form, counts)), None) = (node.feeds.first(), &self.space.standing) else {
            return Vec::new();
        };
        if forms[*form].battery.is_none() {
            return Vec::new();
        }
        let battery = forms[*form].sources.len();
        let mut probe = Hunt {
            heap: BinaryHeap::new(),
            left: BTreeSet::new(),
            ..self.clone()
        };
        for (stores, sources) in [(2, 0), (2, 1), (4, 0), (4, 1), (4, 2)] {
            let mut feeds = node.feeds.clone();
            let own = &mut feeds[0].1;
            own[battery] = counts[battery].saturating_mul(stores);
            own[0] = counts[0].saturating_add(sources * counts[0].div_ceil(2));
            probe.put(node.branching, feeds, usize::MAX, false);
        }
        let found = std::iter::from_fn(|| probe.heap.pop());
        found.map(|Reverse(node)| node).collect()
    }

    /// More than enough of every bank of a circuit.
    fn enough(&self, node: &Node) -> Vec<Vec<u64>> {
        let space = &self.space;
        let keeps = &space.order.keeps;
        let day = space.order.world.day_ms();
        let hold = hours_ms(keeps.hours).saturating_add(keeps.dull_days.saturating_mul(day));
        let lines = &space.branchings[node.branching].0.lines;
        let each = node.feeds.iter().zip(lines).map(|((form, counts), line)| {
            let wants = match space.standing {
                // More may hang on a line than is led to.
                Some(_) => (0..space.order.wants.len()).collect(),
                None => super::branching::wants_on(line),
            };
            let kind = |at: usize| -> Behaviour { space.behaviour(at) };
            let asked = (&wants[..], hold);
            let most = space
                .demand
                .enough(&space.forms[*form], asked, &space.choices, &kind);
            // The bounds may ask for more than that at the first.
            let more = u64::from(node.first);
            let both = most.iter().zip(counts);
            both.map(|(most, now)| (*most).max(now + more)).collect()
        });
        each.collect()
    }

    /// Whether there are many counts to go through of a pair in which no dusk tap decides.
    fn is_large(&self, node: &Node, enough: &[Vec<u64>]) -> bool {
        let (own, _) = &self.space.branchings[node.branching];
        let dusk = |contact: &Option<GateContact>| matches!(contact, Some(GateContact::Dusk { from, .. }) if from.is_ahead());
        if own.contacts.iter().any(dusk) {
            return false;
        }
        let counts = node
            .feeds
            .iter()
            .zip(enough)
            .flat_map(|((form, now), most)| {
                let tally = |at: usize| {
                    let kinds = self.space.forms[*form].kinds(&self.space.choices);
                    self.space.allowed.limit(kinds[at])
                };
                let each = now.iter().zip(most).enumerate();
                each.map(|(at, (now, most))| (*most).min(tally(at)).saturating_sub(*now) + 1)
                    .collect::<Vec<_>>()
            });
        counts.fold(1, u64::saturating_mul) > FEW
    }

    /// Whether a pair does with more than enough of everything, whatever the order allows.
    fn would_do(&mut self, node: &Node, enough: &[Vec<u64>]) -> bool {
        let feeds = node.feeds.iter().zip(enough);
        let feeds: Vec<Feed> = feeds
            .map(|((form, _), most)| (*form, most.clone()))
            .collect();
        let (own, _) = &self.space.branchings[node.branching];
        let plan = self.space.pieces().plan(own, &feeds, Some(1000));
        self.runs += 1;
        plan.is_some_and(|plan| serves(&plan).is_some())
    }
}

fn pair(node: &Node) -> (usize, Vec<usize>) {
    let forms = node.feeds.iter().map(|(form, _)| *form);
    (node.branching, forms.collect())
}

/// Whether so many parts, and the wants, are within limits and materials.
fn within(space: &Space, tally: &Tally) -> bool {
    if !space.allowed.allows(tally) {
        return false;
    }
    if space.order.materials.is_empty() {
        return true;
    }
    let mut all = tally.clone();
    for (at, want) in space.order.wants.iter().enumerate() {
        if space.standing.as_ref().is_some_and(|s| s.stood(at)) {
            continue;
        }
        if let Some(kind) = space.allowed.place(&want.kind) {
            *all.entry(kind).or_default() += want.count;
        }
    }
    let needed = space.allowed.materials(&all);
    let mut named = space.order.materials.iter();
    named.all(|(material, there)| needed.get(material.as_str()).is_none_or(|n| n <= there))
}
