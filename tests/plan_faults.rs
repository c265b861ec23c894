//! What a damaged plan is told, to the letter, and what of it can be had all the same.

use duskline::plan::{Plan, read_plan, salvage};
use duskline::read::FaultKind;

fn plan(rest: &str) -> String {
    format!(r#"{{"format": "duskline/plan", "version": 1, "book": "outpost", {rest}}}"#)
}

/// The faults of a plan, as they are told.
fn faults(text: &str) -> Vec<String> {
    read_plan(text)
        .unwrap_err()
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn what_is_no_plan_is_told_so() {
    assert_eq!(
        faults("{"),
        ["line 1, column 1: found the end of the text, expected the rest of an object"]
    );
    assert_eq!(
        faults("[]"),
        ["plan: found a list of 0, expected an object"]
    );
    assert_eq!(
        faults("{}"),
        ["format: found nothing, expected \"duskline/plan\""]
    );
    assert_eq!(
        faults(r#"{"format": "notes"}"#),
        ["format: found \"notes\", expected \"duskline/plan\""]
    );
    assert_eq!(
        faults(r#"{"format": "duskline/plan"}"#),
        ["version: found nothing, expected 1"]
    );
    assert_eq!(
        faults(r#"{"format": "duskline/plan", "version": "1"}"#),
        ["version: found \"1\", expected 1"]
    );
    assert_eq!(
        faults(r#"{"format": "duskline/plan", "version": 1.5}"#),
        ["version: found 1.5, expected 1"]
    );
}

#[test]
fn a_whole_number_may_be_written_with_a_point() {
    let text = r#"{"format": "duskline/plan", "version": 1.0, "book": "outpost",
        "parts": [{"id": "p1", "type": "lamp", "count": 2.0}]}"#;
    assert_eq!(read_plan(text).unwrap().parts[0].count, 2);
    let newer = read_plan(r#"{"format": "duskline/plan", "version": 2.0}"#).unwrap_err();
    assert_eq!(newer[0].kind, FaultKind::Newer);
}

#[test]
fn a_newer_version_is_refused_with_what_to_do() {
    let newer = read_plan(r#"{"format": "duskline/plan", "version": 2, "parts": 7}"#).unwrap_err();
    assert_eq!(newer[0].kind, FaultKind::Newer);
    let said =
        "version: found 2, expected 1; this plan was made by a newer Duskline: update this one";
    assert_eq!(newer[0].to_string(), said);
}

#[test]
fn each_fault_names_its_place_what_stands_there_and_what_was_expected() {
    let rows = [
        (r#""title": 7"#, "title: found 7, expected a text"),
        (r#""parts": {}"#, "parts: found an object, expected a list"),
        (r#""parts": [7]"#, "parts[0]: found 7, expected an object"),
        (
            r#""parts": [{"type": "lamp"}]"#,
            "parts[0].id: found nothing, expected a text",
        ),
        (
            r#""parts": [{"id": "p1", "type": "foghorn"}]"#,
            "parts[0].type: found \"foghorn\", expected a part type of the book",
        ),
        (
            r#""parts": [{"id": "p1", "type": "lamp", "count": 0}]"#,
            "parts[0].count: found 0, expected a whole number from 1 to 100000",
        ),
        (
            r#""parts": [{"id": "p1", "type": "lamp"}, {"id": "p1", "type": "lamp"}]"#,
            "parts[1].id: found \"p1\" a second time, expected an id of its own",
        ),
        (
            r#""parts": [{"id": "p1", "type": "tap", "set": {"amount": "much"}}]"#,
            "parts[0].set.amount: found \"much\", expected a whole number from 0 to 1000000000",
        ),
        (
            r#""parts": [{"id": "p1", "type": "lamp", "at": [1]}]"#,
            "parts[0].at: found a list of 1, expected [x, y], two numbers from -1000000 to 1000000",
        ),
        (
            r#""parts": [{"id": "p1", "type": "lamp", "at": [1, "left"]}]"#,
            "parts[0].at[1]: found \"left\", expected a number from -1000000 to 1000000",
        ),
        (
            r#""wires": [{"id": "w1", "from": "p1.out", "to": "p2.in"}]"#,
            "wires[0].from: found \"p1.out\", a part that is not there, expected an output port, as \"part.port\"",
        ),
        (
            r#""world": {"wind": [1, 2]}"#,
            "world.wind: found 2 values, expected 24 values, one an hour of the dial",
        ),
        (
            r#""world": {"sky": {"rise": "09:00", "set": "08:00", "rise_azimuth": 90, "highest": 40}}"#,
            "world.sky.set: found 08:00, expected later than rise, which is 09:00",
        ),
        (
            r#""duties": [{"part": "p9", "when": "dark"}]"#,
            "duties[0].part: found \"p9\", expected the id of a load of the plan",
        ),
    ];
    for (rest, said) in rows {
        assert_eq!(faults(&plan(rest))[0], said, "{rest}");
    }
}

/// The faults of a plan of one part with these settings.
fn of_set(kind: &str, set: &str) -> Vec<String> {
    faults(&plan(&format!(
        r#""parts": [{{"id": "p1", "type": "{kind}", "set": {set}}}]"#
    )))
}

#[test]
fn in_a_list_it_is_the_entry_that_is_named() {
    assert_eq!(
        of_set(
            "switch",
            r#"{"schedule": [["07:00", true], ["25:00", false], ["08:00", 1], ["08:00"], 7]}"#
        ),
        [
            "parts[0].set.schedule[1][0]: found \"25:00\", expected a clock time from 00:00 to 24:00",
            "parts[0].set.schedule[2][1]: found 1, expected true or false",
            "parts[0].set.schedule[3]: found a list of 1, expected [clock time, true or false]",
            "parts[0].set.schedule[4]: found 7, expected [clock time, true or false]",
        ]
    );
    assert_eq!(
        of_set("switch", r#"{"schedule": "07:00"}"#),
        ["parts[0].set.schedule: found \"07:00\", expected a list of [clock time, true or false]"]
    );
    assert_eq!(
        of_set("button", r#"{"presses": ["07:00", 8]}"#),
        ["parts[0].set.presses[1]: found 8, expected a clock time from 00:00 to 24:00"]
    );
    assert_eq!(
        of_set("detector", r#"{"times": [["07:00", "late"], ["07:00"]]}"#),
        [
            "parts[0].set.times[0][1]: found \"late\", expected a clock time from 00:00 to 24:00",
            "parts[0].set.times[1]: found a list of 1, expected [from, to], two clock times",
        ]
    );
    assert_eq!(
        faults(&plan(
            r#""world": {"home": [["07:00", "08:00"], ["7", "08:00"], "noon"]}"#
        )),
        [
            "world.home[1][0]: found \"7\", expected a clock time from 00:00 to 24:00",
            "world.home[2]: found \"noon\", expected [from, to], two clock times",
        ]
    );
}

#[test]
fn a_wind_with_one_bad_value_has_all_the_others_still() {
    let wind = |values: &[&str]| {
        faults(&plan(&format!(
            r#""world": {{"wind": [{}]}}"#,
            values.join(", ")
        )))
    };
    let mut values = ["1"; 24];
    values[23] = "-1";
    let bad = "world.wind[23]: found -1, expected a number from 0 to 1000";
    assert_eq!(wind(&values), [bad]);
    let short = "world.wind: found 23 values, expected 24 values, one an hour of the dial";
    assert_eq!(wind(&values[..23]), [short]);
}

#[test]
fn what_an_arc_lacks_is_missing() {
    let text = plan(r#""world": {"sky": {"rise": "06:00", "rise_azimuth": 90, "highest": 40}}"#);
    let missing = read_plan(&text).unwrap_err();
    assert_eq!(missing[0].kind, FaultKind::Missing);
    assert_eq!(
        faults(&text),
        ["world.sky.set: found nothing, expected a clock time from 00:00 to 24:00"]
    );
}

const CHAIN: &str = r#"
    "parts": [{"id": "p1", "type": "generator"}, {"id": "p2", "type": "lamp"}, {"id": "p3", "type": "lamp"}],
    "wires": [{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p2.loop", "to": "p3.in"}],
    "duties": [{"part": "p3", "when": "always"}]"#;

#[test]
fn a_book_that_can_not_be_read_is_told_and_not_each_part() {
    let told = |book: &str| {
        faults(&format!(
            r#"{{"format": "duskline/plan", "version": 1, "book": {book}, {CHAIN}}}"#
        ))
    };
    assert_eq!(
        told(r#"{"types": [{"type": "lamp", "behaviour": "load", "draw": 0}]}"#),
        ["book.types[0].draw: found 0, expected a whole number from 1 to 1000000000"]
    );
    assert_eq!(
        told("\"outpots\""),
        [
            "book: found \"outpots\", expected a whole book or the name of a built-in one: outpost, harbour, bare"
        ]
    );
    // One wrong word is one fault, and what hangs on the step is not judged without it.
    assert_eq!(
        told(
            r#"{"step": 0, "types": [
                {"type": "lamp", "behaviour": "load", "draw": 1, "short": "drop"}, {"type": "x"},
                {"type": "cell", "behaviour": "battery", "capacity": 1e-9, "max_in": 1, "max_out": 1,
                 "efficiency": 1000, "cut_out": 0, "cut_in": 1},
                {"type": "charge", "behaviour": "contact", "function": "charge", "set": {"low": 5, "high": 5}}]}"#
        ),
        [
            "book.step: found 0, expected a number from 0.000001 to 1000000000",
            "book.types[0].short: found \"drop\", expected one of pass, hold, waste",
            "book.types[1].behaviour: found nothing, expected one of source, battery, load, tap, divider, busbar, changeover, meter, contact",
            "book.types[3].set.high: found 5, expected more than low, which is 5",
        ]
    );
}

#[test]
fn what_is_wrong_with_a_part_whatever_its_type_is_told_without_a_book_too() {
    let text = r#"{"format": "duskline/plan", "version": 1, "book": 7, "parts": [
        {"id": "p1", "type": "lamp", "count": 0}, {"id": "p1", "type": "lamp"}, {"id": "p2"}],
        "wires": [{"id": "w1", "from": "p1.out", "to": "p9.in"}]}"#;
    assert_eq!(
        faults(text),
        [
            "book: found 7, expected a whole book or the name of a built-in one: outpost, harbour, bare",
            "parts[0].count: found 0, expected a whole number from 1 to 100000",
            "parts[1].id: found \"p1\" a second time, expected an id of its own",
            "parts[2].type: found nothing, expected a text",
            "wires[0].to: found \"p9.in\", a part that is not there, expected an input port, as \"part.port\"",
        ]
    );
}

#[test]
fn what_is_lost_with_a_part_is_no_fault() {
    let sound = plan(CHAIN);
    assert!(read_plan(&sound).is_ok());
    let unknown = sound.replace(
        r#""id": "p3", "type": "lamp""#,
        r#""id": "p3", "type": "lmp""#,
    );
    assert_eq!(
        faults(&unknown),
        ["parts[2].type: found \"lmp\", expected a part type of the book"]
    );
    let rest = salvage(&unknown).unwrap().plan;
    assert_eq!(
        (rest.parts.len(), rest.wires.len(), rest.duties.len()),
        (2, 1, 0)
    );
    let no_list = sound.replace(r#""parts": ["#, r#""parts": 7, "pieces": ["#);
    assert_eq!(faults(&no_list), ["parts: found 7, expected a list"]);
}

#[test]
fn an_end_and_a_duty_say_what_they_found() {
    let parts =
        r#""parts": [{"id": "p1", "type": "generator"}, {"id": "p2", "type": "divider-2"}]"#;
    let wire = |from: &str, to: &str| {
        faults(&plan(&format!(
            r#"{parts}, "wires": [{{"id": "w1", "from": {from}, "to": {to}}}]"#
        )))
    };
    assert_eq!(
        wire("\"p2.in\"", "\"p2.out1\""),
        [
            "wires[0].from: found \"p2.in\", an input port, expected an output port, as \"part.port\"",
            "wires[0].to: found \"p2.out1\", an output port, expected an input port, as \"part.port\"",
        ]
    );
    assert_eq!(
        wire("\"p2.out3\"", "\"p1.in\""),
        [
            "wires[0].from: found \"p2.out3\", a port that is not there, expected an output port of p2: out1, out2",
            "wires[0].to: found \"p1.in\", a port that is not there, expected an input port of a part; p1 has none",
        ]
    );
    assert_eq!(
        wire("7", "\"p2\""),
        [
            "wires[0].from: found 7, expected an output port, as \"part.port\"",
            "wires[0].to: found \"p2\", expected an input port, as \"part.port\"",
        ]
    );
    let duty = |duty: &str| faults(&plan(&format!(r#"{parts}, "duties": [{duty}]"#)));
    assert_eq!(
        duty(r#"{"part": "p1", "when": 7, "only": 1}"#),
        [
            "duties[0].part: found \"p1\", a source, expected the id of a load of the plan",
            "duties[0].when: found 7, expected one of always, dark, light, home, away, clock, or a list of these",
            "duties[0].only: found 1, expected true or false",
        ]
    );
    assert_eq!(
        duty(r#"{"part": "p9", "when": "clock", "from": 7}"#)[1..],
        [
            "duties[0].from: found 7, expected a clock time from 00:00 to 24:00",
            "duties[0].to: found nothing, expected a clock time from 00:00 to 24:00",
        ]
    );
    let when = |when: &str| duty(&format!(r#"{{"part": "p9", "when": {when}}}"#))[1..].to_vec();
    assert_eq!(
        when(r#""dusk""#),
        [
            "duties[0].when: found \"dusk\", expected one of always, dark, light, home, away, clock, or a list of these",
        ]
    );
    assert_eq!(
        when("[]"),
        [
            "duties[0].when: found an empty list, expected at least one of always, dark, light, home, away, clock",
        ]
    );
    assert_eq!(
        when(r#"["dark", "dusk", "dark", 7, "clock"]"#),
        [
            "duties[0].when[1]: found \"dusk\", expected one of always, dark, light, home, away, clock",
            "duties[0].when[2]: found \"dark\" a second time, expected each condition once",
            "duties[0].when[3]: found 7, expected one of always, dark, light, home, away, clock",
            "duties[0].from: found nothing, expected a clock time from 00:00 to 24:00",
            "duties[0].to: found nothing, expected a clock time from 00:00 to 24:00",
        ]
    );
}

#[test]
fn levels_in_the_wrong_order_are_told_where_the_part_gives_them_and_the_rest_is_sound() {
    let high = of_set("charge", r#"{"low": 600, "high": 500}"#);
    assert_eq!(
        high,
        ["parts[0].set.high: found 500, expected more than low, which is 600"]
    );
    let low = of_set("charge", r#"{"low": 600}"#);
    assert_eq!(
        low,
        ["parts[0].set.low: found 600, expected less than high, which is 400"]
    );
    let bad = of_set("charge", r#"{"low": "x", "high": 100}"#);
    assert_eq!(
        bad,
        ["parts[0].set.low: found \"x\", expected a whole number from 0 to 1000"]
    );
    let text = plan(r#""parts": [{"id": "p1", "type": "charge", "set": {"low": 600}}]"#);
    let rest = salvage(&text).unwrap().plan;
    assert!(read_plan(&rest.print()).is_ok());
}

#[test]
fn a_port_takes_one_wire() {
    let text = plan(
        r#""parts": [{"id": "p1", "type": "meter"}, {"id": "p2", "type": "meter"}, {"id": "p3", "type": "meter"}],
           "wires": [{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p1.out", "to": "p3.in"}]"#,
    );
    let said = "wires[1].from: found \"p1.out\", which wire w1 has taken, expected a port of its own; a port takes one wire";
    assert_eq!(faults(&text), [said]);
}

#[test]
fn the_sound_rest_of_a_damaged_plan_can_be_had() {
    let text = plan(
        r#""parts": [{"id": "p1", "type": "meter"}, {"id": "p2", "type": "nothing"}, {"id": "p3", "type": "lamp"}],
           "wires": [{"id": "w1", "from": "p1.out", "to": "p2.in"}, {"id": "w2", "from": "p1.out", "to": "p3.in"}]"#,
    );
    let rest = salvage(&text).unwrap();
    let told: Vec<&str> = rest.faults.iter().map(|f| f.place.as_str()).collect();
    assert_eq!(told, ["parts[1].type"], "the wire is lost with its part");
    assert_eq!((rest.plan.parts.len(), rest.plan.wires.len()), (2, 1));
    assert!(read_plan(&rest.plan.print()).is_ok());
}

#[test]
fn fields_that_nobody_knows_are_kept() {
    let text = plan(
        r#""colour": "grey", "world": {"tide": 4, "sky": {"latitude": 56, "mist": true}},
           "parts": [{"id": "p1", "type": "lamp", "weight": 3, "set": {"glow": 1}}], "wires": [],
           "duties": [{"part": "p1", "when": "dark", "since": "long"}]"#,
    );
    let plan: Plan = read_plan(&text).unwrap();
    let value = plan.to_value();
    assert_eq!(value["colour"], "grey");
    assert_eq!(value["world"]["tide"], 4);
    assert_eq!(value["world"]["sky"]["mist"], true);
    assert_eq!(value["parts"][0]["weight"], 3);
    assert_eq!(value["parts"][0]["set"]["glow"], 1);
    assert_eq!(value["duties"][0]["since"], "long");
    assert_eq!(read_plan(&plan.print()).unwrap(), plan);
}

#[test]
fn every_example_reads_without_a_fault_and_runs() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/examples");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let plan = read_plan(&text).unwrap_or_else(|f| panic!("{}: {f:?}", path.display()));
        let instant = duskline::run::at(&plan, plan.world.day_ms() / 2);
        let errors: Vec<_> = instant
            .problems
            .iter()
            .filter(|p| p.kind.code() == "closed-loop")
            .collect();
        assert!(errors.is_empty(), "{}: {errors:?}", path.display());
        assert!(
            instant.wires.iter().any(|w| w.take > 0),
            "{} carries nothing at noon",
            path.display()
        );
        assert!(
            duskline::run::run(&plan, 2).complete,
            "{} does not run",
            path.display()
        );
        seen += 1;
    }
    assert_eq!(seen, duskline::plan::examples().len());
}

#[test]
fn a_book_may_call_its_stages_by_their_old_name_but_not_by_both() {
    let text = |numbers: &str| {
        format!(
            r#"{{ "format": "duskline/plan", "version": 1, "parts": [], "wires": [], "book": {{ "name": "quay", "types": [
                {{ "type": "lamp", "label": "Lamp", {numbers} "behaviour": "load", "draw": 2 }} ] }} }}"#
        )
    };
    let stage = |plan: &duskline::plan::Plan| plan.book.book.types[0].stage;
    let old = read_plan(&text(r#""tier": 3,"#)).unwrap();
    let new = read_plan(&text(r#""stage": 3,"#)).unwrap();
    assert_eq!((stage(&old), stage(&new)), (3, 3));
    // It is written by its new name, in the old one's place.
    assert_eq!(old.print(), new.print());
    assert!(new.print().contains(r#""stage": 3"#));
    let link = duskline::plan::link::to_fragment(&old);
    assert_eq!(link, duskline::plan::link::to_fragment(&new));
    let faults = read_plan(&text(r#""tier": 3, "stage": 3,"#)).unwrap_err();
    let said: Vec<String> = faults.iter().map(|f| f.to_string()).collect();
    assert_eq!(
        said,
        ["book.types[0].tier: found the old name of stage beside it, expected stage alone"]
    );
    let faults = read_plan(&text(r#""stage": -1,"#)).unwrap_err();
    assert_eq!(
        faults[0].to_string(),
        "book.types[0].stage: found -1, expected a whole number from 0 to 1000"
    );
}

#[test]
fn findings_that_are_meant_so_name_a_kind_and_a_part_once() {
    let parts = r#""parts": [{"id": "p1", "type": "lamp"}]"#;
    let meant = |entry: &str| faults(&plan(&format!(r#"{parts}, "meant": [{entry}]"#)));
    let kinds = "reachable-switch, single-point, never-full, full, spilled, needless, lost-share, wide-tap, plain-loop";
    assert_eq!(
        meant(r#"{"finding": "odd", "part": "p1"}"#),
        [format!(
            "meant[0].finding: found \"odd\", expected one of {kinds}"
        )]
    );
    assert_eq!(
        meant(r#"{"finding": "duty-broken", "part": "p1"}"#),
        [format!(
            "meant[0].finding: found \"duty-broken\", expected one of {kinds}"
        )]
    );
    assert_eq!(
        meant(r#"{"finding": "full", "part": "p2"}"#),
        ["meant[0].part: found \"p2\", expected the id of a part of the plan"]
    );
    let twice = r#"{"finding": "full", "part": "p1"}"#;
    assert_eq!(
        meant(&format!("{twice}, {twice}")),
        ["meant[1]: found full of \"p1\" a second time, expected each finding of a part once"]
    );
    // What is said of a part that could not be read goes with it.
    let lost = r#""parts": [{"id": "p1", "type": "nothing"}], "meant": [{"finding": "full", "part": "p1"}]"#;
    assert_eq!(faults(&plan(lost)).len(), 1);
}
