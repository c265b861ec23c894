//! The check of a plan's duties: run to a midnight that repeats, or for [`DAYS`] days.

use super::stretch::{Stretch, stretches};
use crate::book::{Behaviour, FunctionName};
use crate::net::{Problem, ProblemKind, Weight};
use crate::plan::{Duty, Part, PartId, Plan};
use crate::quantity::Ms;
use crate::run::{Clockwork, Engine, MOST_DAYS, Midnights, Stop};
use serde::{Deserialize, Serialize};

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
    let loads = plan.duties.iter();
    let loads = loads.filter_map(|duty| plan.parts.iter().position(|p| p.id == duty.part));
    // No more is kept than is judged: what contacts do may fill a memory.
    let mut engine = Engine::watching(plan, &loads.collect());
    let day = plan.world.day_ms();
    let mut midnights = Midnights::new(plan);
    let (mut earlier, mut days, mut number) = (None, 0, 0);
    loop {
        let t = number * day;
        if engine.advance(t.saturating_add(1)) == Stop::TooManyEvents {
            break;
        }
        days = number;
        watch(days);
        earlier = midnights.note(engine.midnight(t));
        if earlier.is_some() || number == DAYS {
            break;
        }
        number += 1;
    }
    let stopped = engine.stopped_at();
    let differs = match (earlier, stopped) {
        (None, None) => midnights.differs(days),
        _ => Vec::new(),
    };
    let end = stopped.unwrap_or(days * day);
    let problems = engine.problems(plan);
    let all_runs = engine.into_runs(end);
    let judge = Judge { day, end, earlier };
    let runs = |duty: &Duty| {
        let at = plan.parts.iter().position(|p| p.id == duty.part);
        at.and_then(|at| all_runs.get(&at))
            .map(Vec::as_slice)
            .unwrap_or(&[])
    };
    let duties = plan
        .duties
        .iter()
        .map(|duty| judge.verdict(plan, duty, runs(duty)))
        .collect();
    let differs = keepers(plan, differs);
    Check {
        for_ever: earlier.is_some(),
        days,
        repeats: earlier,
        duties,
        differs,
        problems,
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
        let stopped = |p: &Problem| p.kind == ProblemKind::TooManyEvents;
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
