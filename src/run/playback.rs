//! Going to any instant of a run, forwards and back, without running from the first midnight each time.
//!
//! Copies of the engine are kept along the way, never more than [`KEPT`]; one is run on from the latest before the
//! instant. What it answers is what a run from t = 0 would, to the bit. Times in milliseconds.

use super::{Engine, Instant};
use crate::plan::Plan;
use crate::quantity::Ms;
use std::collections::BTreeMap;

/// The most copies kept.
pub const KEPT: usize = 48;

/// A run that can be gone to anywhere.
#[derive(Clone, Debug)]
pub struct Playback {
    /// Where an engine has come to, and that engine; the first at t = 0.
    kept: BTreeMap<Ms, Engine>,
    /// The engine that answered last, and where it has come to.
    head: (Ms, Engine),
    /// How far apart copies are kept.
    stride: Ms,
}

impl Playback {
    /// A run of `plan` at t = 0.
    pub fn new(plan: &Plan) -> Playback {
        let engine = Engine::new(plan);
        Playback {
            kept: BTreeMap::from([(0, engine.clone())]),
            head: (0, engine),
            stride: (plan.world.day_ms() / 24).max(1),
        }
    }

    /// The instant `t`, that millisecond's events applied. `plan` is the one it was made of.
    pub fn at(&mut self, plan: &Plan, t: Ms) -> Instant {
        let nearest = self.kept.range(..=t).next_back();
        if let Some((at, engine)) = nearest
            && (self.head.0 > t || self.head.0 < *at)
        {
            self.head = (*at, engine.clone());
        }
        loop {
            let last = self.kept.range(..=t).next_back().map_or(0, |(at, _)| *at);
            let stop = last.saturating_add(self.stride);
            if stop > t {
                break;
            }
            self.go(stop);
            self.keep();
        }
        self.go(t);
        self.head.1.instant(plan, t)
    }

    /// x
    pub fn at_within(&mut self, plan: &Plan, t: Ms, _most: u64) -> Option<Instant> { Some(self.at(plan, t)) }

    fn go(&mut self, t: Ms) {
        self.head.1.advance(t.saturating_add(1));
        self.head.0 = t;
    }

    fn keep(&mut self) {
        self.kept.insert(self.head.0, self.head.1.clone());
        if self.kept.len() > KEPT {
            // Every second one goes: what is kept stays spread over the whole way.
            self.stride = self.stride.saturating_mul(2);
            let mut odd = false;
            self.kept.retain(|_, _| {
                odd = !odd;
                odd
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;
    use crate::run::at;

    #[test]
    fn whatever_the_way_an_instant_is_the_same() {
        let plan = read_plan(include_str!("../../assets/examples/kittiwake-light.json"))
            .expect("an example reads");
        let day = plan.world.day_ms();
        let mut playback = Playback::new(&plan);
        for t in [
            day / 2,
            3,
            day * 9 + 17,
            day * 2 + day / 3,
            day * 4,
            0,
            day * 9 + 18,
        ] {
            assert_eq!(playback.at(&plan, t), at(&plan, t), "{t}");
            assert!(playback.kept.len() <= KEPT);
        }
    }
}
