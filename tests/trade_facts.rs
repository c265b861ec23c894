//! Facts of the trade, held against the program through its public door.
//!
//! Each is common practice, no source. Powers in steps; the plan is a dusk lamp: a panel over a tap to a battery, a heater
//! and, behind a break relay whose coil hangs on the tap, a lamp.

use duskline::plan::{Edit, End, Part, PartId, Plan, Wire, read_plan};
use duskline::run::{self, Instant, PartState, What};
use duskline::sky::{Aim, Air, Path, Sky};

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

/// Common practice, no source.
#[test]
fn a_panel_turned_away_gives_a_tenth_at_noon_and_is_better_turned() {
    // The noon sun stands 30° high in the south: a panel that lies 24° to the north meets it at 6° from its plane.
    let (hour, peak) = (HOUR, 24);
    let sky = Sky {
        path: Path::Arc {
            rise_ms: 6 * hour,
            set_ms: 18 * hour,
            rise_azimuth: 120.0,
            highest: 30.0,
        },
        air: Air::None,
        day_ms: 24 * hour,
    };
    let aim = |azimuth: f64| Aim {
        azimuth,
        tilt: 24.0,
    };
    assert_eq!(sky.steps(12 * hour, aim(0.0), peak, 1.0), peak / 10);
    assert_eq!(sky.steps(12 * hour, aim(180.0), peak, 1.0), 19);
    let energy = |azimuth| sky.output(aim(azimuth), peak, 1.0, 1).gives.energy;
    assert!(energy(180.0) > energy(0.0));
    let best = sky.best_aims(peak, 1.0, 1).energy.expect("the sun shines");
    assert_eq!(best.azimuth, 180);
    assert!(best.gives.energy >= energy(180.0));
}

/// When the lamp comes on in the evening of day 1.
fn lamp_comes_on(plan: &Plan) -> u64 {
    let runs = &run::run(plan, 1).loads[&part(plan, "lamp")].runs;
    let last = runs.last().expect("the lamp runs in the evening");
    assert!(last.0 > 12 * HOUR && last.1 == 24 * HOUR, "{runs:?}");
    last.0
}

/// Common practice, no source.
#[test]
fn a_second_panel_aimed_apart_makes_the_lamp_come_on_earlier() {
    let one = lamp_comes_on(&dusk_lamp(true));
    let mut plan = dusk_lamp(true);
    // The tap goes; the coil has a small panel of its own that stands upright to the east and soon loses the sun.
    let tap: Vec<_> = ["tap"]
        .map(|id| plan.parts[part(&plan, id)].id.clone())
        .into();
    for edit in plan.removal(&tap, &[]) {
        plan.apply(edit).expect("the tap can go");
    }
    let id = plan.new_part_id();
    let mut small = Part::new(id.clone(), "sun-panel-small", (0.0, 0.0));
    small.set.insert("azimuth".into(), 90.into());
    small.set.insert("tilt".into(), 60.into());
    let at = plan.parts.len();
    plan.apply(Edit::AddPart(at, small))
        .expect("a panel can come");
    for (from, to) in [(id.as_str(), "dusk.coil"), ("panel", "shelf.in")] {
        let (part, port) = to.split_once('.').expect("a port");
        let end = |part: &str, port: &str| End::new(&part_id(&plan, part), port);
        let (from, to) = (end(from, "out"), end(part, port));
        let wire = Wire::new(plan.new_wire_id(), from, to);
        let at = plan.wires.len();
        plan.apply(Edit::AddWire(at, wire))
            .expect("a wire can come");
    }
    let two = lamp_comes_on(&plan);
    assert!(two + HOUR < one, "{two} is not well before {one}");
}

fn part_id(plan: &Plan, id: &str) -> PartId {
    plan.parts[part(plan, id)].id.clone()
}

/// Common practice, no source. Both set out into the night full.
#[test]
fn heater_and_lamp_empty_a_battery_overnight_that_the_lamp_alone_does_not() {
    let night = |with_heater: bool| {
        let mut plan = dusk_lamp(true);
        let shelf = part(&plan, "shelf");
        plan.parts[shelf].kind = "battery".into();
        if !with_heater {
            // Without its lead from the switch the heater has nothing; the relay is fed by the switch itself.
            let on = plan
                .wires
                .iter()
                .position(|w| w.id.as_str() == "on")
                .expect("a wire");
            plan.wires[on].from = plan.wires[on - 1].from.clone();
            plan.wires.remove(on - 1);
        }
        let record = run::run(&plan, 2);
        let full = (record.events.iter())
            .any(|e| e.place() == shelf && e.what == What::Full && e.t < 18 * HOUR);
        assert!(full, "it sets out full");
        let morning = run::at(&plan, 30 * HOUR - 1);
        (
            runs(&plan, &morning, "lamp"),
            runs(&plan, &morning, "heater"),
        )
    };
    assert_eq!(night(true), (false, false));
    assert_eq!(night(false), (true, false));
}

/// Common practice, no source: the aim of the panel sets the minute at which a dusk lamp comes on. The best aims for that
/// say it to the millisecond; the relay follows its lag later.
#[test]
fn the_aim_sets_the_minute_of_the_dusk_lamp() {
    let mut plan = dusk_lamp(true);
    let panel = part(&plan, "panel");
    let bests = plan.world.sky().best_aims(24, 0.84, 1);
    let mut minutes = Vec::new();
    for best in [bests.earliest, bests.latest] {
        let best = best.expect("the sun shines");
        plan.parts[panel]
            .set
            .insert("azimuth".into(), best.azimuth.into());
        plan.parts[panel]
            .set
            .insert("tilt".into(), best.tilt.into());
        let on = lamp_comes_on(&plan);
        assert_eq!(on, best.gives.last.expect("a last step") + 1 + 100);
        minutes.push(on / 60_000);
    }
    assert!(minutes[0] + 60 < minutes[1], "{minutes:?}");
}
