//! A plan as it was seen: run until its days repeat, judged, and asked about the days that go on repeating.
//!
//! Energies and times "a day" are averages over those days. Everything is exact but where it is shown.

use super::super::cause::Cause;
use super::super::check::{Check, Verdict, check_keeping};
use super::super::study::Study;
use super::super::words::{Dial, length};
use super::links::Links;
use super::{Draft, FindingKind, overlap};
use crate::net::Weight;
use crate::plan::{Edit, Function, PartId, Plan, Reach, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Journey, Ledger, ledger};
use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

/// A plan, run and judged.
pub struct Simulation {
    pub plan: Arc<Plan>,
    pub check: Arc<Check>,
    study: Arc<Study>,
    /// The length of a day, the earlier midnight that the last repeats, and how far was run: to the end or not.
    pub day_ms: Ms,
    pub repeats: Option<u64>,
    pub end: Ms,
    complete: bool,
    /// The days that go on repeating, or all that were run: `[from, to)`.
    pub from: Ms,
    pub to: Ms,
    pub specs: Vec<Option<Spec>>,
    places: BTreeMap<PartId, usize>,
    links: OnceLock<Links>,
    ledger: OnceLock<Ledger>,
    whole_ledger: OnceLock<Ledger>,
    /// How many runs of changed plans were made from here.
    tries: Cell<u64>,
}

impl Simulation {
    /// Runs and judges a plan.
    pub fn new(plan: &Plan) -> Simulation {
        Simulation::of(Arc::new(Study::new(plan.clone())))
    }

    /// What is seen of a plan that is studied.
    pub fn of(study: Arc<Study>) -> Simulation {
        let plan = Arc::clone(study.plan());
        // A record is made only where more is asked than when loads ran.
        let (repeats, end, complete) = match study.loads() {
            Some(loads) => (study.check().repeats, loads.end, loads.complete),
            None => {
                let Journey {
                    repeats, record, ..
                } = &**study.journey();
                (*repeats, record.end, record.complete)
            }
        };
        let check = Arc::clone(study.check());
        let day_ms = plan.world.day_ms();
        let from = repeats.map_or(0, |n| n * day_ms);
        let to = end.max(from + 1);
        let specs = plan.parts.iter().map(|p| plan.spec(p)).collect();
        let parts = plan.parts.iter().enumerate();
        let places = parts.map(|(at, p)| (p.id.clone(), at)).collect();
        Simulation {
            plan,
            check,
            day_ms,
            repeats,
            end,
            complete,
            from,
            to,
            specs,
            places,
            links: OnceLock::new(),
            ledger: OnceLock::new(),
            whole_ledger: OnceLock::new(),
            tries: Cell::new(0),
            study,
        }
    }

    /// The plan with these edits, run and judged; `None` where they do not apply, where they break a duty that was kept,
    /// make the verdict hold for less time, or bring an error.
    pub fn tried(&self, edits: &[Edit]) -> Option<Simulation> {
        let plan = self.edited(edits)?;
        self.count(1);
        let after = Study::keeping(plan, &self.kept())?;
        self.allows(after.check())
            .then(|| Simulation::of(Arc::new(after)))
    }

    /// As [`Simulation::tried`], where the verdict alone is asked for and one more duty must be kept.
    pub fn judged(&self, edits: &[Edit], duty: usize) -> Option<Check> {
        let plan = self.edited(edits)?;
        self.count(1);
        let mut must = self.kept();
        must.push(duty);
        check_keeping(&plan, &must).filter(|check| self.allows(check))
    }

    /// Notes that so many runs more were made.
    pub fn count(&self, runs: u64) {
        self.tries.set(self.tries.get() + runs);
    }

    /// How many runs of changed plans were made from here.
    pub fn tries(&self) -> u64 {
        self.tries.get()
    }

    /// The plan with these edits; `None` where they do not apply or take a duty.
    pub fn edited(&self, edits: &[Edit]) -> Option<Plan> {
        let mut plan = Plan::clone(&self.plan);
        plan.apply_all(edits.to_vec()).ok()?;
        (plan.duties.len() == self.plan.duties.len()).then_some(plan)
    }

    /// The plan with these edits, run to its end and judged, and whether the change is allowed as in
    /// [`Simulation::tried`]; `None` where the edits do not apply or the run was stopped.
    pub fn ran(&self, edits: &[Edit]) -> Option<(Simulation, bool)> {
        self.count(1);
        let after = Simulation::new(&self.edited(edits)?);
        let allowed = self.allows(&after.check);
        after.is_whole().then_some((after, allowed))
    }

