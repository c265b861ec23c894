//! Why a duty is broken, to the letter, on plans small enough to see it at a glance.
//!
//! The parts are those of the book `outpost`: generator 20, hand generator 10, lamp 2, heater 3, fan 1, workbench 8,
//! pump 5 (wastes), desalinator 6 (holds back), battery of 60 u·h that goes off at 3 and comes back at 6.

use duskline::plan::{Plan, read_plan};
use duskline::proof::{Cause, causes, check};
use serde_json::{Value, json};

/// A plan from short JSON: parts by name, each a type or `[type, settings, count]`; wires as `"from to"`.
fn plan(parts: Value, wires: &[&str], duties: Value, world: Value) -> Plan {
    let one = |(id, part): (&String, &Value)| match part {
        Value::Array(list) => {
            json!({ "id": id, "name": id, "type": list[0], "set": list.get(1).unwrap_or(&json!({})),
                                      "count": list.get(2).unwrap_or(&json!(1)) })
        }
        kind => json!({ "id": id, "name": id, "type": kind }),
    };
    let parts: Vec<Value> = parts.as_object().expect("parts").iter().map(one).collect();
    let wire = |(at, wire): (usize, &&str)| {
        let (from, to) = wire.split_once(' ').expect("from to");
        json!({ "id": format!("w{}", at + 1), "from": from, "to": to })
    };
    let wires: Vec<Value> = wires.iter().enumerate().map(wire).collect();
    let whole = json!({ "format": "duskline/plan", "version": 1, "book": "outpost", "world": world, "parts": parts,
                        "wires": wires, "duties": duties });
    read_plan(&whole.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn all(plan: &Plan) -> Vec<Cause> {
    let found = causes(plan, &check(plan), &mut |_, _| {});
    found.into_iter().flatten().collect()
}

/// What is said of each gap of a plan whose only duty is the lamp's or that of the part named first in `duty`.
fn said(parts: Value, wires: &[&str], duty: Value) -> Vec<String> {
    let plan = plan(parts, wires, json!([duty]), json!({}));
    all(&plan).iter().map(|c| c.says(&plan)).collect()
}

fn always(part: &str) -> Value {
    json!({ "part": part, "when": "always" })
}

fn hours(part: &str, from: &str, to: &str) -> Value {
    json!({ "part": part, "when": "clock", "from": from, "to": to })
}

fn only(part: &str, from: &str, to: &str) -> Value {
    json!({ "part": part, "when": "clock", "from": from, "to": to, "only": true })
}

/// A shelf battery that a generator charges in the daytime, a heater and a lamp on it.
fn shelf(start: u64, heater: Value) -> Plan {
    plan(
        json!({ "Gen": "generator", "Day": ["time-switch", { "from": "08:00", "to": "18:00" }],
                "Shelf": ["battery", { "start": start }], "Heater": heater, "Lamp": "lamp" }),
        &[
            "Gen.out Day.feed",
            "Day.out Shelf.in",
            "Shelf.out Heater.in",
            "Heater.loop Lamp.in",
        ],
        json!([hours("Lamp", "18:00", "06:00")]),
        json!({}),
    )
}

#[test]
fn an_empty_battery_is_named_with_its_hours_and_what_it_lacks() {
    // 5 u are drawn. At the start 24 u·h less the 3 at which it goes off: flat after 4 h 12 min. Off it gives nothing, so
    // from 08:00 on 18 u·h an hour come in, and the 3 up to its coming back take 10 minutes. To last until 06:00 it lacks
    // 1 h 48 min of 5 u, 9 u·h; the heater draws 3 u, so without it for 3 hours as much is saved. Full at 18:00 it gives
    // 57 u·h, until 05:24, and lacks 36 minutes of 5 u.
    let shelf = shelf(400, json!("heater"));
    let causes = all(&shelf);
    let said: Vec<String> = causes.iter().map(|c| c.says(&shelf)).collect();
    assert_eq!(
        said,
        [
            "Lamp goes dark on day 1 at 04:12: Shelf is empty until 08:10. It needs 9 u·h more, or Heater off for 3 h.",
            "Lamp goes dark on day 2 at 05:24: Shelf is empty until 08:10. It needs 3 u·h more, or Heater off for 1 h.",
        ]
    );
    let parts: Vec<&str> = causes[0].parts.iter().map(|p| p.as_str()).collect();
    let wires: Vec<&str> = causes[0].wires.iter().map(|w| w.as_str()).collect();
    assert_eq!((parts, wires), (vec!["Lamp", "Shelf"], vec!["w4"]));
}

#[test]
fn what_a_battery_is_said_to_lack_is_enough_and_no_less_is() {
    // 9 u·h more are 150 per mille of 60: with them the first night is kept, with 5 per mille less it is not.
    let gaps = |start: u64| check(&shelf(start, json!("heater"))).duties[0].gaps.clone();
    let day = 86_400_000;
    assert!(gaps(400).iter().any(|g| g.to <= day / 4));
    assert!(gaps(545).iter().any(|g| g.to <= day / 4));
    assert!(!gaps(550).iter().any(|g| g.to <= day / 4));
}

#[test]
fn a_night_that_the_end_of_the_check_cuts_off_lacks_as_much_as_any_other() {
    // 11 u are drawn. Full at 18:00 the shelf gives 57 u·h, for 5 h 11 min; until the generator is back at 08:00 it lacks
    // 8 h 49 min of 11 u, 97 u·h. Day 2 ends as day 1 did, so its night goes on as long.
    let mut shelf = shelf(1000, json!(["heater", {}, 3]));
    shelf.duties = vec![
        duskline::plan::Duty {
            when: duskline::plan::When::Always.into(),
            ..shelf.duties[0].clone()
        },
        duskline::plan::Duty {
            part: "Heater".into(),
            ..shelf.duties[0].clone()
        },
    ];
    let said: Vec<String> = all(&shelf).iter().map(|c| c.says(&shelf)).collect();
    let lamp: Vec<&str> = said
        .iter()
        .map(String::as_str)
        .filter(|s| s.starts_with("Lamp"))
        .collect();
    assert_eq!(
        lamp,
        [
            "Lamp goes dark on day 1 at 05:10: Shelf is empty until 08:10. It needs 31 u·h more.",
            "Lamp goes dark on day 1 at 23:10: Shelf is empty until 08:10 the next day. It needs 97 u·h more.",
            "Lamp goes dark on day 2 at 23:10: Shelf is empty until 08:10 the next day. It needs 97 u·h more."
        ]
    );
}

#[test]
fn what_is_not_known_at_the_end_of_a_run_is_not_told() {
    // The weather starts again after 61 days and a check has 60, so that no midnight is known to be as an earlier one.
    let flat = plan(
        json!({ "Cell": ["battery", { "start": 100 }], "Fan": "fan" }),
        &["Cell.out Fan.in"],
        json!([always("Fan")]),
        json!({ "weather": vec![1.0; 61] }),
    );
    assert_eq!(
        all(&flat)[0].says(&flat),
        "Fan stops on day 1 at 03:00: Cell is empty and not back within 68 days."
    );
}

#[test]
fn a_load_that_has_a_duty_of_its_own_is_not_offered_up() {
    let mut shelf = shelf(400, json!("heater"));
    let heater = duskline::plan::Duty {
        part: "Heater".into(),
        ..shelf.duties[0].clone()
    };
    shelf.duties.push(heater);
    assert_eq!(
        all(&shelf)[0].says(&shelf),
        "Lamp goes dark on day 1 at 04:12: Shelf is empty until 08:10. It needs 9 u·h more."
    );
}

#[test]
fn a_load_that_nothing_leads_to_is_told_so() {
    assert_eq!(
        said(json!({ "Lamp": "lamp" }), &[], always("Lamp")),
        ["Lamp is dark from 00:00 to 24:00: no wire leads to it."]
    );
    assert_eq!(
        said(
            json!({ "Meter": "meter", "Lamp": "lamp" }),
            &["Meter.out Lamp.in"],
            always("Lamp")
        ),
        ["Lamp is dark from 00:00 to 24:00: no wire leads to Meter."]
    );
    assert_eq!(
        said(
            json!({ "Split": "divider-2", "Bar": "busbar-2", "Lamp": "lamp" }),
            &[
                "Bar.out Split.in",
                "Split.out1 Bar.in1",
                "Split.out2 Lamp.in"
            ],
            always("Lamp")
        ),
        ["Lamp is dark from 00:00 to 24:00: Split is fed by a closed loop."]
    );
}

#[test]
fn a_source_is_named_with_what_it_gives_and_until_when() {
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel-small", "Fan": "fan" }),
            &["Panel.out Fan.in"],
            hours("Fan", "06:00", "18:00")
        ),
        [
            "Fan does not run from 06:00 to 07:36: Panel gives nothing until 07:36.",
            "Fan stops at 16:23: Panel gives nothing until 07:36 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel-small", "Heater": "heater" }),
            &["Panel.out Heater.in"],
            hours("Heater", "09:00", "12:00")
        ),
        [
            "Heater does not run from 09:00 to 10:34: Panel gives only 2 u until 10:34, 1 u short of the 3 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Mill": "wind-turbine", "Heater": "heater" }),
            &["Mill.out Heater.in"],
            always("Heater")
        ),
        ["Heater does not run from 00:00 to 24:00: Mill never gives enough."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Bank": ["heater", {}, 4] }),
            &["Gen.out Bank.in"],
            always("Bank")
        ),
        [
            "Bank does not run from 00:00 to 24:00: Gen gives 10 u at the most, 2 u short of the 12 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Cell": ["battery", { "start": 900 }], "Bank": ["heater", {}, 7] }),
            &["Cell.out Bank.in"],
            always("Bank")
        ),
        [
            "Bank does not run from 00:00 to 24:00: Cell gives 20 u at the most, 1 u short of the 21 u it draws."
        ]
    );
}

