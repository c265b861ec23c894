//! The exact search for changes against the plainest way there is: asking at every millisecond.
//!
//! Days are short here (some 2 to 60 s) so that every millisecond can be asked; nothing in the search knows how long
//! a day is. Long days are tested at their changes and at samples between them.

use duskline::sky::{Aim, Air, Path, Sky};
use proptest::prelude::*;

/// Steps at 0 and every change, by asking at every millisecond.
fn asked(sky: &Sky, aim: Aim, peak: u64, weather: f64) -> (u64, Vec<(u64, u64)>) {
    let first = sky.steps(0, aim, peak, weather);
    let mut now = first;
    let mut found = Vec::new();
    for t in 1..sky.day_ms {
        let new = sky.steps(t, aim, peak, weather);
        if new != now {
            found.push((t, new));
            now = new;
        }
    }
    (first, found)
}

/// A yes-or-no value at 0 and its turns, by asking at every millisecond.
fn turns(day: u64, is: impl Fn(u64) -> bool) -> (bool, Vec<u64>) {
    (is(0), (1..day).filter(|&t| is(t) != is(t - 1)).collect())
}

fn path(day_ms: u64) -> impl Strategy<Value = Path> {
    let latitude = prop_oneof![
        4 => -90.0..=90.0_f64,
        2 => prop::sample::select(vec![-90.0, -66.548, 0.0, 23.45, 66.548, 80.0, 90.0]),
    ];
    let day_of_year =
        prop_oneof![3 => (1..=365_u32).prop_map(f64::from), 1 => Just(80.0), 1 => 1.0..366.0_f64];
    prop_oneof![
        2 => (latitude, day_of_year).prop_map(|(latitude, day_of_year)| Path::Place { latitude, day_of_year }),
        1 => (0..=day_ms, 0..=day_ms, 0.0..180.0_f64, 0.0..=90.0_f64).prop_map(|(a, b, rise_azimuth, highest)| {
            Path::Arc { rise_ms: a.min(b), set_ms: a.max(b), rise_azimuth, highest }
        }),
    ]
}

fn sky(longest: u64) -> impl Strategy<Value = Sky> {
    (2..=longest, prop::bool::ANY).prop_flat_map(|(day_ms, clear)| {
        let air = if clear { Air::Clear } else { Air::None };
        path(day_ms).prop_map(move |path| Sky { path, air, day_ms })
    })
}

fn aim() -> impl Strategy<Value = Aim> {
    let azimuth =
        prop_oneof![3 => 0.0..360.0_f64, 1 => prop::sample::select(vec![0.0, 90.0, 180.0, 270.0])];
    let tilt = prop_oneof![3 => 0.0..=90.0_f64, 1 => prop::sample::select(vec![0.0, 35.0, 90.0])];
    (azimuth, tilt).prop_map(|(azimuth, tilt)| Aim { azimuth, tilt })
}

