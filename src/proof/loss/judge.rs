//! Many losses of one plan judged: only the island that a loss is on is run again, and losses that leave the same are
//! judged once. Where islands can't be told apart exactly, the whole plan is run instead.

use super::hours::{Effect, LoadHours};
use super::island::{islands, part_of};
use super::island_run::{EnoughSeen, IslandRun, Together, Watched, joint_end};
use super::wiring::{LossKey, Wiring};
use super::{Harm, Loss, LossReport, without};
use crate::net::Net;
use crate::plan::{PartId, Plan, Spec, WireId};
use crate::proof::check::{Check, Judge};
use crate::proof::stretch::{Stretch, stretches};
use crate::proof::watch::Watch;
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{BOUND, Clockwork, Engine, Template};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::Arc;

/// When loads ran.
type Runs = BTreeMap<PartId, Vec<(Ms, Ms)>>;

/// Answers kept at the most before all are forgotten.
const KEPT: usize = 100_000;

/// Judges losses of one plan.
pub struct LossJudge<'a> {
    pub(super) plan: &'a Plan,
    pub(super) day: Ms,
    /// The duties that the whole plan keeps.
    duties: Vec<Kept>,
    pub(super) islands: Vec<Island>,
    /// The island of each part, and of each wire.
    island_of: BTreeMap<PartId, usize>,
    wire_island: BTreeMap<WireId, usize>,
    /// The whole plan's run, by island.
    pub(super) whole: Vec<IslandRun>,
    pub(super) end: (u64, Option<u64>),
    /// What the islands do together; none where there is but one to run.
    pub(super) together: Option<Together>,
    known: BTreeMap<LossKey, Rc<LossReport>>,
    /// Whether losses break something, of which it is not known what.
    breaking: BTreeMap<LossKey, bool>,
    /// Losses that break every duty, of which no more is known.
    breaking_all: BTreeSet<LossKey>,
    /// How many runs were made.
    pub(super) runs: u64,
    /// What is known of parts lost, where loads without a duty were looked at too.
    pub(super) effects: BTreeMap<LossKey, Rc<Effect>>,
    /// How long the whole plan's loads run, once it was asked for.
    pub(super) whole_hours: Option<Option<LoadHours>>,
}

struct Kept {
    at: usize,
    island: usize,
    /// The place of its load among the parts of that island.
    load: Option<usize>,
    /// Whether it must run only then, and the grace.
    bounds: (bool, Ms),
    applies: Arc<Clockwork>,
    draw: u64,
}

pub(super) struct Island {
    plan: Plan,
    shape: Wiring,
    /// What runs of less of it begin from, where they can.
    template: Option<Template>,
}

impl Island {
    /// An engine of what losses with this key leave of the island; none where that has to be compiled anew.
    fn left(&self, key: &LossKey, losses: &[&Loss]) -> Option<Engine> {
        let template = self.template.as_ref()?;
        let (parts, wires) = self.shape.there_of(key, losses)?;
        Some(template.begin(&self.plan, &parts, &wires))
    }

    /// Runs what losses leave; see [`IslandRun::of`].
    pub(super) fn run(
        &self,
        (key, losses): (&LossKey, &[&Loss]),
        apart: bool,
        enough: Option<EnoughSeen>,
        watched: &dyn Fn(&Engine) -> Watched,
    ) -> IslandRun {
        if let Some(engine) = self.left(key, losses) {
            let watched = watched(&engine);
            return IslandRun::of(engine, &self.plan, apart, enough, watched);
        }
        // What can't matter any more is not run: a load whose power never comes did not run.
        let left = self.shape.left_of(&self.plan, key);
        let left = losses.iter().fold(left, |plan, loss| without(&plan, loss));
        IslandRun::run(&left, apart, enough)
    }
}