#[test]
fn what_varies_over_a_gap_is_told_from_its_least_to_its_most() {
    // A small turbine of 10 u: 5 u from 04:00, 4 u from 05:00, 3 u from 06:00, 4 u from 08:00, 5 u from 09:00, else 8 u.
    let wind: Vec<f64> = (0..24)
        .map(|hour| match hour {
            4 | 9 => 0.5,
            5 | 8 => 0.4,
            6 | 7 => 0.3,
            _ => 0.8,
        })
        .collect();
    let windy = |from: &str, to: &str| {
        let flood = plan(
            json!({ "Mill": "wind-turbine-small", "Flood": "floodlight" }),
            &["Mill.out Flood.in"],
            json!([hours("Flood", from, to)]),
            json!({ "wind": wind }),
        );
        all(&flood)
            .iter()
            .map(|c| c.says(&flood))
            .collect::<Vec<String>>()
    };
    assert_eq!(
        windy("00:00", "24:00"),
        [
            "Flood goes dark at 04:00: Mill gives only 3 to 5 u until 10:00, 1 to 3 u short of the 6 u it draws."
        ]
    );
    // The duty ends before the wind falls: that it gives 5 u until 10:00 would not be so.
    assert_eq!(
        windy("04:00", "05:00"),
        ["Flood goes dark at 04:00: Mill gives only 5 u, 1 u short of the 6 u it draws."]
    );
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel", "Lamp": "lamp" }),
            &["Panel.out Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 07:12: Panel gives only 0 to 1 u until 07:12, 1 to 2 u short of the 2 u it draws.",
            "Lamp goes dark at 16:47: Panel gives only 0 to 1 u until 07:12 the next day, 1 to 2 u short of the 2 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel", "Over": ["changeover", { "least": 6 }], "Lamp": "lamp" }),
            &["Panel.out Over.main", "Over.out Lamp.in"],
            hours("Lamp", "07:00", "09:00")
        ),
        [
            "Lamp is dark from 07:00 to 08:50: Over is on its backup, which gives nothing, since its main has 1 to 5 u and not 6 u."
        ]
    );
}

