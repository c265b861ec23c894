//! Groups of the station and of small plans, and where there is none.

use super::*;

/// The groups of a plan of the book `outpost`, given as ids with types and settings, and wires.
fn groups(parts: &[(&str, &str, Value)], wires: &[&str]) -> (Plan, Vec<PartGroup>) {
    let part =
        |(id, kind, set): &(&str, &str, Value)| json!({ "id": id, "type": kind, "set": set });
    let wire = |(at, wire): (usize, &&str)| {
        let (from, to) = wire.split_once(' ').expect("two ends");
        json!({ "id": format!("w{at}"), "from": from, "to": to })
    };
    let document = json!({
        "format": "duskline/plan", "version": 1, "title": "", "book": "outpost", "world": {},
        "parts": parts.iter().map(part).collect::<Vec<_>>(),
        "wires": wires.iter().enumerate().map(wire).collect::<Vec<_>>(), "duties": [],
    });
    let plan = plan_of(&document);
    let groups = explain(&plan).groups;
    (plan, groups)
}

fn kinds(groups: &[PartGroup]) -> Vec<&'static str> {
    let kind = |group: &PartGroup| match group.kind {
        GroupKind::Bank { .. } => "bank",
        GroupKind::DuskRelay { .. } => "dusk relay",
        GroupKind::Switchover { .. } => "switchover",
        GroupKind::Shares { .. } => "shares",
        GroupKind::Line { .. } => "line",
        GroupKind::SealIn { .. } => "seal-in",
        GroupKind::Command { .. } => "command",
        GroupKind::Float { .. } => "float",
    };
    groups.iter().map(kind).collect()
}

#[test]
fn the_station_s_groups_are_found_from_its_wires() {
    let plan =
        read_plan(include_str!("../../assets/examples/kittiwake-light.json")).expect("a plan");
    let mut renamed = plan.clone();
    renamed
        .parts
        .iter_mut()
        .for_each(|part| part.name = String::new());
    let found = explain(&plan).groups;
    assert_eq!(found, explain(&renamed).groups, "names tell nothing");
    assert_eq!(
        kinds(&found),
        [
            "bank",
            "dusk relay",
            "switchover",
            "shares",
            "shares",
            "shares",
            "line",
            "line",
            "seal-in",
            "command",
            "command"
        ]
    );
    let seal = &found[8];
    assert_eq!(
        seal.kind,
        GroupKind::SealIn {
            contact: "p19".into(),
            over: vec!["p20".into()],
            starts: vec!["p22".into()],
            stops: vec!["p18".into()],
        }
    );
}

#[test]
fn a_group_is_told_only_where_it_is_one() {
    let none = || json!({});
    let parts = |first: &'static str, contact: Value| {
        vec![
            ("a", first, none()),
            ("tap", "tap", none()),
            ("cell", "battery", none()),
            ("relay", "relay", contact),
            ("lamp", "lamp", none()),
        ]
    };
    let wires = [
        "a.out tap.in",
        "tap.tap relay.coil",
        "tap.rest cell.in",
        "cell.out relay.feed",
        "relay.out lamp.in",
    ];
    let breaks = || json!({ "contact": "break" });
    let (_, dusk) = groups(&parts("sun-panel", breaks()), &wires);
    assert_eq!(kinds(&dusk), ["dusk relay"]);
    // A generator gives day and night: then the tap is only what works the relay.
    let (_, steady) = groups(&parts("generator", breaks()), &wires);
    assert_eq!(kinds(&steady), ["command"]);
    // A relay that cuts its own coil off holds nothing.
    let buzzer = [
        ("gen", "generator", none()),
        ("relay", "relay", breaks()),
        ("tap", "tap", none()),
    ];
    let wires = [
        "gen.out relay.feed",
        "relay.out tap.in",
        "tap.tap relay.coil",
    ];
    assert_eq!(kinds(&groups(&buzzer, &wires).1), ["command"]);
    // A relay that only feeds itself is never started.
    let alone = [
        ("gen", "generator", none()),
        ("relay", "relay", none()),
        ("tap", "tap", none()),
    ];
    assert_eq!(kinds(&groups(&alone, &wires).1), ["command"]);
    // Over a busbar a button starts it.
    let started = [
        ("gen", "generator", none()),
        ("two", "divider-2", none()),
        ("push", "button", none()),
        ("bar", "busbar-2", none()),
        ("relay", "relay", none()),
        ("tap", "tap", none()),
        ("lamp", "lamp", none()),
    ];
    let wires = [
        "gen.out two.in",
        "two.out1 push.feed",
        "two.out2 relay.feed",
        "push.out bar.in1",
        "relay.out tap.in",
        "tap.tap bar.in2",
        "bar.out relay.coil",
        "tap.rest lamp.in",
    ];
    let (_, sealed) = groups(&started, &wires);
    assert_eq!(kinds(&sealed), ["shares", "seal-in"]);
    let GroupKind::SealIn {
        over,
        starts,
        stops,
        ..
    } = &sealed[1].kind
    else {
        panic!("a seal-in");
    };
    assert_eq!(
        (over, starts, stops),
        (
            &vec!["tap".into(), "bar".into()],
            &vec!["push".into()],
            &vec![]
        )
    );
    // One source is no bank, and nor is a battery beside a panel.
    let mixed = [
        ("sun", "sun-panel", none()),
        ("cell", "battery", none()),
        ("bar", "busbar-2", none()),
        ("lamp", "lamp", none()),
    ];
    let wires = ["sun.out bar.in1", "cell.out bar.in2", "bar.out lamp.in"];
    assert!(groups(&mixed, &wires).1.is_empty());
    // A charge contact that watches no battery floats on none.
    let float = |watches: &str| {
        let set = json!({ "watches": watches });
        let parts = [
            ("gen", "generator", none()),
            ("float", "charge", set),
            ("cell", "battery", none()),
        ];
        kinds(&groups(&parts, &["gen.out float.feed", "float.out cell.in"]).1)
    };
    assert_eq!(float("cell"), ["float"]);
    assert!(float("gen").is_empty() && float("nobody").is_empty());
}
