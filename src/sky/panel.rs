//! How much of the sun a fixed panel faces: the cosine of incidence, gated by the horizon and dimmed by the air.
//!
//! The cosine is the dot product of the sun's direction with the panel's normal, which is the textbook's sum of five
//! terms (J. A. Duffie, W. A. Beckman, "Solar Engineering of Thermal Processes", eq. 1.6.2). It is a share of the beam
//! on a panel square to it under a sun in the zenith; no diffuse light.

use super::degrees::{cos_deg, sin_deg};
use super::position::{Course, ROUNDING, Wave, elevation_of};
use super::{Aim, Air, Sky, finite};

/// A panel under a sky, made ready for many questions.
pub(super) struct Panel {
    course: Course,
    normal: [f64; 3],
    /// The cosine of incidence over a place; unused for an arc.
    facing: Option<Wave>,
    air: Air,
    /// What the air leaves at the horizon.
    low: f64,
    /// How far rounding may put `facing · air` from a curve that goes one way between cuts.
    doubt: f64,
}

/// A panel's sun at one millisecond.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    t: u64,
    is_up: bool,
    /// Sine of the elevation, where the sun's being up hangs on rounding; for an arc it does not.
    up: f64,
    /// Cosine of incidence, negative where the sun is behind the panel.
    facing: f64,
    /// What the air leaves; at the horizon's value while the sun is down.
    air: f64,
}

impl Moment {
    /// The panel's factor, 0 to 1.
    pub(super) fn factor(&self) -> f64 {
        if self.is_up && self.facing > 0.0 {
            self.facing * self.air
        } else {
            0.0
        }
    }
}

/// The direction a panel looks: east, north, up.
pub(super) fn normal(aim: Aim) -> [f64; 3] {
    let (azimuth, tilt) = (finite(aim.azimuth), finite(aim.tilt));
    let slope = sin_deg(tilt);
    [
        slope * sin_deg(azimuth),
        slope * cos_deg(azimuth),
        cos_deg(tilt),
    ]
}

impl Panel {
    pub(super) fn new(sky: &Sky, aim: Aim) -> Panel {
        let normal = normal(aim);
        let course = Course::new(sky);
        let facing = match &course {
            Course::Round(round) => Some(round.along(normal)),
            Course::Arc(_) => None,
        };
        let still = course.doubt() == 0.0 && facing.is_none_or(|wave| wave.is_flat());
        let doubt = if still { 0.0 } else { 4.0 * ROUNDING };
        Panel {
            course,
            normal,
            facing,
            air: sky.air,
            low: sky.air.leaves(0.0),
            doubt,
        }
    }

    /// The panel's sun at `t`, below the day's length.
    pub(super) fn moment(&self, t: u64) -> Moment {
        let (is_up, up, elevation, facing) = match (&self.course, &self.facing) {
            (Course::Round(round), Some(wave)) => {
                let hour = round.hour(t);
                let up = round.up(hour);
                let elevation = match self.air {
                    Air::Clear if up > 0.0 => elevation_of(up),
                    _ => 0.0,
                };
                (up > 0.0, up, elevation, wave.at(hour))
            }
            (Course::Arc(arc), _) if arc.is_up(t) => {
                let elevation = arc.elevation(t);
                (true, 1.0, elevation, arc.along(self.normal, t, elevation))
            }
            _ => (false, -1.0, 0.0, 0.0),
        };
        let air = if is_up {
            self.air.leaves(elevation)
        } else {
            self.low
        };
        Moment {
            t,
            is_up,
            up,
            facing,
            air,
        }
    }

    /// Milliseconds between which the sun's elevation and, over a place, the cosine of incidence go one way.
    pub(super) fn cuts(&self) -> Vec<u64> {
        let mut cuts = self.course.cuts();
        if let (Course::Round(round), Some(wave)) = (&self.course, &self.facing) {
            round.cuts(wave, &mut cuts);
        }
        cuts
    }

    /// Bounds of the factor over all milliseconds from `a` to `b`, between which there is no cut: the cosine and the air
    /// each stay within their values at the ends (for an arc's cosine, and the bulge between them), so their product
    /// stays within the products.
    pub(super) fn bounds(&self, a: &Moment, b: &Moment) -> (f64, f64) {
        let (bulge, gate) = match &self.course {
            Course::Arc(arc) => (arc.bulge(b.t - a.t), 0.0),
            Course::Round(_) => (0.0, self.course.doubt()),
        };
        let (lowest, highest) = (a.up.min(b.up), a.up.max(b.up));
        if highest + gate <= 0.0 {
            return (0.0, 0.0);
        }
        if a.facing.max(b.facing) + bulge + self.doubt <= 0.0 {
            return (0.0, 0.0);
        }
        let most = (a.facing.max(b.facing) + bulge).max(0.0) * a.air.max(b.air);
        let least = (a.facing.min(b.facing) - bulge).max(0.0) * a.air.min(b.air);
        let least = if lowest - gate > 0.0 { least } else { 0.0 };
        (least - self.doubt, most + self.doubt)
    }
}

impl Sky {
    /// The share of a panel's peak that the sun gives `t` ms after midnight (modulo the day): the cosine of incidence
    /// while the sun is up and before the panel, times what the air leaves; else 0.
    pub fn factor(&self, t: u64, aim: Aim) -> f64 {
        Panel::new(self, aim).moment(t % self.length()).factor()
    }
}
