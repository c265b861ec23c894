//! The simple engine held against published numbers: the vectors of IEC 61131-3 and a table of sun positions.
//!
//! Each says where it comes from and how it was come by. It does not touch the program.

pub mod simple_engine;

use serde_json::{Value, json};
use simple_engine::by_hand::{book, none, run};
use simple_engine::sky::Sky;

/// Runs a function with inputs given by edges in units of 10 ms and gives its Q edges, in units, signed as in the tables.
///
/// Inputs are manual contacts that feed the signal ports; the lag is 1 ms, so the contact shows Q a millisecond later.
fn q_edges(
    function: &str,
    set: Value,
    inputs: &[(&str, &[i64])],
    units: i64,
) -> (Vec<i64>, Vec<bool>) {
    let mut parts = vec![json!({ "id": "f", "type": function, "set": set })];
    let mut wires = Vec::new();
    for (port, edges) in inputs {
        let entries: Vec<Value> = edges
            .iter()
            .enumerate()
            .map(|(i, at)| json!([format!("{:02}:{:02}", at / 60, at % 60), i % 2 == 0]))
            .collect();
        parts.push(json!({ "id": format!("s{port}"), "type": "steady", "set": {} }));
        parts.push(
            json!({ "id": format!("k{port}"), "type": "manual", "set": { "schedule": entries } }),
        );
        wires.push(json!({ "id": format!("a{port}"), "from": format!("s{port}.out"), "to": format!("k{port}.feed") }));
        wires.push(json!({ "id": format!("b{port}"), "from": format!("k{port}.out"), "to": format!("f.{port}") }));
    }
    let mut book = book();
    book["lag_ms"] = 1.into();
    let plan = json!({ "book": book, "world": { "day_s": 14.4 }, "parts": parts, "wires": wires });
    let at: Vec<i64> = (0..units).map(|unit| unit * 10 + 5).collect();
    let outcome = run(&plan, units * 10, &at);
    let mut edges = Vec::new();
    for event in outcome.events.iter().filter(|event| event.part == "f") {
        assert_eq!(event.t % 10, 1, "an edge between two scans");
        edges.push(if event.what.word() == "closes" {
            event.t / 10
        } else {
            -(event.t / 10)
        });
    }
    (
        edges,
        outcome
            .moments
            .iter()
            .map(|moment| moment.conducts["f"])
            .collect(),
    )
}

/// The rows of the timers: block, IN edges, Q edges; PT = 5, one scan a unit.
///
/// IEC 61131-3 Ed. 2:2003, 2.5.2.3, tables 37 and 38 (numbers as quoted in a public survey of the standard).
/// Computed by ourselves from the blocks' published algebra and shape-checked against the standard's timing diagrams as
/// reproduced in the comments of an open compiler for it; the standard's own text was not at hand.
const TIMERS: [(&str, &[i64], &[i64]); 17] = [
    ("on-delay", &[0, 10], &[5, -10]),
    ("on-delay", &[0, 4], &[]),
    ("on-delay", &[0, 5], &[]),
    ("on-delay", &[0, 10, 14, 17, 20, 31], &[5, -10, 25, -31]),
    ("on-delay", &[0, 3, 4, 7, 8, 20], &[13, -20]),
    ("off-delay", &[0, 10], &[0, -15]),
    ("off-delay", &[0, 10, 13, 20], &[0, -25]),
    ("off-delay", &[0, 10, 15, 20], &[0, -25]),
    ("off-delay", &[0, 4, 8, 12, 14, 30], &[0, -35]),
    ("off-delay", &[0, 1], &[0, -6]),
    ("pulse", &[0, 10], &[0, -5]),
    ("pulse", &[0, 2], &[0, -5]),
    ("pulse", &[0, 2, 3, 4], &[0, -5]),
    (
        "pulse",
        &[0, 10, 12, 13, 15, 16, 20, 30],
        &[0, -5, 12, -17, 20, -25],
    ),
    ("pulse", &[0, 2, 4, 12], &[0, -5]),
    ("pulse", &[0, 1, 6, 7], &[0, -5, 6, -11]),
    ("pulse", &[0, 50], &[0, -5]),
];

#[test]
fn timers_follow_the_vectors_of_iec_61131_3() {
    for (function, input, expected) in TIMERS {
        let (edges, _) = q_edges(
            function,
            json!({ "delay_s": 0.05 }),
            &[("trigger", input)],
            60,
        );
        assert_eq!(edges, expected, "{function} with IN edges at {input:?}");
    }
}

/// The units at which a row of 0 and 1 changes, starting from 0.
fn edges_of(row: &str) -> Vec<i64> {
    let bits: Vec<bool> = row.split_whitespace().map(|bit| bit == "1").collect();
    let before = std::iter::once(&false).chain(&bits);
    (0..)
        .zip(before.zip(&bits))
        .filter(|(_, (before, now))| before != now)
        .map(|(unit, _)| unit)
        .collect()
}

fn bits(row: &str) -> Vec<bool> {
    row.split_whitespace().map(|bit| bit == "1").collect()
}

