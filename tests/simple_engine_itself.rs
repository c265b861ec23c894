//! The simple engine held against instants and runs worked by hand, and against offers worked out with networkx.
//!
//! Powers in steps, energies in step·ms, times in milliseconds. It does not touch the program.

pub mod simple_engine;

use serde_json::{Value, json};
use simple_engine::by_hand::{first, none, plan, run, told};
use simple_engine::model::{Kind, Model, Short};
use simple_engine::outcome::Moment;
use simple_engine::{Simple, generate};

#[test]
fn a_lamp_and_a_heater_on_one_loop_take_five() {
    // Common practice, no source: 2 + 3 = 5.
    let moment = first(
        &[
            ("b", "cell", none()),
            ("h", "heater", none()),
            ("l", "lamp", none()),
        ],
        &[("b.out", "h.in"), ("h.loop", "l.in")],
    );
    assert_eq!(moment.wires["w1"], (10, 5));
    assert_eq!(moment.wires["w2"], (7, 2));
    assert!(moment.runs["h"] && moment.runs["l"]);
}

#[test]
fn a_tap_of_one_leaves_nineteen_for_the_battery() {
    // Common practice, no source: 20 − 1 = 19; the tapped step feeds a coil, so it is taken.
    let moment = first(
        &[
            ("s", "steady", none()),
            ("t", "tap", none()),
            ("b", "cell", none()),
            ("r", "relay", none()),
        ],
        &[("s.out", "t.in"), ("t.rest", "b.in"), ("t.tap", "r.coil")],
    );
    assert_eq!(moment.wires["w1"], (20, 20));
    assert_eq!(moment.wires["w2"], (19, 19));
    assert_eq!(moment.wires["w3"], (1, 1));
}

#[test]
fn an_unwired_tap_sets_nothing_aside_and_a_wired_one_does_even_where_nobody_takes() {
    let unwired = first(
        &[
            ("s", "steady", none()),
            ("t", "tap", none()),
            ("l", "lamp", none()),
        ],
        &[("s.out", "t.in"), ("t.rest", "l.in")],
    );
    assert_eq!(unwired.wires["w2"], (20, 2));
    let wired = first(
        &[
            ("s", "steady", none()),
            ("t", "tap", none()),
            ("l", "lamp", none()),
            ("m", "meter", none()),
        ],
        &[("s.out", "t.in"), ("t.rest", "l.in"), ("t.tap", "m.in")],
    );
    assert_eq!((wired.wires["w2"], wired.wires["w3"]), ((19, 2), (1, 0)));
}

#[test]
fn a_load_that_cannot_run_passes_holds_or_wastes() {
    for (kind, own, on) in [
        ("pass", (20, 2), (20, 2)),
        ("hold", (20, 0), (0, 0)),
        ("waste", (20, 20), (0, 0)),
    ] {
        let moment = first(
            &[
                ("s", "steady", none()),
                ("x", kind, none()),
                ("l", "lamp", none()),
            ],
            &[("s.out", "x.in"), ("x.loop", "l.in")],
        );
        assert_eq!(
            (moment.wires["w1"], moment.wires["w2"]),
            (own, on),
            "{kind}"
        );
        assert!(!moment.runs["x"]);
        assert_eq!(moment.runs["l"], on.0 > 0);
    }
}

#[test]
fn a_divider_shares_over_wired_outputs_and_gives_what_is_left_to_the_lowest() {
    let three = first(
        &[
            ("s", "steady", none()),
            ("d", "divider", none()),
            ("a", "lamp", none()),
            ("b", "lamp", none()),
            ("c", "lamp", none()),
        ],
        &[
            ("s.out", "d.in"),
            ("d.out1", "a.in"),
            ("d.out2", "b.in"),
            ("d.out3", "c.in"),
        ],
    );
    // 20 = 7 + 7 + 6.
    assert_eq!(three.wires["w1"], (20, 6));
    assert_eq!(
        [
            three.wires["w2"].0,
            three.wires["w3"].0,
            three.wires["w4"].0
        ],
        [7, 7, 6]
    );
    let two = first(
        &[
            ("s", "one", none()),
            ("d", "divider", none()),
            ("a", "lamp", none()),
            ("c", "lamp", none()),
        ],
        &[("s.out", "d.in"), ("d.out3", "a.in"), ("d.out2", "c.in")],
    );
    assert_eq!((two.wires["w2"].0, two.wires["w3"].0), (0, 1));
}

