//! The check of a plan's duties: run to a midnight that repeats, or for [`DAYS`] days.

use super::days::{AtMidnight, DayRange, DaysRun, Next, Observer, RunEnd, run_days, run_to};
use super::stretch::{Stretch, stretches};
use super::watch::{Watch, run_watched};
use crate::book::{Behaviour, FunctionName};
use crate::net::{Problem, ProblemKind, Weight};
use crate::plan::{Duty, Part, PartId, Plan};
use crate::quantity::Ms;
use crate::run::{BOUND, Clockwork, Engine, Journey, MOST_DAYS, Midnights};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// How many days a check runs at the most.
pub const DAYS: u64 = MOST_DAYS;

/// A stretch longer than its duty's grace in which the duty is broken.
pub type Gap = Stretch;

/// The verdict on one duty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Verdict {
    /// The load.
    pub part: PartId,
    /// Whether the duty is kept.
    pub kept: bool,
    /// Where it is broken, up to the last midnight.
    pub gaps: Vec<Gap>,
}

/// The verdict on a plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Check {
    /// Whether a midnight repeated an earlier one, so that the verdict holds for ever.
    pub for_ever: bool,
    /// How many whole days were run.
    pub days: u64,
    /// The earlier midnight, counted from 0, that the last one repeats.
    pub repeats: Option<u64>,
    /// The duties, in the plan's order.
    pub duties: Vec<Verdict>,
    /// Without a repeated midnight: the batteries, timers and counters whose state differed at the last two midnights
    /// compared; where none of those did, the parts whose state did.
    pub differs: Vec<PartId>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
}

/// Checks a plan's duties.
pub fn check(plan: &Plan) -> Check {
    check_watched(plan, &mut |_| {})
}

/// As [`check`]; `watch` is told how many whole days are done, of [`DAYS`] at the most.
pub fn check_watched(plan: &Plan, watch: &mut dyn FnMut(u64)) -> Check {
    let loads = loads(plan);
    // No more is kept than is judged: what contacts do may fill a memory.
    let mut engine = Engine::watching(plan, &loads.iter().flatten().copied().collect());
    let mut midnights = Midnights::new(plan);
    let run = run_days(
        &mut engine,
        &mut midnights,
        check_days(plan),
        &mut Told(watch),
    );
    let problems = engine.problems(plan);
    let seen = Evidence::of(plan, &run, &engine, &midnights);
    let runs = engine.into_runs(seen.end);
    let runs = |at: usize| runs.get(&at).map(Vec::as_slice);
    seen.judged(plan, &loads, &runs, problems)
}

/// As [`check`], with the run left as soon as one of the duties `must` is broken, by their places in the plan; `None`
/// then.
pub fn check_keeping(plan: &Plan, must: &[usize]) -> Option<Check> {
    let loads = loads(plan);
    let mut engine = Engine::watching(plan, &loads.iter().flatten().copied().collect());
    let mut midnights = Midnights::new(plan);
    let run = run_keeping(plan, must, &mut engine, &mut midnights)?;
    let problems = engine.problems(plan);
    let seen = Evidence::of(plan, &run, &engine, &midnights);
    let runs = engine.into_runs(seen.end);
    let runs = |at: usize| runs.get(&at).map(Vec::as_slice);
    Some(seen.judged(plan, &loads, &runs, problems))
}

/// The check, and the record of the same run.
pub(super) fn check_and_record(plan: &Plan) -> (Check, Journey) {
    let mut engine = Engine::recording(plan);
    let mut midnights = Midnights::new(plan);
    let run = run_days(
        &mut engine,
        &mut midnights,
        check_days(plan),
        &mut Keeping(Vec::new()),
    );
    let (check, journey) = recorded(plan, engine, &midnights, &run);
    (check.unwrap_or_else(|| self::check(plan)), journey)
}

/// When every load ran, by its place in the plan, and how far the run went.
#[derive(Clone, Debug)]
pub(super) struct LoadRuns {
    pub runs: BTreeMap<usize, Vec<(Ms, Ms)>>,
    pub end: Ms,
    /// Whether it was not stopped at the bound of events.
    pub complete: bool,
}

