//! The best aims against trying all 32,401 of whole degrees, and against what geometry says.
//!
//! Tried out on short worlds, where a day's every millisecond is soon asked for.

use duskline::sky::{Aim, Air, Best, Path, Sky, Yield};

fn place(latitude: f64, day_of_year: f64, air: Air, day_ms: u64) -> Sky {
    Sky {
        path: Path::Place {
            latitude,
            day_of_year,
        },
        air,
        day_ms,
    }
}

/// All aims of whole degrees in the order that settles equals: by tilt, then by azimuth; a flat panel has none.
fn all() -> impl Iterator<Item = (u16, u16)> {
    std::iter::once((0, 0)).chain((1..=90).flat_map(|tilt| (0..360).map(move |a| (a, tilt))))
}

/// The first of the greatest.
fn best(tried: &[Best], worth: impl Fn(&Yield) -> Option<u128>) -> Option<Best> {
    let mut found: Option<(u128, Best)> = None;
    for aim in tried {
        if let Some(worth) = worth(&aim.gives).filter(|w| *w > 0)
            && found.is_none_or(|(most, _)| worth > most)
        {
            found = Some((worth, *aim));
        }
    }
    found.map(|(_, best)| best)
}

fn held_against_all(sky: &Sky, peak: u64, weather: f64, least: u64) {
    let tried: Vec<Best> = all()
        .map(|(azimuth, tilt)| {
            let aim = Aim {
                azimuth: azimuth.into(),
                tilt: tilt.into(),
            };
            let gives = sky.output(aim, peak, weather, least).gives;
            Best {
                azimuth,
                tilt,
                gives,
            }
        })
        .collect();
    assert_eq!(tried.len(), 32_401);
    let bests = sky.best_aims(peak, weather, least);
    let what = format!("{sky:?}, {peak} steps, weather {weather}, {least} useful");
    assert_eq!(bests.energy, best(&tried, |g| Some(g.energy)), "{what}");
    assert_eq!(
        bests.longest,
        best(&tried, |g| Some(g.useful.into())),
        "{what}"
    );
    assert_eq!(
        bests.latest,
        best(&tried, |g| g.last.map(|t| u128::from(t) + 1)),
        "{what}"
    );
    let half = bests.energy.map_or(0, |b| b.gives.energy).div_ceil(2);
    let early = |g: &Yield| {
        g.last
            .filter(|_| g.energy >= half && half > 0)
            .map(|t| u128::from(sky.day_ms - t))
    };
    assert_eq!(bests.earliest, best(&tried, early), "{what}");
}

#[test]
fn they_are_the_best_of_all_over_a_place() {
    held_against_all(&place(56.2, 80.0, Air::Clear, 3000), 12, 1.0, 1);
}

#[test]
fn they_are_the_best_of_all_in_a_southern_winter_without_air() {
    held_against_all(&place(-41.0, 172.0, Air::None, 2500), 7, 0.6, 2);
}

#[test]
fn they_are_the_best_of_all_where_the_sun_does_not_set() {
    held_against_all(&place(71.0, 160.0, Air::Clear, 2000), 5, 1.0, 1);
}

#[test]
fn they_are_the_best_of_all_under_a_worlds_own_arc() {
    let sky = Sky {
        path: Path::Arc {
            rise_ms: 500,
            set_ms: 1700,
            rise_azimuth: 70.0,
            highest: 55.0,
        },
        air: Air::Clear,
        day_ms: 2400,
    };
    held_against_all(&sky, 9, 0.9, 1);
}

/// Over a day without air the sun of an equinox goes round in the plane of the equator: a panel gathers most that looks
/// along that plane at noon's sun, tilted by the latitude (geometry; declination by Spencer is 0.33° on day 81).
#[test]
fn at_an_equinox_the_best_tilt_is_the_latitude() {
    for (latitude, azimuth) in [(43.0, 180), (-35.0, 0)] {
        let sky = place(latitude, 81.0, Air::None, 86_400_000);
        let best = sky.best_aims(200, 1.0, 1).energy.expect("the sun shines");
        assert_eq!(best.azimuth, azimuth);
        assert!(
            best.tilt.abs_diff(latitude.abs() as u16) <= 1,
            "{latitude}: {}",
            best.tilt
        );
    }
}

/// The latest last step is had by looking where the sun goes down (geometry): at an equinox due west.
#[test]
fn the_latest_step_looks_west_and_the_earliest_east() {
    let sky = place(50.0, 81.0, Air::Clear, 86_400_000);
    let bests = sky.best_aims(24, 1.0, 1);
    let (latest, earliest) = (bests.latest.unwrap(), bests.earliest.unwrap());
    // In the mirror image of an aim about the south the last step is where its first was, so the latest looks to the
    // west and the earliest to the east.
    assert!((181..360).contains(&latest.azimuth), "{latest:?}");
    assert!((1..180).contains(&earliest.azimuth), "{earliest:?}");
    // An upright panel to the west does not beat the latest, nor does the best of all aims the earliest.
    let west = Aim {
        azimuth: 270.0,
        tilt: 90.0,
    };
    assert!(latest.gives.last >= sky.output(west, 24, 1.0, 1).gives.last);
    assert!(earliest.gives.last <= bests.energy.unwrap().gives.last);
    let most = bests.energy.unwrap().gives.energy;
    assert!(earliest.gives.energy * 2 >= most);
}

/// Looked for by hand: without air a panel of many steps that stands square to the setting sun still gives half of them
/// at the very last millisecond of daylight, and of all such aims the flattest counts.
#[test]
fn without_air_the_last_step_is_at_sunset_and_the_flattest_aim_counts() {
    let sky = place(0.0, 81.0, Air::None, 86_400_000);
    let (_, turns) = sky.dark_changes();
    let latest = sky.best_aims(1000, 1.0, 1).latest.unwrap();
    assert_eq!(latest.gives.last, Some(turns[1] - 1));
    // One thousandth of the beam at the horizon: 0.06° of tilt towards it, so 1° and not 0°.
    assert_eq!(latest.tilt, 1);
}

#[test]
fn where_nothing_is_given_nothing_is_best() {
    let none = duskline::sky::Bests::default();
    let day = place(50.0, 81.0, Air::Clear, 86_400_000);
    let night = place(80.0, 355.0, Air::Clear, 86_400_000);
    assert_eq!(day.best_aims(12, 0.0, 1), none);
    assert_eq!(day.best_aims(0, 1.0, 1), none);
    assert_eq!(night.best_aims(12, 1.0, 1), none);
    assert_eq!(day.best_aims(12, f64::NAN, 1), none);
    let out_of_reach = day.best_aims(12, 1.0, 13);
    assert!(out_of_reach.energy.is_some() && out_of_reach.longest.is_none());
    assert!(out_of_reach.latest.is_none() && out_of_reach.earliest.is_none());
}

#[test]
fn a_search_in_pieces_finds_the_same() {
    let sky = place(56.2, 80.0, Air::Clear, 86_400_000);
    let mut aims = duskline::sky::Aims::new(&sky, 12, 1.0, 1);
    let mut before = 0;
    while !aims.go(10) {
        assert!(before <= aims.done());
        before = aims.done();
        let found = aims.found();
        let some = [found.energy, found.longest, found.latest, found.earliest];
        assert!(some.iter().skip(before).all(|best| best.is_none()));
    }
    assert_eq!(*aims.found(), sky.best_aims(12, 1.0, 1));
}