#[test]
fn a_battery_that_is_never_charged_is_told_so() {
    assert_eq!(
        said(
            json!({ "Cell": ["battery", { "start": 100 }], "Fan": "fan" }),
            &["Cell.out Fan.in"],
            always("Fan")
        ),
        ["Fan stops on day 1 at 03:00: Cell is empty and stays so. It needs 24 u·h more a day."]
    );
    assert_eq!(
        said(
            json!({ "Cell": ["battery", { "start": 0 }], "Fan": "fan" }),
            &["Cell.out Fan.in"],
            always("Fan")
        ),
        ["Fan does not run from 00:00 to 24:00: Cell is empty and stays so."]
    );
}

#[test]
fn a_battery_that_is_gone_for_good_lacks_so_much_a_day() {
    // The fan runs all day, so that night by night more would be missing; what counts is 24 u·h a day.
    let flat = plan(
        json!({ "Cell": ["battery", { "start": 100 }], "Fan": "fan" }),
        &["Cell.out Fan.in"],
        json!([hours("Fan", "20:00", "22:00")]),
        json!({}),
    );
    let said: Vec<String> = all(&flat).iter().map(|c| c.says(&flat)).collect();
    assert_eq!(
        said[0],
        "Fan does not run from 20:00 on day 1 to 22:00: Cell is empty and stays so. It needs 24 u·h more a day."
    );
}

