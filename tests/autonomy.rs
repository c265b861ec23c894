//! How long duties hold without sun and wind, and how many days of bad weather are survived: against numbers worked by
//! hand, a published sizing example, the simple engine, and plans whose weather really is that bad.

pub mod simple_engine;

use duskline::plan::{Plan, read_plan};
use duskline::proof::{
    Holds, MOST_BAD, autonomy, bad_weather, bad_weather_says, check, worst_starts,
};
use serde_json::{Value, json};
use simple_engine::Simple;
use simple_engine::duties::{self, Duty};
use simple_engine::generate::Random;
use simple_engine::outcome::Outcome;

const HOUR: u64 = 3_600_000;

fn read(value: &Value) -> Plan {
    read_plan(&value.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn off(time: u64) -> Holds {
    Holds::For { time, on: false }
}

/// A store of so many watt-hours, full, that goes off at a share of it in per mille; a load of so many watts that must
/// always run; a panel ahead of the store.
fn site(store: u64, cut_out: u64, load: u64, peak: u64) -> Plan {
    read(&site_value(store as f64, cut_out, load, peak))
}

fn site_value(store: f64, cut_out: u64, load: u64, peak: u64) -> Value {
    json!({
        "format": "duskline/plan", "version": 1,
        "book": { "name": "site", "unit": "W", "step": 1, "types": [
            { "type": "panel", "label": "Panel", "group": "g", "symbol": "sun-panel", "behaviour": "source",
              "profile": "sun", "peak": peak, "set": { "azimuth": 180, "tilt": 0 } },
            { "type": "store", "label": "Store", "group": "g", "symbol": "battery", "behaviour": "battery",
              "capacity": store, "max_in": 1000, "max_out": 1000, "efficiency": 1000, "cut_out": cut_out,
              "cut_in": cut_out + 10, "set": { "start": 1000 } },
            { "type": "load", "label": "Gateway", "group": "g", "symbol": "radio", "behaviour": "load", "draw": load } ] },
        "parts": [{ "id": "p1", "type": "panel" }, { "id": "p2", "type": "store" }, { "id": "p3", "type": "load" }],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }, { "id": "w2", "from": "p2.out", "to": "p3.in" }],
        "duties": [{ "part": "p3", "when": "always" }],
    })
}

// S. Domingo, "How To Access LoRaWAN using Solar Energy", RAKwireless Knowledge Hub, 05/02/2020 (read): a gateway of 6 W,
// three days without sun, four fifths of the store used: 540 Wh. Computed by us from it: a full store of 540 Wh reaches its
// floor of a fifth after 72 hours, and is empty after 90.
#[test]
fn the_published_store_of_540_watt_hours_lasts_three_days_to_its_floor() {
    let floor = site(540, 200, 6, 100);
    assert_eq!(autonomy(&floor, 0).duties, [off(72 * HOUR)]);
    let empty = site(540, 0, 6, 100);
    assert_eq!(autonomy(&empty, 0).duties, [off(90 * HOUR)]);
    // At midday it is full again, whenever the sun is taken away there.
    assert_eq!(autonomy(&floor, 12 * HOUR).duties, [off(72 * HOUR)]);
    assert_eq!(autonomy(&floor, 36 * HOUR).duties, [off(72 * HOUR)]);
    // After sunset there is no sun to be taken away: six hours later it lasts six hours less.
    let [
        Holds::For { time: dusk, .. },
        Holds::For { time: night, .. },
    ] = [43, 49].map(|hour| autonomy(&floor, hour * HOUR).duties[0])
    else {
        panic!("it does not last for ever");
    };
    assert_eq!(dusk, night + 6 * HOUR);
    assert!(dusk < 72 * HOUR);
}

// The same example: the array is to carry the load and refill the store in two sunny days after three dark ones.
#[test]
fn the_published_site_survives_two_whole_days_without_sun_wherever_they_stand() {
    // 144 Wh a day out of 432. The store is full at dusk, some 12 hours before a dark day begins and not charged for some
    // 6 after it: two dark days ask for 12 + 48 + 12 hours less what the first and last sun give; three ask for 24 more.
    let plan = site(540, 200, 6, 100);
    let whole = check(&plan);
    assert!(whole.for_ever && whole.is_fine());
    let weather = bad_weather(&plan, &whole, &mut |_, _, _| true);
    assert_eq!((weather.days, weather.kept.clone()), (2, vec![0]));
    let breaks = weather.breaks.expect("a third day breaks it");
    assert!(!breaks.on && breaks.duty == 0);
}