#[test]
fn latches_follow_the_vectors_of_iec_61131_3() {
    // IEC 61131-3 Ed. 2:2003, table 34: Q1 := S1 OR (NOT R AND Q1), and Q1 := NOT R1 AND (S OR Q1). The algebra was read
    // in an open compiler's library for the standard; the rows were computed by us from it.
    let set = edges_of("0 1 0 0 0 1 0 0 1 1 0");
    let reset = edges_of("0 0 0 1 0 1 0 1 1 0 1");
    for (dominant, q) in [
        ("set", "0 1 1 0 0 1 1 0 1 1 0"),
        ("reset", "0 1 1 0 0 0 0 0 0 1 0"),
    ] {
        let (_, found) = q_edges(
            "latch",
            json!({ "dominant": dominant }),
            &[("set", &set), ("reset", &reset)],
            11,
        );
        assert_eq!(found, bits(q), "{dominant}");
    }
}

#[test]
fn rising_edges_follow_the_vectors_of_iec_61131_3() {
    // IEC 61131-3 Ed. 2:2003, table 35, R_TRIG; algebra read in the same place, rows computed by us. An impulse relay toggles
    // at each column in which R_TRIG.Q is 1.
    for (clk, edge) in [
        ("0 1 1 0 0 1 0 1 1 0", "0 1 0 0 0 1 0 1 0 0"),
        ("1 1 0 0 1 0", "1 0 0 0 1 0"),
    ] {
        let (edges, _) = q_edges("impulse", none(), &[("trigger", &edges_of(clk))], 10);
        let at: Vec<i64> = edges.iter().map(|edge| edge.abs()).collect();
        let expected: Vec<i64> = (0..)
            .zip(bits(edge))
            .filter(|(_, edge)| *edge)
            .map(|(unit, _)| unit)
            .collect();
        assert_eq!(at, expected);
    }
}

#[test]
fn a_counter_follows_the_vector_of_iec_61131_3() {
    // IEC 61131-3 Ed. 2:2003, table 36, CTU with PV = 3; algebra read, row computed by us. It stops at PV, which the standard
    // leaves to an implementation: CV 3 3 where an unbounded one has 4 4.
    let count = edges_of("0 1 1 0 1 0 1 0 1 0 1 1 0 1");
    let reset = edges_of("0 0 0 0 0 0 0 0 0 0 1 0 0 0");
    let inputs = [("count", count.as_slice()), ("reset", reset.as_slice())];
    let (_, found) = q_edges("counter", json!({ "target": 3 }), &inputs, 14);
    assert_eq!(found, bits("0 0 0 0 0 0 1 1 1 1 0 0 0 0"));
}

#[test]
fn the_sun_stands_where_the_published_table_has_it() {
    // Computed by us with pvlib 0.16.1 (declination_spencer71, solar_zenith_analytical, aoi_projection): latitude, day of year,
    // solar hour, tilt, azimuth, elevation in degrees, cosine of incidence. The fifth by the vector formula, since that
    // library takes the noon sun to be in the south.
    let rows = [
        (
            43.0,
            44,
            10.5,
            45.0,
            195.0,
            29.733_338_606_5,
            0.818_573_551_704,
        ),
        (
            40.0,
            167,
            14.0,
            30.0,
            180.0,
            59.738_940_553_2,
            0.851_903_934_920,
        ),
        (
            52.0,
            355,
            9.0,
            90.0,
            135.0,
            4.948_825_218_0,
            0.993_386_680_881,
        ),
        (
            -33.9,
            355,
            15.0,
            30.0,
            0.0,
            49.485_442_521_5,
            0.674_384_225_336,
        ),
        (
            -33.9,
            172,
            12.0,
            34.0,
            0.0,
            32.647_953_925_5,
            0.918_086_698_677,
        ),
        (
            60.0,
            105,
            6.0,
            45.0,
            90.0,
            8.201_147_156_7,
            0.798_316_264_470,
        ),
        (67.0, 355, 12.0, 90.0, 180.0, -0.419_890_406_3, 0.0),
    ];
    for (latitude, day, hour, tilt, azimuth, elevation, cosine) in rows {
        let sky = Sky::new(
            &json!({ "latitude": latitude, "day_of_year": day, "air": "none" }),
            86_400_000,
        );
        let ms = (hour * 3_600_000.0) as i64;
        let found = sky.sun(ms).towards[2].asin().to_degrees();
        assert!(
            (found - elevation).abs() < 1e-9,
            "elevation {found}, expected {elevation}"
        );
        let share = sky.share(ms, azimuth, tilt);
        assert!(
            (share - cosine).abs() < 1e-9,
            "share {share}, expected {cosine}"
        );
    }
}

#[test]
fn an_arc_is_symmetric_about_its_middle() {
    let sky = json!({ "rise": "06:00", "set": "18:00", "rise_azimuth": 90, "highest": 60, "air": "none" });
    let sky = Sky::new(&sky, 14_400);
    assert!(!sky.sun(3600).up && sky.sun(3601).up && sky.sun(10_799).up && !sky.sun(10_800).up);
    // At noon the sun stands 60° high in the south.
    assert!((sky.light(7200) - 60_f64.to_radians().sin()).abs() < 1e-12);
    assert!((sky.share(7200, 180.0, 30.0) - 1.0).abs() < 1e-12);
    assert!((sky.share(5000, 90.0, 40.0) - sky.share(9400, 270.0, 40.0)).abs() < 1e-12);
}
