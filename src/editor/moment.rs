//! The moment shown, and what the plan does then.
//!
//! The run up to the moment is kept as checkpoints. How much of it is done at a stretch is bounded by a number of events,
//! so that whoever calls can do something else in between; until it has come there the last answer stays. Milliseconds
//! since midnight of day 1.

use crate::plan::Plan;
use crate::quantity::Ms;
use crate::run::{Instant, MOST_DAYS, Playback, Prepared};

/// The moment at the same place of the dial and on the same day, at most the last that can be shown, where a day of
/// `before` ms becomes one of `now` ms.
pub fn rescaled(moment: Ms, before: Ms, now: Ms) -> Ms {
    let before = before.max(1);
    let within = u128::from(moment % before) * u128::from(now) / u128::from(before);
    (moment / before).min(MOST_DAYS - 1) * now + within as Ms
}

/// The moment shown.
#[derive(Clone, Debug, Default)]
pub struct Moment {
    t: Ms,
    playback: Option<Playback>,
    is_behind: bool,
    compiled: u64,
}

impl Moment {
    /// A moment of which nothing is known yet.
    pub fn new(t: Ms) -> Moment {
        Moment {
            t,
            is_behind: true,
            ..Moment::default()
        }
    }

    /// The moment shown.
    pub fn t(&self) -> Ms {
        self.t
    }

    /// Another moment.
    pub fn go_to(&mut self, t: Ms) {
        self.is_behind |= self.t != t;
        self.t = t;
    }

    /// The plan made ready to run, once it is.
    pub fn prepared(&self) -> Option<&Prepared> {
        self.playback.as_ref().map(Playback::prepared)
    }

    /// The plan is another: its run is made anew.
    pub fn forget(&mut self) {
        self.playback = None;
        self.is_behind = true;
    }

    /// Whether the run has not come to the moment yet.
    pub fn is_behind(&self) -> bool {
        self.is_behind
    }

    /// Where the run was stopped at its bound of events, where that lies before the moment.
    pub fn stopped_before(&self) -> Option<Ms> {
        let stopped = self.playback.as_ref()?.stopped_at()?;
        (stopped < self.t).then_some(stopped)
    }

    /// How often a plan was compiled, for tests and measurements.
    pub fn compiled(&self) -> u64 {
        self.compiled
    }

    /// Goes on towards the moment through at most `most` milliseconds in which something happens; answers with the
    /// instant where the moment was reached.
    pub fn work(&mut self, plan: &Plan, most: u64) -> Option<Instant> {
        if !self.is_behind {
            return None;
        }
        let compiled = &mut self.compiled;
        let playback = self.playback.get_or_insert_with(|| {
            *compiled += 1;
            Playback::new(plan)
        });
        let instant = playback.at_within(plan, self.t, most)?;
        self.is_behind = false;
        Some(instant)
    }
}