fn peak() -> impl Strategy<Value = u64> {
    prop_oneof![4 => 0..=40_u64, 2 => 0..=2_000_u64, 1 => 0..=1_000_000_u64]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_step_change_is_found(sky in sky(20_000), aim in aim(), peak in peak(), weather in 0.0..1.5_f64) {
        prop_assert_eq!(sky.step_changes(aim, peak, weather), asked(&sky, aim, peak, weather));
    }

    /// The hard ones: a weather that puts one millisecond's product, or the day's highest, to within rounding of the very
    /// edge of a whole step.
    #[test]
    fn steps_that_are_only_touched_are_right(
        sky in sky(20_000), aim in aim(), peak in 1..=40_u64, k in 1..=40_u64, ulps in -6..=6_i32, share in 0.0..1.0_f64, top in prop::bool::ANY,
    ) {
        let highest = (0..sky.day_ms).map(|t| sky.factor(t, aim)).fold(0.0, f64::max);
        let one = sky.factor((share * sky.day_ms as f64) as u64, aim);
        let factor = if top || one == 0.0 { highest } else { one };
        prop_assume!(factor > 0.0);
        let edge = (k.min(peak) as f64 - 1e-9) / (peak as f64 * factor);
        let weather = edge * (1.0 + f64::from(ulps) * f64::EPSILON);
        prop_assert_eq!(sky.step_changes(aim, peak, weather), asked(&sky, aim, peak, weather));
    }

    #[test]
    fn every_dusk_and_dawn_is_found(sky in sky(20_000), below in -0.1..1.1_f64, share in 0.0..1.0_f64) {
        prop_assert_eq!(sky.dark_changes(), turns(sky.day_ms, |t| sky.is_dark(t)));
        let touched = sky.light((share * sky.day_ms as f64) as u64);
        let noon = sky.light(sky.day_ms / 2);
        for below in [below, touched, noon, 0.0, 1.0] {
            prop_assert_eq!(sky.twilight_changes(below), turns(sky.day_ms, |t| sky.light(t) < below));
        }
    }

    #[test]
    fn long_days_are_right_at_their_changes_and_between(sky in sky(200_000_000), aim in aim(), peak in 0..=200_u64, weather in 0.0..1.0_f64) {
        let (first, found) = sky.step_changes(aim, peak, weather);
        prop_assert_eq!(first, sky.steps(0, aim, peak, weather));
        let mut now = (0, first);
        for (t, new) in found.iter().copied().chain([(sky.day_ms, u64::MAX)]) {
            for eighth in 0..=8 {
                let between = now.0 + (t - 1 - now.0) * eighth / 8;
                prop_assert_eq!(sky.steps(between, aim, peak, weather), now.1, "at {}", between);
            }
            prop_assert!(t == sky.day_ms || sky.steps(t, aim, peak, weather) == new && new != now.1);
            now = (t, new);
        }
    }

    /// On a day of a year and more a millisecond moves the sun by less than rounding does near the highest product, so that
    /// the steps there flicker where the edge of a step lies in the rounding. The search finds each flicker.
    #[test]
    fn rounding_at_the_top_of_a_very_long_day_is_followed(
        latitude in -60.0..60.0_f64, azimuth in 0.0..360.0_f64, tilt in 0.0..40.0_f64, clear in prop::bool::ANY,
        ulps in -6..=6_i32, k in 1..=24_u64,
    ) {
        let air = if clear { Air::Clear } else { Air::None };
        let sky = Sky { path: Path::Place { latitude, day_of_year: 80.0 }, air, day_ms: 40_000_000_000 };
        let aim = Aim { azimuth, tilt };
        let (mut from, mut to) = (11_000_000_000, 29_000_000_000);
        while to - from > 2 {
            let third = (to - from) / 3;
            if sky.factor(from + third, aim) < sky.factor(to - third, aim) { from += third.max(1) } else { to -= third.max(1) }
        }
        let weather = (k as f64 - 1e-9) / (24.0 * sky.factor(from, aim)) * (1.0 + f64::from(ulps) * f64::EPSILON);
        let (_, found) = sky.step_changes(aim, 24, weather);
        let about = from - 1500..from + 1500;
        let there: Vec<_> = found.into_iter().filter(|(t, _)| about.contains(t)).collect();
        let steps = |t| sky.steps(t, aim, 24, weather);
        let asked: Vec<_> = about.filter(|&t| steps(t) != steps(t - 1)).map(|t| (t, steps(t))).collect();
        prop_assert_eq!(there, asked);
    }

    #[test]
    fn east_and_west_mirror_to_the_last_bit(
        latitude in -90.0..=90.0_f64, day_of_year in 1.0..366.0_f64, clear in prop::bool::ANY, day_ms in 2..100_000_000_u64,
        eighth in 0..=2880_u16, tilt in 0.0..=90.0_f64, share in 0.0..1.0_f64,
    ) {
        let air = if clear { Air::Clear } else { Air::None };
        let sky = Sky { path: Path::Place { latitude, day_of_year }, air, day_ms };
        let t = ((share * day_ms as f64) as u64).max(1);
        // Eighths of a degree, so that the mirrored azimuth itself is exact.
        let azimuth = f64::from(eighth) / 8.0;
        let (one, other) = (Aim { azimuth, tilt }, Aim { azimuth: 360.0 - azimuth, tilt });
        prop_assert_eq!(sky.factor(t, one), sky.factor(day_ms - t, other));
        prop_assert_eq!(sky.light(t), sky.light(day_ms - t));
    }

    #[test]
    fn odd_numbers_never_fail(
        day_ms in 0..3_u64, t in prop::num::u64::ANY, a in prop::num::f64::ANY, b in prop::num::f64::ANY, c in prop::num::f64::ANY,
        d in prop::num::f64::ANY, rise_ms in prop::num::u64::ANY, set_ms in prop::num::u64::ANY, peak in prop::num::u64::ANY,
    ) {
        for path in [
            Path::Place { latitude: a, day_of_year: b },
            Path::Arc { rise_ms, set_ms, rise_azimuth: a, highest: b },
        ] {
            for day_ms in [day_ms, u64::MAX] {
                let sky = Sky { path: path.clone(), air: Air::Clear, day_ms };
                let aim = Aim { azimuth: c, tilt: d };
                let sun = sky.sun(t);
                prop_assert!((-90.0..=90.0).contains(&sun.elevation) && (0.0..360.0).contains(&sun.azimuth), "{:?}", sun);
                prop_assert!((0.0..=1.0 + 1e-9).contains(&sky.factor(t, aim)));
                prop_assert_eq!(sky.is_dark(t), sky.sun(t).elevation <= 0.0);
                sky.steps(t, aim, peak, a);
            }
            let sky = Sky { path, air: Air::None, day_ms };
            sky.step_changes(Aim { azimuth: c, tilt: d }, peak, a);
            sky.twilight_changes(d);
            sky.dark_changes();
        }
    }
}