#[test]
fn what_an_empty_battery_would_add_is_told_where_it_would_be_too_little() {
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Cell": ["battery", { "start": 0 }], "Bar": "busbar-2", "Bank": ["heater", {}, 11] }),
            &["Gen.out Bar.in1", "Cell.out Bar.in2", "Bar.out Bank.in"],
            always("Bank")
        ),
        [
            "Bank does not run from 00:00 to 24:00: only 10 u of 33 u come, and Cell, which would add no more than 20 u, is empty and stays so."
        ]
    );
}

#[test]
fn a_break_contact_that_remembers_is_called_one() {
    assert_eq!(
        logic(
            json!(["impulse", { "contact": "break" }]),
            &[("Push", press(&["08:00", "09:00"]), "trigger")],
            hours("Lamp", "07:00", "10:00")
        ),
        [
            "Lamp goes dark at 08:00: Logic, a break contact, is open as its last impulse, from Push at 08:00, switched it on."
        ]
    );
}

#[test]
fn who_stands_ahead_is_named_with_what_it_takes() {
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Bench": "workbench", "Heater": "heater" }),
            &["Gen.out Bench.in", "Bench.loop Heater.in"],
            always("Heater")
        ),
        [
            "Heater does not run from 00:00 to 24:00: Bench ahead of it takes 8 u of the 10 u that Gen gives, which leaves 2 u of the 3 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Still": ["desalinator", {}, 2], "Lamp": "lamp" }),
            &["Gen.out Still.in", "Still.loop Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Still ahead of it can't run and passes nothing on, because Gen gives 10 u at the most, 2 u short of the 12 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Tap": ["tap", { "amount": 1 }], "Lamp": "lamp" }),
            &["Gen.out Tap.in", "Tap.tap Lamp.in"],
            always("Lamp")
        ),
        ["Lamp is dark from 00:00 to 24:00: Tap sets aside only 1 u of the 2 u it draws."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Tap": ["tap", { "amount": 19 }], "Fan": "fan", "Lamp": "lamp" }),
            &["Gen.out Tap.in", "Tap.tap Fan.in", "Tap.rest Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Tap sets 19 u of the 20 u that Gen gives aside ahead of it, which leaves 1 u of the 2 u it draws."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Split": "divider-4", "A": "fan", "B": "fan", "C": "fan", "Heater": "heater" }),
            &[
                "Gen.out Split.in",
                "Split.out1 A.in",
                "Split.out2 B.in",
                "Split.out3 C.in",
                "Split.out4 Heater.in"
            ],
            always("Heater")
        ),
        [
            "Heater does not run from 00:00 to 24:00: Split gives each of its 4 ways an equal share of the 10 u that Gen gives, here 2 u of the 3 u it draws."
        ]
    );
}

#[test]
fn what_a_busbar_or_changeover_lacks_is_told() {
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Cell": ["battery", { "start": 0 }], "Bar": "busbar-2", "Bank": ["heater", {}, 4] }),
            &["Gen.out Bar.in1", "Cell.out Bar.in2", "Bar.out Bank.in"],
            always("Bank")
        ),
        [
            "Bank does not run from 00:00 to 24:00: only 10 u of 12 u come, since Cell is empty and stays so."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Hand": "hand-generator", "Panel": "sun-panel", "Bar": "busbar-3", "Bank": ["heater", {}, 7] }),
            &[
                "Gen.out Bar.in1",
                "Hand.out Bar.in2",
                "Panel.out Bar.in3",
                "Bar.out Bank.in"
            ],
            hours("Bank", "00:00", "05:00")
        ),
        [
            "Bank does not run from 00:00 to 05:00: Bar has only 20 u of all that comes in, 1 u short of the 21 u it draws, because Panel gives nothing until 06:46."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "hand-generator", "Over": ["changeover", { "least": 11 }], "Lamp": "lamp" }),
            &["Gen.out Over.main", "Over.out Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Over is on its backup, which gives nothing, since its main has 10 u and not 11 u."
        ]
    );
}