#[test]
fn a_busbar_takes_from_its_first_input_first() {
    let moment = first(
        &[
            ("a", "one", none()),
            ("b", "steady", none()),
            ("c", "steady", none()),
            ("bar", "busbar", none()),
            ("x", "pass", none()),
        ],
        &[
            ("a.out", "bar.in2"),
            ("b.out", "bar.in1"),
            ("c.out", "bar.in3"),
            ("bar.out", "x.in"),
        ],
    );
    // 41 are offered and 30 taken: 20 from in1, 1 from in2, 9 from in3.
    assert_eq!(moment.wires["w4"], (41, 30));
    assert_eq!(
        [
            moment.wires["w2"].1,
            moment.wires["w1"].1,
            moment.wires["w3"].1
        ],
        [20, 1, 9]
    );
}

#[test]
fn a_changeover_goes_to_an_empty_backup_below_least() {
    let parts = |least: i64| {
        [
            ("a", "one", none()),
            ("c", "changeover", json!({ "least": least })),
            ("m", "meter", none()),
        ]
    };
    let wires = [("a.out", "c.main"), ("c.out", "m.in")];
    assert_eq!(first(&parts(1), &wires).wires["w2"].0, 1);
    assert_eq!(first(&parts(2), &wires).wires["w2"].0, 0);
}

#[test]
fn a_closed_loop_carries_nothing_and_still_counts_as_wired() {
    let moment = first(
        &[
            ("s", "steady", none()),
            ("bar", "busbar", none()),
            ("d", "divider", none()),
            ("l", "lamp", none()),
            ("k", "manual", none()),
        ],
        &[
            ("s.out", "bar.in1"),
            ("bar.out", "d.in"),
            ("d.out1", "k.feed"),
            ("k.out", "bar.in2"),
            ("d.out2", "l.in"),
        ],
    );
    // The open switch on the loop makes no difference: bar, d and k are one component.
    assert_eq!(moment.wires["w1"], (20, 0));
    for wire in ["w2", "w3", "w4", "w5"] {
        assert_eq!(moment.wires[wire], (0, 0), "{wire}");
    }
    let tapped = first(
        &[
            ("s", "steady", none()),
            ("t", "tap", none()),
            ("bar", "busbar", none()),
            ("u", "tap", none()),
        ],
        &[
            ("s.out", "t.in"),
            ("t.tap", "u.in"),
            ("u.rest", "bar.in1"),
            ("bar.out", "bar.in2"),
            ("t.rest", "bar.in3"),
        ],
    );
    // A part wired to itself is a loop of one: its own wire carries nothing, what comes from outside is offered.
    assert_eq!((tapped.wires["w4"], tapped.wires["w5"]), ((0, 0), (19, 0)));
}

#[test]
fn a_full_battery_takes_what_holds_it_full_unless_it_feeds_itself() {
    let full = json!({ "start": 1000 });
    let held = first(
        &[
            ("s", "steady", none()),
            ("b", "cell", full.clone()),
            ("h", "heater", none()),
        ],
        &[("s.out", "b.in"), ("b.out", "h.in")],
    );
    // ⌈1000 · 3 / 900⌉ = 4.
    assert_eq!(held.wires["w1"], (20, 4));
    let ring = first(
        &[("a", "cell", full.clone()), ("b", "cell", full)],
        &[("a.out", "b.in"), ("b.out", "a.in")],
    );
    assert_eq!((ring.wires["w1"], ring.wires["w2"]), ((10, 10), (10, 10)));
}

