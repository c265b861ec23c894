//! A run gone through in pieces, over a number of days or until a midnight repeats. Times in milliseconds.
//!
//! Whoever must not be held up asks for so many events at a time. It reads no clock: how long a piece may take is the
//! caller's to judge. A course of a plan that is [`Prepared`] leaves copies of its engine behind, from which a
//! [`Playback`] goes to any instant of the very run that was recorded.

use super::checkpoints::Checkpoints;
use super::{Engine, Midnight, Playback, Prepared, Record, Stop};
use crate::plan::Plan;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The most days of a run that waits for a midnight to repeat.
pub const MOST_DAYS: u64 = 60;

/// How far a run is to go.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Extent {
    /// So many whole days.
    Days(u64),
    /// To the first midnight with the whole state of an earlier one, at most [`MOST_DAYS`] days.
    UntilRepeat,
}

/// The midnights of a run, by their whole state.
#[derive(Clone, Debug)]
pub struct Midnights {
    weather: u64,
    /// The first midnight that can be repeated: none before the last throw by hand is.
    first: u64,
    seen: BTreeMap<(u64, Midnight), u64>,
    states: Vec<Midnight>,
}

impl Midnights {
    /// Midnights of a plan's world. Only midnights with the same weather ahead are compared.
    pub fn new(plan: &Plan) -> Midnights {
        Midnights {
            weather: (plan.world.weather.len() as u64).max(1),
            first: (plan.by_hand.last()).map_or(0, |throw| throw.at / plan.world.day_ms() + 1),
            seen: BTreeMap::new(),
            states: Vec::new(),
        }
    }

    /// Midnights of a run in which every day is given the same, whatever the weather.
    pub fn of_equal_days() -> Midnights {
        Midnights {
            weather: 1,
            first: 0,
            seen: BTreeMap::new(),
            states: Vec::new(),
        }
    }

    /// As [`Midnights::note`], but answers how many midnights before this one the repeated one was.
    pub fn note_round(&mut self, state: Midnight) -> Option<u64> {
        let number = self.states.len() as u64;
        self.note(state).map(|earlier| number - earlier)
    }

    /// Notes the next midnight, the first being that of t = 0; answers with the number of the latest earlier one that it
    /// repeats.
    pub fn note(&mut self, state: Midnight) -> Option<u64> {
        let number = self.states.len() as u64;
        self.states.push(state.clone());
        if number < self.first {
            return None;
        }
        self.seen.insert((number % self.weather, state), number)
    }

    /// The parts, by their places in the plan, that differ between midnight `number` and the one a round of weather
    /// before; none where there is no such midnight.
    pub fn differs(&self, number: u64) -> Vec<usize> {
        let state = |number: u64| self.states.get(usize::try_from(number).ok()?);
        let before = number.checked_sub(self.weather).and_then(state);
        match (state(number), before) {
            (Some(now), Some(before)) => now.differs(before),
            _ => Vec::new(),
        }
    }
}

/// A run under way.
#[derive(Clone, Debug)]
pub struct Course {
    engine: Engine,
    midnights: Midnights,
    extent: Extent,
    day: Ms,
    /// Whole days finished.
    done: u64,
    repeats: Option<u64>,
    over: bool,
    /// Where the run began, and the copies left along it; only where somebody wants to play it back.
    left: Option<(Prepared, Checkpoints)>,
}

/// A run that has come to its end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Journey {
    /// What happened.
    pub record: Record,
    /// The length of a day.
    pub day_ms: Ms,
    /// The earlier midnight, counted from 0, that the last one repeats; only where the run waited for that.
    pub repeats: Option<u64>,
}

impl Course {
    /// A run that has not left t = 0.
    pub fn new(plan: &Plan, extent: Extent) -> Course {
        Course::with(Engine::recording(plan), plan, extent, None)
    }

    /// As [`Course::new`], of a plan that is prepared. It leaves checkpoints behind, for
    /// [`Course::finish_with_playback`].
    pub fn of(prepared: &Prepared, plan: &Plan, extent: Extent) -> Course {
        let left = (prepared.clone(), Checkpoints::new(prepared.engine()));
        Course::with(prepared.recording(), plan, extent, Some(left))
    }

    fn with(
        engine: Engine,
        plan: &Plan,
        extent: Extent,
        left: Option<(Prepared, Checkpoints)>,
    ) -> Course {
        Course {
            engine,
            midnights: Midnights::new(plan),
            extent,
            day: plan.world.day_ms(),
            done: 0,
            repeats: None,
            over: false,
            left,
        }
    }