#[test]
fn an_open_contact_is_named_with_why_it_is_open_and_until_when() {
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Door": "switch", "Lamp": "lamp" }),
            &["Gen.out Door.feed", "Door.out Lamp.in"],
            always("Lamp")
        ),
        ["Lamp is dark from 00:00 to 24:00: Door is set open."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Door": ["switch", { "contact": "break", "closed": true }], "Lamp": "lamp" }),
            &["Gen.out Door.feed", "Door.out Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Door is open, being a break contact that is set closed."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Dim": "twilight", "Lamp": "lamp" }),
            &["Gen.out Dim.feed", "Dim.out Lamp.in"],
            hours("Lamp", "17:00", "24:00")
        ),
        [
            "Lamp is dark from 17:00 to 17:48: Dim is open while the light is above 0.05, until 17:48."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Clock": ["time-switch", { "from": "19:00", "to": "05:00" }], "Lamp": "lamp" }),
            &["Gen.out Clock.feed", "Clock.out Lamp.in"],
            hours("Lamp", "18:00", "06:00")
        ),
        [
            "Lamp goes dark at 05:00: Clock is open outside its hours, 19:00 to 05:00, until 19:00.",
            "Lamp is dark from 18:00 to 19:00: Clock is open outside its hours, 19:00 to 05:00, until 19:00."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Here": "home", "Heater": "heater" }),
            &["Gen.out Here.feed", "Here.out Heater.in"],
            always("Heater")
        ),
        ["Heater does not run from 00:00 to 24:00: Here is open while nobody is home."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Eye": ["detector", { "times": [["20:00", "20:10"]] }], "Heater": "heater" }),
            &["Gen.out Eye.feed", "Eye.out Heater.in"],
            hours("Heater", "19:00", "20:30")
        ),
        [
            "Heater does not run from 19:00 to 20:00: Eye is open while it sees nobody, until 20:00.",
            "Heater stops at 20:10: Eye is open while it sees nobody, until 20:00 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Cell": ["battery", { "start": 500 }], "Saver": ["charge", { "watches": "Cell", "low": 300, "high": 500, "contact": "break" }], "Heater": "heater" }),
            &["Cell.out Saver.feed", "Saver.out Heater.in"],
            always("Heater")
        ),
        ["Heater stops on day 1 at 04:00: Saver is open until Cell is back at 50 %."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Saver": "charge", "Heater": "heater" }),
            &["Gen.out Saver.feed", "Saver.out Heater.in"],
            always("Heater")
        ),
        ["Heater does not run from 00:00 to 24:00: Saver is open as it watches no battery."]
    );
}

#[test]
fn a_relay_is_followed_to_what_feeds_its_coil() {
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Door": ["switch", { "schedule": [["06:00", true], ["22:00", false]] }], "Relay": "relay", "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Door.feed",
                "Door.out Relay.coil",
                "Split.out2 Relay.feed",
                "Relay.out Lamp.in"
            ],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 06:00: Relay is open as its coil is dead, because Door is set open until 06:00.",
            "Lamp goes dark at 22:00: Relay is open as its coil is dead, because Door is set open until 06:00 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Door": ["switch", { "closed": true }], "Relay": ["relay", { "contact": "break" }], "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Door.feed",
                "Door.out Relay.coil",
                "Split.out2 Relay.feed",
                "Relay.out Lamp.in"
            ],
            always("Lamp")
        ),
        [
            "Lamp goes dark on day 1 at 00:00: Relay is open as its coil is live, because Door is set closed."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Relay": "relay", "Lamp": "lamp" }),
            &["Gen.out Relay.feed", "Relay.out Lamp.in"],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Relay is open as its coil is dead, because no wire leads to the coil of Relay."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-3", "A": ["switch", { "closed": true }], "B": "switch", "Both": "and", "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 A.feed",
                "Split.out2 B.feed",
                "A.out Both.a",
                "B.out Both.b",
                "Split.out3 Both.feed",
                "Both.out Lamp.in"
            ],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Both is open as its second signal is dead, because B is set open."
        ]
    );
}

