//! The sky dome over a panel, seen from above: the sun's way of the day with the hours of the dial, and the panel's normal.
//!
//! Drawn in units about the zenith: the horizon is a circle of [`RADIUS`], north is up (negative y), east to the right. Aims
//! are read off it in whole degrees. It is for the eye and the hand; nothing is decided by it.

use crate::quantity::Ms;
use crate::sky::{Aim, Sky, from_disc, on_disc};
use std::fmt::Write;

/// The horizon's radius, in units.
pub const RADIUS: f64 = 100.0;

/// The sixteen points of the compass, clockwise from north.
pub const COMPASS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// Places of the sun's way that are joined by straight lines.
const FINE: u64 = 288;
/// Every so many hours one is labelled.
const LABELLED: u64 = 3;
/// How far a label stands from its mark.
const APART: f64 = 12.0;

/// The point of the compass nearest to an azimuth.
pub fn point(azimuth: f64) -> &'static str {
    let sixteenth = (azimuth.rem_euclid(360.0) / 22.5).round();
    COMPASS[sixteenth as usize % 16]
}

/// An aim in words: `180°, S, tilted 35°`.
pub fn says(aim: Aim) -> String {
    let azimuth = whole_turn(aim.azimuth);
    format!(
        "{}°, {}, tilted {}°",
        crate::quantity::Short(azimuth),
        point(azimuth),
        crate::quantity::Short(aim.tilt)
    )
}

/// An azimuth as it is said: 0 to below 360.
pub fn whole_turn(azimuth: f64) -> f64 {
    let turn = azimuth.rem_euclid(360.0);
    if turn >= 360.0 { 0.0 } else { turn }
}

fn number(x: f64) -> f64 {
    // No negative zero.
    (x * 10.0).round() / 10.0 + 0.0
}

/// Where a direction is drawn, by its azimuth and how far it is from the zenith, in degrees.
pub fn place(azimuth: f64, from_zenith: f64) -> (f64, f64) {
    let (east, north) = on_disc(azimuth, from_zenith);
    (number(east * RADIUS), number(-north * RADIUS))
}

/// Where a panel's normal is drawn; one that looks below the horizon is drawn on it.
pub fn handle(aim: Aim) -> (f64, f64) {
    place(aim.azimuth, aim.tilt.clamp(0.0, 90.0))
}

/// The aim of whole degrees at a place of the drawing: azimuth 0 to 359, tilt 0 to 90.
pub fn aim_at(x: f64, y: f64) -> Aim {
    let (azimuth, tilt) = from_disc(x / RADIUS, -y / RADIUS);
    Aim {
        azimuth: whole_turn(azimuth.round()),
        tilt: tilt.round().clamp(0.0, 90.0),
    }
}

/// The aim a step further: by so many degrees clockwise, and so many more of tilt; rounded to whole degrees first.
pub fn turned(aim: Aim, clockwise: f64, tilt: f64) -> Aim {
    Aim {
        azimuth: whole_turn(aim.azimuth.round() + clockwise),
        tilt: (aim.tilt.round() + tilt).clamp(0.0, 90.0),
    }
}

/// An hour of the dial on the sun's way.
#[derive(Clone, Debug, PartialEq)]
pub struct Hour {
    /// Its mark.
    pub at: (f64, f64),
    /// The label and its place, at every third hour.
    pub label: Option<(String, (f64, f64))>,
}

/// The sun at a time of the day, while it is up.
pub fn sun(sky: &Sky, t: Ms) -> Option<(f64, f64)> {
    let sun = sky.sun(t);
    (!sky.is_dark(t)).then(|| place(sun.azimuth, 90.0 - sun.elevation))
}

/// The sun's way of the day, from rise to set, as a path; empty where it does not rise.
pub fn way(sky: &Sky) -> String {
    let day = sky.day_ms.max(1);
    let (_, turns) = sky.dark_changes();
    let mut times: Vec<Ms> = (0..=FINE)
        .map(|n| (u128::from(day - 1) * u128::from(n) / u128::from(FINE)) as Ms)
        .collect();
    // The way begins and ends on the horizon.
    times.extend(turns.iter().flat_map(|t| [t.saturating_sub(1), *t]));
    times.sort_unstable();
    times.dedup();
    let mut path = String::new();
    let mut drawn = false;
    for t in times {
        let Some((x, y)) = sun(sky, t) else {
            drawn = false;
            continue;
        };
        let _ = write!(path, "{}{x} {y}", if drawn { 'L' } else { 'M' });
        drawn = true;
    }
    path
}

