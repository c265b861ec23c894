//! Worked instants: each behaviour's offers and takes at t = 0, in steps, worked out by hand from the rules.
//!
//! The parts are those of the book `outpost`: generator 20, hand generator 10, lamp 2, heater 3, pump 5 (waste),
//! desalinator 6 (hold), workbench 8, battery 20 in and out at 900 per mille.

use super::testing::{flows, plan};

/// Reads a plan and checks each wire's offer and take.
fn check(text: &str, expected: &[(u64, u64)]) {
    assert_eq!(flows(&plan(text)), expected, "{text}");
}

#[test]
fn a_source_offers_its_peak_times_its_count() {
    check(
        r#"{ "parts": { "gen": ["generator", {}, 3], "lamp": "lamp" }, "wires": ["gen.out lamp.in"] }"#,
        &[(60, 2)],
    );
    // Midnight at the equator: no sun. No wind is given either.
    check(
        r#"{ "parts": { "sun": "sun-panel", "wind": "wind-turbine", "a": "lamp", "b": "lamp" },
             "wires": ["sun.out a.in", "wind.out b.in"] }"#,
        &[(0, 0), (0, 0)],
    );
}

#[test]
fn a_battery_takes_what_it_can_and_offers_what_it_may() {
    check(
        r#"{ "parts": { "gen": ["generator", {}, 3], "cell": ["battery", {}, 2], "lamp": "lamp" },
             "wires": ["gen.out cell.in", "cell.out lamp.in"] }"#,
        &[(60, 40), (40, 2)],
    );
    // Its output is off where it starts at or below its cut-out of 50 per mille.
    check(
        r#"{ "parts": { "a": ["battery", { "start": 50 }], "b": ["battery", { "start": 51 }], "x": "lamp", "y": "lamp" },
             "wires": ["a.out x.in", "b.out y.in"] }"#,
        &[(0, 0), (20, 2)],
    );
}

#[test]
fn a_full_battery_takes_what_holds_it_full_rounded_up() {
    // 2 given need 2000 / 900, rounded up: 3.
    check(
        r#"{ "parts": { "gen": "generator", "cell": ["battery", { "start": 1000 }], "lamp": "lamp" },
             "wires": ["gen.out cell.in", "cell.out lamp.in"] }"#,
        &[(20, 3), (20, 2)],
    );
    // Nothing given, nothing taken.
    check(
        r#"{ "parts": { "gen": "generator", "cell": ["battery", { "start": 1000 }] }, "wires": ["gen.out cell.in"] }"#,
        &[(20, 0)],
    );
    // Two full ones in a row: 2 given, 3 taken by the second, so 3 given and ⌈3000 / 900⌉ = 4 taken by the first.
    check(
        r#"{ "parts": { "gen": "generator", "a": ["battery", { "start": 1000 }], "b": ["battery", { "start": 1000 }],
                        "lamp": "lamp" },
             "wires": ["gen.out a.in", "a.out b.in", "b.out lamp.in"] }"#,
        &[(20, 4), (20, 3), (20, 2)],
    );
}

#[test]
fn a_battery_that_feeds_itself_takes_all_even_when_full() {
    check(
        r#"{ "parts": { "cell": ["battery", { "start": 1000 }], "lamp": "lamp" },
             "wires": ["cell.out lamp.in", "lamp.loop cell.in"] }"#,
        &[(20, 20), (18, 18)],
    );
    check(
        r#"{ "parts": { "cell": ["battery", { "start": 1000 }] }, "wires": ["cell.out cell.in"] }"#,
        &[(20, 20)],
    );
}

#[test]
fn loads_that_run_leave_the_rest_to_their_loop() {
    check(
        r#"{ "parts": { "gen": "hand-generator", "bench": "workbench", "lamp": "lamp", "fan": "fan" },
             "wires": ["gen.out bench.in", "bench.loop lamp.in", "lamp.loop fan.in"] }"#,
        &[(10, 10), (2, 2), (0, 0)],
    );
}

#[test]
fn loads_that_cannot_run_pass_hold_or_waste() {
    // Three shares of a hand generator: 4, 3 and 3. A workbench of 8 passes its 4; a desalinator of 6 holds its 3 back;
    // a pump of 5 wastes its 3.
    check(
        r#"{ "parts": { "gen": "hand-generator", "split": "divider-3", "pass": "workbench", "hold": "desalinator",
                        "waste": "pump", "a": "lamp", "b": "lamp", "c": "lamp" },
             "wires": ["gen.out split.in", "split.out1 pass.in", "split.out2 hold.in", "split.out3 waste.in",
                       "pass.loop a.in", "hold.loop b.in", "waste.loop c.in"] }"#,
        &[(10, 5), (4, 2), (3, 0), (3, 3), (4, 2), (0, 0), (0, 0)],
    );
}

#[test]
fn a_tap_sets_aside_only_for_a_wire() {
    check(
        r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 5 }], "lamp": "lamp" },
             "wires": ["gen.out tap.in", "tap.rest lamp.in"] }"#,
        &[(20, 2), (20, 2)],
    );
    check(
        r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 5 }], "fan": "fan", "lamp": "lamp" },
             "wires": ["gen.out tap.in", "tap.rest lamp.in", "tap.tap fan.in"] }"#,
        &[(20, 3), (15, 2), (5, 1)],
    );
    // More than there is: all of it goes to the tap.
    check(
        r#"{ "parts": { "gen": "hand-generator", "tap": ["tap", { "amount": 50 }], "fan": "fan", "lamp": "lamp" },
             "wires": ["gen.out tap.in", "tap.rest lamp.in", "tap.tap fan.in"] }"#,
        &[(10, 1), (0, 0), (10, 1)],
    );
}

