//! Plans in their sites: what the program brings along goes, and everything follows the guide to the millimetre.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Edit, Plan, examples, read_plan};
use duskline::read::Place;
use duskline::site::{Edge, Face, READY, Route, Router, Site, Surface, read_site, ready_site};
use duskline::works::{HiddenRun, OnSite};
use serde_json::Value;
use std::collections::BTreeSet;

fn example(title: &str) -> Plan {
    let (_, text) = examples().iter().find(|(name, _)| *name == title).unwrap();
    read_plan(text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[test]
fn kittiwake_light_stands_whole_in_its_site() {
    let plan = example("Kittiwake Light");
    let on_site = OnSite::of(&plan).expect("it has a site");
    assert!(plan.parts.iter().all(|part| part.hangs.is_some()));
    let said: Vec<String> = on_site.problems().iter().map(|p| p.said(&plan)).collect();
    assert_eq!(said, Vec::<String>::new());
    assert_eq!(on_site.length().without, 0, "every wire has a run");
    for wire in &plan.wires {
        let run = on_site.run_of(&wire.id).unwrap();
        let route = run.route.as_ref().unwrap();
        assert!(route.length_mm > 0 && !on_site.said(&wire.id).is_empty());
    }
}

#[test]
fn every_ready_site_is_read_whole_and_all_of_it_hangs_together() {
    for (name, text) in READY {
        let value = serde_json::from_str(text).unwrap();
        let mut faults = Vec::new();
        let site = read_site(&value, &Place::root("site"), &mut faults).unwrap();
        assert_eq!(faults, [], "{name}");
        assert_eq!(Some(&site), ready_site(name).as_ref());
        assert_eq!(site.to_value(), value, "{name} is written as it is read");
        let router = Router::new(site.clone().into());
        let floors = site.faces().filter(|face| face.surface == Surface::Floor);
        let faces: Vec<Face> = floors.collect();
        for face in &faces {
            assert!(
                router.route(faces[0], &[], *face).is_some(),
                "{name}: no way to {face}"
            );
        }
    }
}

/// What a run counts, in hundredths of a millimetre, by the guide: each length with what is more on it, and the corners.
fn counts(site: &Site, router: &Router, route: &Route) -> u64 {
    let by = site.priorities;
    let is_open = |face: Face| {
        let walls = Surface::WALLS;
        let mut edges = walls
            .iter()
            .map(|wall| site.edge(face.storey, face.x, face.y, *wall));
        matches!(face.surface, Surface::Floor | Surface::Ceiling) && !edges.any(|e| e == Edge::Wall)
    };
    let more = |face: Face| {
        let hide = if router.exposure().is_exposed(face) {
            by.hide
        } else {
            0
        };
        let edges = if is_open(face) { by.edges } else { 0 };
        100 + u64::from(hide) + u64::from(edges)
    };
    let froms = route.faces();
    let steps = froms.zip(&route.legs);
    let lengths = steps.map(|(from, leg)| leg.mm.0 * more(from) + leg.mm.1 * more(leg.to));
    lengths.sum::<u64>() + route.corners * u64::from(by.corner_cm) * 1000
}

/// Runs and exposure of 300 random sites and the ready ones as networkx and exact fractions find them. The script beside the
/// fixture was written from the guide's page on the site, by somebody who had not seen this program.
#[test]
fn runs_and_what_is_seen_are_those_that_others_work_out_from_the_guide() {
    let found: Value = serde_json::from_str(include_str!("fixtures/site_networkx.json")).unwrap();
    let face = |value: &Value| {
        let mut faults = Vec::new();
        let face = Face::read(value, &Place::root("face"), &mut faults);
        face.unwrap_or_else(|| panic!("{faults:?}"))
    };
    let faces =
        |value: &Value| -> BTreeSet<Face> { value.as_array().unwrap().iter().map(face).collect() };
    let (mut runs, mut none, mut led) = (0, 0, 0);
    for case in found["cases"].as_array().unwrap() {
        let name = &case["name"];
        let mut faults = Vec::new();
        let site = read_site(&case["site"], &Place::root("site"), &mut faults).unwrap();
        assert_eq!(faults, [], "{name}");
        let router = Router::new(site.clone().into());
        let all: BTreeSet<Face> = site.faces().collect();
        assert_eq!(all.len() as u64, case["faces"].as_u64().unwrap(), "{name}");
        let seen = all
            .iter()
            .copied()
            .filter(|f| router.exposure().is_seen(*f));
        assert_eq!(
            seen.collect::<BTreeSet<_>>(),
            faces(&case["seen"]),
            "{name}: seen"
        );
        let touched = all
            .iter()
            .copied()
            .filter(|f| router.exposure().is_touched(*f));
        assert_eq!(
            touched.collect::<BTreeSet<_>>(),
            faces(&case["touched"]),
            "{name}: touched"
        );
        for wire in case["wires"].as_array().unwrap() {
            let via: Vec<Face> = match &wire["via"] {
                Value::Array(via) => via.iter().map(face).collect(),
                _ => Vec::new(),
            };
            let route = router.route(face(&wire["from"]), &via, face(&wire["to"]));
            // None where there is no way.
            let numbers = |value: &Value| -> Option<Vec<u64>> {
                let list = value.as_array()?;
                Some(list.iter().map(|n| n.as_u64().unwrap()).collect())
            };
            let wanted = match &wire["pieces"] {
                Value::Array(pieces) => {
                    led += 1;
                    let pieces: Option<Vec<Vec<u64>>> = pieces.iter().map(numbers).collect();
                    let sum = |at: usize, all: &[Vec<u64>]| all.iter().map(|piece| piece[at]).sum();
                    pieces.map(|all| (0..3).map(|at| sum(at, &all)).collect())
                }
                _ => numbers(&wire["run"]),
            };
            let found = route.map(|route| {
                let counts = counts(&site, &router, &route);
                vec![counts, route.length_mm, route.corners]
            });
            assert_eq!(found, wanted, "{name}: {wire}");
            runs += 1;
            none += u64::from(found.is_none());
        }
    }
    // What the fixture is worth: it has runs of all sorts.
    assert!(runs > 1000 && none > 50 && led > 200, "{runs} {none} {led}");
}

/// *Hide it*: no other run of a wire shows less, and led over the faces that are named the wire takes that very run.
#[test]
fn a_wire_is_hidden_by_leading_it_over_few_faces() {
    let plan = example("Kittiwake Light");
    let on_site = OnSite::of(&plan).expect("it has a site");
    let mut less = 0;
    for wire in &plan.wires {
        let own = on_site.run_of(&wire.id).unwrap().route.as_ref().unwrap();
        let HiddenRun { route: hidden, via } = HiddenRun::of(&plan, &wire.id).unwrap();
        assert!(hidden.exposed_mm <= own.exposed_mm && hidden.length_mm >= own.length_mm);
        let via = via.expect("few faces do it");
        assert!(
            !via.is_empty() || hidden.faces().eq(own.faces()),
            "{}",
            wire.id
        );
        let mut led = plan.clone();
        led.apply(Edit::Lead(wire.id.clone(), via)).unwrap();
        let led = OnSite::of(&led).unwrap();
        let route = led.run_of(&wire.id).unwrap().route.clone().unwrap();
        assert!(route.faces().eq(hidden.faces()), "{}", wire.id);
        less += usize::from(hidden.exposed_mm < own.exposed_mm);
    }
    assert!(less > 0, "something of the station can be hidden");
}

/// Every step can be taken the other way round, with its lengths exchanged.
#[test]
fn steps_are_the_same_both_ways_round() {
    for (name, _) in READY {
        let site = ready_site(name).unwrap();
        for from in site.faces() {
            for step in site.steps_from(from) {
                let back = site.steps_from(step.to).into_iter().find(|back| {
                    (back.to, back.from_mm, back.to_mm) == (from, step.to_mm, step.from_mm)
                });
                assert!(back.is_some(), "{name}: {from} to {}", step.to);
            }
        }
    }
}