/// The hours of the dial at which the sun is up.
pub fn hours(sky: &Sky) -> Vec<Hour> {
    let day = sky.day_ms.max(1);
    (0..24u64)
        .filter_map(|hour| {
            let t = (u128::from(hour) * u128::from(day)).div_ceil(24) as Ms;
            let at = sun(sky, t)?;
            let label = (hour % LABELLED == 0).then(|| (format!("{hour}"), beside(at)));
            Some(Hour { at, label })
        })
        .collect()
}

/// A place for a label: a little nearer to the zenith, where there is room, or below the zenith itself.
fn beside((x, y): (f64, f64)) -> (f64, f64) {
    let (azimuth, tilt) = from_disc(x / RADIUS, -y / RADIUS);
    let apart = APART / RADIUS * 90.0;
    if tilt < 2.0 * apart {
        return (x, number(y + APART));
    }
    place(azimuth, tilt - apart)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Air, Path};

    fn aim(azimuth: f64, tilt: f64) -> Aim {
        Aim { azimuth, tilt }
    }

    #[test]
    fn an_aim_is_where_it_is_put() {
        for (azimuth, tilt) in [(0.0, 90.0), (180.0, 35.0), (271.0, 4.0), (123.0, 60.0)] {
            let (x, y) = handle(aim(azimuth, tilt));
            assert_eq!(aim_at(x, y), aim(azimuth, tilt));
        }
        assert_eq!(aim_at(0.0, 0.0), aim(0.0, 0.0));
        assert_eq!(aim_at(-500.0, 0.0), aim(270.0, 90.0), "beyond the horizon");
        assert_eq!(aim_at(-0.01, -90.0), aim(0.0, 81.0), "never 360°");
        assert_eq!(handle(aim(180.0, 130.0)), (0.0, 100.0));
    }

    #[test]
    fn steps_go_round_and_stop_at_flat_and_upright() {
        assert_eq!(turned(aim(359.0, 90.0), 1.0, 1.0), aim(0.0, 90.0));
        assert_eq!(turned(aim(0.0, 0.0), -10.0, -1.0), aim(350.0, 0.0));
        assert_eq!(turned(aim(22.5, 35.4), 0.0, 1.0), aim(23.0, 36.0));
    }

    #[test]
    fn an_aim_is_said_with_its_point_of_the_compass() {
        assert_eq!(says(aim(180.0, 35.0)), "180°, S, tilted 35°");
        assert_eq!(says(aim(-90.0, 7.5)), "270°, W, tilted 7.5°");
        assert_eq!(says(aim(349.0, 0.0)), "349°, N, tilted 0°");
    }

    #[test]
    fn the_way_of_an_arc_goes_from_horizon_to_horizon_through_its_noon() {
        let sky = Sky {
            path: Path::Arc {
                rise_ms: 6_000,
                set_ms: 18_000,
                rise_azimuth: 90.0,
                highest: 45.0,
            },
            air: Air::Clear,
            day_ms: 24_000,
        };
        let way = way(&sky);
        assert!(
            way.starts_with("M100 0L") && way.ends_with("L-100 0"),
            "{way}"
        );
        assert_eq!(way.matches('M').count(), 1);
        assert_eq!(sun(&sky, 12_000), Some((0.0, 50.0)));
        assert_eq!(sun(&sky, 3_000), None);
        let hours = hours(&sky);
        assert_eq!(hours.len(), 11, "7 to 17: at 6 and 18 it is on the horizon");
        let labels: Vec<&str> = (hours.iter())
            .filter_map(|h| h.label.as_ref().map(|l| l.0.as_str()))
            .collect();
        assert_eq!(labels, ["9", "12", "15"]);
    }

    #[test]
    fn a_sun_that_never_sets_has_a_way_without_an_end_and_one_that_never_rises_none() {
        let sky = |day_of_year| Sky {
            path: Path::Place {
                latitude: 80.0,
                day_of_year,
            },
            air: Air::None,
            day_ms: 86_400_000,
        };
        let round = way(&sky(172.0));
        assert_eq!(round.matches('M').count(), 1);
        assert_eq!(hours(&sky(172.0)).len(), 24);
        assert_eq!(
            (way(&sky(355.0)), hours(&sky(355.0))),
            (String::new(), vec![])
        );
    }
}
