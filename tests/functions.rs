//! Every function of a contact through a day, worked out by hand. Switches with schedules stand for the signals.

use duskline::plan::{Plan, read_plan};
use duskline::run;
use serde_json::{Value, json};

const HOUR: u64 = 3_600_000;
/// The lag of the built-in book, in milliseconds.
const LAG: u64 = 100;

/// A plan with the contact `kind` as `p9`, its signals on switches that are closed in the given hours.
fn plan(kind: &str, set: Value, signals: &[(&str, &[(u64, u64)])], world: Value) -> Plan {
    let mut parts = vec![
        json!({"id": "p1", "type": "generator"}),
        json!({"id": "p2", "type": "divider-4"}),
        json!({"id": "p9", "type": kind, "set": set}),
        json!({"id": "p10", "type": "battery", "set": {"start": 500}}),
    ];
    let mut wires = vec![
        json!({"id": "w1", "from": "p1.out", "to": "p2.in"}),
        json!({"id": "w2", "from": "p2.out1", "to": "p9.feed"}),
        json!({"id": "w3", "from": "p2.out4", "to": "p10.in"}),
    ];
    for (at, (port, closed)) in signals.iter().enumerate() {
        let clock = |hour: u64| format!("{hour:02}:00");
        let schedule: Vec<Value> = closed
            .iter()
            .flat_map(|(a, b)| [json!([clock(*a), true]), json!([clock(*b), false])])
            .collect();
        let id = format!("p{}", at + 3);
        parts.push(json!({"id": id, "type": "switch", "set": {"schedule": schedule}}));
        wires.push(json!({"id": format!("w{}", at + 10), "from": format!("p2.out{}", at + 2), "to": format!("{id}.feed")}));
        wires.push(json!({"id": format!("w{}", at + 20), "from": format!("{id}.out"), "to": format!("p9.{port}")}));
    }
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "world": world, "parts": parts, "wires": wires,
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// When the contact conducts on day 1, in milliseconds.
fn conducts(kind: &str, set: Value, signals: &[(&str, &[(u64, u64)])]) -> Vec<(u64, u64)> {
    conducts_in(kind, set, signals, json!({}), 1)
}

fn conducts_in(
    kind: &str,
    set: Value,
    signals: &[(&str, &[(u64, u64)])],
    world: Value,
    days: u64,
) -> Vec<(u64, u64)> {
    let plan = plan(kind, set, signals, world);
    let at = plan
        .parts
        .iter()
        .position(|p| p.id.as_str() == "p9")
        .unwrap();
    run::run(&plan, days).contacts[&at].conducts.clone()
}

/// Two signals that go through all four combinations: a alone, both, b alone, none.
const BOTH: &[(&str, &[(u64, u64)])] = &[("a", &[(2, 6)]), ("b", &[(4, 8)])];

#[test]
fn and_or_xor_by_their_truth_tables() {
    assert_eq!(
        conducts("and", json!({}), BOTH),
        [(4 * HOUR + LAG, 6 * HOUR + LAG)]
    );
    assert_eq!(
        conducts("or", json!({}), BOTH),
        [(2 * HOUR + LAG, 8 * HOUR + LAG)]
    );
    let xor = [
        (2 * HOUR + LAG, 4 * HOUR + LAG),
        (6 * HOUR + LAG, 8 * HOUR + LAG),
    ];
    assert_eq!(conducts("xor", json!({}), BOTH), xor);
}

#[test]
fn a_break_contact_conducts_where_a_make_contact_does_not() {
    let coil: &[(&str, &[(u64, u64)])] = &[("coil", &[(2, 6)])];
    assert_eq!(
        conducts("relay", json!({}), coil),
        [(2 * HOUR + LAG, 6 * HOUR + LAG)]
    );
    let breaks = conducts("relay", json!({"contact": "break"}), coil);
    assert_eq!(breaks, [(0, 2 * HOUR + LAG), (6 * HOUR + LAG, 24 * HOUR)]);
    assert_eq!(
        conducts("switch", json!({"contact": "break", "closed": true}), &[]),
        []
    );
}

#[test]
fn timers_follow_their_delay_and_then_the_lag() {
    let trigger: &[(&str, &[(u64, u64)])] = &[("trigger", &[(2, 6), (8, 9)])];
    let two_hours = json!({"delay_s": 7200});
    assert_eq!(
        conducts("on-delay", two_hours.clone(), trigger),
        [(4 * HOUR + LAG, 6 * HOUR + LAG)]
    );
    let off = conducts("off-delay", two_hours.clone(), trigger);
    assert_eq!(
        off,
        [(2 * HOUR + LAG, 11 * HOUR + LAG)],
        "the trigger comes back just as the delay runs out"
    );
    let pulse = [
        (2 * HOUR + LAG, 4 * HOUR + LAG),
        (8 * HOUR + LAG, 10 * HOUR + LAG),
    ];
    assert_eq!(conducts("pulse", two_hours, trigger), pulse);
    assert_eq!(conducts("pulse", json!({"delay_s": 0}), trigger), []);
}

#[test]
fn a_delay_shorter_than_the_lag_is_dropped_before_the_contact_moves() {
    let trigger: &[(&str, &[(u64, u64)])] = &[("trigger", &[(2, 6)])];
    assert_eq!(conducts("pulse", json!({"delay_s": 0.05}), trigger), []);
}

#[test]
fn a_latch_remembers_and_its_dominant_side_wins() {
    let signals: &[(&str, &[(u64, u64)])] = &[("set", &[(2, 6)]), ("reset", &[(4, 8)])];
    assert_eq!(
        conducts("latch", json!({}), signals),
        [(2 * HOUR + LAG, 6 * HOUR + LAG)]
    );
    assert_eq!(
        conducts("latch", json!({"dominant": "reset"}), signals),
        [(2 * HOUR + LAG, 4 * HOUR + LAG)]
    );
    assert_eq!(
        conducts("latch", json!({}), &[("set", &[(2, 3)])]),
        [(2 * HOUR + LAG, 24 * HOUR)]
    );
}

#[test]
fn an_impulse_relay_toggles_and_a_counter_counts_rising_edges() {
    let trigger: &[(&str, &[(u64, u64)])] = &[("trigger", &[(2, 3), (5, 6), (9, 10)])];
    let toggled = [
        (2 * HOUR + LAG, 5 * HOUR + LAG),
        (9 * HOUR + LAG, 24 * HOUR),
    ];
    assert_eq!(conducts("impulse", json!({}), trigger), toggled);
    let count: &[(&str, &[(u64, u64)])] = &[
        ("count", &[(2, 3), (5, 6), (9, 10)]),
        ("reset", &[(12, 13)]),
    ];
    assert_eq!(
        conducts("counter", json!({"target": 2}), count),
        [(5 * HOUR + LAG, 12 * HOUR + LAG)]
    );
}

#[test]
fn what_follows_the_dial_changes_at_once() {
    let day = |from: &str, to: &str| conducts("time-switch", json!({"from": from, "to": to}), &[]);
    assert_eq!(day("08:00", "10:00"), [(8 * HOUR, 10 * HOUR)]);
    assert_eq!(
        day("22:00", "02:00"),
        [(0, 2 * HOUR), (22 * HOUR, 24 * HOUR)]
    );
    assert_eq!(day("08:00", "08:00"), []);
    let seen = json!({"times": [["06:00", "07:00"], ["07:00", "08:00"], ["20:00", "21:00"]]});
    assert_eq!(
        conducts("detector", seen, &[]),
        [(6 * HOUR, 8 * HOUR), (20 * HOUR, 21 * HOUR)]
    );
    let home = json!({"home": [["18:00", "08:00"]]});
    assert_eq!(
        conducts_in("home", json!({}), &[], home, 1),
        [(0, 8 * HOUR), (18 * HOUR, 24 * HOUR)]
    );
}

#[test]
fn a_button_is_held_and_nothing_was_pressed_before_the_first_day() {
    let set = json!({"hold_s": 5400, "presses": ["02:00", "03:00", "23:00"]});
    let first = [(2 * HOUR, 3 * HOUR + HOUR * 3 / 2), (23 * HOUR, 24 * HOUR)];
    assert_eq!(conducts("button", set.clone(), &[]), first);
    let two = conducts_in("button", set, &[], json!({}), 2);
    assert_eq!(
        two[1],
        (23 * HOUR, 24 * HOUR + HOUR / 2),
        "a hold goes on over midnight"
    );
}

#[test]
fn a_switch_begins_each_later_day_as_the_day_before_ended() {
    let set = json!({"closed": false, "schedule": [["06:00", false], ["20:00", true]]});
    let two = conducts_in("switch", set, &[], json!({}), 2);
    assert_eq!(two, [(20 * HOUR, 30 * HOUR), (44 * HOUR, 48 * HOUR)]);
}

#[test]
fn a_twilight_switch_looks_at_the_sun_and_not_at_the_weather() {
    // The world's own arc: sin(elevation) is below 0.5 until the sun stands at 30°, a third of the way up at 60° highest:
    // 60 · sin(π · share) = 30 at a share of 1/6, two hours into a day of twelve.
    let arc = |weather: f64| {
        let sky = json!({"rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 60});
        json!({"sky": sky, "weather": [weather]})
    };
    let lit = conducts_in("twilight", json!({"below": 0.5}), &[], arc(1.0), 1);
    assert_eq!(lit.len(), 2);
    for (at, hand) in [(lit[0].1, 8 * HOUR), (lit[1].0, 16 * HOUR)] {
        assert!(at.abs_diff(hand) <= 1, "{at} is not {hand}");
    }
    assert_eq!(
        lit,
        conducts_in("twilight", json!({"below": 0.5}), &[], arc(0.1), 1)
    );
}

#[test]
fn a_charge_contact_goes_by_its_battery_with_hysteresis() {
    // Two outputs of the divider are wired, so the battery is offered 10 of the generator's 20 and stores 900 ‰ of it. It
    // holds 60 u·h and starts half full: the 6 u·h up to 600 ‰ come at 9 u·h an hour, in 40 minutes.
    let set = json!({"watches": "p10", "low": 500, "high": 600});
    let signals: &[(&str, &[(u64, u64)])] = &[];
    let share = conducts("charge", set, signals);
    assert_eq!(share, [(LAG, 40 * 60_000 + LAG)]);
    assert_eq!(
        conducts(
            "charge",
            json!({"watches": "p77", "low": 500, "high": 600}),
            signals
        ),
        []
    );
}

#[test]
fn a_relay_that_breaks_its_own_coil_chatters_and_is_held_open_until_midnight() {
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [{"id": "p1", "type": "generator"}, {"id": "p2", "type": "relay", "name": "Buzzer", "set": {"contact": "break"}}],
        "wires": [{"id": "w1", "from": "p1.out", "to": "p2.feed"}, {"id": "w2", "from": "p2.out", "to": "p2.coil"}],
    });
    let plan = read_plan(&document.to_string()).unwrap();
    let record = run::run(&plan, 2);
    let said: Vec<_> = record.events.iter().map(|e| (e.t, e.what.word())).collect();
    assert_eq!(said[0], (LAG, "opens"));
    assert_eq!(said[1], (2 * LAG, "closes"));
    // The hundredth change would close it; it stays open, and the same begins again a lag after midnight.
    assert_eq!(said[99], (100 * LAG, "chatters"));
    assert_eq!(said[100], (24 * HOUR + LAG, "closes"));
    assert_eq!(record.problems[0].kind.code(), "chatter");
    assert!(
        record.problems[0]
            .says(&plan)
            .starts_with("Buzzer opens and closes without end")
    );
}

#[test]
fn a_flasher_of_two_delays_is_no_chatter() {
    // A break relay starts an on-delay that, run out, opens the relay through an off-delay of its own.
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost",
        "parts": [
            {"id": "p1", "type": "generator"}, {"id": "p2", "type": "divider-3"},
            {"id": "p3", "type": "on-delay", "set": {"delay_s": 1, "contact": "break"}},
            {"id": "p4", "type": "off-delay", "set": {"delay_s": 1}},
            {"id": "p5", "type": "lamp"},
        ],
        "wires": [
            {"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out1", "to": "p3.feed"},
            {"id": "w3", "from": "p3.out", "to": "p4.trigger"}, {"id": "w4", "from": "p2.out2", "to": "p4.feed"},
            {"id": "w5", "from": "p4.out", "to": "p3.trigger"},
        ],
    });
    let plan = read_plan(&document.to_string()).unwrap();
    let record = run::run(&plan, 1);
    // By hand, each delay 1 s and each contact 0.1 s behind: the second closes, the first opens 1.1 s later, the second
    // opens 1.1 s after that, and at once the first closes. So it goes on every 2.4 s, all day.
    let times: Vec<u64> = record.events.iter().map(|event| event.t).collect();
    assert_eq!(times[..5], [100, 1200, 2300, 2400, 2500]);
    assert!(times.windows(5).all(|five| five[4] - five[0] == 2400));
    assert!(times[times.len() - 1] >= 86_400_000 - 2400);
    assert!(record.problems.iter().all(|p| p.kind.code() != "chatter"));
}