#[test]
fn a_lamp_that_burns_by_day_in_bad_weather_is_told_apart_from_one_that_goes_dark() {
    let text = include_str!("../assets/examples/dusk-lamp.json");
    let mut document: serde_json::Value = serde_json::from_str(text).unwrap();
    // A low sun gives no whole step, so the lamp burns a little longer than the night.
    document["duties"][0]["grace_s"] = json!(3600);
    document["duties"][0]["only"] = json!(true);
    let plan = read(&document);
    let whole = check(&plan);
    assert!(whole.is_fine());
    // Without sun nothing holds the dusk lamp's relay open: it burns at noon.
    let weather = bad_weather(&plan, &whole, &mut |_, _, _| true);
    assert_eq!(
        (weather.days, weather.breaks.map(|b| b.on)),
        (0, Some(true))
    );
    document["duties"][0]["only"] = json!(false);
    let lenient = read(&document);
    let dark = bad_weather(&lenient, &check(&lenient), &mut |_, _, _| true);
    assert!(dark.breaks.is_none_or(|b| !b.on));
    let says = bad_weather_says(&plan, &whole, &weather, &mut |_, _, _| true);
    let other = dark.says(&lenient, &check(&lenient));
    let expected = format!(
        "{} If it only matters that loads run when they must: a{}",
        weather.says(&plan, &whole),
        &other[1..]
    );
    assert_eq!(says, expected);
    assert!(other.starts_with("A single day"), "{other}");
}

#[test]
fn what_a_steady_source_carries_holds_for_ever_and_what_nothing_carries_for_no_time() {
    let plan = |source: &str| {
        read(
            &json!({ "format": "duskline/plan", "version": 1, "book": "outpost",
            "parts": [{ "id": "p1", "type": source }, { "id": "p2", "type": "lamp" }],
            "wires": [{ "id": "w1", "from": "p1.out", "to": "p2.in" }],
            "duties": [{ "part": "p2", "when": "clock", "from": "10:00", "to": "14:00" }] }),
        )
    };
    assert_eq!(
        autonomy(&plan("generator"), 7 * HOUR).duties,
        [Holds::ForEver]
    );
    let panel = plan("sun-panel-large");
    // The duty next applies at ten, on this day or the next.
    assert_eq!(autonomy(&panel, 7 * HOUR).duties, [off(3 * HOUR)]);
    assert_eq!(autonomy(&panel, 11 * HOUR).duties, [off(0)]);
    assert_eq!(autonomy(&panel, 14 * HOUR).duties, [off(20 * HOUR)]);
    // At the worst it is broken as soon as the sun goes.
    let worst = worst_starts(&panel, &check(&panel), &mut |_, _, _| true);
    assert_eq!(worst.duties[0].holds, off(0));
    assert!((10 * HOUR..14 * HOUR).contains(&worst.duties[0].from));
    assert!(worst.for_ever && worst.days == (0, 1));
}

#[test]
fn a_lamp_that_burns_without_sun_breaks_its_duty_by_running() {
    let plan = read(
        &json!({ "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [{ "id": "p1", "type": "generator" }, { "id": "p2", "type": "sun-panel-large", "set": { "tilt": 0 } },
                  { "id": "p3", "type": "relay", "set": { "contact": "break" } }, { "id": "p4", "type": "lamp" }],
        "wires": [{ "id": "w1", "from": "p1.out", "to": "p3.feed" }, { "id": "w2", "from": "p2.out", "to": "p3.coil" },
                  { "id": "w3", "from": "p3.out", "to": "p4.in" }],
        "duties": [{ "part": "p4", "when": "clock", "from": "17:00", "to": "07:00", "only": true, "grace_s": 3600 }] }),
    );
    // The relay closes a tenth of a second after the sun is taken away.
    assert_eq!(
        autonomy(&plan, 12 * HOUR).duties,
        [Holds::For {
            time: 100,
            on: true
        }]
    );
    // At five in the morning there is no sun to take away; what is not broken before seven is so then.
    assert_eq!(
        autonomy(&plan, 5 * HOUR).duties,
        [Holds::For {
            time: 2 * HOUR,
            on: true
        }]
    );
}

