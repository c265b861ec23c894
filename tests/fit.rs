//! Measuring a world: worlds are found again from what one reads in them, readings that contradict are found, and what is
//! not known is said.
//!
//! The readings of the properties come from the sky itself, cut down to whole steps.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;

use duskline::fit::{DialTime, Fit, Reading, Readings, Value as Measured, fit, read_readings};
use duskline::sky::{Aim, Air, Path, Sky};
use program::run;
use proptest::prelude::*;
use serde_json::{Value, json};

fn text(bytes: &[u8]) -> &str {
    std::str::from_utf8(bytes).unwrap()
}

/// A table with these readings, and what the program answers.
fn answered(readings: Value) -> Value {
    let table = json!({ "format": "duskline/readings", "version": 1, "readings": readings });
    let output = run(&["fit", "-", "--json"], &table.to_string());
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A world as one draws it.
#[derive(Clone, Copy, Debug)]
struct World {
    rise: u32,
    set: u32,
    azimuth: f64,
    highest: f64,
    peak: f64,
    air: Air,
}

impl World {
    fn sky(&self) -> Sky {
        let minute = |minute: u32| u64::from(minute) * 60_000;
        let path = Path::Arc {
            rise_ms: minute(self.rise),
            set_ms: minute(self.set),
            rise_azimuth: self.azimuth,
            highest: self.highest,
        };
        Sky {
            path,
            air: self.air,
            day_ms: 86_400_000,
        }
    }

    /// What a panel shows, in whole steps.
    fn gives(&self, minute: u32, aim: Aim) -> u64 {
        let share = self.sky().factor(u64::from(minute) * 60_000, aim);
        (self.peak * share).floor() as u64
    }

    fn panel(&self, minute: u32, aim: Aim) -> Reading {
        Reading::Panel {
            at: at(minute),
            aim,
            gives: self.gives(minute, aim),
        }
    }

    /// Whether the ranges hold this world.
    fn is_within(&self, fit: &Fit) -> bool {
        let number = |value| match value {
            Measured::Rise => f64::from(self.rise) / 60.0,
            Measured::Set => f64::from(self.set) / 60.0,
            Measured::RiseAzimuth => self.azimuth,
            Measured::Highest => self.highest,
            Measured::Peak => self.peak,
            _ => f64::NAN,
        };
        fit.sure.iter().all(|(value, (low, high))| {
            let number = number(*value);
            number.is_nan() || (low - 1e-9 <= number && number <= high + 1e-9)
        })
    }
}

fn at(minute: u32) -> DialTime {
    DialTime {
        second: minute * 60,
        to_the_second: false,
    }
}

fn table(list: Vec<Reading>) -> Readings {
    Readings {
        day_s: None,
        air: None,
        list,
    }
}

prop_compose! {
    fn world()(
        rise in 240_u32..480, set in 960_u32..1260, azimuth in 50.0..130.0, highest in 15.0..85.0,
        peak in 4.0..40.0, clear in any::<bool>(),
    ) -> World {
        let air = if clear { Air::Clear } else { Air::None };
        World { rise, set, azimuth, highest, peak, air }
    }
}

prop_compose! {
    /// When and how panels are read: half hours, eighths of a turn, tilts by 30°.
    fn looks(count: usize)(
        looks in proptest::collection::vec((8_u32..44, 2_u32..7, 0_u32..4), count),
    ) -> Vec<(u32, Aim)> {
        let look = |(half, eighth, third): &(u32, u32, u32)| {
            let (azimuth, tilt) = (f64::from(eighth * 45), f64::from(third * 30));
            (half * 30, Aim { azimuth, tilt })
        };
        looks.iter().map(look).collect()
    }
}

/// The same worlds at each run.
fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(7),
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(24))]

    #[test]
    fn the_ranges_hold_the_world_and_the_answer_explains_its_readings(
        world in world(), looks in looks(16),
    ) {
        let list = looks.iter().map(|(minute, aim)| world.panel(*minute, *aim)).collect();
        let found = fit(&table(list));
        prop_assert!(found.contradicts.is_empty(), "{found:?}");
        prop_assert!(world.is_within(&found), "{found:?}");
        prop_assert!(found.residuals.iter().all(|r| *r == 0.0), "{found:?}");
        if !found.undetermined.contains(&Measured::Air) {
            prop_assert_eq!(found.air, world.air);
        }
        for (value, (low, high)) in &found.sure {
            let number = match value {
                Measured::Rise => found.rise.hours(),
                Measured::Set => found.set.hours(),
                Measured::RiseAzimuth => found.rise_azimuth,
                Measured::Highest => found.highest,
                _ => found.peak,
            };
            prop_assert!(low - 1e-9 <= number && number <= high + 1e-9, "{value:?} {found:?}");
        }
    }

    #[test]
    fn a_large_peak_and_the_horizon_leave_little_open(world in world(), looks in looks(20)) {
        let world = World { peak: 50.0 * world.peak, ..world };
        let mut list: Vec<Reading> =
            looks.iter().map(|(minute, aim)| world.panel(*minute, *aim)).collect();
        list.push(Reading::Rises { at: at(world.rise), azimuth: Some(world.azimuth.round()) });
        list.push(Reading::Sets { at: at(world.set), azimuth: None });
        list.push(world.panel(720, Aim { azimuth: 180.0, tilt: 0.0 }));
        list.push(world.panel(720, Aim { azimuth: 180.0, tilt: 60.0 }));
        let found = fit(&table(list));
        prop_assert!(world.is_within(&found), "{found:?}");
        prop_assert_eq!((found.rise, found.set), (at(world.rise), at(world.set)));
        prop_assert!((found.rise_azimuth - world.azimuth).abs() < 1.5, "{found:?}");
        prop_assert!((found.highest - world.highest).abs() < 3.0, "{found:?}");
        prop_assert!((found.peak / world.peak - 1.0).abs() < 0.04, "{found:?}");
        prop_assert_eq!(found.air, world.air);
    }

    #[test]
    fn what_is_to_be_read_next_makes_the_ranges_narrower(world in world(), looks in looks(12)) {
        let readings = table(looks.iter().map(|(minute, aim)| world.panel(*minute, *aim)).collect());
        let before = fit(&readings);
        let Some(next) = before.next else {
            return Ok(());
        };
        let mut more = readings.clone();
        more.list.push(world.panel(next.at.second / 60, next.aim));
        let after = fit(&more);
        let widths = |fit: &Fit| {
            let of = |value| fit.sure.iter().find(|(of, _)| *of == value).map(|(_, (low, high))| high - low);
            [Measured::Rise, Measured::Set, Measured::RiseAzimuth, Measured::Highest, Measured::Peak]
                .map(|value| of(value).unwrap_or(f64::INFINITY))
        };
        let narrower = widths(&after).iter().zip(widths(&before)).filter(|(a, b)| *a < b).count();
        prop_assert!(narrower > 0, "{before:?} {after:?}");
    }
}

