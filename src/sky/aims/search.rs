//! The search for the best aims of whole degrees: the most promising patch of aims first.
//!
//! A patch's promise is a bound that none of its aims surpasses. The most promising is halved, down to single aims, whose
//! promise is then replaced by what they truly give. The first aim that comes up with its true worth is the best: no
//! other can be more. Equal worth goes to the smallest tilt, then to the smallest azimuth, in the same way.

use super::daylight::{Cone, Daylight};
use super::{Best, Bests, Sky};
use crate::sky::Aim;
use crate::sky::degrees::sin_deg;
use crate::sky::panel::normal;
use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::f64::consts::PI;

/// Aims of whole degrees, from the first to before the second of each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Patch {
    tilt: (u16, u16),
    azimuth: (u16, u16),
}

impl Patch {
    fn aim(&self) -> Aim {
        Aim {
            azimuth: f64::from(self.azimuth.0),
            tilt: f64::from(self.tilt.0),
        }
    }

    fn is_single(&self) -> bool {
        self.tilt.1 - self.tilt.0 == 1 && self.azimuth.1 - self.azimuth.0 == 1
    }

    /// How far it reaches along and across, in degrees of the sky.
    fn reach(&self) -> (f64, f64) {
        let across = f64::from(self.tilt.1 - 1 - self.tilt.0);
        let along = f64::from(self.azimuth.1 - 1 - self.azimuth.0);
        (along * sin_deg(f64::from(self.tilt.1 - 1)), across)
    }

    /// From the middle to any aim one can go half of the reach along and half of it across.
    fn cone(&self) -> Cone {
        let middle = |ends: (u16, u16)| f64::from(ends.0 + ends.1 - 1) / 2.0;
        let aim = Aim {
            azimuth: middle(self.azimuth),
            tilt: middle(self.tilt),
        };
        let (along, across) = self.reach();
        Cone {
            normal: normal(aim),
            radius: (along + across) / 2.0 * (PI / 180.0),
        }
    }

    fn halves(&self) -> [Patch; 2] {
        let cut = |ends: (u16, u16)| {
            let middle = ends.0 + (ends.1 - ends.0) / 2;
            ((ends.0, middle), (middle, ends.1))
        };
        let (along, across) = self.reach();
        if self.azimuth.1 - self.azimuth.0 > 1
            && (along >= across || self.tilt.1 - self.tilt.0 == 1)
        {
            let (first, second) = cut(self.azimuth);
            [first, second].map(|azimuth| Patch { azimuth, ..*self })
        } else {
            let (first, second) = cut(self.tilt);
            [first, second].map(|tilt| Patch { tilt, ..*self })
        }
    }
}

/// What is sought, one after the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goal {
    Energy,
    Longest,
    Latest,
    Earliest,
    Over,
}

/// What waits: worth or promise, the corner that settles equals, whether the worth is true, and the aims.
type Waiting = (u128, Reverse<(u16, u16)>, bool, Patch);

/// A search for the best aims under way.
#[derive(Clone, Debug)]
pub struct Aims {
    sky: Sky,
    peak: u64,
    weather: f64,
    least: u64,
    daylight: Daylight,
    goal: Goal,
    heap: BinaryHeap<Waiting>,
    bests: Bests,
}

impl Aims {
    /// A search for a panel of `peak` steps under a factor of `weather`, where `least` steps or more are useful (0 counts
    /// as 1).
    pub fn new(sky: &Sky, peak: u64, weather: f64, least: u64) -> Aims {
        let mut aims = Aims {
            sky: sky.clone(),
            peak,
            weather,
            least: least.max(1),
            daylight: Daylight::new(sky, peak, weather),
            goal: Goal::Energy,
            heap: BinaryHeap::new(),
            bests: Bests::default(),
        };
        aims.begin();
        aims
    }

    /// What is found so far.
    pub fn found(&self) -> &Bests {
        &self.bests
    }

    /// How many of the four are done with.
    pub fn done(&self) -> usize {
        match self.goal {
            Goal::Energy => 0,
            Goal::Longest => 1,
            Goal::Latest => 2,
            Goal::Earliest => 3,
            Goal::Over => 4,
        }
    }