    /// The duties that are kept here and broken after a change, by their places.
    pub fn broken_in(&self, after: &Simulation) -> Vec<usize> {
        let is_kept = |at: &usize| after.check.duties.get(*at).is_some_and(|d| d.kept);
        self.kept().into_iter().filter(|at| !is_kept(at)).collect()
    }

    /// The duties that are kept, by their places.
    pub fn kept(&self) -> Vec<usize> {
        let duties = self.check.duties.iter().enumerate();
        duties.filter(|(_, d)| d.kept).map(|(at, _)| at).collect()
    }

    /// Whether every duty kept here is kept after a change, for as long, none that is broken is broken for longer, and no
    /// error comes with it.
    fn allows(&self, after: &Check) -> bool {
        let mut pairs = self.check.duties.iter().zip(&after.duties);
        let errors = |c: &Check| {
            let all = c.problems.iter();
            all.filter(|p| p.weight == Weight::Error).count()
        };
        pairs.all(|(was, is)| {
            is.kept || (!was.kept && !self.is_worse((&self.check, was), (after, is)))
        }) && (after.for_ever || !self.check.for_ever)
            && errors(after) <= errors(&self.check)
    }

    /// Whether a broken duty's load is wrongly off for longer a day after a change, by more than a thousandth of a day: a
    /// contact more moves a load by its lag.
    fn is_worse(&self, was: (&Check, &Verdict), is: (&Check, &Verdict)) -> bool {
        let day = self.day_ms;
        let off = |(check, verdict): (&Check, &Verdict)| {
            let gaps = verdict.gaps.iter().filter(|g| !g.on);
            let gaps: Vec<(Ms, Ms)> = gaps.map(|g| (g.from, g.to)).collect();
            let (from, to) = (check.repeats.unwrap_or(0) * day, check.days * day);
            (overlap(&gaps, from, to), (to - from).max(1))
        };
        let ((before, of), (after, of_after)) = (off(was), off(is));
        let [before, of, after, of_after] = [before, of, after, of_after].map(u128::from);
        (after * of).saturating_sub(before * of_after) * 1000 > of * of_after
    }

    /// Whether a trial is worth it: a run that was stopped tells nothing about a change.
    pub fn is_whole(&self) -> bool {
        self.complete
    }

    /// Whether any duty is kept.
    pub fn keeps_any(&self) -> bool {
        self.check.duties.iter().any(|d| d.kept)
    }

    /// What the wires carry in the days that repeat.
    pub fn ledger(&self) -> &Ledger {
        self.ledger
            .get_or_init(|| ledger(&self.plan, self.from, self.to))
    }

    /// What the wires carry in the whole run: what never happens in it is not in the days before those that repeat either.
    pub fn whole_ledger(&self) -> &Ledger {
        self.whole_ledger.get_or_init(|| match self.from {
            0 => self.ledger().clone(),
            _ => ledger(&self.plan, 0, self.to),
        })
    }

    /// What all that stands behind a wire draws, up to what each battery takes at the most.
    pub fn drawn_behind(&self, wire: usize) -> u64 {
        let Some(first) = self.place(&self.plan.wires[wire].to.part) else {
            return 0;
        };
        let mut seen = BTreeSet::from([first]);
        let mut order = vec![first];
        let mut sum = 0u64;
        while let Some(here) = order.pop() {
            sum = sum.saturating_add(match self.specs[here] {
                Some(Spec::Load { draw, .. }) => draw,
                Some(Spec::Battery { max_in, .. }) => max_in,
                _ => 0,
            });
            if matches!(self.specs[here], Some(Spec::Battery { .. })) {
                continue;
            }
            let id = &self.plan.parts[here].id;
            let leaving = self.plan.wires.iter().filter(|w| w.from.part == *id);
            for far in leaving.filter_map(|w| self.place(&w.to.part)) {
                if seen.insert(far) {
                    order.push(far);
                }
            }
        }
        sum
    }

    /// What a change brings loads and duties: `loads use 12 u·h a day more`, `the duty of Heater is kept for ever`.
    pub fn brings(&self, after: &Simulation) -> String {
        let pairs = self.check.duties.iter().zip(&after.check.duties);
        let new: Vec<String> = pairs
            .filter(|(was, is)| is.kept && !was.kept)
            .map(|(was, _)| self.plan.called(&was.part))
            .collect();
        let gain = after.a_day(after.used_by_all()) - self.a_day(self.used_by_all());
        // Less than what is shown as a tenth is nothing.
        if !new.is_empty() {
            let long = match after.check.for_ever {
                true => "for ever".into(),
                false => format!("for {} days", after.check.days),
            };
            let duties = match new.len() {
                1 => format!("the duty of {} is", new[0]),
                n => format!("{n} duties more are"),
            };
            format!("{duties} kept {long}")
        } else if gain >= STEP_MS * 360_000 {
            let unit = &self.plan.book.book.unit;
            format!("loads use {} a day more", unit.say_energy(gain))
        } else {
            "loads use no less".into()
        }
    }

