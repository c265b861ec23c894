//! A battery's level as exact straight lines. Levels in 1/1000 step·ms, slopes in the same per millisecond.

use crate::plan::Spec;
use crate::quantity::{Energy, Ms};

/// A battery while it runs.
#[derive(Clone, Debug)]
pub struct Battery {
    /// What it holds at the most.
    pub capacity: Energy,
    /// Per mille of what is taken in that is stored.
    pub efficiency: Energy,
    /// The level at or below which its output goes off.
    pub cut_out: Energy,
    /// The level at or above which its output goes on.
    pub cut_in: Energy,
    /// Charge contacts that watch it: (part, low, high).
    pub watchers: Vec<(usize, Energy, Energy)>,
    /// The level at `since`.
    pub level: Energy,
    /// When the present line began.
    pub since: Ms,
    /// Change of level a millisecond, kept within 0 and capacity.
    pub slope: Energy,
    /// Counts lines, so that what was foreseen for an earlier one is known to be stale.
    pub line: u32,
    /// The lowest and the highest level at which a line began since a day was last marked.
    pub reach: (Energy, Energy),
}

impl Battery {
    /// A battery as it starts; none of any other part.
    pub fn of(spec: &Spec) -> Option<Battery> {
        let Spec::Battery {
            capacity,
            efficiency,
            cut_out,
            cut_in,
            start,
            ..
        } = *spec
        else {
            return None;
        };
        Some(Battery {
            capacity,
            efficiency: Energy::from(efficiency),
            cut_out,
            cut_in,
            watchers: Vec::new(),
            level: start,
            since: 0,
            slope: 0,
            line: 0,
            reach: (start, start),
        })
    }

    /// The level at `t`, at or after the present line's beginning.
    pub fn at(&self, t: Ms) -> Energy {
        let passed = Energy::from(t.saturating_sub(self.since));
        (self.level + self.slope.saturating_mul(passed)).clamp(0, self.capacity)
    }

    /// The slope that shows: none where the level can't go on that way.
    pub fn shown_slope(&self) -> Energy {
        let stuck =
            (self.slope > 0 && self.level >= self.capacity) || (self.slope < 0 && self.level <= 0);
        if stuck { 0 } else { self.slope }
    }

    /// Begins a new line at `t`.
    pub fn turn(&mut self, t: Ms, taking: u64, giving: u64) {
        self.level = self.at(t);
        self.since = t;
        self.reach = (self.reach.0.min(self.level), self.reach.1.max(self.level));
        self.slope = Energy::from(taking) * self.efficiency - Energy::from(giving) * 1000;
        self.line = self.line.wrapping_add(1);
    }

    /// The first millisecond at which a threshold that matters is reached on the present line; rounded up.
    pub fn next(&self, output: bool, full: bool, truth: impl Fn(usize) -> bool) -> Option<Ms> {
        let mut soonest: Option<Ms> = None;
        let mut reach = |threshold: Energy| {
            let way = threshold - self.level;
            let ahead = (self.slope > 0 && way > 0) || (self.slope < 0 && way < 0);
            if let Some(wait) =
                ahead.then(|| way.unsigned_abs().div_ceil(self.slope.unsigned_abs()))
                && let Ok(wait) = Ms::try_from(wait)
                && let Some(at) = self.since.checked_add(wait)
            {
                soonest = Some(soonest.map_or(at, |s| s.min(at)));
            }
        };
        if self.slope > 0 {
            if !full {
                reach(self.capacity);
            }
            if !output {
                reach(self.cut_in);
            }
        } else if output {
            reach(self.cut_out);
        }
        for (part, low, high) in &self.watchers {
            match (truth(*part), self.slope > 0) {
                (true, true) => reach(*high),
                (false, false) => reach(*low),
                _ => {}
            }
        }
        // A full battery that is being emptied is full no longer a millisecond later.
        if full && self.slope < 0 {
            let after = self.since.saturating_add(1);
            soonest = Some(soonest.map_or(after, |s| s.min(after)));
        }
        soonest
    }
}