    /// Goes on for at most `rounds` rounds; answers whether the search is over. A round takes some microseconds, or as
    /// long as [`Sky::step_changes`] where an aim's energy is worked out.
    pub fn go(&mut self, rounds: usize) -> bool {
        for _ in 0..rounds {
            if self.goal == Goal::Over {
                break;
            }
            self.round();
        }
        self.goal == Goal::Over
    }

    fn begin(&mut self) {
        self.heap.clear();
        if self.goal == Goal::Over {
            return;
        }
        for patch in [
            Patch {
                tilt: (0, 1),
                azimuth: (0, 1),
            },
            Patch {
                tilt: (1, 91),
                azimuth: (0, 360),
            },
        ] {
            self.wait(patch);
        }
    }

    fn next(&mut self, found: Option<Best>) {
        self.goal = match self.goal {
            Goal::Energy => {
                self.bests.energy = found;
                Goal::Longest
            }
            Goal::Longest => {
                self.bests.longest = found;
                Goal::Latest
            }
            Goal::Latest => {
                self.bests.latest = found;
                // Without any energy there is nothing to have half of.
                match self.bests.energy {
                    Some(_) => Goal::Earliest,
                    None => Goal::Over,
                }
            }
            Goal::Earliest => {
                self.bests.earliest = found;
                Goal::Over
            }
            Goal::Over => Goal::Over,
        };
        self.begin();
    }

    fn round(&mut self) {
        let Some((_, _, exact, patch)) = self.heap.pop() else {
            self.next(None);
            return;
        };
        if exact {
            let gives = (self.sky)
                .output(patch.aim(), self.peak, self.weather, self.least)
                .gives;
            if self.goal != Goal::Earliest || gives.energy * 2 >= self.most() {
                let (azimuth, tilt) = (patch.azimuth.0, patch.tilt.0);
                self.next(Some(Best {
                    azimuth,
                    tilt,
                    gives,
                }));
            }
        } else if patch.is_single() {
            let worth = self.worth(patch.aim());
            self.push(worth, true, patch);
        } else {
            patch.halves().into_iter().for_each(|half| self.wait(half));
        }
    }

    /// The most energy found.
    fn most(&self) -> u128 {
        self.bests.energy.map_or(0, |best| best.gives.energy)
    }

    fn wait(&mut self, patch: Patch) {
        let promise = self.promise(patch.cone());
        self.push(promise, false, patch);
    }

    fn push(&mut self, worth: u128, exact: bool, patch: Patch) {
        // What gives nothing is no answer.
        if worth > 0 {
            let corner = Reverse((patch.tilt.0, patch.azimuth.0));
            self.heap.push((worth, corner, exact, patch));
        }
    }

    /// A bound of the worth of the aims of a cone.
    fn promise(&self, cone: Cone) -> u128 {
        match self.goal {
            Goal::Energy => self.daylight.energy(cone),
            Goal::Longest => self.daylight.useful(cone, self.least).into(),
            Goal::Latest => {
                let (_, perhaps) = self.daylight.last(cone, self.least);
                late(perhaps)
            }
            Goal::Earliest => {
                let (surely, perhaps) = self.daylight.last(cone, self.least);
                let enough = perhaps.is_some() && self.daylight.energy(cone) * 2 >= self.most();
                if enough {
                    self.early(surely.unwrap_or(0))
                } else {
                    0
                }
            }
            Goal::Over => 0,
        }
    }

    /// The worth of one aim.
    fn worth(&self, aim: Aim) -> u128 {
        if self.goal == Goal::Energy {
            let output = self.sky.output(aim, self.peak, self.weather, self.least);
            return output.gives.energy;
        }
        let (first, changes) = (self.sky).useful_changes(aim, self.peak, self.weather, self.least);
        let steps: Vec<(u64, u64)> = std::iter::once((0, first))
            .chain(changes)
            .map(|(t, enough)| (t, u64::from(enough)))
            .collect();
        let gives = super::sum(&steps, self.sky.length(), 1);
        match (self.goal, gives.last) {
            (Goal::Longest, _) => gives.useful.into(),
            (Goal::Latest, last) => late(last),
            (_, Some(last)) => self.early(last),
            (_, None) => 0,
        }
    }

    /// The earlier, the more.
    fn early(&self, last: u64) -> u128 {
        u128::from(self.sky.length() - last)
    }
}

/// The later, the more; never is nothing.
fn late(last: Option<u64>) -> u128 {
    last.map_or(0, |last| u128::from(last) + 1)
}