#[test]
fn timers_latches_and_counters_say_how_far_they_are() {
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Press": ["button", { "presses": ["20:00"], "hold_s": 1 }], "Delay": ["off-delay", { "delay_s": 600 }], "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Press.feed",
                "Press.out Delay.trigger",
                "Split.out2 Delay.feed",
                "Delay.out Lamp.in"
            ],
            hours("Lamp", "20:00", "21:00")
        ),
        [
            "Lamp goes dark at 20:10: Delay is open as its trigger is dead, because Press is open as nobody presses it, until 20:00 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Clock": ["time-switch", { "from": "20:00", "to": "23:00" }], "Delay": ["on-delay", { "delay_s": 600 }], "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Clock.feed",
                "Clock.out Delay.trigger",
                "Split.out2 Delay.feed",
                "Delay.out Lamp.in"
            ],
            hours("Lamp", "20:00", "21:00")
        ),
        ["Lamp is dark from 20:00 to 20:10: Delay is open as it waits until 20:10."]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Clock": ["time-switch", { "from": "20:00", "to": "23:00" }], "Pulse": ["pulse", { "delay_s": 600 }], "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Clock.feed",
                "Clock.out Pulse.trigger",
                "Split.out2 Pulse.feed",
                "Pulse.out Lamp.in"
            ],
            hours("Lamp", "20:00", "21:00")
        ),
        [
            "Lamp goes dark at 20:10: Pulse is open as its pulse ended at 20:10 and its trigger is still live."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-3", "On": ["button", { "presses": ["08:00"], "hold_s": 1 }], "Off": ["button", { "presses": ["20:00"], "hold_s": 1 }], "Latch": "latch", "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 On.feed",
                "On.out Latch.set",
                "Split.out2 Off.feed",
                "Off.out Latch.reset",
                "Split.out3 Latch.feed",
                "Latch.out Lamp.in"
            ],
            hours("Lamp", "12:00", "24:00")
        ),
        [
            "Lamp goes dark at 20:00: Latch is open as Off reset it at 20:00 and nothing has set it since, because On is open as nobody presses it, until 08:00 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Press": ["button", { "presses": ["08:00"], "hold_s": 1 }], "Step": "impulse", "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Press.feed",
                "Press.out Step.trigger",
                "Split.out2 Step.feed",
                "Step.out Lamp.in"
            ],
            hours("Lamp", "12:00", "24:00")
        ),
        [
            "Lamp is dark from 12:00 on day 2 to 24:00: Step is open as its last impulse, from Press on day 2 at 08:00, switched it off again."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Split": "divider-2", "Press": ["button", { "presses": ["08:00"], "hold_s": 1 }], "Count": ["counter", { "target": 2 }], "Lamp": "lamp" }),
            &[
                "Gen.out Split.in",
                "Split.out1 Press.feed",
                "Press.out Count.count",
                "Split.out2 Count.feed",
                "Count.out Lamp.in"
            ],
            hours("Lamp", "12:00", "24:00")
        ),
        [
            "Lamp is dark from 12:00 on day 1 to 24:00: Count is open as it has counted 1 of 2, the last from Press on day 1 at 08:00."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Relay": ["relay", { "contact": "break" }], "Split": "divider-2", "Lamp": "lamp" }),
            &[
                "Gen.out Relay.feed",
                "Relay.out Split.in",
                "Split.out1 Relay.coil",
                "Split.out2 Lamp.in"
            ],
            hours("Lamp", "12:00", "24:00")
        ),
        [
            "Lamp is dark from 12:00 on day 1 to 24:00: Relay chatters and is held open until midnight.",
            "Lamp is dark from 12:00 on day 2 to 24:00: Relay chatters and is held open until midnight."
        ]
    );
}

/// A generator on a divider: the first way feeds a contact called `Logic` with a lamp behind it, the others what is
/// wired to its signals.
fn logic(kind: Value, inputs: &[(&str, Value, &str)], duty: Value) -> Vec<String> {
    let mut parts =
        json!({ "Gen": "generator", "Split": "divider-4", "Logic": kind, "Lamp": "lamp" });
    let mut wires: Vec<String> = [
        "Gen.out Split.in",
        "Split.out1 Logic.feed",
        "Logic.out Lamp.in",
    ]
    .map(String::from)
    .into();
    for (at, (name, part, port)) in inputs.iter().enumerate() {
        parts[*name] = part.clone();
        wires.push(format!("Split.out{} {name}.feed", at + 2));
        wires.push(format!("{name}.out Logic.{port}"));
    }
    let wires: Vec<&str> = wires.iter().map(String::as_str).collect();
    said(parts, &wires, duty)
}