#[test]
fn a_divider_shares_over_wired_outputs_and_gives_the_rest_to_the_lowest() {
    check(
        r#"{ "parts": { "gen": "hand-generator", "split": "divider-4", "a": "fan", "b": "fan", "c": "fan", "d": "fan" },
             "wires": ["gen.out split.in", "split.out4 d.in", "split.out2 b.in", "split.out1 a.in", "split.out3 c.in"] }"#,
        &[(10, 4), (2, 1), (3, 1), (3, 1), (2, 1)],
    );
    check(
        r#"{ "parts": { "gen": "hand-generator", "split": "divider-4", "b": "fan", "c": "fan", "d": "fan" },
             "wires": ["gen.out split.in", "split.out2 b.in", "split.out3 c.in", "split.out4 d.in"] }"#,
        &[(10, 3), (4, 1), (3, 1), (3, 1)],
    );
}

#[test]
fn a_busbar_adds_up_and_takes_from_its_first_input_first() {
    // 10 + 20 offered; four workbenches draw 32 and can't, three draw 24: 10 from the first input, 14 from the third.
    check(
        r#"{ "parts": { "a": "hand-generator", "b": "generator", "bar": "busbar-3", "bank": ["workbench", {}, 3] },
             "wires": ["b.out bar.in3", "a.out bar.in1", "bar.out bank.in"] }"#,
        &[(20, 14), (10, 10), (30, 24)],
    );
}

#[test]
fn a_changeover_stays_on_main_from_its_least() {
    let text = |least: u64| {
        format!(
            r#"{{ "parts": {{ "a": "hand-generator", "b": "generator", "over": ["changeover", {{ "least": {least} }}],
                            "lamp": "lamp" }},
                 "wires": ["a.out over.main", "b.out over.backup", "over.out lamp.in"] }}"#
        )
    };
    check(&text(10), &[(10, 2), (20, 0), (10, 2)]);
    check(&text(11), &[(10, 0), (20, 2), (20, 2)]);
    // It goes to a backup that gives nothing all the same.
    check(
        r#"{ "parts": { "a": "hand-generator", "over": ["changeover", { "least": 11 }], "lamp": "lamp" },
             "wires": ["a.out over.main", "over.out lamp.in"] }"#,
        &[(10, 0), (0, 0)],
    );
}

#[test]
fn a_meter_carries_on_what_it_gets() {
    check(
        r#"{ "parts": { "gen": "hand-generator", "meter": "meter", "lamp": "lamp" },
             "wires": ["gen.out meter.in", "meter.out lamp.in"] }"#,
        &[(10, 2), (10, 2)],
    );
}

#[test]
fn a_make_contact_conducts_when_true_and_a_break_contact_when_not() {
    let text = |set: &str| {
        format!(
            r#"{{ "parts": {{ "gen": "hand-generator", "door": ["switch", {set}], "lamp": "lamp" }},
                 "wires": ["gen.out door.feed", "door.out lamp.in"] }}"#
        )
    };
    let (open, closed) = ([(10, 0), (0, 0)], [(10, 2), (10, 2)]);
    check(&text(r#"{}"#), &open);
    check(&text(r#"{ "closed": true }"#), &closed);
    check(&text(r#"{ "contact": "break" }"#), &closed);
    check(&text(r#"{ "contact": "break", "closed": true }"#), &open);
}

#[test]
fn a_signal_port_is_live_from_what_its_coil_takes() {
    let text = |peak: u64| {
        format!(
            r#"{{ "book": {{ "name": "coils", "unit": "u", "step": 1, "types": [
                    {{ "type": "gen", "label": "Gen", "group": "g", "symbol": "source", "behaviour": "source",
                       "profile": "steady", "peak": {peak} }},
                    {{ "type": "relay", "label": "Relay", "group": "g", "symbol": "contact", "behaviour": "contact",
                       "function": "relay", "coil": 3 }} ] }},
                 "parts": {{ "gen": "gen", "relay": "relay" }}, "wires": ["gen.out relay.coil"] }}"#
        )
    };
    check(&text(2), &[(2, 0)]);
    check(&text(3), &[(3, 3)]);
    check(&text(9), &[(9, 3)]);
}

#[test]
fn a_contact_with_a_signal_follows_after_its_lag() {
    let plan = plan(
        r#"{ "parts": { "gen": "generator", "tap": "tap", "relay": "relay", "lamp": "lamp" },
             "wires": ["gen.out tap.in", "tap.tap relay.coil", "tap.rest relay.feed", "relay.out lamp.in"] }"#,
    );
    let take = |t: u64| crate::run::at(&plan, t).wires[3].take;
    assert_eq!([take(0), take(99), take(100)], [0, 0, 2]);
}

#[test]
fn a_closed_loop_carries_nothing_and_still_counts_as_a_wire() {
    // The tap sets its 5 aside for a wire that leads round and carries none of it.
    check(
        r#"{ "parts": { "gen": "generator", "bar": "busbar-2", "tap": ["tap", { "amount": 5 }], "lamp": "lamp" },
             "wires": ["gen.out bar.in1", "bar.out tap.in", "tap.tap bar.in2", "tap.rest lamp.in"] }"#,
        &[(20, 0), (0, 0), (0, 0), (0, 0)],
    );
    check(
        r#"{ "parts": { "gen": "generator", "tap": ["tap", { "amount": 5 }], "a": "busbar-2", "b": "meter", "lamp": "lamp" },
             "wires": ["gen.out tap.in", "tap.tap a.in1", "a.out b.in", "b.out a.in2", "tap.rest lamp.in"] }"#,
        &[(20, 2), (5, 0), (0, 0), (0, 0), (15, 2)],
    );
}