impl<'a> LossJudge<'a> {
    /// LossJudge of `plan`; `whole` is its check.
    pub fn new(plan: &'a Plan, whole: &Check) -> LossJudge<'a> {
        let net = Net::compile(plan);
        let mut lists = islands(plan, &net);
        let mut together = None;
        let mut runs: Vec<IslandRun> = Vec::new();
        let mut end = (0, None);
        if lists.len() > 1 {
            let apart = |list: &Vec<usize>| IslandRun::run(&part_of(plan, list), true, None);
            runs = lists.iter().map(apart).collect();
            end = joint_end(runs.iter());
            let events = runs.iter().map(|r| r.events).sum::<u64>();
            // As many events again as the joint run may have: days that repeat are told once above.
            let sound = runs.iter().all(|r| !r.odd)
                && events.saturating_mul(end.0 + 1) < BOUND
                && (whole.days, whole.for_ever) == (end.0, end.1.is_some());
            together = Together::of(&runs, end).filter(|_| sound);
        }
        if together.is_none() {
            runs = vec![IslandRun::run(&part_of(plan, &all(plan)), false, None)];
            end = (runs[0].days, runs[0].earlier);
            lists = vec![all(plan)];
        }
        let mut island_of = BTreeMap::new();
        for (number, list) in lists.iter().enumerate() {
            for at in list {
                island_of.insert(plan.parts[*at].id.clone(), number);
            }
        }
        let wires = plan.wires.iter();
        let wire_island = wires
            .filter_map(|w| Some((w.id.clone(), *island_of.get(&w.from.part)?)))
            .collect();
        let islands = lists.iter().map(|list: &Vec<usize>| {
            let plan = part_of(plan, list);
            let shape = Wiring::new(&plan);
            let template = Template::of(&plan);
            Island {
                plan,
                shape,
                template,
            }
        });
        LossJudge {
            plan,
            day: plan.world.day_ms(),
            duties: kept(plan, &net, whole, &island_of, &lists),
            islands: islands.collect(),
            island_of,
            wire_island,
            whole: runs,
            end,
            together,
            known: BTreeMap::new(),
            breaking: BTreeMap::new(),
            breaking_all: BTreeSet::new(),
            runs: 0,
            effects: BTreeMap::new(),
            whole_hours: None,
        }
    }

    /// How many islands are run apart; 1 where the whole plan is run each time.
    pub fn islands(&self) -> usize {
        self.islands.len()
    }

    /// What one loss breaks.
    pub fn judge(&mut self, loss: &Loss) -> LossReport {
        self.judge_all(&[loss])
    }

    /// Whether one loss breaks anything: sooner known than what it breaks.
    pub fn breaks_any(&mut self, loss: &Loss) -> bool {
        let own =
            |kept: &Kept| matches!(loss, Loss::Part(id) if *id == self.plan.duties[kept.at].part);
        if self.duties.iter().any(own) {
            return true;
        }
        let Some(key) = self.key(&[loss]) else {
            return false;
        };
        if let Some(breaks) = self.breaking.get(&key) {
            return *breaks;
        }
        if self.breaking_all.contains(&key) {
            return true;
        }
        match self.known_soon(&key, loss, true) {
            Some(breaks) => !breaks.is_empty(),
            None => {
                self.breaking.insert(key, true);
                true
            }
        }
    }

    /// The duties that one loss breaks, as in [`LossJudge::judge`]: known sooner than what becomes of them.
    pub fn breaks(&mut self, loss: &Loss) -> Vec<usize> {
        let Some(key) = self.key(&[loss]) else {
            return Vec::new();
        };
        if !self.breaking_all.contains(&key) {
            if let Some(breaks) = self.known_soon(&key, loss, false) {
                return breaks;
            }
            self.breaking_all.insert(key);
        }
        self.duties.iter().map(|kept| kept.at).collect()
    }

    /// The duties that a loss breaks; none where the run was left because any of them was broken, if `any` is asked for, or
    /// because all were.
    fn known_soon(&mut self, key: &LossKey, loss: &Loss, any: bool) -> Option<Vec<usize>> {
        // Where islands are run apart, what a run shows is told only once it is over.
        let is_known = self.known.contains_key(key) || self.duties.is_empty();
        if self.together.is_some() || is_known {
            return Some(self.judge(loss).breaks);
        }
        let trial = self.run_whole(key, &[loss], Some(any));
        if trial.left {
            return None;
        }
        let (mut report, alike) = self.told_whole(&trial);
        self.keep(key.clone(), Rc::new(report.clone()), alike);
        self.add_own(&mut report, &[loss]);
        Some(report.breaks)
    }

    /// How many runs of less than the plan were made.
    pub fn runs(&self) -> u64 {
        self.runs
    }

    /// The kept duties under watch in a run of the only island.
    fn watched(&self, engine: &Engine, any: bool) -> Watched {
        let watch =
            |kept: &Kept| Watch::of(kept.bounds, kept.load, Arc::clone(&kept.applies), engine);
        Watched {
            duties: self.duties.iter().map(watch).collect(),
            any,
        }
    }

    /// The island of a loss; losses on two of them can't help each other.
    pub(super) fn island(&self, loss: &Loss) -> Option<usize> {
        let island = match loss {
            Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => self.island_of.get(id),
            Loss::Wire(id) => self.wire_island.get(id),
        };
        island.copied()
    }

    /// The same key for losses of one island that leave the same.
    pub(super) fn key(&self, losses: &[&Loss]) -> Option<LossKey> {
        let island = self.island(losses.first()?)?;
        Some(self.islands.get(island)?.shape.key(island, losses))
    }

    /// What losses on one island break together; the report names the first.
    pub(super) fn judge_all(&mut self, losses: &[&Loss]) -> LossReport {
        let nothing = |loss: &Loss| LossReport {
            loss: loss.clone(),
            breaks: Vec::new(),
            harms: Vec::new(),
            days: self.end.0,
            loss_of_load: 0,
        };
        let Some(key) = self.key(losses) else {
            return losses.first().map_or_else(
                || nothing(&Loss::Part(PartId::from(""))),
                |loss| nothing(loss),
            );
        };
        if self.duties.is_empty() {
            return nothing(losses[0]);
        }
        let report = match self.known.get(&key) {
            Some(report) => report.clone(),
            None => {
                let (report, alike) = self.tried(&key, losses);
                let report = Rc::new(report);
                self.keep(key, Rc::clone(&report), alike);
                report
            }
        };
        let mut report = LossReport::clone(&report);
        report.loss = losses[0].clone();
        self.add_own(&mut report, losses);
        report
    }

    /// Keeps a report for other losses that leave the same, where they are `alike`.
    fn keep(&mut self, key: LossKey, report: Rc<LossReport>, alike: bool) {
        if self.known.len() >= KEPT {
            self.known.clear();
        }
        if alike {
            self.known.insert(key, report);
        }
    }

    /// Losing a duty's own load breaks that duty, whatever was seen.
    pub(super) fn add_own(&self, report: &mut LossReport, losses: &[&Loss]) {
        let lost =
            |id: &PartId| (losses.iter()).any(|l| matches!(l, Loss::Part(part) if part == id));
        for kept in &self.duties {
            if lost(&self.plan.duties[kept.at].part) && !report.breaks.contains(&kept.at) {
                report.breaks.push(kept.at);
                report.harms.push(Harm {
                    duty: kept.at,
                    first: None,
                    lasts: Some(0),
                    dark: 0,
                    needless: 0,
                    unserved: 0,
                });
            }
        }
        report.breaks.sort_unstable();
        report.harms.sort_unstable_by_key(|h| h.duty);
    }

    /// What losses break, and whether others that leave the same break the same: near the bound of events they may not,
    /// for a part that does nothing may have events too.
    fn tried(&mut self, key: &LossKey, losses: &[&Loss]) -> (LossReport, bool) {
        let island = key.island;
        if let Some(together) = &self.together {
            self.runs += 1;
            // Where the whole plan repeats, what other islands keep they keep however long this one is run.
            let all_broken = |runs: &Runs, t: Ms| self.all_broken(Some(island), runs, t);
            let enough: Option<EnoughSeen> = self.end.1.map(|_| &all_broken as EnoughSeen);
            let unwatched = |_: &Engine| Watched::default();
            let trial = self.islands[island].run((key, losses), true, enough, &unwatched);
            let others = self
                .whole
                .iter()
                .enumerate()
                .filter(|(at, _)| *at != island);
            let others = others.map(|(_, t)| t);
            let (days, earlier) = match trial.cut {
                true => (trial.days, None),
                false => joint_end(others.chain([&trial])),
            };
            let events = self.whole.iter().map(|t| t.events).sum::<u64>() + trial.events;
            if !trial.odd && events.saturating_mul(days + 1) < BOUND && together.bears(&trial, days)
            {
                return (self.report(island, &trial, days, earlier), true);
            }
        }
        let trial = self.run_whole(key, losses, None);
        self.told_whole(&trial)
    }

    /// Runs the whole plan as losses leave it; where it is said, the run is left as soon as any duty is broken, or all are.
    fn run_whole(&mut self, key: &LossKey, losses: &[&Loss], any: Option<bool>) -> IslandRun {
        self.runs += 1;
        let all_broken = |runs: &Runs, t: Ms| self.all_broken(None, runs, t);
        match self.islands.as_slice() {
            [island] => {
                let watched = |engine: &Engine| {
                    any.map_or_else(Watched::default, |any| self.watched(engine, any))
                };
                island.run((key, losses), false, Some(&all_broken), &watched)
            }
            _ => {
                let left = part_of(self.plan, &all(self.plan));
                let left = losses.iter().fold(left, |plan, loss| without(&plan, loss));
                IslandRun::run(&left, false, Some(&all_broken))
            }
        }
    }

    /// What a run of the whole plan tells; see [`LossJudge::tried`].
    pub(super) fn told_whole(&self, trial: &IslandRun) -> (LossReport, bool) {
        let events = trial.events + self.whole.iter().map(|t| t.events).sum::<u64>();
        let report = self.report(usize::MAX, trial, trial.days, trial.earlier);
        (report, events < BOUND)
    }

    /// Whether every kept duty, of an island or of all, is broken by what was seen up to `t`: then it stays broken.
    fn all_broken(&self, island: Option<usize>, runs: &Runs, t: Ms) -> bool {
        let judge = Judge {
            day: self.day,
            end: t,
            earlier: None,
        };
        let mut duties = self.duties.iter();
        duties.all(|kept| {
            let duty = &self.plan.duties[kept.at];
            let runs = runs.get(&duty.part).map_or(&[][..], Vec::as_slice);
            island.is_some_and(|island| island != kept.island)
                || !judge
                    .gaps(duty, &stretches(&kept.applies, runs, t))
                    .is_empty()
        })
    }

    /// Judges a run in which `trial` stands in for an island, or for all where there is no such island.
    pub(super) fn report(
        &self,
        island: usize,
        trial: &IslandRun,
        days: u64,
        earlier: Option<u64>,
    ) -> LossReport {
        let judge = Judge {
            day: self.day,
            end: trial.stopped.unwrap_or(days * self.day),
            earlier: earlier.filter(|_| trial.stopped.is_none()),
        };
        let counted = (judge.earlier.unwrap_or(0) * self.day, judge.end);
        let mut report = LossReport {
            loss: Loss::Part(PartId::from("")),
            breaks: Vec::new(),
            harms: Vec::new(),
            days: (counted.1 - counted.0).div_ceil(self.day.max(1)),
            loss_of_load: 0,
        };
        let mut dark = Vec::new();
        for kept in &self.duties {
            let of = match self.whole.get(kept.island) {
                Some(whole) if island != usize::MAX && kept.island != island => {
                    if trial.cut || (days, earlier) == self.end {
                        continue;
                    }
                    whole
                }
                _ => trial,
            };
            let duty = &self.plan.duties[kept.at];
            let runs = of.runs_to(&duty.part, days, self.day);
            let all = stretches(&kept.applies, &runs, judge.end);
            let gaps = judge.gaps(duty, &all);
            if let Some(first) = gaps.first() {
                report.breaks.push(kept.at);
                let lasts = judge.lasts(first, &all);
                let first = (first.from, lasts);
                let harm = harm(kept, first, &all, &gaps, counted, &mut dark);
                report.harms.push(harm);
            }
        }
        report.loss_of_load = covered(dark);
        report
    }
}

/// The places of all parts.
pub(super) fn all(plan: &Plan) -> Vec<usize> {
    (0..plan.parts.len()).collect()
}

/// The duties that the whole plan keeps.
fn kept(
    plan: &Plan,
    net: &Net,
    whole: &Check,
    island_of: &BTreeMap<PartId, usize>,
    lists: &[Vec<usize>],
) -> Vec<Kept> {
    let place = |id: &PartId, island: usize| {
        let mut parts = lists.get(island)?.iter();
        parts.position(|at| plan.parts[*at].id == *id)
    };
    let sky = plan.world.sky();
    let parts = plan.parts.iter().zip(&net.nodes);
    let draws: BTreeMap<&PartId, u64> = parts
        .filter_map(|(part, node)| match node.spec {
            Some(Spec::Load { draw, .. }) => Some((&part.id, draw)),
            _ => None,
        })
        .collect();
    let duties = plan.duties.iter().enumerate();
    duties
        .filter(|(at, _)| whole.duties.get(*at).is_some_and(|d| d.kept))
        .map(|(at, duty)| Kept {
            at,
            island: island_of.get(&duty.part).copied().unwrap_or(usize::MAX),
            load: island_of
                .get(&duty.part)
                .and_then(|island| place(&duty.part, *island)),
            bounds: (duty.only, duty.grace_ms()),
            applies: Arc::new(Clockwork::of_duty(duty.when, &plan.world, &sky)),
            draw: draws.get(&duty.part).copied().unwrap_or(0),
        })
        .collect()
}

/// What becomes of a broken duty; its dark stretches in the days counted are added to `dark`.
fn harm(
    kept: &Kept,
    (first, lasts): (Ms, Option<Ms>),
    all: &[Stretch],
    gaps: &[Stretch],
    (from, to): (Ms, Ms),
    dark: &mut Vec<(Ms, Ms)>,
) -> Harm {
    let within = |s: &Stretch| {
        let part = (s.from.max(from), s.to.min(to));
        (part.0 < part.1).then_some(part)
    };
    let length = |(from, to): (Ms, Ms)| to - from;
    let own: Vec<(Ms, Ms)> = (all.iter().filter(|s| !s.on)).filter_map(within).collect();
    let time: Ms = own.iter().copied().map(length).sum();
    dark.extend(own);
    let needless = gaps.iter().filter(|s| s.on).filter_map(within);
    Harm {
        duty: kept.at,
        first: Some(first),
        lasts,
        dark: time,
        needless: needless.map(length).sum(),
        unserved: Energy::from(time) * Energy::from(kept.draw) * STEP_MS,
    }
}

/// How much time stretches cover that may overlap.
fn covered(mut all: Vec<(Ms, Ms)>) -> Ms {
    all.sort_unstable();
    let (mut sum, mut until) = (0, 0);
    for (from, to) in all {
        sum += to.saturating_sub(from.max(until));
        until = until.max(to);
    }
    sum
}
