//! Books as tables: what is written comes back, spreadsheets' dialects are understood, damaged tables are told to the
//! letter, and another reader reads what is written here.

#![cfg(not(target_arch = "wasm32"))]

#[path = "made_books/mod.rs"]
mod made_books;

use duskline::book::table::{read_table, write_table};
use duskline::book::{Behaviour, Book, built_in, read_book};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::fs;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/books")
}

fn fixture(name: &str) -> String {
    fs::read_to_string(folder().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// What a table keeps of a book: all but what is said of the whole.
fn of_table(book: &Book) -> Book {
    Book {
        label: String::new(),
        says: String::new(),
        caution: String::new(),
        extra: Default::default(),
        ..book.clone()
    }
}

fn read(text: &str) -> Book {
    read_table(text, "own")
        .unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"))
        .book
}

fn faults(text: &str) -> Vec<String> {
    let faults = read_table(text, "own").expect_err("it is damaged");
    faults.iter().map(ToString::to_string).collect()
}

fn remarks(text: &str) -> Vec<String> {
    let table = read_table(text, "own").unwrap_or_else(|faults| panic!("{faults:#?}"));
    table.remarks.iter().map(ToString::to_string).collect()
}

#[test]
fn the_built_in_books_come_back_from_their_tables() {
    for name in ["outpost", "harbour", "bare"] {
        let book = built_in(name).unwrap();
        let table = read_table(&write_table(&book), name).unwrap();
        assert_eq!(table.book, of_table(&book));
    }
}

/// The cells that Python's csv module read in the tables that this program writes; see `tests/fixtures/books/tables.py`.
#[test]
fn another_reader_reads_the_cells_that_were_meant() {
    let read: Value = serde_json::from_str(&fixture("read-by-python.json")).unwrap();
    for name in ["outpost", "harbour", "bare"] {
        let book = built_in(name).unwrap();
        let text = write_table(&book);
        assert_eq!(
            text,
            fixture(&format!("{name}.csv")),
            "{name}: run tables.py again"
        );
        let rows = read[name].as_array().unwrap();
        let head: Vec<&str> = rows[0]
            .as_array()
            .unwrap()
            .iter()
            .filter_map(Value::as_str)
            .collect();
        assert_eq!(rows.len(), book.types.len() + 1);
        let at = |heading: &str| head.iter().position(|h| *h == heading);
        let power = format!("draw ({})", book.unit.sign);
        for (of, row) in book.types.iter().zip(&rows[1..]) {
            assert_eq!(row.as_array().unwrap().len(), head.len());
            let cell = |heading: &str| at(heading).map_or("", |at| row[at].as_str().unwrap());
            assert_eq!(cell("type"), of.name);
            assert_eq!(cell("label"), of.label);
            assert_eq!(cell("says"), of.says);
            assert_eq!(cell("note"), of.note);
            assert_eq!(cell("source"), of.source);
            let draw: f64 = match of.behaviour {
                Behaviour::Load { draw, .. } => book.unit.power(draw),
                _ => 0.0,
            };
            let read: f64 = cell(&power).parse().unwrap_or(0.0);
            assert!((read - draw).abs() < 1e-9, "{}: {read} for {draw}", of.name);
            let cost: Vec<String> = of.cost.iter().map(|(m, n)| format!("{m} {n}")).collect();
            assert_eq!(cell("cost"), cost.join("; "));
        }
    }
}

/// The table of `tables.py`, entered by hand as a book.
fn kittiwake() -> Book {
    let source = |name: &str, label: &str, profile: &str, peak: u64| json!({ "type": name, "label": label, "group": "Sources", "behaviour": "source", "peak": peak, "profile": profile });
    let load = |name: &str, label: &str, symbol: &str, draw: u64| json!({ "type": name, "label": label, "group": "Loads", "symbol": symbol, "behaviour": "load", "draw": draw });
    let mut types = vec![
        source("gallery-panel", "Gallery panel", "sun", 365),
        source("old-turbine", "Old turbine", "wind", 300),
        json!({
            "type": "cellar-battery", "label": "Cellar battery", "group": "Batteries", "symbol": "battery",
            "behaviour": "battery", "capacity": 1200.25, "max_in": 600, "max_out": 600, "efficiency": 875,
            "cut_out": 0, "cut_in": 100, "set": { "start": 500 }, "cost": { "salt cells": 6 },
            "note": "One line,\nand a second; both belong here.",
        }),
        load("lamp", "Lamp", "lamp", 20),
        load("sluice-gate", "Sluice-gate", "motor", 405),
        json!({
            "type": "dusk-relay", "label": "Dusk relay", "group": "Contacts", "symbol": "relay", "behaviour": "contact",
            "function": "relay", "cost": { "copper": 2 },
        }),
    ];
    types[0]["symbol"] = "sun-panel".into();
    types[0]["set"] = json!({ "azimuth": 180, "tilt": 30 });
    types[0]["cost"] = json!({ "glass": 6, "copper": 3 });
    types[0]["note"] = "Faces the sea, not the hill.".into();
    types[1]["symbol"] = "wind-turbine".into();
    types[1]["cost"] = json!({ "copper": 8 });
    types[1]["note"] = "Its tail says \"Kittiwake\".".into();
    types[4]["cost"] = json!({ "copper": 3, "salvaged steel": 4 });
    types[4]["note"] = "Grüße an die Möwen: 6,5 kn.".into();
    let book = json!({ "name": "own", "unit": "W", "step": 0.1, "types": types });
    read_book(&book).unwrap()
}

#[test]
fn every_dialect_of_the_same_table_is_the_same_book() {
    let mut seen = 0;
    for entry in fs::read_dir(folder()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if name.starts_with("table-") {
            assert_eq!(read(&fixture(&name)), kittiwake(), "{name}");
            seen += 1;
        }
    }
    assert!(seen >= 14, "only {seen} tables");
}

#[test]
fn what_was_left_out_or_taken_is_remarked() {
    assert_eq!(
        remarks(&fixture("table-title-blanks-more.csv")),
        [
            "The row above the headings is left out.",
            "The column \"price\" is left out.",
            "A step of power is 0.1 W.",
            "Row 6 has nothing for \"output off at\": 0 % is taken.",
            "Row 6 has nothing for \"output on again at\": 10 % is taken.",
            "Row 6 has nothing for \"takes at most\": 60 W is taken.",
        ]
    );
    assert_eq!(
        remarks("label,kind,peak,colour\nA,source,3,red\nB,source,4,\n"),
        [
            "The column \"colour\" is left out.",
            "Rows 2, 3 have nothing for \"profile\": steady is taken.",
        ]
    );
}

#[test]
fn a_lax_table_of_eight_rows_will_do() {
    let text = "name; watts; kind\nDeck lamp; 6; lamp\nCabin lamp; 3,5; light\nRoof panel; 100; solar panel\n\
                Stove fan; 5; fan\nWater pump; 48; pump\nCold box; 45; fridge\nBunk heater; 60; heater\nBell; 12; load\n";
    let book = read(text);
    assert_eq!((book.unit.sign.as_str(), book.unit.step), ("W", 0.1));
    let draws: Vec<(&str, u64)> = (book.types.iter())
        .map(|t| match t.behaviour {
            Behaviour::Load { draw, .. } => (t.name.as_str(), draw),
            Behaviour::Source { peak, .. } => (t.name.as_str(), peak),
            _ => panic!("{t:?}"),
        })
        .collect();
    assert_eq!(
        draws,
        [
            ("deck-lamp", 60),
            ("cabin-lamp", 35),
            ("roof-panel", 1000),
            ("stove-fan", 50),
            ("water-pump", 480),
            ("cold-box", 450),
            ("bunk-heater", 600),
            ("bell", 120),
        ]
    );
    let kinds = "label\ttype\tW\nLamp\tlamp\t6\nSecond lamp\tlamp\t6\n";
    assert_eq!(read(kinds).types[1].name, "second-lamp");
    assert_eq!(read("name,draw\nLamp,1.125\n").unit.step, 0.001);
    assert_eq!(read("name;draw\nLamp;1.280\nFan;0,5\n").unit.step, 0.1);
    let twice = "name,draw\nLamp,6\nLamp,7\n";
    assert_eq!(read(twice).types[1].name, "lamp-2");
}

#[test]
fn units_are_brought_together() {
    let text = "label,kind,draw (W),capacity (kWh),gives at most (kW)\nLamp,load,6,,\nBank,battery,,1.2,0.5\n";
    let book = read(text);
    let bank = book.types[1].to_value(&book.unit);
    assert_eq!(
        (bank["capacity"].clone(), bank["max_out"].clone()),
        (json!(1200), json!(500))
    );
    let cells = read("label;kind;power;capacity\nLamp;load;60 W;\nBank;battery;0,2 kW;2 kWh\n");
    assert_eq!(cells.unit.sign, "W");
    let bank = cells.types[1].to_value(&cells.unit);
    assert_eq!(
        (bank["capacity"].clone(), bank["max_out"].clone()),
        (json!(2000), json!(200))
    );
    assert_eq!(
        faults("label,kind,draw (W),capacity (Ah)\nBank,battery,,45\n"),
        [
            "row 1, column \"capacity (Ah)\": found the unit Ah, expected W·h",
            "row 2, column \"takes at most\": found nothing, expected a number",
            "row 2, column \"gives at most\": found nothing, expected a number",
        ]
    );
}

#[test]
fn every_fault_names_row_column_value_and_expectation() {
    let rows = [
        (
            "",
            "row 1: found nothing, expected headings, such as label, behaviour, draw (W)",
        ),
        (
            "one,two\n1,2\n",
            "row 1: found \"one, two\", expected headings, such as label, behaviour, draw (W)",
        ),
        (
            "label,draw\n",
            "row 2: found nothing, expected a row for each part type",
        ),
        (
            "label,draw (W)\n,6\n",
            "row 2, column \"label\": found nothing, expected a label",
        ),
        (
            "label,kind,draw\nLamp,foghorn,6\n",
            "row 2, column \"kind\": found \"foghorn\", expected one of source, battery, load, tap, divider, busbar, \
             changeover, meter, contact, or a word such as lamp or solar panel",
        ),
        (
            "label,draw\nLamp,6\nTap,\n",
            "row 3, column \"behaviour\": found nothing, expected one of source, battery, load, tap, divider, busbar, \
             changeover, meter, contact",
        ),
        (
            "label,draw (W)\nLamp,six\n",
            "row 2, column \"draw (W)\": found \"six\", expected a number",
        ),
        (
            "label;draw\nLamp;1,000\n",
            "row 2, column \"draw\": found \"1,000\", expected a number that can't be read in two ways: 1000, or 1.0",
        ),
        (
            "label;draw\nLamp;1.280\n",
            "row 2, column \"draw\": found \"1.280\", expected a number that can't be read in two ways: 1000, or 1.0",
        ),
        (
            "label,kind,draw\nLamp,load,\n",
            "row 2, column \"draw\": found nothing, expected a number",
        ),
        (
            "label,draw\nLamp,0\nPump,0.5\n",
            "row 2, column \"draw\": found \"0\", expected a number from 0.1 to 100000000 in steps of 0.1",
        ),
        (
            "label,draw,step\nLamp,3,2\n",
            "row 2, column \"draw\": found \"3\", expected a number from 2 to 2000000000 in steps of 2",
        ),
        (
            "label,draw,step\nLamp,3,1\nPump,4,2\n",
            "row 3, column \"step\": found \"2\", expected 1, as in the rows above",
        ),
        (
            "label,kind,draw,peak\nLamp,load,3,4\n",
            "row 2, column \"peak\": found \"4\", expected nothing: a load has none",
        ),
        (
            "label,kind,draw,watts\nLamp,load,3,4\n",
            "row 2, column \"watts\": found \"4\", expected 3, as under draw, or nothing",
        ),
        (
            "label,draw,draws\nLamp,3,4\n",
            "row 1, column \"draws\": found a second column for draw, expected one",
        ),
        (
            "label,draw\nLamp,6,5,load\n",
            "row 2, column 3: found \"5\", expected at most 2 cells, as there are headings; a cell with a comma or a \
             semicolon in it stands in quotes",
        ),
        (
            "label,kind,function,draw\nRelay,contact,,\n",
            "row 2, column \"function\": found nothing, expected one of manual, button, relay, and, or, xor, on-delay, \
             off-delay, pulse, latch, impulse, counter, twilight, clock, home, detector, charge",
        ),
        (
            "label,kind,profile,peak\nPanel,source,moon,3\n",
            "row 2, column \"profile\": found \"moon\", expected one of steady, sun, wind",
        ),
        (
            "label,kind,capacity,power,efficiency\nBank,battery,50,6,120 %\n",
            "row 2, column \"efficiency\": found \"120 %\", expected a number from 0.1 to 100, to a tenth (per cent)",
        ),
        (
            "label,kind,capacity,power,off at,on at\nBank,battery,50,6,30,20\n",
            "row 2, column \"on at\": found 200, expected more than cut_out, which is 300",
        ),
        (
            "label,kind,capacity,power\nBank,battery,0,6\n",
            "row 2, column \"capacity\": found \"0\", expected unit-hours above 0 that make a whole number of \
             step·milliseconds",
        ),
        (
            "type,draw\nlamp,1\nlamp,2\n",
            "row 3, column \"type\": found \"lamp\" a second time, expected a name of its own",
        ),
        (
            "label,kind,ways\nShare,divider,65\n",
            "row 2, column \"ways\": found 65, expected a whole number from 1 to 64",
        ),
        (
            "label,draw,cost\nLamp,1,copper\n",
            "row 2, column \"cost\": found \"copper\", expected materials with whole amounts, such as copper 3; glass 2",
        ),
        (
            "label,kind,peak,settings\nPanel,sun,3,tilt steep\n",
            "row 2, column \"settings\": found \"steep\", expected a number for tilt",
        ),
        (
            "label,kind,peak,settings\nPanel,sun,3,tilt 200\n",
            "row 2, column \"settings\": found 200, expected a number from 0 to 180",
        ),
        (
            "label,kind,short,draw\nLamp,load,stop,3\n",
            "row 2, column \"short\": found \"stop\", expected one of pass, hold, waste",
        ),
        (
            "label,draw,longest wire (ft)\nLamp,1,30\n",
            "row 2, column \"longest wire (ft)\": found \"30\", expected metres",
        ),
        (
            "label,draw,stage\nLamp,1,1001\n",
            "row 2, column \"stage\": found 1001, expected a whole number from 0 to 1000",
        ),
        (
            "label,draw\nLamp,1\nPump,\"2\nFan,3\n",
            "row 3, column 2: found a quote that is never closed, expected a second quote at the cell's end",
        ),
        (
            "label,draw\nL\u{fffd}mp,1\n",
            "row 2, column 1: found \"L\u{fffd}mp\", expected a text in UTF-8: save the table as CSV UTF-8",
        ),
    ];
    for (text, said) in rows {
        assert_eq!(faults(text)[0], said, "{text}");
    }
}

#[test]
fn all_faults_are_told_and_nothing_is_half_read() {
    let text =
        "label;kind;draw (W);cost\nLamp;lamp;0;copper 1\nPump;pomp;6;\n\nHeater;heater;x;glass\n";
    assert_eq!(
        faults(text),
        [
            "row 2, column \"draw (W)\": found \"0\", expected a number from 1 to 1000000000",
            "row 3, column \"kind\": found \"pomp\", expected one of source, battery, load, tap, divider, busbar, \
             changeover, meter, contact, or a word such as lamp or solar panel",
            "row 5, column \"cost\": found \"glass\", expected materials with whole amounts, such as copper 3; glass 2",
            "row 5, column \"draw (W)\": found \"x\", expected a number",
        ]
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_book_comes_back_from_its_file(book in made_books::book()) {
        let value = book.to_value();
        let read = read_book(&value).unwrap();
        prop_assert_eq!(&read, &book);
        prop_assert_eq!(read.to_value(), value);
    }

    #[test]
    fn every_book_comes_back_from_its_table(book in made_books::book()) {
        let text = write_table(&book);
        let table = read_table(&text, &book.name);
        prop_assert!(table.is_ok(), "{:?}\n{}", table, text);
        prop_assert_eq!(table.unwrap().book, of_table(&book), "{}", text);
    }

    #[test]
    fn no_text_panics(text in "[label,draw;kind\t\n\" 0-9.\\PC]{0,80}", rest in "\\PC{0,60}") {
        let _ = read_table(&text, "own");
        let _ = read_table(&format!("label,kind,draw (W),settings,cost\n{text}\n{rest}"), "own");
    }
}