/// An upright panel towards the pole under a high summer sun is lit in the morning and in the evening, with a dark noon
/// between.
#[test]
fn a_panel_may_see_the_sun_twice_a_day() {
    let path = Path::Place {
        latitude: 40.0,
        day_of_year: 172.0,
    };
    let sky = Sky {
        path,
        air: Air::None,
        day_ms: 30_000,
    };
    let aim = Aim {
        azimuth: 0.0,
        tilt: 90.0,
    };
    let (first, found) = sky.step_changes(aim, 10, 1.0);
    assert_eq!((first, found.clone()), asked(&sky, aim, 10, 1.0));
    let rises = found
        .iter()
        .zip(found.iter().skip(1))
        .filter(|(a, b)| a.1 == 0 && b.1 > 0)
        .count();
    assert!(
        rises >= 1 && sky.steps(15_000, aim, 10, 1.0) == 0,
        "{found:?}"
    );
}

/// The sun over the equator at an equinox rises at 6:00 and sets at 18:00: at those very milliseconds the elevation is 0.
#[test]
fn over_the_equator_the_day_has_twelve_hours_to_the_millisecond() {
    for day_of_year in [1.0, 80.0, 172.0, 300.0] {
        let sky = Sky {
            path: Path::Place {
                latitude: 0.0,
                day_of_year,
            },
            air: Air::Clear,
            day_ms: 86_400_000,
        };
        assert_eq!(sky.dark_changes(), (true, vec![21_600_001, 64_800_000]));
        assert_eq!(sky.sun(21_600_000).elevation, 0.0);
    }
}

/// At a pole the sun keeps its height all day, and a flat panel its steps: nothing changes, not even by rounding, also
/// where the product lies on the very edge of a step.
#[test]
fn a_pole_has_no_changes() {
    for (latitude, day_of_year, dark) in [
        (90.0, 172.0, false),
        (90.0, 355.0, true),
        (-90.0, 355.0, false),
    ] {
        for air in [Air::Clear, Air::None] {
            let sky = Sky {
                path: Path::Place {
                    latitude,
                    day_of_year,
                },
                air,
                day_ms: 86_400_000,
            };
            let flat = Aim {
                azimuth: 77.0,
                tilt: 0.0,
            };
            assert_eq!(sky.dark_changes(), (dark, vec![]));
            assert_eq!(sky.twilight_changes(sky.light(0)), (false, vec![]));
            let edge = (3.0 - 1e-9) / (8.0 * sky.factor(0, flat));
            for weather in [
                1.0,
                edge,
                edge * (1.0 - f64::EPSILON),
                edge * (1.0 + f64::EPSILON),
            ] {
                let steps = sky.steps(0, flat, 8, weather);
                assert_eq!(sky.step_changes(flat, 8, weather), (steps, vec![]));
            }
        }
    }
}
