//! The day that a world's settings make, as shapes and words: when the sun is up, wind by the hour, who is home, and the weather
//! of the days.
//!
//! Across, a day is [`chart::WIDE`] units, as in the day chart; down, heights are the caller's. It computes no power.

use super::chart::{self, Window};
use crate::plan::{Clock, World};
use crate::quantity::{Ms, Short};
use std::fmt::Write;

/// So many days of weather are drawn; the rest is told by their number.
pub const DAYS: usize = 30;

/// One day's window.
pub fn window(world: &World) -> Window {
    Window {
        from: 0,
        to: world.day_ms(),
    }
}

/// Bars of the wind, one for each hour of the dial that has any, on the foot of `high`; the strongest, or 1 if that is more, is at its
/// top.
pub fn wind(world: &World, high: f64) -> String {
    let most = world.wind.iter().copied().fold(1.0, f64::max);
    let each = chart::WIDE / 24.0;
    let mut path = String::new();
    for (hour, wind) in world.wind.iter().enumerate().filter(|(_, w)| **w > 0.0) {
        let tall = round(wind / most * high).max(0.5);
        let (x, y) = (round(hour as f64 * each), round(high - tall));
        let wide = round(each) - 2.0;
        let _ = write!(path, "M{x} {y}h{wide}v{tall}h-{wide}z");
    }
    path
}

/// When somebody is home on one day, as stretches.
pub fn home(world: &World) -> Vec<(Ms, Ms)> {
    let day = world.day_ms();
    let mut stretches = Vec::new();
    for span in &world.home {
        let (from, to) = (span.from.ms(day), span.to.ms(day));
        if from < to {
            stretches.push((from, to));
        } else if from > to {
            stretches.extend([(0, to), (from, day)]);
        }
    }
    stretches.retain(|(from, to)| from < to);
    stretches.sort_unstable();
    stretches
}

/// A day's weather as a bar.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// The day, from 1.
    pub day: usize,
    /// How tall its bar is, as a share.
    pub share: f64,
    /// The factor, as it is said.
    pub factor: String,
}

/// The weather of the first days, each as a share of the best, or of 1 if that is more; and how many days are left out.
pub fn weather(world: &World) -> (Vec<Weather>, usize) {
    let most = world.weather.iter().copied().fold(1.0, f64::max);
    let bars = (world.weather.iter().take(DAYS).enumerate())
        .map(|(at, factor)| Weather {
            day: at + 1,
            share: factor / most,
            factor: Short(*factor).to_string(),
        })
        .collect();
    (bars, world.weather.len().saturating_sub(DAYS))
}

/// The sun's day in a sentence.
pub fn says(world: &World) -> String {
    let (sky, day) = (world.sky(), world.day_ms());
    let noon = sky.sun(day / 2).elevation;
    let clock = |t: Ms| Clock::at(t.min(day - 1), day).to_string();
    match sky.dark_changes() {
        (true, turns) if turns.len() == 2 => {
            let highest = sky.sun(turns[0] + (turns[1] - turns[0]) / 2).elevation;
            format!(
                "The sun is up from {} to {} and stands {}° high in between.",
                clock(turns[0]),
                clock(turns[1]),
                Short(round(highest))
            )
        }
        (true, turns) if turns.is_empty() => "The sun does not rise.".into(),
        (false, turns) if turns.is_empty() => format!(
            "The sun does not set; at noon it stands {}° high.",
            Short(round(noon))
        ),
        // An arc that begins or ends with the day.
        (dark, turns) => {
            let (from, to) = match (dark, turns.first()) {
                (true, Some(rise)) => (*rise, day),
                (_, set) => (0, set.copied().unwrap_or(day)),
            };
            let end = if to == day {
                "24:00".to_string()
            } else {
                clock(to)
            };
            format!(
                "The sun is up from {} to {end} and stands {}° high in between.",
                clock(from),
                Short(round(sky.sun(from + (to - from) / 2).elevation))
            )
        }
    }
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{SkyRef, Span};

    fn clock(text: &str) -> Clock {
        Clock::parse(text).expect("a clock time")
    }

    fn arc(rise: &str, set: &str) -> World {
        World {
            sky: SkyRef::Arc {
                rise: clock(rise),
                set: clock(set),
                rise_azimuth: 90.0,
                highest: 61.04,
            },
            ..World::default()
        }
    }

    #[test]
    fn the_sun_s_day_is_said() {
        assert_eq!(
            says(&arc("06:30", "18:00")),
            "The sun is up from 06:30 to 18:00 and stands 61° high in between."
        );
        assert_eq!(
            says(&arc("06:00", "24:00")),
            "The sun is up from 06:00 to 24:00 and stands 61° high in between."
        );
        let place = |latitude, day_of_year| World {
            sky: SkyRef::Place {
                latitude,
                day_of_year,
            },
            ..World::default()
        };
        assert_eq!(says(&place(80.0, 355.0)), "The sun does not rise.");
        assert_eq!(
            says(&place(90.0, 172.0)),
            "The sun does not set; at noon it stands 23.5° high."
        );
    }

    #[test]
    fn wind_is_a_bar_an_hour_and_none_where_there_is_none() {
        let mut world = World::default();
        assert_eq!(wind(&world, 20.0), "");
        world.wind = vec![0.0; 24];
        world.wind[0] = 0.5;
        world.wind[12] = 2.0;
        assert_eq!(
            wind(&world, 20.0),
            "M0 15h39.7v5h-39.7zM500 0h39.7v20h-39.7z"
        );
    }

    #[test]
    fn home_over_midnight_is_two_stretches() {
        let mut world = World::default();
        let span = |from, to| Span {
            from: clock(from),
            to: clock(to),
        };
        world.home = vec![
            span("18:00", "08:00"),
            span("12:00", "13:00"),
            span("09:00", "09:00"),
        ];
        let hour = 3_600_000;
        assert_eq!(
            home(&world),
            [
                (0, 8 * hour),
                (12 * hour, 13 * hour),
                (18 * hour, 24 * hour)
            ]
        );
    }

    #[test]
    fn weather_is_a_share_of_the_best_day() {
        let of_days = |weather: Vec<f64>| World {
            weather,
            ..World::default()
        };
        let world = of_days(vec![0.5, 2.0]);
        let (bars, more) = weather(&world);
        assert_eq!(
            (bars[0].share, bars[0].factor.as_str(), bars[1].day, more),
            (0.25, "0.5", 2, 0)
        );
        let world = of_days(vec![0.3; 40]);
        let (bars, more) = weather(&world);
        assert_eq!((bars.len(), bars[0].share, more), (30, 0.3, 10));
    }
}