    /// Why a duty is broken, gap by gap.
    pub fn causes(&self, duty: usize) -> &[Cause] {
        let all = self.study.causes();
        all.get(duty).map_or(&[], Vec::as_slice)
    }

    /// The places of the parts that a kind of finding can be about.
    pub fn parts_for(&self, kind: FindingKind) -> Vec<usize> {
        let plan = &self.plan;
        let is = |at: &usize| match (&self.specs[*at], kind) {
            (Some(Spec::Load { .. }), FindingKind::Needless)
            | (Some(Spec::Battery { .. }), FindingKind::NeverFull | FindingKind::Full)
            | (Some(Spec::Source { .. }), FindingKind::Spilled)
            | (Some(Spec::Tap(_)), FindingKind::WideTap)
            | (Some(Spec::Tap(_) | Spec::Divider(_)), FindingKind::LostShare) => true,
            (Some(Spec::Contact { function, .. }), FindingKind::ReachableSwitch) => {
                // Where no part is marked the losses try every switch, for then nobody has said who reaches what; but that
                // a stranger does would be said here without anybody having said so.
                let reach = plan.reach_of(&plan.parts[*at]);
                matches!(function, Function::Manual { .. })
                    && matches!(reach, Some(Reach::Anyone | Reach::Friends))
            }
            (Some(Spec::Contact { .. }), FindingKind::PlainLoop) => {
                let kind = plan.kind_of(&plan.parts[*at]);
                kind.is_some_and(|t| {
                    t.ports()
                        .iter()
                        .any(|p| p.side == crate::book::Side::Signal)
                })
            }
            (Some(Spec::Load { .. }), FindingKind::SinglePoint) => false,
            (Some(_), FindingKind::SinglePoint) => !plan.duties.is_empty(),
            _ => false,
        };
        (0..plan.parts.len()).filter(is).collect()
    }

    /// Whether the part is a switch that is thrown by hand.
    pub fn is_switch(&self, part: usize) -> bool {
        matches!(
            self.specs[part],
            Some(Spec::Contact {
                function: Function::Manual { .. },
                ..
            })
        )
    }

    /// The place of a part.
    pub fn place(&self, id: &PartId) -> Option<usize> {
        self.places.get(id).copied()
    }

    pub fn id(&self, part: usize) -> &PartId {
        &self.plan.parts[part].id
    }

    /// What people call the part at this place.
    pub fn name(&self, part: usize) -> String {
        self.plan.called(self.id(part))
    }

    /// Of an amount in the days that repeat, what comes on one day.
    pub fn a_day(&self, amount: Energy) -> Energy {
        amount * Energy::from(self.day_ms) / Energy::from(self.to - self.from)
    }

    /// An energy in the days that repeat, said for a day: `12.5 u·h a day`.
    pub fn energy_a_day(&self, energy: Energy) -> String {
        let unit = &self.plan.book.book.unit;
        format!("{} a day", unit.say_energy(self.a_day(energy)))
    }

    /// A time in the days that repeat, said for a day: `6 h 10 min a day`.
    pub fn time_a_day(&self, time: Ms) -> String {
        format!("{} a day", length(self.time_of_day(time)))
    }

    /// Of a time in the days that repeat, what comes on one day.
    pub fn time_of_day(&self, time: Ms) -> Ms {
        Ms::try_from(self.a_day(Energy::from(time))).unwrap_or(Ms::MAX)
    }

    /// Tells moments of the run.
    pub fn dial(&self) -> Dial {
        Dial {
            day_ms: self.day_ms,
            days: self.end / self.day_ms.max(1),
        }
    }

    /// Which days repeat, where it is not all that were run: `on day 3, which goes on repeating,`.
    pub fn days(&self) -> Option<String> {
        let day = self.day_ms.max(1);
        let (first, last) = (self.from / day + 1, self.to.div_ceil(day));
        (self.from > 0).then(|| match first == last {
            true => format!("on day {first}, which goes on repeating,"),
            false => format!("on days {first} to {last}, which go on repeating,"),
        })
    }

