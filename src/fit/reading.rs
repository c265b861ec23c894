//! What a builder reads off his world, and what each reading says of it.
//!
//! Times are places on the dial in hours from midnight, angles degrees, powers whole steps, levels per mille. A time, an
//! angle at the horizon, a level and a watch's seconds are right to one unit of their last place, either way; `gives` is
//! what a panel shows, so that the true value is in `[gives, gives + 1)`.

use crate::clock::DialTime;
use crate::sky::{Aim, Air};

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reading {
    /// What a panel shows at a time of the dial.
    Panel {
        /// When.
        at: DialTime,
        /// How the panel stands.
        aim: Aim,
        /// Whole steps.
        gives: u64,
    },
    /// When the sun comes up, and where.
    Rises {
        /// When.
        at: DialTime,
        /// Degrees clockwise from north.
        azimuth: Option<f64>,
    },
    /// When it goes down, and where.
    Sets {
        /// When.
        at: DialTime,
        /// Degrees clockwise from north.
        azimuth: Option<f64>,
    },
    /// How far the dial goes while a watch goes on.
    Clock {
        /// Seconds by the watch.
        clock_s: f64,
        /// The way of the dial meanwhile, as a time from midnight on.
        dial: DialTime,
    },
    /// How a battery's level changes under a steady power.
    Battery {
        /// Whether it is drawn from; else it is charged.
        falls: bool,
        /// Its level at first, in per mille.
        from: f64,
        /// Its level in the end.
        to: f64,
        /// How long, in real hours.
        hours: f64,
        /// Steps drawn from it, or fed into it.
        draw: u64,
    },
}

/// A table of readings of one world. The panels are all of one type.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// The length of the day in seconds, where it is known.
    pub day_s: Option<f64>,
    /// The air, where it is known.
    pub air: Option<Air>,
    /// The readings, as they stand in the file.
    pub list: Vec<Reading>,
}