/// As [`check_keeping`], and when every load ran.
pub(super) fn check_keeping_loads(plan: &Plan, must: &[usize]) -> Option<(Check, LoadRuns)> {
    let mut engine = Engine::watching(plan, &(0..plan.parts.len()).collect());
    let mut midnights = Midnights::new(plan);
    let run = run_keeping(plan, must, &mut engine, &mut midnights)?;
    let problems = engine.problems(plan);
    let seen = Evidence::of(plan, &run, &engine, &midnights);
    let loads_ran = LoadRuns {
        end: seen.end,
        complete: engine.stopped_at().is_none(),
        runs: engine.into_runs(seen.end),
    };
    let runs = |at: usize| loads_ran.runs.get(&at).map(Vec::as_slice);
    let check = seen.judged(plan, &loads(plan), &runs, problems);
    Some((check, loads_ran))
}

/// What a recorded run showed. A record is stopped where it keeps too much, and then there is no check with it: one made
/// alone keeps less and goes further.
fn recorded(
    plan: &Plan,
    engine: Engine,
    midnights: &Midnights,
    run: &DaysRun,
) -> (Option<Check>, Journey) {
    let seen = Evidence::of(plan, run, &engine, midnights);
    let is_full = matches!(run.end, RunEnd::Stopped(_)) && engine.events() < BOUND;
    let journey = Journey {
        day_ms: seen.day,
        repeats: run.repeats(),
        record: engine.into_record(plan, seen.end),
    };
    let loads_ran = &journey.record.loads;
    let runs = |at: usize| loads_ran.get(&at).map(|load| load.runs.as_slice());
    let problems = journey.record.problems.clone();
    let check = (!is_full).then(|| seen.judged(plan, &loads(plan), &runs, problems));
    (check, journey)
}

/// The midnights of a check.
pub(super) fn check_days(plan: &Plan) -> DayRange {
    DayRange {
        first: 0,
        last: DAYS,
        day: plan.world.day_ms(),
    }
}

/// The load of each duty, by its place in the plan.
fn loads(plan: &Plan) -> Vec<Option<usize>> {
    let parts = plan.parts.iter().enumerate();
    let places: BTreeMap<&PartId, usize> = parts.rev().map(|(at, p)| (&p.id, at)).collect();
    let duties = plan.duties.iter();
    duties.map(|d| places.get(&d.part).copied()).collect()
}

/// Tells somebody of each midnight.
struct Told<'a>(&'a mut dyn FnMut(u64));

impl Observer for Told<'_> {
    fn midnight(&mut self, _: &mut Engine, at: AtMidnight) -> Next {
        (self.0)(at.number);
        match at.round {
            Some(_) => Next::Over,
            None => Next::Day,
        }
    }
}

/// Watches duties, and ends the run when one is broken.
struct Keeping(Vec<Watch>);

impl Observer for Keeping {
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        match self.0.is_empty() {
            true => run_to(engine, end),
            false => run_watched(engine, &mut self.0, end, &mut |_, _| false),
        }
    }
}

/// Runs as a check does, unless one of the duties `must` is broken.
fn run_keeping(
    plan: &Plan,
    must: &[usize],
    engine: &mut Engine,
    midnights: &mut Midnights,
) -> Option<DaysRun> {
    let duties = must.iter().filter_map(|at| plan.duties.get(*at));
    let watches = duties.map(|duty| Watch::new(plan, duty, engine)).collect();
    let run = run_days(engine, midnights, check_days(plan), &mut Keeping(watches));
    let left = run.end == RunEnd::Enough && run.round.is_none();
    (!left).then_some(run)
}

/// What a run showed.
struct Evidence {
    day: Ms,
    days: u64,
    earlier: Option<u64>,
    end: Ms,
    differs: Vec<usize>,
}

impl Evidence {
    fn of(plan: &Plan, run: &DaysRun, engine: &Engine, midnights: &Midnights) -> Evidence {
        let day = plan.world.day_ms();
        let (earlier, stopped) = (run.repeats(), engine.stopped_at());
        Evidence {
            day,
            days: run.days,
            earlier,
            end: stopped.unwrap_or(run.days * day),
            differs: match (earlier, stopped) {
                (None, None) => midnights.differs(run.days),
                _ => Vec::new(),
            },
        }
    }

