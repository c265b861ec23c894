//! A plan as it was seen: run until its days repeat, judged, and asked about the days that go on repeating.
//!
//! Energies and times "a day" are averages over those days. Everything is exact but where it is shown.

use super::super::cause::{Cause, causes};
use super::super::check::{Check, check};
use super::super::words::{Dial, length};
use super::{Draft, FindingKind};
use crate::book::Side;
use crate::net::Weight;
use crate::plan::{Duty, Edit, Function, PartId, Plan, Reach, Spec, When};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Course, Extent, Journey, Ledger, ledger};
use std::collections::BTreeSet;
use std::sync::OnceLock;

/// A plan, run and judged.
pub struct Seen {
    pub plan: Plan,
    pub check: Check,
    pub journey: Journey,
    /// The days that go on repeating, or all that were run: `[from, to)`.
    pub from: Ms,
    pub to: Ms,
    pub specs: Vec<Option<Spec>>,
    ledger: OnceLock<Ledger>,
    whole_ledger: OnceLock<Ledger>,
    causes: OnceLock<Vec<Vec<Cause>>>,
}

/// How many events of a run are gone through at a time; only whether there are more matters.
const PIECE: u64 = 100_000;

impl Seen {
    /// Runs and judges a plan.
    pub fn new(plan: &Plan) -> Seen {
        Seen::of(plan.clone(), check(plan))
    }

    fn of(plan: Plan, check: Check) -> Seen {
        let mut course = Course::new(&plan, Extent::UntilRepeat);
        while !course.go(PIECE) {}
        let journey = course.finish(&plan);
        let from = journey.repeats.map_or(0, |n| n * journey.day_ms);
        let to = journey.record.end.max(from + 1);
        let specs = plan.parts.iter().map(|p| plan.spec(p)).collect();
        Seen {
            plan,
            check,
            journey,
            from,
            to,
            specs,
            ledger: OnceLock::new(),
            whole_ledger: OnceLock::new(),
            causes: OnceLock::new(),
        }
    }

    /// The plan with these edits, run and judged; `None` where they do not apply, where they break a duty that was kept,
    /// make the verdict hold for less time, or bring an error.
    pub fn tried(&self, edits: &[Edit]) -> Option<Seen> {
        let (plan, check) = self.judged(edits)?;
        Some(Seen::of(plan, check))
    }

    /// As [`Seen::tried`], where the verdict alone is asked for.
    pub fn judged(&self, edits: &[Edit]) -> Option<(Plan, Check)> {
        let mut plan = self.plan.clone();
        plan.apply_all(edits.to_vec()).ok()?;
        let check = check(&plan);
        let mut pairs = self.check.duties.iter().zip(&check.duties);
        let keeps = check.duties.len() == self.check.duties.len()
            && pairs.all(|(was, is)| is.kept || !was.kept);
        let errors = |c: &Check| {
            c.problems
                .iter()
                .filter(|p| p.weight == Weight::Error)
                .count()
        };
        let lasts = check.for_ever || !self.check.for_ever;
        (keeps && lasts && errors(&check) <= errors(&self.check)).then_some((plan, check))
    }

