//! Where nothing does what an order asks: which of its demands stand against each other, and what to change, each tried.
//!
//! A demand stands in the way where leaving it out makes the order possible. Where no single one does, the demands told
//! are such that all of them together are impossible, and without any one of them the rest of them is not.

use super::asked::{DraftDemand, demands};
use super::changes::changes;
use super::hunt::{Hunt, Step};
use super::order::DraftOrder;
use super::space::Space;
use crate::plan::Plan;
use crate::sky::Aim;
use crate::works::Bill;
use serde_json::Value;
use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

/// So many circuits are tried for one change of the order.
const STEPS: u64 = 1_500;

/// A change of an order that makes it possible.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderChange {
    /// The demand that is eased.
    pub demand: DraftDemand,
    /// What is changed: `may.battery`.
    pub change: String,
    /// To what.
    pub to: Value,
    /// The materials of the plan that was found with it, added up.
    pub materials_sum: u64,
    /// Its parts.
    pub parts: u64,
    /// The order with the change.
    pub order: DraftOrder,
}

/// Why nothing does, and what would.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Impossible {
    /// The demands that stand in the way.
    pub because: Vec<DraftDemand>,
    /// Whether leaving out any one of them makes the order possible; else only that no others are needed.
    pub each: bool,
    /// Changes that make it possible, each tried, the cheapest first.
    pub instead: Vec<OrderChange>,
}

/// An order that is tried.
#[derive(Clone)]
struct TriedOrder {
    what: TriedFor,
    order: DraftOrder,
}

#[derive(Clone)]
enum TriedFor {
    /// Whether leaving a demand out is enough.
    Free(DraftDemand),
    /// Whether a demand is needed beside the others that are left.
    Needed(DraftDemand),
    /// A change; of those of a demand the first that does is enough, or of a kind.
    Instead(DraftDemand, String, Value),
}

/// The search for what stands in the way.
#[derive(Clone)]
pub(super) struct ImpossibleSearch {
    order: DraftOrder,
    best: Option<Aim>,
    /// What is to be completed.
    plan: Option<Arc<Plan>>,
    waiting: VecDeque<TriedOrder>,
    now: Option<(TriedOrder, Hunt, u64)>,
    /// Demands still held to be needed, where no single one frees.
    needed: Vec<DraftDemand>,
    done: BTreeSet<String>,
    found: Impossible,
    is_last: bool,
}

impl ImpossibleSearch {
    /// For an order of which nothing does.
    pub fn new(order: &DraftOrder, best: Option<Aim>, plan: Option<Arc<Plan>>) -> ImpossibleSearch {
        let free = |demand: DraftDemand| {
            let mut order = order.clone();
            demand.leave_out(&mut order);
            TriedOrder {
                what: TriedFor::Free(demand),
                order,
            }
        };
        ImpossibleSearch {
            waiting: demands(order).into_iter().map(free).collect(),
            order: order.clone(),
            best,
            plan,
            now: None,
            needed: Vec::new(),
            done: BTreeSet::new(),
            found: Impossible {
                each: true,
                ..Impossible::default()
            },
            is_last: false,
        }
    }

    /// What was found.
    pub fn found(&self) -> &Impossible {
        &self.found
    }

    /// Goes on by a step; whether all is done.
    pub fn step(&mut self) -> bool {
        if let Some((tried, mut hunt, left)) = self.now.take() {
            match hunt.step() {
                Step::Found(found) => self.does(tried, &found.1),
                Step::On if left > 0 => self.now = Some((tried, hunt, left - 1)),
                Step::On | Step::Over => self.does_not(tried),
            }
            return false;
        }
        match self.waiting.pop_front() {
            Some(tried) if self.is_needless(&tried) => false,
            Some(tried) => {
                let space = Arc::new(Space::of(&tried.order, self.best, self.plan.as_deref()));
                let hunt = Hunt::new(&space, tried.order.least[0]);
                self.now = Some((tried, hunt, STEPS));
                false
            }
            None => self.next_round(),
        }
    }

    fn is_needless(&self, tried: &TriedOrder) -> bool {
        matches!(&tried.what, TriedFor::Instead(_, change, _) if self.done.contains(change))
    }

    fn does(&mut self, tried: TriedOrder, plan: &Plan) {
        match tried.what {
            TriedFor::Free(demand) => self.found.because.push(demand),
            TriedFor::Needed(_) => {}
            TriedFor::Instead(demand, change, to) => {
                let bill = Bill::of(plan);
                self.done.insert(change.clone());
                self.found.instead.push(OrderChange {
                    demand,
                    change,
                    to,
                    materials_sum: bill.materials.values().fold(0, |a, b| a.saturating_add(*b)),
                    parts: bill.part_count(),
                    order: tried.order,
                });
            }
        }
    }

    fn does_not(&mut self, tried: TriedOrder) {
        if let TriedFor::Needed(demand) = tried.what {
            self.needed.retain(|needed| *needed != demand);
            self.try_needed();
        }
    }

    fn next_round(&mut self) -> bool {
        if self.is_last {
            let key = |change: &OrderChange| (change.materials_sum, change.parts);
            self.found.instead.sort_by_key(key);
            return true;
        }
        if !self.found.because.is_empty() {
            self.is_last = true;
            let demands = self.found.because.clone();
            demands.iter().for_each(|demand| self.try_instead(demand));
            return false;
        }
        if self.found.each {
            self.found.each = false;
            self.needed = demands(&self.order);
            self.try_needed();
            return false;
        }
        // All that are left were tried: none of them can be spared.
        self.found.because = self.needed.clone();
        self.is_last = true;
        false
    }

    /// Tries each demand that is still held to be needed, left out together with those that are not.
    fn try_needed(&mut self) {
        let gone: Vec<DraftDemand> = demands(&self.order)
            .into_iter()
            .filter(|demand| !self.needed.contains(demand))
            .collect();
        let tried = |demand: &DraftDemand| {
            let mut order = self.order.clone();
            let out = gone.iter().chain([demand]);
            // Duties come last, since leaving one out takes it from other demands, too.
            let (duties, others): (Vec<&DraftDemand>, Vec<&DraftDemand>) =
                out.partition(|d| matches!(d, DraftDemand::Duty(_)));
            (others.into_iter().chain(duties)).for_each(|d| d.leave_out(&mut order));
            TriedOrder {
                what: TriedFor::Needed(demand.clone()),
                order,
            }
        };
        let known: BTreeSet<DraftDemand> = self.kept_already();
        let rest = self.needed.iter().filter(|d| !known.contains(*d));
        self.waiting = rest.map(tried).collect();
    }

    /// Demands that were tried already and can't be spared.
    fn kept_already(&self) -> BTreeSet<DraftDemand> {
        let waits = |demand: &DraftDemand| {
            let is = |tried: &TriedOrder| matches!(&tried.what, TriedFor::Needed(d) if d == demand);
            self.waiting.iter().any(is)
        };
        let tried = self
            .needed
            .iter()
            .filter(|d| !self.waiting.is_empty() && !waits(d));
        tried.cloned().collect()
    }

    /// Changes of a demand, the smallest first.
    fn try_instead(&mut self, demand: &DraftDemand) {
        for changed in changes(demand, &self.order) {
            let what = TriedFor::Instead(demand.clone(), changed.change, changed.to);
            self.waiting.push_back(TriedOrder {
                what,
                order: changed.order,
            });
        }
    }
}