proptest! {
    #![proptest_config(config(12))]

    #[test]
    fn a_false_reading_is_among_those_that_contradict(
        world in world(), looks in looks(18), which in 0_usize..18,
    ) {
        // So that the others say enough.
        let world = World { peak: world.peak + 20.0, ..world };
        let mut list: Vec<Reading> =
            looks.iter().map(|(minute, aim)| world.panel(*minute, *aim)).collect();
        list.push(Reading::Rises { at: at(world.rise), azimuth: Some(world.azimuth.round()) });
        list.push(Reading::Sets { at: at(world.set), azimuth: None });
        let wrong = 2 + world.peak as u64 / 2;
        if let Reading::Panel { gives, .. } = &mut list[which] {
            *gives = if *gives >= wrong { *gives - wrong } else { *gives + wrong };
        }
        let found = fit(&table(list));
        // A reading of its own kind may be false without contradicting anything, as where it is the only one of a time.
        prop_assert!(found.contradicts.contains(&which) || found.contradicts.is_empty(), "{found:?}");
        if found.contradicts == [which] {
            prop_assert!(world.is_within(&found), "{found:?}");
            prop_assert!(found.residuals[which] != 0.0);
        }
    }
}

#[test]
fn the_example_comes_to_its_world() {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/assets/readings/kittiwake-light.json"
    );
    let output = run(&["fit", file, "--json"], "");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let keys: Vec<&String> = found.as_object().unwrap().keys().collect();
    assert_eq!(
        keys,
        [
            "sky",
            "peak",
            "day_s",
            "capacity",
            "efficiency",
            "sure",
            "residuals",
            "contradicts",
            "next",
            "undetermined",
            "slack"
        ]
    );
    let sky = &found["sky"];
    assert_eq!(
        (&sky["rise"], &sky["set"]),
        (&json!("05:40"), &json!("18:20"))
    );
    assert_eq!(sky["air"], "none");
    assert_eq!(found["day_s"], 2880);
    assert_eq!(found["undetermined"], json!([]));
    assert_eq!(found["contradicts"], json!([]));
    assert_eq!(found["residuals"], json!(vec![0; 18]));
    // The readings are those of a world that rises at azimuth 82° and stands 57.5° high, with panels of 12.5 steps and a
    // battery of 48 that stores 900 ‰; worked out apart from the program.
    for (key, world) in [
        ("rise_azimuth", 82.0),
        ("highest", 57.5),
        ("peak", 12.5),
        ("capacity", 48.0),
        ("efficiency", 900.0),
    ] {
        let range = &found["sure"][key];
        let (low, high) = (range[0].as_f64().unwrap(), range[1].as_f64().unwrap());
        assert!(low <= world && world <= high, "{key}: {range}");
    }
    assert_eq!(found["sure"]["rise"], json!(["05:39", "05:41"]));
}

