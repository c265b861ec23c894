//! Plans in their sites: what the program brings along goes, and everything follows the guide to the millimetre.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Plan, examples, read_plan};
use duskline::site::{Face, READY, Router, Surface, ready_site};
use duskline::works::OnSite;

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
    assert!(on_site.length_mm().is_some(), "every wire has a run");
    for wire in &plan.wires {
        let run = on_site.run_of(&wire.id).unwrap();
        let route = run.route.as_ref().unwrap();
        println!(
            "{} {} -> {}: {} mm, {} exposed, {} corners, {:?}: {}",
            run.number,
            wire.from,
            wire.to,
            route.length_mm,
            route.exposed_mm,
            route.corners,
            run.reach,
            on_site.said(&wire.id)
        );
    }
}

#[test]
fn every_ready_site_is_read_whole_and_all_of_it_hangs_together() {
    for (name, text) in READY {
        let value = serde_json::from_str(text).unwrap();
        let mut faults = Vec::new();
        let place = duskline::read::Place::root("site");
        let site = duskline::site::read_site(&value, &place, &mut faults).unwrap();
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