#[test]
fn a_battery_runs_down_to_its_cut_out_and_comes_back_at_cut_in() {
    // 0.001 u·h are 3,600 step·ms; from 1,800 at 5 a millisecond to 360 in 288 ms. Then the manual switch, closed from
    // 00:40 = 400 ms, brings 20 · 0.9 = 18 a millisecond: 720 after 20 ms.
    let parts = [
        ("s", "steady", none()),
        ("k", "manual", json!({ "schedule": [["00:40", true]] })),
        ("b", "cell", none()),
        ("h", "heater", none()),
        ("l", "lamp", none()),
    ];
    let wires = [
        ("s.out", "k.feed"),
        ("k.out", "b.in"),
        ("b.out", "h.in"),
        ("h.loop", "l.in"),
    ];
    let outcome = run(&plan(&parts, &wires), 1000, &[288, 420]);
    let expected = [
        "288 b output-off",
        "288 h stops",
        "288 l stops",
        "400 k closes",
        "420 b output-on",
        "420 h runs",
        "420 l runs",
        // 2,880 more at 18 − 5 = 13 a millisecond take 221.5 ms.
        "642 b full",
    ];
    assert_eq!(told(&outcome), expected);
    assert_eq!(outcome.moments[0].batteries["b"].level, 360_000);
    assert_eq!(outcome.moments[1].batteries["b"].level, 720_000);
    assert_eq!(outcome.loads["h"], 3 * (288 + 580));
    assert_eq!(outcome.runs["l"], [(0, 288), (420, 1000)]);
    assert_eq!(outcome.sources["s"].0, 20_000);
    // While full it takes ⌈5000 / 900⌉ = 6, which is 400 thousandths a millisecond too much and is lost.
    assert_eq!(
        outcome.batteries["b"],
        (20 * 242 + 6 * 358, 5 * (288 + 580))
    );
    assert_eq!(outcome.levels["b"], 3_600_000);
}

#[test]
fn a_break_relay_keeps_the_lamp_dark_while_its_coil_is_fed() {
    // Common practice, no source. The coil is live from 0, so the break contact opens after the lag of 10 ms; the heater
    // ahead of it on the loop stays on.
    let parts = [
        ("s", "steady", none()),
        ("t", "tap", none()),
        ("b", "cell", none()),
        ("h", "heater", none()),
        ("r", "relay", json!({ "contact": "break" })),
        ("l", "lamp", none()),
    ];
    let wires = [
        ("s.out", "t.in"),
        ("t.tap", "r.coil"),
        ("t.rest", "b.in"),
        ("b.out", "h.in"),
        ("h.loop", "r.feed"),
        ("r.out", "l.in"),
    ];
    let outcome = run(&plan(&parts, &wires), 200, &[]);
    // 1,800 at 19 · 0.9 − 5 = 12.1 for 10 ms, then at 14.1: (1800 − 121) / 14.1 = 119.1.
    assert_eq!(told(&outcome), ["10 r opens", "10 l stops", "130 b full"]);
    assert_eq!(outcome.runs["h"], [(0, 200)]);
}

#[test]
fn a_buzzer_is_held_open_at_its_hundredth_change_until_midnight() {
    let parts = [
        ("s", "steady", none()),
        ("r", "relay", json!({ "contact": "break" })),
        ("l", "lamp", none()),
        ("d", "divider", none()),
    ];
    let wires = [
        ("s.out", "r.feed"),
        ("r.out", "d.in"),
        ("d.out1", "r.coil"),
        ("d.out2", "l.in"),
    ];
    let outcome = run(&plan(&parts, &wires), 14_600, &[]);
    let events = told(&outcome);
    assert_eq!(
        events[..4],
        ["10 r opens", "10 l stops", "20 r closes", "20 l runs"]
    );
    // 99 changes have been told; the 100th would close it.
    assert_eq!(
        events[196..199],
        ["990 r opens", "990 l stops", "1000 r chatters"]
    );
    // Released at midnight, 14,400, its coil dead, it closes after the lag.
    assert_eq!(
        events[199..203],
        [
            "14410 r closes",
            "14410 l runs",
            "14420 r opens",
            "14420 l stops"
        ]
    );
}

