//! Duties and losses on plans small enough to judge by hand, and losses against a plan without the part.

use duskline::plan::{Plan, read_plan};
use duskline::proof::{self, Loss};
use serde_json::{Value, json};

const HOUR: u64 = 3_600_000;

fn plan(parts: Value, wires: Value, duties: Value) -> Plan {
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "outpost", "parts": parts, "wires": wires, "duties": duties,
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// A generator and a lamp behind a time switch.
fn timed_lamp(from: &str, to: &str, duty: Value) -> Plan {
    plan(
        json!([
            {"id": "p1", "type": "generator"},
            {"id": "p2", "type": "time-switch", "set": {"from": from, "to": to}},
            {"id": "p3", "type": "lamp"},
        ]),
        json!([
            {"id": "w1", "from": "p1.out", "to": "p2.feed"}, {"id": "w2", "from": "p2.out", "to": "p3.in"},
        ]),
        json!([duty]),
    )
}

#[test]
fn a_duty_that_is_kept_on_a_day_that_repeats_is_kept_for_ever() {
    let plan = timed_lamp(
        "18:00",
        "06:00",
        json!({"part": "p3", "when": "clock", "from": "18:00", "to": "06:00", "only": true}),
    );
    let check = proof::check(&plan);
    assert!(check.for_ever && check.is_fine());
    assert_eq!(check.days, 1);
}

#[test]
fn a_gap_is_told_with_its_times() {
    let plan = timed_lamp(
        "19:00",
        "05:00",
        json!({"part": "p3", "when": "clock", "from": "18:00", "to": "06:00"}),
    );
    let check = proof::check(&plan);
    let gaps: Vec<_> = check.duties[0]
        .gaps
        .iter()
        .map(|g| (g.from, g.to, g.on))
        .collect();
    assert_eq!(
        gaps,
        [(5 * HOUR, 6 * HOUR, false), (18 * HOUR, 19 * HOUR, false)]
    );
}

#[test]
fn a_stretch_within_its_grace_is_no_gap_and_one_beyond_it_is() {
    let with = |grace: u64| {
        let duty = json!({"part": "p3", "when": "clock", "from": "17:59", "to": "06:00", "grace_s": grace});
        proof::check(&timed_lamp("18:00", "06:00", duty)).duties[0].kept
    };
    assert!(with(60) && !with(59));
}

#[test]
fn only_forbids_running_otherwise() {
    let duty = json!({"part": "p3", "when": "clock", "from": "20:00", "to": "06:00", "only": true});
    let check = proof::check(&timed_lamp("18:00", "06:00", duty));
    let gaps: Vec<_> = check.duties[0]
        .gaps
        .iter()
        .map(|g| (g.from, g.to, g.on))
        .collect();
    assert_eq!(gaps, [(18 * HOUR, 20 * HOUR, true)]);
}

#[test]
fn a_stretch_that_goes_on_over_the_repeated_midnight_is_as_long_as_it_will_be() {
    // Dark from 23:59:00 to 00:01:00 every night: a minute each side, two in all, more than the grace of 90 seconds.
    let duty = json!({"part": "p3", "when": "always", "grace_s": 90});
    let check = proof::check(&timed_lamp("00:01", "23:59", duty));
    assert!(check.for_ever);
    let gaps: Vec<_> = check.duties[0]
        .gaps
        .iter()
        .map(|g| (g.from, g.to))
        .collect();
    assert_eq!(gaps, [(24 * HOUR - 60_000, 24 * HOUR)]);
}

#[test]
fn a_battery_that_only_empties_settles_and_the_verdict_is_for_ever() {
    let plan = plan(
        json!([{"id": "p1", "type": "battery", "set": {"start": 1000}}, {"id": "p2", "type": "lamp"}]),
        json!([{"id": "w1", "from": "p1.out", "to": "p2.in"}]),
        json!([{"part": "p2", "when": "always"}]),
    );
    let check = proof::check(&plan);
    assert!(check.for_ever && !check.duties[0].kept);
    // 60 u·h less a twentieth at 2 u: 28.5 hours, within the second day.
    assert_eq!(check.duties[0].gaps[0].from, 28 * HOUR + HOUR / 2);
}

#[test]
fn a_state_that_never_repeats_is_told_with_what_differs() {
    let plan = plan(
        json!([
            {"id": "p1", "type": "sun-panel-small", "set": {"azimuth": 0, "tilt": 90}},
            {"id": "p2", "type": "battery-vault", "count": 1000, "set": {"start": 500}}, {"id": "p3", "type": "lamp"},
        ]),
        json!([{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out", "to": "p3.in"}]),
        json!([{"part": "p3", "when": "always"}]),
    );
    let check = proof::check(&plan);
    assert!(!check.for_ever && check.duties[0].kept);
    assert_eq!((check.days, check.differs.len()), (proof::DAYS, 1));
    assert_eq!(check.differs[0].as_str(), "p2");
}

/// A time switch that is on for an hour a day and counts up the chain of contacts behind it, each with its own source.
fn chain(kinds: &[&str], set: &Value) -> Plan {
    let mut parts = vec![
        json!({"id": "g0", "type": "generator"}),
        json!({"id": "c0", "type": "time-switch", "set": {"from": "06:00", "to": "07:00"}}),
    ];
    let mut wires = vec![json!({"id": "f0", "from": "g0.out", "to": "c0.feed"})];
    for (before, kind) in kinds.iter().enumerate() {
        let at = before + 1;
        let port = if *kind == "counter" {
            "count"
        } else {
            "trigger"
        };
        parts.push(json!({"id": format!("g{at}"), "type": "generator"}));
        let set = if *kind == "counter" {
            set.clone()
        } else {
            json!({})
        };
        parts.push(json!({"id": format!("c{at}"), "type": kind, "set": set}));
        wires.push(json!({"id": format!("f{at}"), "from": format!("g{at}.out"), "to": format!("c{at}.feed")}));
        wires.push(json!({
            "id": format!("s{at}"), "from": format!("c{before}.out"), "to": format!("c{at}.{port}"),
        }));
    }
    plan(parts.into(), wires.into(), json!([]))
}

fn differs(plan: &Plan) -> Vec<String> {
    let check = proof::check(plan);
    assert_eq!((check.for_ever, check.days), (false, proof::DAYS));
    check.differs.iter().map(ToString::to_string).collect()
}

#[test]
fn what_only_follows_a_battery_a_timer_or_a_counter_is_not_named_beside_it() {
    // The impulse relay is the other way about each midnight, and so is what the counter behind it has seen last.
    let counting = chain(&["impulse", "counter"], &json!({"target": 1000}));
    assert_eq!(differs(&counting), ["c2"]);
}

#[test]
fn where_neither_battery_timer_nor_counter_differs_what_differs_is_named() {
    // Seven impulse relays in a row come round after 2^7 days, longer than a check runs. From the midnight of day 59 to
    // that of day 60 the first one goes over, and the second sees it.
    let turning = chain(&["impulse"; 7], &json!({}));
    assert_eq!(differs(&turning), ["c1", "c2"]);
}

#[test]
fn a_loss_breaks_what_hangs_on_it_and_no_more() {
    let plan = plan(
        json!([
            {"id": "p1", "type": "generator"}, {"id": "p2", "type": "divider-2"}, {"id": "p3", "type": "lamp"},
            {"id": "p4", "type": "switch", "set": {"closed": true}, "reach": "anyone"}, {"id": "p5", "type": "lamp"},
        ]),
        json!([
            {"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.out1", "to": "p3.in"},
            {"id": "w3", "from": "p2.out2", "to": "p4.feed"}, {"id": "w4", "from": "p4.out", "to": "p5.in"},
        ]),
        json!([{"part": "p3", "when": "always"}, {"part": "p5", "when": "always"}]),
    );
    let whole = proof::check(&plan);
    let all = proof::all_losses(&plan);
    let breaks: Vec<Vec<usize>> = proof::losses(&plan, &whole, &all)
        .map(|r| r.breaks)
        .collect();
    let expected: Vec<Vec<usize>> = vec![
        vec![0, 1],
        vec![0, 1],
        vec![0],
        vec![1],
        vec![1],
        vec![0, 1],
        vec![0],
        vec![1],
        vec![1],
        vec![1],
    ];
    assert_eq!(breaks, expected);
    assert_eq!(all.last(), Some(&Loss::Switch("p4".into())));
}

#[test]
fn every_example_is_checked_and_each_of_its_losses_is_the_plan_without_it() {
    for name in ["kittiwake-light", "dusk-lamp", "first-light"] {
        let path = format!("{}/assets/examples/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let plan = read_plan(&std::fs::read_to_string(path).unwrap()).unwrap();
        let whole = proof::check(&plan);
        assert!(
            whole.duties.iter().all(|d| d.kept),
            "{name}: {:?}",
            whole.duties
        );
        let all = proof::all_losses(&plan);
        for report in proof::losses(&plan, &whole, &all) {
            let Loss::Part(id) = &report.loss else {
                continue;
            };
            let own = plan
                .duties
                .iter()
                .enumerate()
                .filter(|(_, d)| d.part == *id)
                .map(|(at, _)| at);
            own.for_each(|at| {
                assert!(
                    report.breaks.contains(&at),
                    "{name}: {id} is duty {at}'s own load"
                )
            });
        }
    }
}

#[test]
fn a_load_that_never_runs_breaks_its_duty_however_long_the_grace() {
    // One day repeats at once, and three days of grace are longer than what was run.
    let plan = plan(
        json!([{"id": "p1", "type": "lamp"}]),
        json!([]),
        json!([{"part": "p1", "when": "always", "grace_s": 259_200}]),
    );
    let check = proof::check(&plan);
    assert!(check.for_ever && check.days == 1);
    assert!(!check.duties[0].kept, "{:?}", check.duties);
}