fn press(at: &[&str]) -> Value {
    json!(["button", { "presses": at, "hold_s": 1 }])
}

fn open_from(from: &str, to: &str) -> Value {
    json!(["time-switch", { "from": from, "to": to }])
}

#[test]
fn an_impulse_is_told_with_who_gave_it_and_when() {
    assert_eq!(
        logic(
            json!("impulse"),
            &[("Push", press(&["08:00", "09:00"]), "trigger")],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 08:00: Logic is open as no impulse has switched it on yet, because Push is open as nobody presses it, until 08:00.",
            "Lamp goes dark at 09:00: Logic is open as its last impulse, from Push at 09:00, switched it off again."
        ]
    );
    assert_eq!(
        logic(
            json!("impulse"),
            &[("Push", press(&["08:00", "09:00"]), "trigger")],
            only("Lamp", "12:00", "12:00")
        ),
        [
            "Lamp runs from 08:00 to 09:00 though it should be off: Logic is closed as its last impulse, from Push at 08:00, switched it on."
        ]
    );
}

#[test]
fn a_counter_is_told_with_who_makes_it_count_and_when() {
    assert_eq!(
        logic(
            json!("counter"),
            &[
                ("Push", press(&["08:00", "09:00"]), "count"),
                ("Back", press(&["23:00"]), "reset")
            ],
            hours("Lamp", "06:00", "20:00")
        ),
        [
            "Lamp is dark from 06:00 to 20:00: for 12 h of it, Logic is open as it has counted 1 to 2 of 3, the last from Push at 09:00; for 2 h of it, Logic is open as it has counted 0 of 3, because Push is open as nobody presses it, until 08:00."
        ]
    );
    assert_eq!(
        logic(json!("counter"), &[], hours("Lamp", "06:00", "20:00")),
        [
            "Lamp is dark from 06:00 to 20:00: Logic is open as it has counted 0 of 3, because no wire leads to the count of Logic."
        ]
    );
}

#[test]
fn a_latch_is_told_with_who_turned_it_and_when() {
    assert_eq!(
        logic(
            json!("latch"),
            &[
                ("On", press(&["08:00"]), "set"),
                ("Off", press(&["20:00"]), "reset")
            ],
            only("Lamp", "08:00", "19:00")
        ),
        [
            "Lamp runs from 19:00 to 20:00 though it should be off: Logic is closed as On set it at 08:00 and nothing has reset it since, because Off is open as nobody presses it, until 20:00."
        ]
    );
    assert_eq!(
        logic(
            json!("latch"),
            &[("On", json!("switch"), "set")],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Logic is open as nothing has set it yet, because On is set open."
        ]
    );
}

#[test]
fn all_dead_signals_are_named_and_the_whole_gap_is_accounted_for() {
    assert_eq!(
        logic(
            json!("and"),
            &[
                ("A_hours", open_from("10:00", "12:00"), "a"),
                ("B_hours", open_from("11:00", "13:00"), "b")
            ],
            hours("Lamp", "00:00", "12:00")
        ),
        [
            "Lamp is dark from 00:00 to 11:00: for 10 h of it, Logic is open as both its signals are dead, because A_hours is open outside its hours, 10:00 to 12:00, until 10:00, and because B_hours is open outside its hours, 11:00 to 13:00, until 11:00; for 1 h of it, Logic is open as its second signal is dead, because B_hours is open outside its hours, 11:00 to 13:00, until 11:00."
        ]
    );
    assert_eq!(
        logic(
            json!("or"),
            &[("A", json!("switch"), "a"), ("B", json!("switch"), "b")],
            always("Lamp")
        ),
        [
            "Lamp is dark from 00:00 to 24:00: Logic is open as both its signals are dead, because A is set open, and because B is set open."
        ]
    );
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel", "Mill": ["switch"], "Gen": "generator", "Bar": "busbar-2", "Lamp": "lamp" }),
            &[
                "Panel.out Bar.in1",
                "Gen.out Mill.feed",
                "Mill.out Bar.in2",
                "Bar.out Lamp.in"
            ],
            hours("Lamp", "00:00", "05:00")
        ),
        [
            "Lamp is dark from 00:00 to 05:00: nothing comes to Bar, because Panel gives nothing until 06:46, and because Mill is set open."
        ]
    );
    // The way that has no wire is not that of the panel.
    assert_eq!(
        said(
            json!({ "Panel": "sun-panel", "Meter": "meter", "Bar": "busbar-2", "Lamp": "lamp" }),
            &["Panel.out Bar.in1", "Meter.out Bar.in2", "Bar.out Lamp.in"],
            hours("Lamp", "00:00", "05:00")
        ),
        [
            "Lamp is dark from 00:00 to 05:00: nothing comes to Bar, because Panel gives nothing until 06:46, and because no wire leads to Meter."
        ]
    );
}