    /// Which days figures "a day" are of, as a sentence, where it is not the only one.
    pub fn days_told(&self) -> Option<String> {
        let day = self.day_ms.max(1);
        let (first, last) = (self.from / day + 1, self.to.div_ceil(day));
        let of = match self.repeats {
            _ if last <= 1 => return None,
            Some(_) if first == last => format!("those of day {first}, which goes on repeating"),
            Some(_) => format!("the average of days {first} to {last}, which go on repeating"),
            None => format!("the average of the {last} days run"),
        };
        Some(format!("Figures a day are {of}."))
    }

    /// The record of the run.
    pub fn journey(&self) -> &Journey {
        self.study.journey()
    }

    /// When a load ran, from the beginning.
    pub fn all_runs(&self, part: usize) -> &[(Ms, Ms)] {
        let runs = match self.study.loads() {
            Some(loads) => loads.runs.get(&part),
            None => self
                .journey()
                .record
                .loads
                .get(&part)
                .map(|load| &load.runs),
        };
        runs.map_or(&[], Vec::as_slice)
    }

    /// When a load ran in the days that repeat.
    pub fn runs(&self, part: usize) -> Vec<(Ms, Ms)> {
        clipped(self.all_runs(part), self.from, self.to)
    }

    /// What a load used in the days that repeat.
    pub fn used(&self, part: usize) -> Energy {
        let Some(Spec::Load { draw, .. }) = self.specs[part] else {
            return 0;
        };
        let time: Ms = self.runs(part).iter().map(|(a, b)| b - a).sum();
        Energy::from(time) * Energy::from(draw) * STEP_MS
    }

    /// What all loads used in the days that repeat.
    pub fn used_by_all(&self) -> Energy {
        (0..self.plan.parts.len()).map(|at| self.used(at)).sum()
    }

    /// What a source could give and what it gave, within a stretch.
    pub fn given(&self, part: usize, from: Ms, to: Ms) -> (Energy, Energy) {
        let source = self.journey().record.sources.get(&part);
        source.map_or((0, 0), |s| {
            (steps_sum(&s.could, from, to), steps_sum(&s.gives, from, to))
        })
    }

    /// What a source spilled in the days that repeat.
    pub fn spilled(&self, part: usize) -> Energy {
        let (could, gave) = self.given(part, self.from, self.to);
        could - gave
    }

    /// A battery's course in the days that repeat.
    pub fn levels(&self, part: usize) -> Vec<(Ms, Energy)> {
        self.levels_from(part, self.from)
    }

    /// A battery's course from a time to the end of the run.
    pub fn levels_from(&self, part: usize, from: Ms) -> Vec<(Ms, Energy)> {
        let battery = self.journey().record.batteries.get(&part);
        let points = battery.map_or(&[][..], |b| b.level.as_slice());
        let mut out = Vec::new();
        for pair in points.windows(2) {
            let ((a, low), (b, high)) = (pair[0], pair[1]);
            if b < from || a >= self.to || a == b {
                continue;
            }
            let at = |t: Ms| low + (high - low) * Energy::from(t - a) / Energy::from(b - a);
            for t in [a.max(from), b.min(self.to)] {
                if out.last() != Some(&(t, at(t))) {
                    out.push((t, at(t)));
                }
            }
        }
        out
    }

    /// When a battery is full, in the days that repeat.
    pub fn full(&self, part: usize) -> Vec<(Ms, Ms)> {
        let Some(Spec::Battery { capacity, .. }) = self.specs[part] else {
            return Vec::new();
        };
        let mut out: Vec<(Ms, Ms)> = Vec::new();
        for pair in self.levels(part).windows(2) {
            if pair.iter().any(|(_, level)| *level != capacity) || pair[0].0 == pair[1].0 {
                continue;
            }
            match out.last_mut().filter(|last| last.1 == pair[0].0) {
                Some(last) => last.1 = pair[1].0,
                None => out.push((pair[0].0, pair[1].0)),
            }
        }
        out
    }

    /// The parts from which feed wires lead to a part, the nearest first; through batteries too.
    pub fn upstream(&self, part: usize) -> Vec<usize> {
        self.links().reached(part, false, false)
    }

    /// As [`Simulation::upstream`], with the parts whose signals act on those.
    pub fn ahead(&self, part: usize) -> Vec<usize> {
        self.links().reached(part, false, true)
    }

    /// The parts to which feed wires lead from a part, the nearest first; through batteries too.
    pub fn downstream(&self, part: usize) -> Vec<usize> {
        self.links().reached(part, true, false)
    }

    /// The parts from which wires lead to a part, and whether to a signal port of it.
    pub fn leading_to(&self, part: usize) -> &[(usize, bool)] {
        &self.links().into[part]
    }

    fn links(&self) -> &Links {
        let place = |id: &PartId| self.place(id);
        self.links.get_or_init(|| Links::of(&self.plan, &place))
    }

