//! The daylight of a sky cut into stretches, ready to bound what any aim out of a patch of aims gives in them.
//!
//! A patch is taken as a cone: all directions within a radius of its middle. The cosine of incidence of each of them is
//! within that radius of the middle's. Stretches are halved, down to a 32,768th of the day, as long as it can help. Powers
//! are whole steps, times milliseconds. What is bounded here is decided exactly elsewhere.

use crate::sky::position::{Course, elevation_of};
use crate::sky::steps::whole;
use crate::sky::{Air, Sky};

/// A stretch of a day is halved until it is no longer than the day divided by this.
const PIECES: u64 = 1 << 15;

/// More than rounding, and what counts as no swing at all, can put a computed cosine off.
const DOUBT: f64 = 1e-10;

/// Directions about a middle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cone {
    /// The middle: east, north, up.
    pub(super) normal: [f64; 3],
    /// No direction is farther from the middle than this chord.
    pub(super) radius: f64,
}

/// The sun at the end of a stretch.
#[derive(Clone, Copy, Debug)]
struct Spot {
    t: u64,
    towards: [f64; 3],
    air: f64,
}

/// Daylight in which the sun's elevation goes one way.
#[derive(Clone, Debug)]
struct Piece {
    /// The ends of its smallest stretches: a power of two of them, and one.
    spots: Vec<Spot>,
    /// By how often it was halved: how far a cosine can be outside its values at a stretch's ends.
    bulges: Vec<f64>,
}

/// A stretch of a piece.
#[derive(Clone, Copy)]
struct Stretch {
    level: usize,
    from: usize,
    to: usize,
    /// The cosines of the middle of the cone at the two ends.
    ends: (f64, f64),
}

/// A sky's daylight, and a panel.
#[derive(Clone, Debug)]
pub(super) struct Daylight {
    pieces: Vec<Piece>,
    peak: u64,
    weather: f64,
}

/// What a stretch `[from, to)` gives: a value that is at least and at most so much all through it.
#[derive(Clone, Copy, Debug)]
struct Bound {
    from: u64,
    to: u64,
    least: u64,
    most: u64,
}

impl Piece {
    fn new(course: &Course, air: Air, finest: u64, from: u64, to: u64) -> Piece {
        let span = to - from;
        let mut depth = 0;
        while span >> depth > finest {
            depth += 1;
        }
        let count = 1u64 << depth;
        let spot = |number: u64| {
            let t = from + ((u128::from(span) * u128::from(number)) >> depth) as u64;
            let towards = course.towards(t);
            let elevation = elevation_of(towards[2].max(0.0));
            Spot {
                t,
                towards,
                air: air.leaves(elevation),
            }
        };
        Piece {
            spots: (0..=count).map(spot).collect(),
            bulges: (0..=depth)
                .map(|level| course.bulge((span >> level) + 1))
                .collect(),
        }
    }
}

