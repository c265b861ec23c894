//! Where nothing does what an order asks: which of its demands stand against each other, and what to change, each tried.
//!
//! A demand stands in the way where leaving it out makes the order possible. Where no single one does, the demands told
//! are such that all of them together are impossible, and without any one of them the rest of them is not.

use super::hunt::{Hunt, Step};
use super::order::{DraftOrder, Keeps};
use super::space::Space;
use crate::sky::Aim;
use crate::works::Bill;
use serde_json::{Value, json};
use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

/// So many circuits are tried for one change of the order.
const STEPS: u64 = 1_500;

/// A demand of an order.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DraftDemand {
    /// The duty of a want.
    Duty(usize),
    /// That no more of a type may be used.
    May(String),
    /// The stage.
    Stage,
    /// That there is no more of a material.
    Material(String),
    /// The days without sun.
    DullDays,
    /// The hours without sun and wind.
    Hours,
    /// That duties stand single losses.
    Losses,
    /// That nobody within reach commands wants.
    Reach,
    /// The one switch.
    Switch,
}

impl DraftDemand {
    /// Its place in the order: `wants.0.duty`, `may.battery`.
    pub fn path(&self) -> String {
        match self {
            DraftDemand::Duty(want) => format!("wants.{want}.duty"),
            DraftDemand::May(kind) => format!("may.{kind}"),
            DraftDemand::Stage => "stage".into(),
            DraftDemand::Material(name) => format!("materials.{name}"),
            DraftDemand::DullDays => "keeps.dull_days".into(),
            DraftDemand::Hours => "keeps.hours".into(),
            DraftDemand::Losses => "keeps.losses".into(),
            DraftDemand::Reach => "keeps.reach".into(),
            DraftDemand::Switch => "switch".into(),
        }
    }

    /// Leaves it out of an order.
    fn leave_out(&self, order: &mut DraftOrder) {
        match self {
            DraftDemand::Duty(want) => leave_duty_out(order, *want),
            DraftDemand::May(kind) => {
                order.may.iter_mut().for_each(|may| {
                    may.insert(kind.clone(), None);
                });
            }
            DraftDemand::Stage => order.stage = None,
            DraftDemand::Material(name) => drop(order.materials.remove(name)),
            DraftDemand::DullDays => order.keeps.dull_days = 0,
            DraftDemand::Hours => order.keeps.hours = 0.0,
            DraftDemand::Losses => order.keeps.losses.clear(),
            DraftDemand::Reach => order.keeps.reach.clear(),
            DraftDemand::Switch => order.switch = None,
        }
    }
}

/// A want without its duty is wanted all the same, but nothing is asked of it.
fn leave_duty_out(order: &mut DraftOrder, want: usize) {
    order.wants[want].duty = None;
    order.keeps.losses.retain(|at| *at != want);
    order.keeps.reach.retain(|at| *at != want);
    if let Some(switch) = &mut order.switch {
        switch.wants.retain(|at| *at != want);
    }
    order.switch.take_if(|switch| switch.wants.is_empty());
}

/// The demands of an order that can be left out.
fn demands(order: &DraftOrder) -> Vec<DraftDemand> {
    let Keeps {
        dull_days,
        hours,
        losses,
        reach,
    } = &order.keeps;
    let mut all: Vec<DraftDemand> = Vec::new();
    let with_duty = (0..order.wants.len()).filter(|at| order.wants[*at].duty.is_some());
    all.extend(with_duty.map(DraftDemand::Duty));
    let kinds = order.book.book.types.iter();
    for kind in kinds.filter(|kind| kind.behaviour.name() != "load") {
        let may = order.may.as_ref().map(|may| may.get(&kind.name));
        // None of the type, or no more than so many; a type of any number is no demand.
        if matches!(may, Some(None | Some(Some(_)))) {
            all.push(DraftDemand::May(kind.name.clone()));
        }
    }
    let materials = order.materials.keys().cloned();
    all.extend(order.stage.map(|_| DraftDemand::Stage));
    all.extend(materials.map(DraftDemand::Material));
    all.extend((*dull_days > 0).then_some(DraftDemand::DullDays));
    all.extend((*hours > 0.0).then_some(DraftDemand::Hours));
    all.extend((!losses.is_empty()).then_some(DraftDemand::Losses));
    all.extend((!reach.is_empty()).then_some(DraftDemand::Reach));
    all.extend(order.switch.as_ref().map(|_| DraftDemand::Switch));
    all
}

