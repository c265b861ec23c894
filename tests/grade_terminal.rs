//! `duskline grade` and `duskline walk` at the command line: links and lists beside files, forms, exit codes.

#![cfg(not(target_arch = "wasm32"))]

pub mod program;

use program::{err, out, run};
use serde_json::{Value, json};

const EXERCISE: &str = "assets/lessons/07-who-is-home.json";
const SOLVED: &str = "tests/fixtures/lessons/07-1.json";
const WRONG: &str = "tests/fixtures/lessons/wrong-07-switch-in-reach.json";

fn link(file: &str) -> String {
    let output = run(
        &["link", file, "--base", "https://example.org/duskline/"],
        "",
    );
    out(&output).trim_end().to_string()
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

#[test]
fn one_solution_is_laid_out_for_reading_and_its_exit_code_says_whether_it_is_kept() {
    let kept = run(&["grade", EXERCISE, SOLVED], "");
    assert_eq!(kept.status.code(), Some(0));
    let text = out(&kept);
    assert!(
        text.starts_with("Solved: every duty is kept, on plain days and in all 2 trials.\n"),
        "{text}"
    );
    assert!(
        text.ends_with("2 of 3 stars. Built: 1 part, 1 in materials.\n"),
        "{text}"
    );
    let wrong = run(&["grade", EXERCISE, WRONG], "");
    assert_eq!(wrong.status.code(), Some(1));
    assert!(out(&wrong).contains(
        "\na stranger throws the causeway switch: not kept\n- Causeway door lock does not run"
    ));
}

#[test]
fn exercise_and_solution_come_as_a_file_as_a_link_or_from_the_standard_input() {
    let told = out(&run(&["grade", EXERCISE, SOLVED, "--json"], "")).to_string();
    let (exercise, solved) = (link(EXERCISE), link(SOLVED));
    let file = std::fs::read_to_string(SOLVED).expect("a file");
    for (arguments, input) in [
        ([exercise.as_str(), solved.as_str()], ""),
        ([EXERCISE, solved.split_once('#').expect("a link").1], ""),
        ([EXERCISE, "-"], file.as_str()),
    ] {
        let output = run(&["grade", arguments[0], arguments[1], "--json"], input);
        assert_eq!(out(&output), told, "{arguments:?}");
    }
    let answer = parsed(&told);
    let one = &answer["solutions"][0];
    assert_eq!(
        (&one["kept"], &one["stars"], &one["since"]),
        (&json!(true), &json!(2), &Value::Null)
    );
    assert_eq!(one["trials"].as_array().map(Vec::len), Some(3));
}

#[test]
fn a_list_is_a_table_in_which_an_unread_line_is_a_row() {
    let list = format!(
        "Tern: {}\n\nSkua\t{}\n=Auk: d1.abc\n",
        link(SOLVED),
        link(WRONG)
    );
    let output = run(&["grade", EXERCISE, "-", "--csv"], &list);
    assert_eq!(output.status.code(), Some(1));
    let mut reader = csv::Reader::from_reader(out(&output).as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let cells = |at: usize| -> Vec<&str> { rows.iter().map(|row| &row[at]).collect() };
    assert_eq!(cells(0), ["Tern", "Skua", "'=Auk"]);
    assert_eq!(cells(1), ["yes", "no", ""]);
    assert_eq!(cells(7), ["", "a stranger throws the causeway switch", ""]);
    assert!(rows[2][10].starts_with("This link is"), "{}", &rows[2][10]);
    // Bare texts of links do for a list, too.
    let bare = link(SOLVED)
        .split_once('#')
        .map(|(_, bare)| format!("Tern:{bare}\n"));
    let output = run(&["grade", EXERCISE, "-"], &bare.expect("a link"));
    assert_eq!(output.status.code(), Some(0));
    let text = run(&["grade", EXERCISE, "-"], &list);
    let lines: Vec<&str> = out(&text).lines().collect();
    assert_eq!(lines.len(), 4);
    assert!(
        lines[0].starts_with("who ") && lines[1].starts_with("Tern "),
        "{lines:?}"
    );
    let json = parsed(out(&run(&["grade", EXERCISE, "-", "--json"], &list)));
    assert!(json["solutions"][2]["error"].is_string() && json["solutions"][2]["kept"].is_null());
}

#[test]
fn what_can_not_be_read_is_exit_code_2_with_what_was_expected() {
    for (arguments, input, expected) in [
        (vec!["grade", EXERCISE], "", "<SOLUTION>"),
        (
            vec!["grade", EXERCISE, "no such file"],
            "",
            "no such file: ",
        ),
        (vec!["grade", EXERCISE, "d1.abc"], "", "This link is"),
        (
            vec!["grade", EXERCISE, "-"],
            "neither\n",
            "-: found no plan and no link, expected a plan or a link a line\n",
        ),
        (
            vec!["grade", EXERCISE, "-"],
            "",
            "-: found no plan and no link, expected a plan or a link a line\n",
        ),
        (vec!["grade", EXERCISE, "-"], "{}", "-: "),
        (
            vec!["grade", "assets/examples/dusk-lamp.json", SOLVED],
            "",
            "assets/examples/dusk-lamp.json: this plan sets no exercise: its file has no field \"exercise\"\n",
        ),
        (
            vec!["walk", "assets/examples/dusk-lamp.json"],
            "",
            "assets/examples/dusk-lamp.json: found no walk, expected a plan with a field \"walk\" that has steps\n",
        ),
        (
            vec!["walk", EXERCISE, "--step", "99"],
            "",
            "--step 99: found no such step, expected 1 to 8\n",
        ),
        (vec!["walk", EXERCISE, "--as-plan"], "", "--step <N>"),
    ] {
        let output = run(&arguments, input);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            err(&output).contains(expected),
            "{arguments:?}: {}",
            err(&output)
        );
        assert_eq!(out(&output), "", "{arguments:?}");
    }
}

#[test]
fn the_board_of_each_step_of_a_walk_is_a_plan_with_what_the_walk_says_is_there() {
    let walk = parsed(out(&run(&["walk", EXERCISE, "--json"], "")));
    let steps = walk["steps"].as_array().expect("steps");
    for step in steps {
        let n = step["n"].to_string();
        let output = run(&["walk", EXERCISE, "--step", &n, "--as-plan"], "");
        let plan = parsed(out(&output));
        let ids = |key: &str| -> Vec<Value> {
            let list = plan[key].as_array().expect("a list").iter();
            list.map(|thing| thing["id"].clone()).collect()
        };
        assert_eq!(json!(ids("parts")), step["parts"]);
        assert_eq!(json!(ids("wires")), step["wires"]);
        let solved = run(&["solve", "-", "--at", "12:00", "--json"], out(&output));
        assert_ne!(solved.status.code(), Some(2), "{}", err(&solved));
        let only = parsed(out(&run(&["walk", EXERCISE, "--step", &n, "--json"], "")));
        assert_eq!(only["steps"], json!([step]));
    }
    assert_eq!(steps.len(), 8);
    let text = out(&run(&["walk", EXERCISE, "--step", "1"], "")).to_string();
    assert!(
        text.contains("\nStep 1 of 8") && text.contains("\nOn the board: "),
        "{text}"
    );
    // A link carries the walk as the file does.
    assert_eq!(
        out(&run(&["walk", &link(EXERCISE)], "")),
        out(&run(&["walk", EXERCISE], ""))
    );
}