fn cosine(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

impl Daylight {
    /// The daylight of `sky`, for a panel of `peak` steps under a factor of `weather`.
    pub(super) fn new(sky: &Sky, peak: u64, weather: f64) -> Daylight {
        let (course, day) = (Course::new(sky), sky.length());
        let (dark, turns) = sky.dark_changes();
        let mut cuts = course.cuts();
        cuts.extend(turns.iter().copied());
        cuts.extend([0, day]);
        cuts.retain(|cut| *cut <= day);
        cuts.sort_unstable();
        cuts.dedup();
        let is_up = |t: u64| dark == (turns.iter().filter(|turn| **turn <= t).count() % 2 == 1);
        let finest = (day / PIECES).max(1);
        let pieces = cuts
            .windows(2)
            .filter(|ends| is_up(ends[0]))
            .map(|ends| Piece::new(&course, sky.air, finest, ends[0], ends[1]))
            .collect();
        Daylight {
            pieces,
            peak,
            weather,
        }
    }

    /// The most energy, in step·ms, that an aim of the cone may give.
    pub(super) fn energy(&self, cone: Cone) -> u128 {
        let mut sum = 0;
        self.walk(cone, false, &|steps| steps, &mut |bound| {
            sum += u128::from(bound.most) * u128::from(bound.to - bound.from);
            true
        });
        sum
    }

    /// The most milliseconds that an aim of the cone may give `least` steps or more.
    pub(super) fn useful(&self, cone: Cone, least: u64) -> u64 {
        let mut sum = 0;
        let enough = |steps: u64| u64::from(steps >= least);
        self.walk(cone, false, &enough, &mut |bound| {
            sum += bound.most * (bound.to - bound.from);
            true
        });
        sum
    }

    /// Bounds of the last millisecond at which an aim of the cone gives `least` steps or more: no aim does so later than
    /// the second, and each of them does so at the first, if there is such a millisecond.
    pub(super) fn last(&self, cone: Cone, least: u64) -> (Option<u64>, Option<u64>) {
        let (mut surely, mut perhaps) = (None, None);
        let enough = |steps: u64| u64::from(steps >= least);
        self.walk(cone, true, &enough, &mut |bound| {
            if bound.most > 0 {
                perhaps = perhaps.or(Some(bound.to - 1));
            }
            if bound.least > 0 {
                surely = Some(bound.to - 1);
            }
            surely.is_none()
        });
        (surely, perhaps)
    }

    /// Goes through the daylight, forwards or backwards, in stretches in which `value` of the steps is known, or that are
    /// too short to be worth halving; until `visit` says that it is enough. `value` never falls where its argument grows.
    fn walk(
        &self,
        cone: Cone,
        backwards: bool,
        value: &impl Fn(u64) -> u64,
        visit: &mut impl FnMut(Bound) -> bool,
    ) {
        for number in 0..self.pieces.len() {
            let at = if backwards {
                self.pieces.len() - 1 - number
            } else {
                number
            };
            let piece = &self.pieces[at];
            let last = piece.spots.len() - 1;
            let stretch = Stretch {
                level: 0,
                from: 0,
                to: last,
                ends: (
                    cosine(cone.normal, piece.spots[0].towards),
                    cosine(cone.normal, piece.spots[last].towards),
                ),
            };
            if !self.halve(piece, stretch, cone, backwards, value, visit) {
                return;
            }
        }
    }

    fn halve(
        &self,
        piece: &Piece,
        stretch: Stretch,
        cone: Cone,
        backwards: bool,
        value: &impl Fn(u64) -> u64,
        visit: &mut impl FnMut(Bound) -> bool,
    ) -> bool {
        let (a, b) = (piece.spots[stretch.from], piece.spots[stretch.to]);
        let (low, high) = (
            stretch.ends.0.min(stretch.ends.1),
            stretch.ends.0.max(stretch.ends.1),
        );
        let bulge = piece.bulges[stretch.level];
        let room = bulge + cone.radius + DOUBT;
        let steps = |cosine: f64, air: f64| {
            value(whole(self.peak, cosine.clamp(0.0, 1.0) * air, self.weather))
        };
        let (least, most) = (
            steps(low - room, a.air.min(b.air)),
            steps(high + room, a.air.max(b.air)),
        );
        let finest = stretch.to - stretch.from == 1;
        let helpless = high - low + bulge < cone.radius;
        if least == most || finest || helpless {
            let (from, to) = (a.t, b.t);
            return visit(Bound {
                from,
                to,
                least,
                most,
            });
        }
        let middle = stretch.from + (stretch.to - stretch.from) / 2;
        let between = cosine(cone.normal, piece.spots[middle].towards);
        let level = stretch.level + 1;
        let first = Stretch {
            level,
            to: middle,
            ends: (stretch.ends.0, between),
            ..stretch
        };
        let second = Stretch {
            level,
            from: middle,
            ends: (between, stretch.ends.1),
            ..stretch
        };
        let (one, other) = if backwards {
            (second, first)
        } else {
            (first, second)
        };
        self.halve(piece, one, cone, backwards, value, visit)
            && self.halve(piece, other, cone, backwards, value, visit)
    }
}