    /// The verdicts on the duties, whose loads are given; `runs` tells when a load ran, by its place.
    fn judged<'a>(
        self,
        plan: &Plan,
        loads: &[Option<usize>],
        runs: &dyn Fn(usize) -> Option<&'a [(Ms, Ms)]>,
        problems: Vec<Problem>,
    ) -> Check {
        let judge = Judge {
            day: self.day,
            end: self.end,
            earlier: self.earlier,
        };
        let duties = plan.duties.iter().zip(loads);
        let verdict = |(duty, load): (&Duty, &Option<usize>)| {
            judge.verdict(plan, duty, load.and_then(runs).unwrap_or(&[]))
        };
        Check {
            for_ever: self.earlier.is_some(),
            days: self.days,
            repeats: self.earlier,
            duties: duties.map(verdict).collect(),
            differs: keepers(plan, self.differs),
            problems,
        }
    }
}

/// Those of the differing parts that keep something over time by themselves, for the others only follow them; all where
/// there are none.
fn keepers(plan: &Plan, differs: Vec<usize>) -> Vec<PartId> {
    let parts: Vec<&Part> = differs
        .iter()
        .filter_map(|at| plan.parts.get(*at))
        .collect();
    let keeps = |part: &Part| {
        plan.kind_of(part).is_some_and(|kind| match kind.behaviour {
            Behaviour::Battery { .. } => true,
            Behaviour::Contact { function, .. } => matches!(
                function,
                FunctionName::OnDelay
                    | FunctionName::OffDelay
                    | FunctionName::Pulse
                    | FunctionName::Counter
            ),
            _ => false,
        })
    };
    let any = parts.iter().any(|part| keeps(part));
    let named = parts.into_iter().filter(|part| !any || keeps(part));
    named.map(|part| part.id.clone()).collect()
}

impl Check {
    /// Whether the run was stopped at its bound of events.
    pub fn is_stopped(&self) -> bool {
        let stopped = |p: &Problem| matches!(p.kind, ProblemKind::TooManyEvents(_));
        self.problems.iter().any(stopped)
    }

    /// Whether every duty is kept and no problem is an error.
    pub fn is_fine(&self) -> bool {
        self.duties.iter().all(|d| d.kept)
            && self.problems.iter().all(|p| p.weight != Weight::Error)
    }
}

/// Judges what was seen up to an end.
pub(super) struct Judge {
    /// The length of a day.
    pub day: Ms,
    /// The end of what was seen.
    pub end: Ms,
    /// The number of the midnight that the end repeats, if it does.
    pub earlier: Option<u64>,
}

impl Judge {
    fn verdict(&self, plan: &Plan, duty: &Duty, runs: &[(Ms, Ms)]) -> Verdict {
        let applies = Clockwork::of_duty(duty.when, &plan.world, &plan.world.sky());
        let gaps = self.gaps(duty, &stretches(&applies, runs, self.end));
        Verdict {
            part: duty.part.clone(),
            kept: gaps.is_empty(),
            gaps,
        }
    }

    /// Those of all stretches up to the end in which the duty is broken.
    pub fn gaps(&self, duty: &Duty, all: &[Stretch]) -> Vec<Gap> {
        let open = all.last().copied().filter(|s| s.to == self.end);
        let counts =
            |s: &Stretch| (!s.on || duty.only) && self.length(s, open, all) > duty.grace_ms();
        all.iter().copied().filter(counts).collect()
    }

    /// How long one of all stretches up to the end is; none where it is known never to end.
    pub fn lasts(&self, stretch: &Stretch, all: &[Stretch]) -> Option<Ms> {
        let open = all.last().copied().filter(|s| s.to == self.end);
        Some(self.length(stretch, open, all)).filter(|length| *length < Ms::MAX)
    }

    /// How long a stretch is: one still open at a last midnight that repeats an earlier one goes on as it did there.
    fn length(&self, stretch: &Stretch, open: Option<Stretch>, all: &[Stretch]) -> Ms {
        let own = stretch.to - stretch.from;
        let Some(midnight) = self
            .earlier
            .map(|number| number * self.day)
            .filter(|_| Some(*stretch) == open)
        else {
            return own;
        };
        let goes_on = all
            .iter()
            .find(|s| s.on == stretch.on && s.from <= midnight && midnight < s.to);
        match goes_on {
            // It has gone on ever since that midnight, and so it never ends.
            Some(before) if before == stretch => Ms::MAX,
            Some(before) => own + (before.to - midnight),
            None => own,
        }
    }
}
