//! Batteries: a published sizing, cut-out and cut-in by hand, floating at full, and levels against numerical integration.
//!
//! The station is always one source, one battery and one load in a row. Sources of numbers stand beside them.

use duskline::plan::{Plan, read_plan};
use duskline::quantity::{Energy, HOUR_MS, STEP_MS};
use duskline::run::{self, Event, PartState, Record, What};
use serde_json::{Value, json};

/// One unit-hour of a book whose step is 1.
const UNIT_HOUR: Energy = STEP_MS * HOUR_MS as Energy;

/// Where the parts stand in the plan.
const BATTERY: usize = 1;
const LOAD: usize = 2;

/// A source, a battery and a load in a row, with these numbers; `world` as in a plan.
fn station(source: Value, battery: Value, draw: u64, world: Value) -> Plan {
    let mut types = vec![
        json!({"type": "source", "label": "Source", "group": "g", "symbol": "generator", "behaviour": "source"}),
        json!({"type": "store", "label": "Store", "group": "g", "symbol": "battery", "behaviour": "battery"}),
        json!({"type": "load", "label": "Load", "group": "g", "symbol": "lamp", "behaviour": "load", "draw": draw}),
    ];
    for (at, numbers) in [source, battery].into_iter().enumerate() {
        for (key, value) in numbers.as_object().expect("numbers by name") {
            types[at][key] = value.clone();
        }
    }
    let document = json!({
        "format": "duskline/plan", "version": 1, "world": world,
        "book": {"name": "by hand", "unit": "W", "step": 1, "lag_ms": 100, "types": types},
        "parts": [
            {"id": "source", "type": "source"}, {"id": "store", "type": "store"}, {"id": "load", "type": "load"},
        ],
        "wires": [
            {"id": "w1", "from": "source.out", "to": "store.in"}, {"id": "w2", "from": "store.out", "to": "load.in"},
        ],
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn steady(peak: u64) -> Value {
    json!({"profile": "steady", "peak": peak})
}

fn store(capacity: u64, efficiency: u64, cuts: (u64, u64), start: u64) -> Value {
    json!({
        "capacity": capacity, "max_in": 100, "max_out": 100, "efficiency": efficiency,
        "cut_out": cuts.0, "cut_in": cuts.1, "set": {"start": start},
    })
}

/// What the battery did, in milliseconds.
fn told(record: &Record) -> Vec<(u64, What)> {
    let of_it = |event: &&Event| event.place() == BATTERY;
    record
        .events
        .iter()
        .filter(of_it)
        .map(|event| (event.t, event.what))
        .collect()
}

/// The level at `t`, on the straight line between the record's points.
fn level(record: &Record, t: u64) -> f64 {
    let points = &record.batteries[&BATTERY].level;
    let after = points.partition_point(|point| point.0 <= t);
    let (from, start) = points[after - 1];
    let Some(&(to, end)) = points.get(after) else {
        return start as f64 / UNIT_HOUR as f64;
    };
    let share = (t - from) as f64 / (to - from) as f64;
    (start as f64 + (end - start) as f64 * share) / UNIT_HOUR as f64
}

/// S. Domingo, "How To Access LoRaWAN using Solar Energy", RAKwireless Knowledge Hub, 2020 (read): 6 W day and night are 144 Wh a
/// day; three days without sun are 432 Wh; at a depth of discharge of 0.8 that takes 540 Wh. So a full store of 540 Wh that is
/// cut out at 20 % lasts exactly 72 h, and 90 h where it may be emptied.
#[test]
fn a_published_sizing_comes_out_to_the_millisecond() {
    let hours = |cut_out: u64| {
        let plan = station(
            steady(0),
            store(540, 1000, (cut_out, 900), 1000),
            6,
            json!({}),
        );
        let record = run::run(&plan, 4);
        assert_eq!(record.loads[&LOAD].runs.len(), 1);
        (
            told(&record),
            record.loads[&LOAD].runs[0],
            record.loads[&LOAD].energy,
        )
    };
    let off = |hour: u64| vec![(hour * HOUR_MS, What::OutputOff)];
    assert_eq!(
        hours(200),
        (off(72), (0, 72 * HOUR_MS), 432 * UNIT_HOUR),
        "the floor"
    );
    assert_eq!(
        hours(0),
        (off(90), (0, 90 * HOUR_MS), 540 * UNIT_HOUR),
        "empty"
    );
}

/// The same source's rule for recovery (read): after three dark days two sunny ones must carry the load and refill,
/// 432 + 288 = 720 Wh in two days, which is 360 Wh a day. Steady, that is 15 W.
#[test]
fn a_published_recovery_takes_two_days() {
    let plan = station(steady(15), store(540, 1000, (0, 900), 200), 6, json!({}));
    let record = run::run(&plan, 3);
    assert_eq!(told(&record), [(48 * HOUR_MS, What::Full)]);
    assert_eq!(record.sources[&0].available, 1080 * UNIT_HOUR);
    // Full, it floats: the load's 6 W go through it.
    let floated = 24 * 6 * UNIT_HOUR;
    assert_eq!(record.sources[&0].taken, 720 * UNIT_HOUR + floated);
}

/// Worked by hand: 100 W·h, in 4 W, out 10 W while the output is on, off at 20, on at 50. From 80 it sinks by 6 an hour for
/// 10 h, rises by 4 for 7 h 30 min, sinks for 5 h, and so on: a round of 12 h 30 min.
#[test]
fn a_battery_cuts_out_and_in_by_hand() {
    let plan = station(steady(4), store(100, 1000, (200, 500), 800), 10, json!({}));
    let record = run::run(&plan, 2);
    let minute = 60_000;
    let expected = [
        (600 * minute, What::OutputOff),
        (1050 * minute, What::OutputOn),
        (1350 * minute, What::OutputOff),
        (1800 * minute, What::OutputOn),
        (2100 * minute, What::OutputOff),
        (2550 * minute, What::OutputOn),
        (2850 * minute, What::OutputOff),
    ];
    assert_eq!(told(&record), expected);
    let runs = [(0, 600), (1050, 1350), (1800, 2100), (2550, 2850)];
    assert_eq!(
        record.loads[&LOAD].runs,
        runs.map(|(from, to)| (from * minute, to * minute))
    );
    let points: Vec<(u64, Energy)> = record.batteries[&BATTERY].level.clone();
    let hand = [80, 20, 50, 20, 50, 20, 50, 20].map(|units| units * UNIT_HOUR);
    let levels: Vec<Energy> = points.iter().take(8).map(|point| point.1).collect();
    assert_eq!(levels, hand);
    // 30 minutes at 4 W are left of the second day.
    assert_eq!(points[8], (2880 * minute, 22 * UNIT_HOUR));
    assert_eq!(record.batteries[&BATTERY].lost, 0);
}

/// Worked by hand, with losses: 40 W·h, in 10 W of which 800 ‰ stay, out 3 W. It gains 5 an hour, so from 30 it is full in two
/// hours. From then on it takes ⌈3 · 1000 / 800⌉ = 4 W, stores 3.2, gives 3: full, and 1 W is lost for every 4.
#[test]
fn a_full_battery_floats_on_what_holds_it_full() {
    let plan = station(steady(10), store(40, 800, (0, 100), 750), 3, json!({}));
    let record = run::run(&plan, 1);
    assert_eq!(told(&record), [(2 * HOUR_MS, What::Full)]);
    let battery = &record.batteries[&BATTERY];
    assert_eq!(battery.level.first(), Some(&(0, 30 * UNIT_HOUR)));
    assert_eq!(battery.level.last(), Some(&(24 * HOUR_MS, 40 * UNIT_HOUR)));
    assert_eq!(battery.taken, (2 * 10 + 22 * 4) * UNIT_HOUR);
    assert_eq!(battery.given, 24 * 3 * UNIT_HOUR);
    assert_eq!(battery.lost, (108 - 72 - 10) * UNIT_HOUR);
    for hour in [2, 3, 23] {
        let instant = run::at(&plan, hour * HOUR_MS);
        let PartState::Battery {
            full,
            taking,
            giving,
            ..
        } = instant.parts[BATTERY]
        else {
            panic!("a battery");
        };
        assert_eq!((full, taking, giving), (true, 4, 3), "{hour}");
    }
}

/// Integrated numerically by us with scipy 1.17.1 (`tests/fixtures/levels_scipy.py`, its steps at most 10 s): a sun panel, a
/// battery with losses and a load, over days of changing weather. The program's lines are exact; the integration is off by seconds of a step.
#[test]
fn levels_agree_with_numerical_integration() {
    let cases: Vec<Value> = serde_json::from_str(include_str!("fixtures/levels_scipy.json"))
        .expect("the fixture is JSON");
    assert!(!cases.is_empty());
    for case in cases {
        let number = |key: &str| case[key].as_u64().expect("a whole number");
        let source = json!({
            "profile": "sun", "peak": case["peak"], "set": {"azimuth": case["azimuth"], "tilt": case["tilt"]},
        });
        let battery = json!({
            "capacity": case["capacity"], "max_in": case["max_in"], "max_out": case["max_out"],
            "efficiency": case["efficiency"], "cut_out": case["cut_out"], "cut_in": case["cut_in"],
            "set": {"start": case["start"]},
        });
        let mut sky = case["sky"].clone();
        for key in ["rise", "set"] {
            if let Some(hour) = sky[key].as_u64() {
                sky[key] = json!(format!("{hour:02}:00"));
            }
        }
        let world = json!({"sky": sky, "weather": case["weather"]});
        let plan = station(source, battery, number("draw"), world);
        let record = run::run(&plan, number("days"));

        let levels = case["levels"].as_array().expect("levels");
        assert_eq!(levels.len() as u64, number("days") * 24 + 1);
        for (hour, expected) in (0..).zip(levels) {
            let (got, expected) = (level(&record, hour * HOUR_MS), expected.as_f64().unwrap());
            assert!(
                (got - expected).abs() < 0.02,
                "{hour} h: {got}, integrated {expected}"
            );
        }
        let events = case["told"].as_array().expect("events");
        let ours = told(&record);
        assert_eq!(ours.len(), events.len(), "{ours:?}\n{events:?}");
        for ((t, what), event) in ours.iter().zip(events) {
            let word = match what {
                What::OutputOff => "off",
                What::OutputOn => "on",
                _ => "full",
            };
            assert_eq!(word, event[0], "{ours:?}\n{events:?}");
            let hours = *t as f64 / HOUR_MS as f64;
            assert!(
                (hours - event[1].as_f64().unwrap()).abs() * 3600.0 < 15.0,
                "{word}: {hours} h, integrated {event}"
            );
        }
    }
}