/// The sun stands still over a pole and carries a radio past a battery of 1.5 u·h; a relay that it holds open lets a
/// flasher begin as soon as it is gone, if that is `fed`. A day has ten minutes.
fn flasher(fed: bool) -> Plan {
    let contact = |kind: &str, function: &str, set: Value| {
        json!({ "type": kind, "label": kind, "group": "g", "symbol": "relay", "behaviour": "contact",
                "function": function, "coil": 1, "set": set })
    };
    let mut wires = vec![
        ["sun.out", "tee.in"],
        ["tee.out1", "store.in"],
        ["tee.out2", "relay.coil"],
        ["store.out", "radio.in"],
        ["relay.out", "flasher.feed"],
        ["flasher.out", "flasher.trigger"],
    ];
    if fed {
        wires.push(["mains.out", "relay.feed"]);
    }
    let wires: Vec<Value> = (wires.iter().enumerate())
        .map(|(at, [from, to])| json!({ "id": format!("w{at}"), "from": from, "to": to }))
        .collect();
    read(&json!({
        "format": "duskline/plan", "version": 1,
        "book": { "name": "restless", "unit": "u", "step": 1, "lag_ms": 1, "types": [
            { "type": "mains", "label": "Mains", "group": "g", "symbol": "generator", "behaviour": "source",
              "profile": "steady", "peak": 5, "set": {} },
            { "type": "sun", "label": "Sun", "group": "g", "symbol": "sun-panel", "behaviour": "source",
              "profile": "sun", "peak": 26, "set": { "azimuth": 180, "tilt": 0 } },
            { "type": "store", "label": "Store", "group": "g", "symbol": "battery", "behaviour": "battery",
              "capacity": 1.5, "max_in": 9, "max_out": 9, "efficiency": 1000, "cut_out": 0, "cut_in": 10,
              "set": { "start": 1000 } },
            { "type": "radio", "label": "Radio", "group": "g", "symbol": "radio", "behaviour": "load", "draw": 1 },
            { "type": "tee", "label": "Tee", "group": "g", "symbol": "divider", "behaviour": "divider", "ways": 2 },
            contact("relay", "relay", json!({})),
            contact("flasher", "on-delay", json!({ "delay_s": 0.001 })) ] },
        "world": { "day_s": 600, "sky": { "latitude": 90, "day_of_year": 172, "air": "none" } },
        "parts": [{ "id": "mains", "type": "mains" }, { "id": "sun", "type": "sun" }, { "id": "store", "type": "store" },
                  { "id": "radio", "type": "radio" }, { "id": "tee", "type": "tee" },
                  { "id": "relay", "type": "relay", "set": { "contact": "break" } },
                  { "id": "flasher", "type": "flasher", "set": { "contact": "break" } }],
        "wires": wires,
        "duties": [{ "part": "radio", "when": "always" }],
    }))
}

#[test]
fn a_run_that_is_stopped_at_its_bound_is_not_taken_for_one_that_goes_on_for_ever() {
    let (quiet, restless) = (flasher(false), flasher(true));
    assert_eq!(autonomy(&quiet, 0).duties, [off(3 * HOUR / 2)]);
    let [Holds::Stopped(seen)] = autonomy(&restless, 0).duties[..] else {
        panic!("{:?}", autonomy(&restless, 0));
    };
    assert!(seen > 0 && seen < 3 * HOUR / 2, "{seen}");
    let minutes = seen / 60_000;
    let said = format!("at least {minutes} min, then the run was stopped");
    assert_eq!(Holds::Stopped(minutes * 60_000).says(), said);
    let whole = check(&restless);
    assert!(whole.for_ever && whole.is_fine());
    let worst = worst_starts(&restless, &whole, &mut |_, _, _| true);
    assert!(matches!(worst.duties[0].holds, Holds::Stopped(_)));
    let weather = |plan: &Plan| bad_weather(plan, &check(plan), &mut |_, _, _| true);
    // Nine days of ten minutes are an hour and a half.
    assert_eq!((weather(&quiet).days, weather(&quiet).stopped), (9, false));
    let found = weather(&restless);
    assert!(found.stopped && found.breaks.is_none());
    assert_eq!(
        found.says(&restless, &whole),
        "Gets through at least 1 day without sun in a row, with every duty kept; with 2 the run was stopped at its bound of \
         events."
    );
}