    /// Goes on through at most `most` milliseconds in which something happens; answers whether the run is over.
    pub fn go(&mut self, most: u64) -> bool {
        let mut left = most;
        while !self.over && left > 0 {
            let before = self.engine.events();
            let stride = self.left.as_ref().map_or(left, |(_, kept)| kept.stride());
            let stop = self.piece(left.min(stride));
            if let Some((_, kept)) = self.left.as_mut().filter(|_| stop != Stop::TooManyEvents) {
                kept.pass(&self.engine);
            }
            // A day without events costs something too.
            left = left.saturating_sub((self.engine.events() - before).max(1));
            match stop {
                Stop::Complete => {}
                Stop::Paused => {}
                Stop::TooManyEvents => self.over = true,
            }
        }
        self.over
    }

    fn piece(&mut self, most: u64) -> Stop {
        let midnight = self.done.saturating_mul(self.day);
        match self.extent {
            Extent::Days(days) => {
                let end = self.day.saturating_mul(days);
                let stop = self.engine.advance_some(end, most);
                if stop == Stop::Complete {
                    self.done = days;
                    self.over = true;
                }
                stop
            }
            Extent::UntilRepeat => {
                let stop = self.engine.advance_some(midnight.saturating_add(1), most);
                if stop == Stop::Complete {
                    self.repeats = self.midnights.note(self.engine.midnight(midnight));
                    if self.repeats.is_some() || self.done == MOST_DAYS {
                        self.over = true;
                    } else {
                        self.done += 1;
                    }
                }
                stop
            }
        }
    }

    /// How many whole days are finished, and of how many at the most.
    pub fn days(&self) -> (u64, u64) {
        match self.extent {
            Extent::Days(days) if self.over => (self.done, days),
            Extent::Days(days) => (self.engine.now() / self.day.max(1), days),
            Extent::UntilRepeat => (self.done, MOST_DAYS),
        }
    }

    /// What happened up to the end, or up to where it has come.
    pub fn finish(self, plan: &Plan) -> Journey {
        self.split(plan).0
    }

    /// As [`Course::finish`], with what goes to any instant of the run without running it again. A course of
    /// [`Course::new`] left nothing to go by: its playback begins anew.
    pub fn finish_with_playback(self, plan: &Plan) -> (Journey, Playback) {
        let (journey, left) = self.split(plan);
        let playback = match left {
            Some((prepared, kept)) => Playback::along(prepared, kept),
            None => Playback::new(plan),
        };
        (journey, playback)
    }

    fn split(self, plan: &Plan) -> (Journey, Option<(Prepared, Checkpoints)>) {
        let end = self.done.saturating_mul(self.day);
        let problems = match &self.left {
            Some((prepared, _)) => {
                let structure = prepared.structure_problems(plan);
                self.engine.problems_with(plan, structure)
            }
            None => self.engine.problems(plan),
        };
        let journey = Journey {
            day_ms: self.day,
            repeats: self.repeats,
            record: self.engine.into_record_with(plan, end, problems),
        };
        (journey, self.left)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use crate::run::run;

    fn plan() -> Plan {
        read_plan(include_str!("../../assets/examples/kittiwake-light.json"))
            .expect("an example reads")
    }

    #[test]
    fn a_run_in_pieces_is_the_run_in_one() {
        let plan = plan();
        for most in [1, 7, 1000] {
            let mut course = Course::new(&plan, Extent::Days(3));
            let mut pieces = 0;
            while !course.go(most) {
                pieces += 1;
            }
            assert_eq!(course.days(), (3, 3));
            assert!(most > 7 || pieces > 10, "it pauses");
            assert_eq!(course.finish(&plan).record, run(&plan, 3));
        }
    }

    #[test]
    fn where_a_record_is_full_the_playback_still_goes_on() {
        let (plan, extent) = (plan(), Extent::Days(30));
        let prepared = Prepared::new(&plan);
        let mut course = Course::of(&prepared, &plan, extent);
        course.engine = course.engine.keeping_at_most(2_000);
        while !course.go(300) {}
        let (journey, mut playback) = course.finish_with_playback(&plan);
        let (end, day) = (journey.record.end, journey.day_ms);
        assert!(!journey.record.complete && end < 30 * day);
        for t in [end + day, end, end - 1, day / 2] {
            assert_eq!(playback.at(&plan, t), crate::run::at(&plan, t), "{t}");
        }
        assert_eq!(playback.stopped_at(), None);
    }

    #[test]
    fn a_run_until_it_repeats_ends_at_that_midnight() {
        let plan = plan();
        let mut course = Course::new(&plan, Extent::UntilRepeat);
        while !course.go(100) {}
        let journey = course.finish(&plan);
        let (days, check) = (
            journey.record.end / journey.day_ms,
            crate::proof::check(&plan),
        );
        assert_eq!(
            (days, journey.repeats.is_some()),
            (check.days, check.for_ever)
        );
        // The last midnight's own events have happened, so that it can be compared; those of a run of days are left out.
        let of_days = run(&plan, days);
        let until: Vec<_> = journey
            .record
            .events
            .iter()
            .filter(|e| e.t < journey.record.end)
            .collect();
        assert_eq!(until, of_days.events.iter().collect::<Vec<_>>());
    }
}
