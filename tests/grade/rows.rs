//! Many solutions as a table: names before links, plans' files, lines that can't be read, and cells for a spreadsheet.

use super::set_out::{exercise, read, solved, wired};
use duskline::plan::link::to_fragment;
use duskline::teach::{GradeRow, grade_row, grade_rows, grade_table, solution_texts};
use serde_json::{Value, json};

fn link(document: &Value) -> String {
    format!(
        "https://example.org/duskline/#{}",
        to_fragment(&read(document))
    )
}

fn row(text: &str) -> GradeRow {
    grade_row(&read(&exercise()), text).expect("an exercise")
}

#[test]
fn a_name_stands_before_a_link_in_several_ways() {
    let link = link(&solved());
    let bare = link.split_once('#').unwrap().1;
    for (text, who) in [
        (format!("Tern: {link}"), "Tern"),
        (format!("Tern the younger\t{link}"), "Tern the younger"),
        (format!("  Tern  the elder   {link}  "), "Tern  the elder"),
        (format!("Tern:{bare}"), "Tern"),
        (format!("Tern:{link}"), "Tern"),
        // Without a name it is who the plan says, or what it is called.
        (link.clone(), "Stair"),
        (bare.to_string(), "Stair"),
        (format!("\t{link}"), "Stair"),
        (solved().to_string(), "Stair"),
    ] {
        let row = row(&text);
        assert_eq!(row.who, who, "{text}");
        assert!(row.graded.expect("it reads").kept, "{text}");
    }
    let mut own = solved();
    own["exercise"]["who"] = "Skua".into();
    assert_eq!(row(&own.to_string()).who, "Skua");
}

#[test]
fn a_row_says_since_when_and_what_fails() {
    let mut exercise = exercise();
    exercise["exercise"]["trials"] = json!([{ "says": "no sun", "world": { "weather": [0] } }]);
    let found = grade_row(&read(&exercise), &wired().to_string()).expect("an exercise");
    let row = found.graded.expect("it reads");
    let since = row.since.expect("it fails");
    assert_eq!((since.trial, since.duty), (0, 0));
    assert_eq!(row.trial.as_deref(), Some("Plain days"));
    assert_eq!(row.since_said.as_deref(), Some("07:30"));
    let fails = row.fails.expect("it fails");
    assert!(fails.starts_with("Stair lamp goes dark"), "{fails}");
    assert_eq!(
        (row.kept, row.stars, row.most_stars, row.parts),
        (false, 0, 3, 0)
    );
}

#[test]
fn pasted_text_is_one_plan_or_a_line_each() {
    let plan = solved().to_string();
    assert_eq!(
        solution_texts(&format!("\u{feff}{plan}\n")),
        [format!("{plan}\n")]
    );
    assert_eq!(solution_texts("a\r\n\r\n b \n\n"), ["a", " b "]);
    assert!(solution_texts(" \n").is_empty());
}

#[test]
fn what_can_not_be_read_is_a_row_that_says_so_and_names_are_no_formulas() {
    let texts = [
        format!("=1+1: {}", link(&solved())),
        "+Tern: d1.abc".to_string(),
        "@nothing".to_string(),
        "{ \"format\": \"duskline/plan\" }".to_string(),
        format!("-2\t{}", link(&wired())),
    ];
    let rows = grade_rows(&read(&exercise()), &texts).expect("an exercise");
    let read: Vec<bool> = rows.iter().map(|row| row.graded.is_ok()).collect();
    assert_eq!(read, [true, false, false, false, true]);
    let table = grade_table(&rows);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let cells: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let column = |at: usize| -> Vec<&str> { cells.iter().map(|row| &row[at]).collect() };
    assert_eq!(column(0), ["'=1+1", "'+Tern", "", "", "'-2"]);
    assert_eq!(column(1), ["yes", "", "", "", "no"]);
    assert_eq!(column(2), ["3", "", "", "", "0"]);
    let unread = column(10);
    assert!(unread[0].is_empty() && unread[4].is_empty());
    assert!(unread[1].starts_with("This link is"), "{}", unread[1]);
    assert!(
        unread[2].starts_with("This is no link to a plan"),
        "{}",
        unread[2]
    );
    assert!(
        unread[3].starts_with("The plan can't be read: "),
        "{}",
        unread[3]
    );
    for row in &cells {
        for cell in row {
            assert!(!cell.starts_with(['=', '+', '-', '@']), "{cell}");
        }
    }
}
