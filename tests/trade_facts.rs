//! Facts of the trade, held against the program through its public door.
//!
//! Each is common practice, no source. Powers in steps; the plan is a dusk lamp: a panel over a tap to a battery, a heater
//! and, behind a break relay whose coil hangs on the tap, a lamp.

use duskline::plan::{Plan, read_plan};
use duskline::run::{self, Instant, PartState};

const HOUR: u64 = 3_600_000;

/// The dusk lamp. The sun stands overhead at noon, the panel lies flat; the weather lets it offer 20 of its 24 then.
fn dusk_lamp(switch_closed: bool) -> Plan {
    let text = format!(
        r#"{{ "format": "duskline/plan", "version": 1, "book": "outpost",
          "world": {{ "sky": {{ "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 90, "air": "none" }},
                      "weather": [0.84] }},
          "parts": [
            {{ "id": "panel", "type": "sun-panel-large", "set": {{ "tilt": 0 }} }},
            {{ "id": "tap", "type": "tap", "set": {{ "amount": 1 }} }},
            {{ "id": "shelf", "type": "battery-rack" }},
            {{ "id": "door", "type": "switch", "set": {{ "closed": {switch_closed} }} }},
            {{ "id": "heater", "type": "heater" }},
            {{ "id": "dusk", "type": "relay", "set": {{ "contact": "break" }} }},
            {{ "id": "lamp", "type": "lamp" }} ],
          "wires": [
            {{ "id": "up", "from": "panel.out", "to": "tap.in" }},
            {{ "id": "coil", "from": "tap.tap", "to": "dusk.coil" }},
            {{ "id": "charge", "from": "tap.rest", "to": "shelf.in" }},
            {{ "id": "draw", "from": "shelf.out", "to": "door.feed" }},
            {{ "id": "warm", "from": "door.out", "to": "heater.in" }},
            {{ "id": "on", "from": "heater.loop", "to": "dusk.feed" }},
            {{ "id": "light", "from": "dusk.out", "to": "lamp.in" }} ] }}"#
    );
    read_plan(&text).expect("the dusk lamp is a sound plan")
}

/// Offer and take of the wire called `id`.
fn flow(plan: &Plan, instant: &Instant, id: &str) -> (u64, u64) {
    let at = plan.wires.iter().position(|w| w.id.as_str() == id);
    let wire = instant.wires[at.expect("a wire of the plan")];
    (wire.offer, wire.take)
}

fn part(plan: &Plan, id: &str) -> usize {
    let at = plan.parts.iter().position(|p| p.id.as_str() == id);
    at.expect("a part of the plan")
}

fn runs(plan: &Plan, instant: &Instant, id: &str) -> bool {
    matches!(
        instant.parts[part(plan, id)],
        PartState::Load { runs: true, .. }
    )
}

/// Common practice, no source.
#[test]
fn a_lamp_of_2_and_a_heater_of_3_on_one_loop_take_5_from_a_battery() {
    let plan = dusk_lamp(true);
    let night = run::at(&plan, HOUR);
    assert!(runs(&plan, &night, "lamp") && runs(&plan, &night, "heater"));
    assert_eq!(flow(&plan, &night, "draw"), (30, 5));
}

/// Common practice, no source.
#[test]
fn a_panel_that_offers_20_through_a_tap_of_1_leaves_19_for_the_battery() {
    let plan = dusk_lamp(true);
    let noon = run::at(&plan, 12 * HOUR);
    assert_eq!(flow(&plan, &noon, "up").0, 20);
    assert_eq!(flow(&plan, &noon, "coil"), (1, 1));
    assert_eq!(flow(&plan, &noon, "charge").0, 19);
}

/// Common practice, no source.
#[test]
fn the_lamp_is_dark_while_the_coil_is_fed_and_the_heater_ahead_of_it_stays_on() {
    let plan = dusk_lamp(true);
    let noon = run::at(&plan, 12 * HOUR);
    assert!(!runs(&plan, &noon, "lamp") && runs(&plan, &noon, "heater"));
    assert_eq!(flow(&plan, &noon, "draw").1, 3);
    let heater = &run::run(&plan, 1).loads[&part(&plan, "heater")];
    assert_eq!(
        heater.runs,
        [(0, 24 * HOUR)],
        "all day, whatever the relay does"
    );
}

/// Common practice, no source.
#[test]
fn the_last_step_goes_to_the_tap_so_the_lamp_comes_on_when_the_panel_gives_nothing() {
    let plan = dusk_lamp(true);
    let lamp = run::run(&plan, 1).loads[&part(&plan, "lamp")].runs.clone();
    let [(0, morning), (evening, _)] = lamp[..] else {
        panic!("on in the morning and in the evening only: {lamp:?}");
    };
    assert!(morning < 12 * HOUR && 12 * HOUR < evening);
    // The relay lets go a tenth of a second after its coil went dead.
    let last = run::at(&plan, evening - 101);
    assert_eq!(flow(&plan, &last, "up"), (1, 1));
    assert_eq!(flow(&plan, &last, "coil"), (1, 1));
    assert_eq!(flow(&plan, &last, "charge"), (0, 0));
    assert!(!runs(&plan, &last, "lamp"));
    let gone = run::at(&plan, evening - 100);
    assert_eq!(flow(&plan, &gone, "up"), (0, 0));
    assert!(!runs(&plan, &run::at(&plan, evening - 1), "lamp"));
    assert!(runs(&plan, &run::at(&plan, evening), "lamp"));
}

/// Common practice, no source.
#[test]
fn a_switch_ahead_of_both_turns_both_off() {
    let plan = dusk_lamp(false);
    for t in [HOUR, 12 * HOUR] {
        let instant = run::at(&plan, t);
        assert!(!runs(&plan, &instant, "lamp") && !runs(&plan, &instant, "heater"));
        assert_eq!(flow(&plan, &instant, "draw"), (30, 0));
    }
}