/// A change of an order that makes it possible.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderChange {
    /// What is changed: `may.battery`.
    pub change: String,
    /// To what.
    pub to: Value,
    /// The materials of the plan that was found with it, added up.
    pub materials_sum: u64,
    /// Its parts.
    pub parts: u64,
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
    Instead(String, Value),
}

/// The search for what stands in the way.
#[derive(Clone)]
pub(super) struct ImpossibleSearch {
    order: DraftOrder,
    best: Option<Aim>,
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
    pub fn new(order: &DraftOrder, best: Option<Aim>) -> ImpossibleSearch {
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
                let space = Arc::new(Space::of(&tried.order, self.best));
                let hunt = Hunt::new(&space, tried.order.least[0]);
                self.now = Some((tried, hunt, STEPS));
                false
            }
            None => self.next_round(),
        }
    }

    fn is_needless(&self, tried: &TriedOrder) -> bool {
        matches!(&tried.what, TriedFor::Instead(change, _) if self.done.contains(change))
    }

    fn does(&mut self, tried: TriedOrder, plan: &crate::plan::Plan) {
        match tried.what {
            TriedFor::Free(demand) => self.found.because.push(demand),
            TriedFor::Needed(_) => {}
            TriedFor::Instead(change, to) => {
                let bill = Bill::of(plan);
                self.done.insert(change.clone());
                self.found.instead.push(OrderChange {
                    change,
                    to,
                    materials_sum: bill.materials.values().fold(0, |a, b| a.saturating_add(*b)),
                    parts: bill.part_count(),
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
        let tried = self.needed.iter().filter(|d| !self.waiting.is_empty() && !waits(d));
        tried.cloned().collect()
    }

    /// Changes of a demand, the smallest first.
    fn try_instead(&mut self, demand: &DraftDemand) {
        let path = demand.path();
        let order = self.order.clone();
        let mut put = |change: String, to: Value, made: &dyn Fn(&mut DraftOrder)| {
            let mut order = order.clone();
            made(&mut order);
            let what = TriedFor::Instead(change, to);
            self.waiting.push_back(TriedOrder { what, order });
        };
        match demand {
            DraftDemand::May(kind) => {
                let now = order.may.as_ref().and_then(|may| may.get(kind).copied().flatten());
                let now = now.unwrap_or(0);
                for more in [1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64] {
                    let most = now.saturating_add(more);
                    put(path.clone(), json!(most), &|order| {
                        order.may.iter_mut().for_each(|may| {
                            may.insert(kind.clone(), Some(most));
                        });
                    });
                }
            }
            DraftDemand::Duty(want) => {
                let Some(duty) = order.wants[*want].duty else {
                    return;
                };
                let graces = [300.0, 600.0, 1200.0, 1800.0, 3600.0, 7200.0];
                for grace in graces.into_iter().filter(|grace| *grace > duty.grace_s) {
                    put(format!("{path}.grace_s"), json!(grace as u64), &|order| {
                        let duty = order.wants[*want].duty.as_mut();
                        duty.into_iter().for_each(|duty| duty.grace_s = grace);
                    });
                }
                if duty.only {
                    put(format!("{path}.only"), json!(false), &|order| {
                        let duty = order.wants[*want].duty.as_mut();
                        duty.into_iter().for_each(|duty| duty.only = false);
                    });
                }
            }
            DraftDemand::Stage => {
                let stages = order.book.book.types.iter().map(|kind| kind.stage);
                let stages: BTreeSet<u64> = stages.filter(|s| Some(*s) > order.stage).collect();
                for stage in stages {
                    put(path.clone(), json!(stage), &|order| order.stage = Some(stage));
                }
            }
            DraftDemand::Material(name) => {
                let now = order.materials.get(name).copied().unwrap_or(0);
                for more in [1, 2, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 256] {
                    let there = now.saturating_add(more);
                    put(path.clone(), json!(there), &|order| {
                        order.materials.insert(name.clone(), there);
                    });
                }
            }
            DraftDemand::DullDays => {
                for days in (0..order.keeps.dull_days).rev() {
                    put(path.clone(), json!(days), &|order| order.keeps.dull_days = days);
                }
            }
            DraftDemand::Hours => {
                let asked = order.keeps.hours;
                for hours in [0.9, 0.75, 0.5, 0.25, 0.0].map(|part| libm::floor(asked * part)) {
                    put(path.clone(), json!(hours), &|order| order.keeps.hours = hours);
                }
            }
            DraftDemand::Losses => put(path, json!([]), &|order| order.keeps.losses.clear()),
            DraftDemand::Reach => put(path, json!([]), &|order| order.keeps.reach.clear()),
            DraftDemand::Switch => put(path, Value::Null, &|order| order.switch = None),
        }
    }
}