#[test]
fn the_example_is_laid_out_for_reading() {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/assets/readings/kittiwake-light.json"
    );
    let output = run(&["fit", file], "");
    let says = text(&output.stdout);
    for line in [
        "sun rises         05:40               05:39         05:41\n",
        "air               none\n",
        "length of a day   2880 s             2809 s        2954 s\n",
        "      6  panel lying flat at 12:00                  10",
        "     14  sun sets                                18:20        18:20  explained\n",
        "     15  the dial goes 01:00                     120 s        120 s  explained\n",
        "Read next: a panel facing ",
    ] {
        assert!(says.contains(line), "{line} is not in\n{says}");
    }
}

#[test]
fn one_reading_of_each_kind_settles_what_it_speaks_of() {
    let found = answered(json!([
        { "rises": "05:40", "azimuth": 80 },
        { "sets": "18:20:30" },
        { "clock_s": 120, "dial": "01:00" },
        { "battery": "falls", "from": 500, "to": 333, "hours": 2, "draw": 4 },
    ]));
    assert_eq!(found["sky"]["rise"], "05:40:00");
    assert_eq!(found["sky"]["set"], "18:20:30");
    assert_eq!(found["sky"]["rise_azimuth"], 80);
    assert_eq!(found["day_s"], 2880);
    // 8 unit-hours are 167 ± 2 ‰ of it.
    assert_eq!(found["capacity"], 47.9);
    assert_eq!(found["sure"]["capacity"], json!([47.33, 48.49]));
    assert_eq!(found["sure"]["set"], json!(["18:20:29", "18:20:31"]));
    assert_eq!(found["undetermined"], json!(["highest", "air", "peak"]));
}

