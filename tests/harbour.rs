//! The built-in book `harbour` against a published sizing, with the book's own parts.
//!
//! S. Domingo, "How To Access LoRaWAN using Solar Energy", public text at github.com/RAKWireless/rakwireless-docs
//! (docs/Knowledge-Hub/Learn/How-To-Access-LoRaWAN-Using-Solar-Energy), read there: a gateway of 500 mA at 12 V, 6 W,
//! takes 144 Wh a day; three days without sun are 432 Wh, and four fifths of the store used make 540 Wh. After the three
//! dark days two days of 5 sun hours are to carry the load and fill the store again: 432 + 288 = 720 Wh, over 10 sun hours
//! at an efficiency of 0.8 that is 90 W, and a panel of 100 W is chosen. Computed by us from it: a full store is at its
//! floor after exactly 72 h; 10 sun hours of 100 W through the store are 800 Wh, 80 more than are needed.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Plan, read_plan};
use duskline::quantity::{HOUR_MS, STEP_MS};
use duskline::run::{self, Record, What};
use serde_json::{Value, json};

/// One watt-hour of a book whose step is a tenth of a watt.
const WATT_HOUR: i128 = 10 * STEP_MS * HOUR_MS as i128;

/// The places of store and gateway in the plan.
const STORE: usize = 1;
const GATEWAY: usize = 2;

/// A panel of this type, the store and the gateway in a row.
fn station(panel: &str, start: u64, world: Value) -> Plan {
    let document = json!({
        "format": "duskline/plan", "version": 1, "book": "harbour", "world": world,
        "parts": [
            { "id": "p1", "type": panel, "set": { "tilt": 30 } },
            { "id": "p2", "type": "lead-540", "set": { "start": start } },
            { "id": "p3", "type": "gateway" },
        ],
        "wires": [
            { "id": "w1", "from": "p1.out", "to": "p2.in" }, { "id": "w2", "from": "p2.out", "to": "p3.in" },
        ],
    });
    read_plan(&document.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// When the store's first event of this kind comes.
fn first(record: &Record, what: What) -> Option<u64> {
    let mut events = record.events.iter();
    let found = events.find(|e| e.place() == STORE && e.what == what);
    found.map(|e| e.t)
}

#[test]
fn without_sun_the_gateway_runs_from_a_full_store_for_exactly_72_hours() {
    let dark = json!({ "sky": { "latitude": 0, "day_of_year": 80 }, "weather": [0] });
    let record = run::run(&station("panel-100", 1000, dark), 4);
    assert_eq!(first(&record, What::OutputOff), Some(72 * HOUR_MS));
    assert_eq!(record.loads[&GATEWAY].runs, [(0, 72 * HOUR_MS)]);
    assert_eq!(record.loads[&GATEWAY].energy, 432 * WATT_HOUR);
}

/// A world whose day begins with the sun, half of it light, with 5 sun hours for a panel that faces it; the store stands a
/// little above its floor, for the weak sun of the first hour.
fn after_dark_days(panel: &str) -> Record {
    let sky = json!({ "rise": "00:00", "set": "12:00", "rise_azimuth": 90, "highest": 60, "air": "none" });
    let record = run::run(
        &station(panel, 230, json!({ "sky": sky, "weather": [SUN] })),
        2,
    );
    assert_eq!(record.loads[&GATEWAY].runs, [(0, 48 * HOUR_MS)]);
    record
}

/// Chosen so that two days have 10 sun hours, which the tests hold.
const SUN: f64 = 0.58;

#[test]
fn two_sunny_days_carry_the_gateway_and_refill_the_store_from_100_watts() {
    let record = after_dark_days("panel-100");
    let available = record.sources[&0].available / WATT_HOUR;
    assert!((990..=1010).contains(&available), "{available} Wh");
    let full = first(&record, What::Full).expect("it is full within two days");
    assert!(full > 24 * HOUR_MS && full < 36 * HOUR_MS, "{full}");
}

#[test]
fn two_sunny_days_do_not_refill_it_from_46_watts() {
    let record = after_dark_days("panel-46");
    assert_eq!(first(&record, What::Full), None);
    // 460 Wh at 0.8 are 368, and the gateway takes 288 of them: 80 of 432 are back.
    let (from, to) = (
        record.batteries[&STORE].level[0].1,
        record.batteries[&STORE].level.last().expect("a level").1,
    );
    let gained = (to - from) / WATT_HOUR;
    assert!((70..=90).contains(&gained), "{gained} Wh");
}
