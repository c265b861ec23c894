//! How proof runs a plan: from midnight to midnight until one repeats an earlier one, for so many days at the most, or to
//! the bound of events. Milliseconds.
//!
//! Check, losses, sizes, autonomy and what comes after bad weather go by [`run_days`]; what each of them sees on the way
//! is an [`Observer`] of its own. Bad weather itself, which is given for so many days and repeats nothing, does not.

use crate::quantity::Ms;
use crate::run::{Engine, Midnight, Midnights, Stop};

/// How a run under observation ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use]
pub enum RunEnd {
    /// At the time that was asked for.
    Complete,
    /// Before it, because no more need be seen.
    Enough,
    /// At the bound of events: what happens from this moment on is not known.
    Stopped(Ms),
}

/// A midnight that a run has come to, its events applied.
#[derive(Clone, Copy, Debug)]
pub struct AtMidnight {
    /// Its number, that of t = 0 being 0.
    pub number: u64,
    /// When it is.
    pub t: Ms,
    /// How many midnights before it the one was that it repeats.
    pub round: Option<u64>,
}

/// What comes after a midnight.
pub enum Next {
    /// The day that begins is run.
    Day,
    /// The run is over.
    Over,
    /// The engine has gone over some days without running them; this is the state at the end of each.
    Skipped(Vec<Midnight>),
}

/// Whoever looks on while days are run.
pub trait Observer {
    /// Runs on to `end`, which is left out.
    fn advance(&mut self, engine: &mut Engine, end: Ms) -> RunEnd {
        run_to(engine, end)
    }

    /// Says what comes after a midnight. A run that nobody ends is over when a midnight repeats.
    fn midnight(&mut self, _engine: &mut Engine, at: AtMidnight) -> Next {
        match at.round {
            Some(_) => Next::Over,
            None => Next::Day,
        }
    }
}

/// Which midnights are run to: the first and the last by their numbers, and how far they are apart.
#[derive(Clone, Copy, Debug)]
pub struct DayRange {
    /// The first.
    pub first: u64,
    /// The last at the most.
    pub last: u64,
    /// The length of a day.
    pub day: Ms,
}

/// How far days were run.
#[derive(Clone, Copy, Debug)]
pub struct DaysRun {
    /// The number of the last midnight that was come to; the first asked for where none was.
    pub days: u64,
    /// How many midnights before it the one was that it repeats.
    pub round: Option<u64>,
    /// How the run ended; complete at the last midnight asked for.
    pub end: RunEnd,
}

impl DaysRun {
    /// The number of the midnight that the last one repeats.
    pub fn repeats(&self) -> Option<u64> {
        self.round.map(|round| self.days - round)
    }
}

/// Runs days until the observer ends them. `midnights` are those of this run so far, none at first.
pub fn run_days(
    engine: &mut Engine,
    midnights: &mut Midnights,
    days: DayRange,
    observer: &mut dyn Observer,
) -> DaysRun {
    let mut run = DaysRun {
        days: days.first,
        round: None,
        end: RunEnd::Complete,
    };
    let mut number = days.first;
    while number <= days.last {
        let t = number.saturating_mul(days.day);
        let end = observer.advance(engine, t.saturating_add(1));
        if end != RunEnd::Complete {
            return DaysRun { end, ..run };
        }
        run.days = number;
        run.round = midnights.note_round(engine.midnight(t));
        let reached = AtMidnight {
            number,
            t,
            round: run.round,
        };
        match observer.midnight(engine, reached) {
            Next::Day => {}
            Next::Over => {
                run.end = RunEnd::Enough;
                return run;
            }
            Next::Skipped(states) => {
                for state in states {
                    run.days += 1;
                    run.round = midnights.note_round(state);
                    if run.round.is_some() {
                        run.end = RunEnd::Enough;
                        return run;
                    }
                }
            }
        }
        number = run.days + 1;
    }
    run
}

/// Runs on to `end`, which is left out, and looks at nothing.
pub fn run_to(engine: &mut Engine, end: Ms) -> RunEnd {
    match engine.advance(end) {
        Stop::TooManyEvents => stopped(engine),
        Stop::Complete | Stop::Paused => RunEnd::Complete,
    }
}

/// Runs on to `end`, which is left out; `observe` is called after every event and answers whether to go on. It is not
/// called at the end, where nothing happens.
pub fn run_observed(
    engine: &mut Engine,
    end: Ms,
    observe: &mut dyn FnMut(&Engine) -> bool,
) -> RunEnd {
    loop {
        let before = engine.events();
        let stop = engine.advance_some(end, 1);
        if engine.events() > before && !observe(engine) {
            return RunEnd::Enough;
        }
        match stop {
            Stop::Paused => {}
            Stop::Complete => return RunEnd::Complete,
            Stop::TooManyEvents => return stopped(engine),
        }
    }
}

/// An engine that was stopped stands still, which must not pass for a run in which nothing more happens.
fn stopped(engine: &Engine) -> RunEnd {
    RunEnd::Stopped(engine.stopped_at().unwrap_or(engine.now()))
}