#[test]
fn nothing_is_known_without_readings() {
    let found = answered(json!([]));
    assert_eq!(
        found["sky"],
        json!({ "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 60, "air": "clear" })
    );
    assert_eq!(
        (&found["peak"], &found["day_s"]),
        (&json!(12), &json!(86_400))
    );
    assert_eq!(
        (&found["capacity"], &found["efficiency"]),
        (&Value::Null, &Value::Null)
    );
    assert_eq!(found["sure"], json!({}));
    let open = json!([
        "rise",
        "set",
        "rise_azimuth",
        "highest",
        "air",
        "peak",
        "day_s",
        "capacity"
    ]);
    assert_eq!(found["undetermined"], open);
    // Of the aims asked about, that which faces the sun at noon, 60° high in the south.
    assert_eq!(
        found["next"],
        json!({ "at": "12:00", "azimuth": 180, "tilt": 30 })
    );
}

/// A panel on the ground gives the same wherever the sun rises.
#[test]
fn flat_panels_do_not_tell_where_the_sun_rises() {
    let world = World {
        rise: 340,
        set: 1100,
        azimuth: 70.0,
        highest: 55.0,
        peak: 400.0,
        air: Air::None,
    };
    let flat = Aim {
        azimuth: 0.0,
        tilt: 0.0,
    };
    let list = (12..38).map(|half| world.panel(half * 30, flat)).collect();
    let found = fit(&table(list));
    assert!(
        found.undetermined.contains(&Measured::RiseAzimuth),
        "{found:?}"
    );
    assert!(!found.undetermined.contains(&Measured::Rise), "{found:?}");
    assert!(
        found
            .sure
            .iter()
            .all(|(value, _)| *value != Measured::RiseAzimuth)
    );
    assert_eq!(found.rise_azimuth, 90.0);
    assert!(world.is_within(&found), "{found:?}");
    // Its answer tells apart what flat panels do not.
    assert!(found.next.unwrap().aim.tilt > 0.0);
}

#[test]
fn of_two_sunrises_either_may_be_false() {
    let found = answered(json!([{ "rises": "05:40" }, { "sets": "18:20" }, { "rises": "06:10" }]));
    assert_eq!(found["contradicts"], json!([0, 2]));
    assert_eq!(found["sure"]["rise"], json!(["05:39", "06:11"]));
    let found = answered(json!([{ "rises": "05:40" }, { "rises": "05:42" }]));
    assert_eq!(found["contradicts"], json!([]));
    assert_eq!(found["sky"]["rise"], "05:41");
}

#[test]
fn of_three_the_odd_one_out_is_false() {
    let found = answered(json!([
        { "rises": "05:40" }, { "rises": "07:10" }, { "rises": "05:41" },
        { "clock_s": 120, "dial": "01:00" }, { "clock_s": 2880, "dial": "24:00" }, { "clock_s": 900, "dial": "01:00" },
        { "battery": "falls", "from": 500, "to": 333, "hours": 2, "draw": 4 },
        { "battery": "falls", "from": 900, "to": 100, "hours": 2, "draw": 4 },
        { "battery": "falls", "from": 1000, "to": 917, "hours": 1, "draw": 4 },
    ]));
    assert_eq!(found["contradicts"], json!([1, 5, 7]));
    assert_eq!(found["sky"]["rise"], "05:40");
    // 07:10 is 89 minutes after 05:40 and one, to which that is right.
    assert_eq!(found["residuals"][1], 89);
    assert_eq!(found["day_s"], 2880);
    // The hour took 120 s; 900 s is right to 1 s, and the dial to 2 s of the watch.
    assert_eq!(found["residuals"][5], 777);
    assert_eq!(found["sure"]["day_s"], json!([2877, 2883.1]));
}

#[test]
fn a_panel_gives_nothing_at_midnight() {
    let found = answered(json!([
        { "at": "00:00", "azimuth": 180, "tilt": 30, "gives": 3 },
        { "at": "12:00", "azimuth": 180, "tilt": 30, "gives": 9 },
    ]));
    assert_eq!(found["contradicts"], json!([0]));
    assert_eq!(found["residuals"], json!([3, 0]));
}

/// Panels that give nothing by day have a small peak.
#[test]
fn panels_that_never_give_a_step_are_explained_by_their_peak() {
    let found = answered(json!([
        { "at": "12:00", "azimuth": 180, "tilt": 30, "gives": 0 },
        { "at": "23:00", "azimuth": 180, "tilt": 30, "gives": 0 },
    ]));
    assert_eq!(found["residuals"], json!([0, 0]));
    // Squarely under the sun of the default world, 60° high, in air that leaves 0.964 of it.
    let peak = found["peak"].as_f64().unwrap();
    assert!(0.9 < peak && peak * 0.964 < 1.0, "{peak}");
    assert!(
        found["undetermined"]
            .as_array()
            .unwrap()
            .contains(&json!("peak"))
    );
}

/// The battery's rises tell what it stores only beside what it holds.
#[test]
fn a_charge_alone_tells_neither_capacity_nor_efficiency() {
    let rises = json!({ "battery": "rises", "from": 300, "to": 488, "hours": 1, "draw": 10 });
    let found = answered(json!([rises]));
    assert_eq!(
        (&found["capacity"], &found["efficiency"]),
        (&Value::Null, &Value::Null)
    );
    assert!(
        found["undetermined"]
            .as_array()
            .unwrap()
            .contains(&json!("capacity"))
    );
    let falls = json!({ "battery": "falls", "from": 500, "to": 333, "hours": 2, "draw": 4 });
    let found = answered(json!([rises, falls]));
    assert_eq!(
        (&found["capacity"], &found["efficiency"]),
        (&json!(47.9), &json!(901))
    );
    // It holds no more than was fed into it: 10 unit-hours are not 100 ‰ of 48.
    let less = json!({ "battery": "rises", "from": 300, "to": 600, "hours": 1, "draw": 10 });
    assert_eq!(answered(json!([less, falls]))["contradicts"], json!([0, 1]));
}

#[test]
fn a_length_of_day_that_is_known_is_kept() {
    let table = json!({
        "format": "duskline/readings", "version": 1, "day_s": 3600, "air": "none",
        "readings": [{ "clock_s": 150, "dial": "01:00" }, { "clock_s": 120, "dial": "01:00" }],
    });
    let readings = read_readings(&table.to_string()).unwrap();
    let found = fit(&readings);
    assert_eq!((found.day_s, found.air), (3600.0, Air::None));
    assert_eq!(found.contradicts, [1]);
    assert!(!found.undetermined.contains(&Measured::Air));
}

/// A sun over a place goes on no arc; its readings are explained only if each may be off, and then no reading is blamed.
#[test]
fn a_sun_that_is_on_no_arc_is_fitted_loosely() {
    let sky = Sky {
        path: Path::Place {
            latitude: 56.0,
            day_of_year: 80.0,
        },
        air: Air::None,
        day_ms: 86_400_000,
    };
    let mut list = Vec::new();
    for half in 10..40_u32 {
        let aim = Aim {
            azimuth: f64::from(half * 7 % 5) * 45.0 + 90.0,
            tilt: 60.0,
        };
        let gives = (40.0 * sky.factor(u64::from(half) * 1_800_000, aim)).floor() as u64;
        let at = at(half * 30);
        list.push(Reading::Panel { at, aim, gives });
    }
    let found = fit(&table(list));
    assert!(found.slack >= 1.0, "{found:?}");
    assert!(found.contradicts.is_empty(), "{found:?}");
    let most = found
        .residuals
        .iter()
        .fold(0.0_f64, |most, r| most.max(r.abs()));
    assert!(most > 0.0 && most <= found.slack, "{most} {found:?}");
    assert!((found.highest - 33.6).abs() < 5.0, "{found:?}");
}

#[test]
fn damaged_tables_are_told_at_their_places() {
    let table = json!({
        "format": "duskline/readings", "version": 1, "day_s": "x", "air": "thin",
        "readings": [
            { "at": "25:00", "azimuth": "e", "tilt": 200, "gives": 1.5 }, {},
            { "rises": "06:00", "sets": "18:00" }, { "rises": 5, "azimuth": 200 },
            { "clock_s": 0, "dial": "00:00" },
            { "battery": "sits", "from": 500, "to": 600, "hours": 0, "draw": 0 },
            { "battery": "falls", "from": 500, "to": 600, "hours": 1, "draw": 1 }, 7, { "at": "12:00" },
        ],
    });
    let output = run(&["fit", "-"], &table.to_string());
    assert_eq!(output.status.code(), Some(2));
    let expected = "\
-: day_s: found \"x\", expected a number from 0.001 to 100000000
-: air: found \"thin\", expected one of clear, none, or null where it is not known
-: readings[0].at: found \"25:00\", expected a time of the dial from 00:00 to 24:00, HH:MM or HH:MM:SS
-: readings[0].azimuth: found \"e\", expected a number from -360 to 720
-: readings[0].tilt: found 200, expected a number from 0 to 180
-: readings[0].gives: found 1.5, expected a whole number from 0 to 1000000
-: readings[1]: found none of them, expected a reading with one of at, rises, sets, clock_s, battery
-: readings[2]: found rises and sets, expected only one of at, rises, sets, clock_s, battery
-: readings[3].rises: found 5, expected a time of the dial from 00:00 to 24:00, HH:MM or HH:MM:SS
-: readings[3].azimuth: found 200, expected a number from 0 to 180
-: readings[4].clock_s: found 0, expected a number from 0.001 to 100000000
-: readings[4].dial: found 00:00, expected how far the dial went meanwhile, later than 00:00
-: readings[5].battery: found \"sits\", expected one of falls, rises
-: readings[5].hours: found 0, expected a number from 0.0001 to 100000
-: readings[5].draw: found 0, expected a whole number from 1 to 1000000000
-: readings[6].to: found 600, expected less than from, which is 500
-: readings[7]: found 7, expected an object
-: readings[8].azimuth: found nothing, expected a number from -360 to 720
-: readings[8].tilt: found nothing, expected a number from 0 to 180
-: readings[8].gives: found nothing, expected a whole number from 0 to 1000000
";
    assert_eq!(text(&output.stderr), expected);
    for (input, says) in [
        ("[]", "readings file: found a list of 0, expected an object"),
        (
            "{}",
            "format: found nothing, expected \"duskline/readings\"",
        ),
        (
            r#"{"format":"duskline/plan"}"#,
            "format: found \"duskline/plan\", expected \"duskline/readings\"",
        ),
        (
            r#"{"format":"duskline/readings","version":2}"#,
            "version: found 2, expected 1; this table was made by a newer Duskline: update this one",
        ),
        (
            r#"{"format":"duskline/readings","version":1}"#,
            "readings: found nothing, expected a list of readings",
        ),
    ] {
        let output = run(&["fit", "-"], input);
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(text(&output.stderr), format!("-: {says}\n"), "{input}");
    }
}