#[test]
fn no_start_is_tried_where_the_run_does_not_come_to_it() {
    let mut plan = flasher(true);
    // The flasher is never held off, and a first day is longer than the run.
    plan.wires.retain(|w| w.to.port != "coil");
    plan.world.day_s = 86_400.0;
    let whole = check(&plan);
    assert!(whole.is_stopped(), "{:?}", whole.problems);
    let worst = worst_starts(&plan, &whole, &mut |_, _, _| true);
    assert_eq!((worst.tried, worst.duties[0].holds), (0, Holds::Stopped(0)));
    assert_eq!(
        worst.says(),
        "No start was tried: the run was stopped at its bound of events."
    );
    assert_eq!(autonomy(&plan, 24 * HOUR).duties, [Holds::Stopped(0)]);
}

#[test]
fn what_was_not_seen_to_the_end_after_bad_weather_is_not_said_to_be_known() {
    // 240 Wh a day out of a store of 2400; the panel gives it a little more, so what a dark day takes comes back slowly,
    // and with a larger panel at once.
    let [slow, quick] = [39, 60].map(|peak| {
        let plan = site(2400, 0, 10, peak);
        let whole = check(&plan);
        assert!(whole.for_ever && whole.is_fine(), "{peak}");
        let found = bad_weather(&plan, &whole, &mut |_, _, _| true);
        assert!(found.days > 0 && !found.stopped, "{peak}: {found:?}");
        (found.open, found.says(&plan, &whole))
    });
    let said = " Of what comes after them only 60 days were seen, and none repeats.";
    assert!(slow.0 && slow.1.ends_with(said), "{slow:?}");
    assert!(!quick.0 && !quick.1.contains("60 days"), "{quick:?}");
}