#[test]
fn a_gap_with_two_reasons_tells_for_how_long_each_holds() {
    assert_eq!(
        said(
            json!({ "Cell": ["battery", { "start": 84 }], "Clock": ["time-switch", { "from": "19:00", "to": "05:00" }], "Lamp": "lamp" }),
            &["Cell.out Clock.feed", "Clock.out Lamp.in"],
            hours("Lamp", "18:00", "22:00")
        ),
        [
            "Lamp is dark from 18:00 on day 1 to 22:00: for 3 h of it, Cell is empty and stays so; for 1 h of it, Clock is open outside its hours, 19:00 to 05:00, until 19:00.",
            "Lamp is dark from 18:00 on day 2 to 22:00: for 3 h of it, Cell is empty and stays so; for 1 h of it, Clock is open outside its hours, 19:00 to 05:00, until 19:00."
        ]
    );
}

#[test]
fn a_load_that_wrongly_runs_is_told_with_what_lets_it() {
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Clock": ["time-switch", { "from": "19:00", "to": "05:00" }], "Lamp": "lamp" }),
            &["Gen.out Clock.feed", "Clock.out Lamp.in"],
            only("Lamp", "20:00", "04:00")
        ),
        [
            "Lamp runs from 04:00 to 05:00 though it should be off: Clock is closed within its hours, 19:00 to 05:00, until 05:00.",
            "Lamp runs from 19:00 to 20:00 though it should be off: Clock is closed within its hours, 19:00 to 05:00, until 05:00 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Lamp": "lamp" }),
            &["Gen.out Lamp.in"],
            only("Lamp", "20:00", "04:00")
        ),
        [
            "Lamp runs from 04:00 to 20:00 though it should be off: no contact stands between it and Gen."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Panel": "sun-panel-small", "Dusk": ["relay", { "contact": "break" }], "Lamp": "lamp" }),
            &[
                "Gen.out Dusk.feed",
                "Panel.out Dusk.coil",
                "Dusk.out Lamp.in"
            ],
            only("Lamp", "19:00", "05:00")
        ),
        [
            "Lamp runs from 05:00 to 07:36 though it should be off: Dusk is closed as its coil is dead, because Panel gives nothing until 07:36.",
            "Lamp runs from 16:23 to 19:00 though it should be off: Dusk is closed as its coil is dead, because Panel gives nothing until 07:36 the next day."
        ]
    );
    assert_eq!(
        said(
            json!({ "Gen": "generator", "Panel": "sun-panel-small", "Day": "relay", "Fan": "fan" }),
            &["Gen.out Day.feed", "Panel.out Day.coil", "Day.out Fan.in"],
            only("Fan", "11:00", "14:00")
        ),
        [
            "Fan runs from 07:36 to 11:00 though it should be off: Day is closed as its coil is live, because Panel gives 1 to 3 u.",
            "Fan runs from 14:00 to 16:23 though it should be off: Day is closed as its coil is live, because Panel gives 1 to 2 u."
        ]
    );
}

#[test]
fn other_names_leave_causes_as_they_are_and_are_told_in_their_words() {
    let shelf = shelf(400, json!("heater"));
    let mut renamed = shelf.clone();
    for part in 0..renamed.parts.len() {
        renamed.parts[part].name = format!("Thing {part}");
    }
    assert_eq!(check(&renamed), check(&shelf));
    let before = all(&shelf);
    assert_eq!(all(&renamed), before);
    let lamp = shelf.part_place(&"Lamp".into()).expect("a lamp");
    for cause in before {
        let (old, new) = (cause.says(&shelf), cause.says(&renamed));
        assert!(old.starts_with("Lamp "), "{old}");
        assert!(new.starts_with(&format!("Thing {lamp} ")), "{new}");
        assert!(!new.contains("Shelf") && !new.contains("Heater"), "{new}");
    }
}