    /// Whether no load of this plan uses less a day in `after`, but for a thousandth and for those named. A contact that is
    /// added or taken away moves a load by its lag, which is no loss; no sentence claims more on the strength of this.
    pub fn no_load_loses(&self, after: &Simulation, but: &[&PartId]) -> bool {
        self.loads_use(after, but, 999, 1000)
    }

    /// Whether every load of this plan runs at least as long a day in `after`, to the millisecond.
    pub fn every_load_runs_as_long(&self, after: &Simulation) -> bool {
        self.loads_use(after, &[], 1, 1)
    }

    /// Whether every load but those named uses at least so much a day in `after` of what it uses here.
    fn loads_use(&self, after: &Simulation, but: &[&PartId], share: Energy, of: Energy) -> bool {
        // Days that repeat may be more or fewer after: each energy is taken as many times as the other has days.
        let (here, there) = (self.to - self.from, after.to - after.from);
        (0..self.plan.parts.len()).all(|at| {
            let id = self.id(at);
            if but.contains(&id) || !matches!(self.specs[at], Some(Spec::Load { .. })) {
                return true;
            }
            let was = self.used(at).saturating_mul(Energy::from(there));
            let used = after.place(id).map_or(0, |at| after.used(at));
            let is = used.saturating_mul(Energy::from(here));
            is.saturating_mul(of) >= was.saturating_mul(share)
        })
    }

    /// A change made by hand on a draft; `None` where it can't be.
    pub fn drafted(&self, make: impl FnOnce(&mut Draft) -> Option<()>) -> Option<Vec<Edit>> {
        let mut draft = Draft::new(&self.plan);
        make(&mut draft)?;
        Some(draft.edits)
    }
}

/// The parts of stretches that lie in `[from, to)`.
pub fn clipped(stretches: &[(Ms, Ms)], from: Ms, to: Ms) -> Vec<(Ms, Ms)> {
    stretches
        .iter()
        .map(|(a, b)| ((*a).max(from), (*b).min(to)))
        .filter(|(a, b)| a < b)
        .collect()
}

/// A value that keeps until its next change, summed over a stretch.
fn steps_sum(steps: &[(Ms, u64)], from: Ms, to: Ms) -> Energy {
    let ends = steps.iter().skip(1).map(|(t, _)| *t).chain([Ms::MAX]);
    steps
        .iter()
        .zip(ends)
        .map(|((a, value), b)| {
            let time = b.min(to).saturating_sub((*a).max(from));
            Energy::from(*value) * Energy::from(time) * STEP_MS
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_that_runs_a_minute_less_a_day_loses_nothing_but_does_not_run_as_long() {
        let until = |to: &str| {
            Simulation::new(&crate::net::testing::plan(&format!(
                r#"{{ "parts": {{ "gen": "generator", "hours": ["time-switch", {{ "from": "00:00", "to": "{to}" }}],
                        "lamp": "lamp" }},
                     "wires": ["gen.out hours.feed", "hours.out lamp.in"] }}"#
            )))
        };
        let (long, short, night) = (until("23:59"), until("23:58"), until("12:00"));
        assert_eq!(long.used(2) - short.used(2), 2 * 60_000 * STEP_MS);
        assert!(long.no_load_loses(&short, &[]) && short.no_load_loses(&long, &[]));
        assert!(!long.every_load_runs_as_long(&short) && short.every_load_runs_as_long(&long));
        assert!(long.every_load_runs_as_long(&long) && !long.no_load_loses(&night, &[]));
    }

    #[test]
    fn parts_are_reached_along_feed_wires_through_batteries_and_the_nearest_first() {
        let seen = Simulation::new(&crate::net::testing::plan(
            r#"{ "parts": { "lamp": "lamp", "relay": "relay", "cell": "battery", "tap": "tap", "gen": "generator" },
                 "wires": ["cell.out relay.feed", "tap.tap relay.coil", "relay.out lamp.in", "tap.rest cell.in", "gen.out tap.in"] }"#,
        ));
        let names = |all: Vec<usize>| all.into_iter().map(|at| seen.name(at)).collect::<Vec<_>>();
        let at = |id: &str| seen.place(&id.into()).unwrap();
        assert_eq!(
            names(seen.upstream(at("lamp"))),
            ["relay", "cell", "tap", "gen"]
        );
        assert_eq!(
            names(seen.downstream(at("gen"))),
            ["tap", "cell", "relay", "lamp"]
        );
        assert_eq!(
            seen.leading_to(at("relay")),
            [(at("cell"), false), (at("tap"), true)]
        );
    }
}
