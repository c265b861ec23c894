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
        ["line 1, column 1: found EOF while parsing an object, expected JSON"]
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
    assert_eq!(rest.faults.len(), 2);
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
    assert!(seen >= 3);
}