    /// Whether a trial is worth it: a run that was stopped tells nothing about a change.
    pub fn is_whole(&self) -> bool {
        self.journey.record.complete
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
    pub fn brings(&self, after: &Seen) -> String {
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
        let all = self
            .causes
            .get_or_init(|| causes(&self.plan, &self.check, &mut |_, _| {}));
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
                let reach = plan.parts[*at].reach;
                matches!(function, Function::Manual { .. })
                    && matches!(reach, Some(Reach::Anyone | Reach::Friends))
            }
            (Some(Spec::Contact { .. }), FindingKind::PlainLoop) => {
                let kind = plan.kind_of(&plan.parts[*at]);
                kind.is_some_and(|t| t.ports().iter().any(|p| p.side == Side::Signal))
            }
            (Some(Spec::Load { .. }), FindingKind::SinglePoint) => false,
            (Some(_), FindingKind::SinglePoint) => !plan.duties.is_empty(),
            _ => false,
        };
        (0..plan.parts.len()).filter(is).collect()
    }

    /// The place of a part.
    pub fn place(&self, id: &PartId) -> Option<usize> {
        self.plan.parts.iter().position(|p| p.id == *id)
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
        amount * Energy::from(self.journey.day_ms) / Energy::from(self.to - self.from)
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
            day_ms: self.journey.day_ms,
            days: self.journey.record.end / self.journey.day_ms.max(1),
        }
    }

    /// Which days repeat, where it is not all that were run: `on day 3, which goes on repeating,`.
    pub fn days(&self) -> Option<String> {
        let day = self.journey.day_ms.max(1);
        let (first, last) = (self.from / day + 1, self.to.div_ceil(day));
        (self.from > 0).then(|| match first == last {
            true => format!("on day {first}, which goes on repeating,"),
            false => format!("on days {first} to {last}, which go on repeating,"),
        })
    }

    /// Which days figures "a day" are of, as a sentence, where it is not the only one.
    pub fn days_told(&self) -> Option<String> {
        let day = self.journey.day_ms.max(1);
        let (first, last) = (self.from / day + 1, self.to.div_ceil(day));
        let of = match self.journey.repeats {
            _ if last <= 1 => return None,
            Some(_) if first == last => format!("those of day {first}, which goes on repeating"),
            Some(_) => format!("the average of days {first} to {last}, which go on repeating"),
            None => format!("the average of the {last} days run"),
        };
        Some(format!("Figures a day are {of}."))
    }

    /// When a load ran in the days that repeat.
    pub fn runs(&self, part: usize) -> Vec<(Ms, Ms)> {
        let load = self.journey.record.loads.get(&part);
        clipped(load.map_or(&[], |l| l.runs.as_slice()), self.from, self.to)
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
        let source = self.journey.record.sources.get(&part);
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
        let battery = self.journey.record.batteries.get(&part);
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
        self.reached(part, false, false)
    }

    /// As [`Seen::upstream`], with the parts whose signals act on those.
    pub fn ahead(&self, part: usize) -> Vec<usize> {
        self.reached(part, false, true)
    }

    /// The parts to which feed wires lead from a part, the nearest first; through batteries too.
    pub fn downstream(&self, part: usize) -> Vec<usize> {
        self.reached(part, true, false)
    }

    fn reached(&self, part: usize, down: bool, signals: bool) -> Vec<usize> {
        let plan = &self.plan;
        let feed =
            |end: &crate::plan::End| signals || plan.port(end).is_some_and(|p| p.side == Side::In);
        let mut seen = BTreeSet::from([part]);
        let mut order = vec![part];
        let mut at = 0;
        while let Some(here) = order.get(at).copied() {
            at += 1;
            let id = &plan.parts[here].id;
            for wire in plan.wires.iter().filter(|w| feed(&w.to)) {
                let (near, far) = if down {
                    (&wire.from.part, &wire.to.part)
                } else {
                    (&wire.to.part, &wire.from.part)
                };
                if near == id
                    && let Some(far) = self.place(far)
                    && seen.insert(far)
                {
                    order.push(far);
                }
            }
        }
        order.remove(0);
        order
    }

    /// Whether no load of this plan uses less a day in `after`, but for a thousandth and for those named.
    pub fn no_load_loses(&self, after: &Seen, but: &[&PartId]) -> bool {
        (0..self.plan.parts.len()).all(|at| {
            let id = self.id(at);
            if but.contains(&id) || !matches!(self.specs[at], Some(Spec::Load { .. })) {
                return true;
            }
            let now = after.place(id).map_or(0, |at| after.a_day(after.used(at)));
            now * 1000 >= self.a_day(self.used(at)) * 999
        })
    }

    /// A change made by hand on a draft; `None` where it can't be.
    pub fn drafted(&self, make: impl FnOnce(&mut Draft) -> Option<()>) -> Option<Vec<Edit>> {
        let mut draft = Draft::new(&self.plan);
        make(&mut draft)?;
        Some(draft.edits)
    }
}

/// When a duty applies, in words that go on from "must run".
pub fn when(duty: &Duty) -> String {
    match duty.when {
        When::Always => "always".into(),
        When::Dark => "while it is dark".into(),
        When::Light => "while it is light".into(),
        When::Home => "while somebody is home".into(),
        When::Away => "while nobody is home".into(),
        When::Clock(span) => format!("from {} to {}", span.from, span.to),
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