#[test]
fn a_flasher_built_from_a_timer_waits_with_nothing_pending() {
    // An on-delay of 100 ms with a break contact in its own feed: closed 100 + lag, open for the lag and so on.
    let parts = [
        ("s", "steady", none()),
        ("d", "divider", none()),
        (
            "f",
            "off-delay",
            json!({ "contact": "break", "delay_s": 0.1 }),
        ),
    ];
    let wires = [
        ("s.out", "f.feed"),
        ("f.out", "d.in"),
        ("d.out1", "f.trigger"),
    ];
    let outcome = run(&plan(&parts, &wires), 14_000, &[]);
    // Live at 0, so it opens at 10; dead then, so Q ends at 110 and it closes at 120, and so on every 120 ms.
    assert_eq!(
        told(&outcome)[..4],
        ["10 f opens", "120 f closes", "130 f opens", "240 f closes"]
    );
    assert!(
        told(&outcome)
            .iter()
            .all(|event| !event.ends_with("chatters"))
    );
}

#[test]
fn wind_is_floored_by_the_hour_with_decimals_as_written() {
    let mut plan = plan(
        &[("s", "wind", none()), ("m", "meter", none())],
        &[("s.out", "m.in")],
    );
    let mut wind = vec![json!(0.7); 24];
    wind[1] = json!(0.69);
    wind[2] = json!(0.6999999999);
    plan["world"]["wind"] = wind.into();
    // 10 · 0.6999999999 is 1e-9 below 7, not less, so it is 6. An hour is 600 ms.
    let outcome = run(&plan, 2000, &[599, 600, 1200, 1800]);
    let offers: Vec<i64> = outcome
        .moments
        .iter()
        .map(|moment| moment.wires["w1"].0)
        .collect();
    assert_eq!(offers, [7, 6, 6, 7]);
}

#[test]
fn clock_times_round_up_and_intervals_go_over_midnight() {
    let parts = [
        ("c", "clock", json!({ "from": "18:00", "to": "06:00" })),
        ("e", "clock", json!({ "from": "06:00", "to": "06:00" })),
        ("k", "manual", json!({ "closed": true, "contact": "break" })),
        (
            "p",
            "button",
            json!({ "presses": ["00:10", "00:20", "01:00"], "hold_s": 0.15 }),
        ),
    ];
    let mut plan = plan(&parts, &[]);
    assert_eq!(
        run(&plan, 14_400, &[]).conducts["c"],
        [(0, 3600), (10_800, 14_400)]
    );
    let outcome = run(&plan, 14_400, &[]);
    assert!(outcome.conducts["e"].is_empty() && outcome.conducts["k"].is_empty());
    assert_eq!(outcome.conducts["p"], [(100, 350), (600, 750)]);
    plan["world"]["day_s"] = json!(7.001);
    // 18:00 is 5,250.75 ms, 06:00 is 1,750.25 ms.
    assert_eq!(
        run(&plan, 7001, &[]).conducts["c"],
        [(0, 1751), (5251, 7001)]
    );
}

#[test]
fn a_switch_keeps_over_midnight_what_the_day_ended_with() {
    let parts = [(
        "k",
        "manual",
        json!({ "closed": true, "schedule": [["20:00", true], ["01:00", false]] }),
    )];
    let outcome = run(&plan(&parts, &[]), 28_800, &[]);
    assert_eq!(
        outcome.conducts["k"],
        [(0, 600), (12_000, 15_000), (26_400, 28_800)]
    );
}

#[test]
fn delays_shorter_than_the_lag_never_show_and_one_as_long_does() {
    // Lag 10: a pulse of 9 ms ends before its change falls due; one of 10 ms ends as it falls due, so it shows for 10.
    for (delay, expected) in [(0.009, vec![]), (0.01, vec![(10, 20)]), (0.0, vec![])] {
        let parts = [
            ("s", "steady", none()),
            ("p", "pulse", json!({ "delay_s": delay })),
        ];
        let outcome = run(&plan(&parts, &[("s.out", "p.trigger")]), 100, &[]);
        assert_eq!(outcome.conducts["p"], expected, "{delay}");
    }
}