#[test]
fn no_start_is_worse_than_the_worst() {
    for name in ["kittiwake-light", "dusk-lamp", "first-light"] {
        let path = format!("{}/assets/examples/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let plan = read_plan(&std::fs::read_to_string(path).unwrap()).unwrap();
        let (whole, day) = (check(&plan), plan.world.day_ms());
        let worst = worst_starts(&plan, &whole, &mut |_, _, _| true);
        assert!(worst.for_ever);
        // Every seven minutes of the days that repeat, and a little besides, so as to meet no event.
        for t in (worst.days.0 * day..worst.days.1 * day).step_by(420_013) {
            for (holds, worst_one) in autonomy(&plan, t).duties.iter().zip(&worst.duties) {
                let (Holds::For { time, .. }, Holds::For { time: least, .. }) =
                    (holds, worst_one.holds)
                else {
                    continue;
                };
                assert!(
                    time + worst.apart >= least,
                    "{name} at {t}: {time} and not {least}"
                );
            }
        }
        // And each is what it is from there.
        for (at, w) in worst.duties.iter().enumerate() {
            assert_eq!(
                autonomy(&plan, w.from).duties[at],
                w.holds,
                "{name}, duty {at}"
            );
        }
    }
}

#[test]
fn without_sun_from_the_start_random_plans_hold_as_the_simple_engine_says() {
    let (mut broken, mut held) = (0, 0);
    duties::plans().each(120, |case| {
        let (seed, mut value) = (case.seed, case.document.clone());
        let plan = read(&value);
        let day = plan.world.day_ms() as i64;
        let until = (20_000 / day).max(2) * day;
        value["world"]["weather"] = json!([0]);
        value["world"]["wind"] = json!(vec![0; 24]);
        // Wind at t = 0 has already moved what it moves when it is taken away; here it never was.
        if plan.world.wind.first().is_some_and(|w| *w > 0.0) {
            return;
        }
        let found = autonomy(&plan, 0);
        let outcome = Simple::new(&value, &value["book"]).run(until, &[]);
        for (at, duty) in Duty::list(&value, day).iter().enumerate() {
            let all = duty.stretches(&outcome, until);
            let first = all.iter().find(|(from, to, _)| to - from > duty.grace());
            match (first, found.duties[at]) {
                (Some((from, _, on)), holds) => {
                    assert_eq!(
                        holds,
                        Holds::For {
                            time: *from as u64,
                            on: *on
                        },
                        "plan {seed}, duty {at}"
                    );
                    broken += 1;
                }
                // It may still break later, at a stretch that begins too late to be seen to be too long.
                (None, Holds::For { time, .. }) => {
                    let seen = until.saturating_sub(duty.grace());
                    assert!(time as i64 >= seen, "plan {seed}, duty {at}: {time}");
                }
                (None, _) => held += 1,
            }
        }
    });
    // Each answer was come to.
    assert!(broken > 0 && held > 0, "{broken} broken, {held} held");
}

/// The plan with so many days of its own weather made bad from one on.
fn spoilt(value: &Value, first: u64, days: u64, length: u64) -> Plan {
    let own = value["world"]["weather"]
        .as_array()
        .cloned()
        .unwrap_or_default();
    let own = if own.is_empty() { vec![json!(1)] } else { own };
    let mut value = value.clone();
    let weather = |day: u64| match (first..first + days).contains(&day) {
        true => json!(0),
        false => own[day as usize % own.len()].clone(),
    };
    value["world"]["weather"] = (0..length).map(weather).collect();
    read(&value)
}

/// Whether the duties `kept` are so through 24 days of the plan, so many of them bad from one on.
fn keeps(value: &Value, duties: &[Duty], kept: &[usize], (first, days): (u64, u64)) -> bool {
    let spoilt = spoilt(value, first, days, 24);
    let record = duskline::run::run(&spoilt, 24);
    let mut outcome = Outcome::new(Simple::new(value, &value["book"]).model());
    for (part, load) in &record.loads {
        let runs = load.runs.iter().map(|(a, b)| (*a as i64, *b as i64));
        let id = spoilt.parts[*part].id.to_string();
        outcome.runs.insert(id, runs.collect());
    }
    let end = 24 * spoilt.world.day_ms() as i64;
    kept.iter().all(|at| {
        let all = duties[*at].stretches(&outcome, end);
        all.iter()
            .all(|(from, to, _)| to - from <= duties[*at].grace())
    })
}

/// How many days `plan` is found to survive, after trying them; `None` where the search makes no claim.
fn tried(value: &Value, name: &str) -> Option<u64> {
    let plan = read(value);
    let whole = check(&plan);
    if !whole.for_ever || whole.days > 6 || whole.duties.iter().all(|d| !d.kept) {
        return None;
    }
    let found = bad_weather(&plan, &whole, &mut |_, _, _| true);
    let duties = Duty::list(value, plan.world.day_ms() as i64);
    let mut places = vec![0, 1, whole.days - 1, whole.days];
    places.dedup();
    for first in places {
        for days in 1..=found.days.min(2) {
            let keeps = keeps(value, &duties, &found.kept, (first, days));
            assert!(keeps, "{name}: {days} days from day {first}");
        }
    }
    if let Some(breaks) = found.breaks.filter(|b| b.day + found.days + 1 < 20) {
        let more = found.days + 1;
        let keeps = keeps(value, &duties, &found.kept, (breaks.day, more));
        assert!(!keeps, "{name}: {found:?}");
    }
    found.has_sun.then_some(found.days)
}

#[test]
fn bad_weather_is_survived_where_a_plan_with_that_weather_survives_it() {
    let mut days = Vec::new();
    duties::plans().each(60, |case| {
        days.extend(tried(&case.document, &format!("plan {}", case.seed)));
    });
    // Stores of a few days in a world whose day is 24 seconds, for a load of 6 W: 40 mW·h a day.
    for seed in 0..40 {
        let mut random = Random::new(seed);
        let store = random.between(30, 160) as f64 / 1000.0;
        let mut value = site_value(
            store,
            random.between(0, 200) as u64,
            6,
            random.between(25, 90) as u64,
        );
        let weather: Vec<f64> = (0..random.between(1, 3))
            .map(|_| random.between(5, 10) as f64 / 10.0)
            .collect();
        value["world"] = json!({ "day_s": 24, "weather": weather });
        value["duties"][0]["grace_s"] = json!(0);
        days.extend(tried(&value, &format!("site {seed}")));
    }
    for number in 0..3 {
        assert!(
            days.contains(&number),
            "none survives {number} days: {days:?}"
        );
    }
    assert!(days.contains(&MOST_BAD));
}
