//! Books at the command line: a book as a table and as its own file, a table as a book, and the caution of a book.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;

use program::{err, out, run};
use serde_json::{Value, json};

#[test]
fn each_built_in_book_is_printed_in_every_form() {
    for name in ["outpost", "harbour", "bare"] {
        let table = std::fs::read_to_string(format!("tests/fixtures/books/{name}.csv")).unwrap();
        assert_eq!(out(&run(&["book", name, "--csv"], "")), table);
        let file = run(&["book", name, "--file"], "");
        let value: Value = serde_json::from_slice(&file.stdout).unwrap();
        assert_eq!(value["name"], name);
        assert_eq!(out(&run(&["book", "-", "--file"], out(&file))), out(&file));
        let answer: Value =
            serde_json::from_slice(&run(&["book", name, "--json"], "").stdout).unwrap();
        let count = |value: &Value| value["types"].as_array().unwrap().len();
        assert_eq!(count(&answer), count(&value));
        assert!(out(&run(&["book", name], "")).starts_with(&format!("{name}: ")));
    }
    let both = run(&["book", "bare", "--csv", "--json"], "");
    assert_eq!(both.status.code(), Some(2));
}

#[test]
fn powers_are_told_in_the_unit_where_a_step_is_not_one_of_it() {
    let harbour = run(&["book", "harbour"], "");
    let gateway = out(&harbour)
        .lines()
        .find(|line| line.starts_with("gateway "))
        .unwrap();
    assert!(gateway.contains("draw 6 W"), "{gateway}");
    assert!(
        out(&harbour)
            .trim_end()
            .ends_with("are the work of licensed people.")
    );
    let outpost = run(&["book", "outpost"], "");
    assert!(out(&outpost).contains("draw 2, short pass"));
}

#[test]
fn a_table_becomes_a_book_and_says_what_it_took() {
    let file = run(
        &[
            "book",
            "tests/fixtures/books/table-semicolon-commas.csv",
            "--file",
        ],
        "",
    );
    assert_eq!(file.status.code(), Some(0));
    let value: Value = serde_json::from_slice(&file.stdout).unwrap();
    assert_eq!(value["name"], "table-semicolon-commas");
    assert_eq!((&value["unit"], &value["step"]), (&json!("W"), &json!(0.1)));
    assert_eq!(value["types"][0]["peak"], 365);
    assert_eq!(
        err(&file),
        "A step of power is 0.1 W.\n\
         Row 4 has nothing for \"output off at\": 0 % is taken.\n\
         Row 4 has nothing for \"output on again at\": 10 % is taken.\n\
         Row 4 has nothing for \"takes at most\": 60 W is taken.\n"
    );
    let lax = run(&["book", "-"], "name; watts; kind\nDeck lamp; 6; lamp\n");
    assert!(out(&lax).starts_with("table: 1 part types. A step of power is 1 W,"));
}

#[test]
fn a_damaged_table_is_told_row_by_row() {
    let found = run(
        &["book", "-", "--file"],
        "label,kind,draw\nLamp,lump,2\nPump,pump,two\n",
    );
    assert_eq!((found.status.code(), out(&found)), (Some(2), ""));
    assert_eq!(
        err(&found),
        "-: row 2, column \"kind\": found \"lump\", expected one of source, battery, load, tap, divider, busbar, \
         changeover, meter, contact, or a word such as lamp or solar panel\n\
         -: row 3, column \"draw\": found \"two\", expected a number\n"
    );
}

#[test]
fn what_a_book_warns_of_stands_beside_every_answer() {
    let plan = |book: &str| {
        let load = if book == "bare" { "load" } else { "other-load" };
        let parts = json!([{ "id": "p1", "type": load, "at": [0, 0] }]);
        json!({ "format": "duskline/plan", "version": 1, "book": book, "parts": parts, "wires": [] }).to_string()
    };
    for arguments in [
        &["check", "-"][..],
        &["day", "-", "--json"],
        &["gather", "-"],
        &["solve", "-", "--at", "12:00"],
    ] {
        let found = run(arguments, &plan("harbour"));
        assert!(
            err(&found).contains("real installations follow local codes"),
            "{arguments:?}"
        );
        assert!(!out(&found).contains("local codes"), "{arguments:?}");
        assert_eq!(err(&run(arguments, &plan("bare"))), "", "{arguments:?}");
    }
}

#[test]
fn a_link_may_carry_only_the_types_that_are_used() {
    let table = run(
        &["book", "tests/fixtures/books/table-comma-lf.csv", "--file"],
        "",
    );
    let book: Value = serde_json::from_slice(&table.stdout).unwrap();
    let plan = json!({
        "format": "duskline/plan", "version": 1, "book": book,
        "parts": [{ "id": "p1", "type": "lamp", "at": [0, 0] }], "wires": [],
    });
    let opened = |arguments: &[&str]| -> Value {
        let link = run(arguments, &plan.to_string());
        let file = run(&["open", "-"], out(&link));
        serde_json::from_slice(&file.stdout).unwrap()
    };
    assert_eq!(opened(&["link", "-"])["book"]["types"], book["types"]);
    let used = opened(&["link", "-", "--used-types"]);
    assert_eq!(used["book"]["types"], json!([book["types"][3]]));
    assert_eq!(used["parts"], plan["parts"]);
}