#[test]
fn a_charge_contact_turns_at_its_two_levels_after_the_lag() {
    // From 1,800 of 3,600 at 5 a millisecond: 30 % = 1,080 after 144 ms; the contact closes 10 ms later and feeds the
    // battery 20 · 0.9 − 5 = 13 a millisecond from 1,030 up to 70 % = 2,520: 114.6 ms, so 269 + 10.
    let parts = [
        ("s", "steady", none()),
        (
            "c",
            "charge",
            json!({ "watches": "b", "low": 300, "high": 700 }),
        ),
        ("b", "cell", none()),
        ("h", "heater", none()),
        ("l", "lamp", none()),
        (
            "x",
            "charge",
            json!({ "watches": "h", "low": 300, "high": 700, "contact": "break" }),
        ),
    ];
    let wires = [
        ("s.out", "c.feed"),
        ("c.out", "b.in"),
        ("b.out", "h.in"),
        ("h.loop", "l.in"),
    ];
    let outcome = run(&plan(&parts, &wires), 300, &[]);
    assert_eq!(told(&outcome), ["154 c closes", "279 c opens"]);
    assert_eq!(outcome.conducts["x"], [(0, 300)]);
}

/// What flows out of sources and batteries in an instant, and where it goes: batteries, running loads, waste, coils.
fn balance(model: &Model, moment: &Moment) -> (i64, i64) {
    let wire =
        |wire: &Option<usize>| wire.map_or((0, 0), |wire| moment.wires[&model.wires[wire].id]);
    let (mut given, mut used) = (0, 0);
    for part in &model.parts {
        match &part.kind {
            Kind::Source { .. } => given += wire(&part.outputs[0]).1,
            Kind::Battery(_) => {
                given += wire(&part.outputs[0]).1;
                used += wire(&part.inputs[0]).1;
            }
            Kind::Load { draw, .. } if moment.runs[&part.id] => used += draw,
            Kind::Load {
                short: Short::Waste,
                ..
            } => used += wire(&part.inputs[0]).0,
            Kind::Contact { .. } => {
                used += part.inputs[1..]
                    .iter()
                    .map(|port| wire(port).1)
                    .sum::<i64>()
            }
            _ => {}
        }
    }
    (given, used)
}

#[test]
fn in_random_plans_no_wire_takes_more_than_its_offer_and_all_that_is_given_is_used() {
    let mut words = std::collections::BTreeSet::new();
    generate::plans().each(60, |case| {
        let (seed, plan) = (case.seed, &case.document);
        let simple = Simple::new(plan, &Value::Null);
        let at: Vec<i64> = (0..40).map(|i| i * 97).collect();
        let outcome = simple.run(4000, &at);
        for moment in &outcome.moments {
            for (wire, (offer, take)) in &moment.wires {
                assert!(
                    0 <= *take && take <= offer,
                    "seed {seed}, t {}, {wire}: {take} of {offer}",
                    moment.t
                );
            }
            let (given, used) = balance(simple.model(), moment);
            assert_eq!(given, used, "seed {seed}, t {}", moment.t);
        }
        words.extend(outcome.events.iter().map(|event| event.what.word()));
    });
    assert_eq!(words.len(), 8, "every kind of event comes about: {words:?}");
}

/// The first solve of some hundred acyclic plans, against the offers and takes that a script worked out with networkx (its
/// version is in the fixture; the script is beside it).
#[test]
fn the_first_solve_agrees_with_networkx() {
    let fixture: Value =
        serde_json::from_str(include_str!("fixtures/offers_networkx.json")).expect("a fixture");
    for case in fixture["cases"].as_array().expect("cases") {
        let moment = Simple::new(&case["plan"], &Value::Null)
            .run(1, &[0])
            .moments
            .remove(0);
        for (wire, expected) in case["wires"].as_object().expect("wires") {
            let (offer, take) = moment.wires[wire];
            assert_eq!(
                json!([offer, take]),
                *expected,
                "{} {wire}",
                case["plan"]["title"]
            );
        }
    }
}
