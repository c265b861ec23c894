//! The further reading that would tell most.
//!
//! The worlds at the ends of all ranges stand for all that explain the readings. A question is a panel at a half hour of the
//! dial, looking one of eight ways at one of four tilts. Its answers part the worlds into groups that give the same whole
//! steps; what a question leaves is the mean, over the worlds, of how wide the five numbers still are in a world's group,
//! as shares of how wide they are among all. The least is asked.

use super::arc::{Arc, Panel};
use super::sun::Sun;
use crate::clock::DialTime;
use crate::sky::{Aim, Air};
use serde::{Deserialize, Serialize};

/// A panel to be read at a time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Question {
    /// When.
    pub at: DialTime,
    /// How the panel is to stand.
    pub aim: Aim,
}

/// What is left must be so much less than all for a question to be worth a way outside.
const WORTH: f64 = 0.999;

/// The aims asked about: flat, and eight ways at three tilts.
fn aims() -> Vec<Aim> {
    let mut aims = vec![Aim {
        azimuth: 0.0,
        tilt: 0.0,
    }];
    for azimuth in 0..8 {
        for tilt in [30.0, 60.0, 90.0] {
            let azimuth = f64::from(azimuth) * 45.0;
            aims.push(Aim { azimuth, tilt });
        }
    }
    aims
}

/// The half hours of the dial.
fn times() -> impl Iterator<Item = DialTime> {
    (0..48).map(|half| DialTime {
        second: half * 1800,
        to_the_second: false,
    })
}

/// The question that leaves least; the earliest, then the smallest azimuth and tilt, of those that leave as little. None
/// where no question leaves less than there is.
pub(super) fn next(sun: &Sun) -> Option<Question> {
    let aims = aims();
    let panels: Vec<Panel> = aims.iter().map(|aim| Panel::new(*aim)).collect();
    if sun.dark {
        return Some(brightest(sun, &aims, &panels));
    }
    let widths = widths(sun.worlds.iter().map(|(_, arc)| *arc));
    let mut best: Option<(f64, Question)> = None;
    for at in times() {
        for (aim, panel) in aims.iter().zip(&panels) {
            let left = left(&sun.worlds, at.hours(), panel, &widths);
            if left < best.map_or(WORTH, |(least, _)| least - 1e-12) {
                best = Some((left, Question { at, aim: *aim }));
            }
        }
    }
    best.map(|(_, question)| question)
}

/// How wide each number is among some worlds.
fn widths(worlds: impl Iterator<Item = Arc>) -> [f64; 5] {
    let mut ends = [(f64::INFINITY, f64::NEG_INFINITY); 5];
    for arc in worlds {
        for ((low, high), number) in ends.iter_mut().zip(arc.0) {
            (*low, *high) = (low.min(number), high.max(number));
        }
    }
    ends.map(|(low, high)| if high > low { high - low } else { 0.0 })
}

/// What a question leaves: 1 is all, 0 is nothing.
fn left(worlds: &[(Air, Arc)], hour: f64, panel: &Panel, widths_of_all: &[f64; 5]) -> f64 {
    let give = |(air, arc): &(Air, Arc)| (libm::floor(arc.steps(hour, panel, *air)), *arc);
    let mut given: Vec<(f64, Arc)> = worlds.iter().map(give).collect();
    given.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut left = 0.0;
    for group in given.chunk_by(|a, b| a.0 == b.0) {
        let widths = widths(group.iter().map(|(_, arc)| *arc));
        let shares = widths
            .iter()
            .zip(widths_of_all)
            .map(|(width, all)| if *all > 0.0 { width / all } else { 0.0 });
        left += shares.sum::<f64>() / 5.0 * group.len() as f64;
    }
    left / worlds.len().max(1) as f64
}

/// While no panel has given anything: the question whose panel gives most in the world answered.
fn brightest(sun: &Sun, aims: &[Aim], panels: &[Panel]) -> Question {
    let mut best = (
        0.0,
        Question {
            at: DialTime {
                second: 43_200,
                to_the_second: false,
            },
            aim: aims[0],
        },
    );
    for at in times() {
        for (aim, panel) in aims.iter().zip(panels) {
            let gives = sun.arc.steps(at.hours(), panel, sun.air);
            if gives > best.0 + 1e-9 {
                best = (gives, Question { at, aim: *aim });
            }
        }
    }
    best.1
}
