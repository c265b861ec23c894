//! Rows as they are typed: what counts, what is told of the rest, and that nothing typed is lost.

use super::*;
use crate::diagnosis::base_reading::{Shows, Trend};
use crate::net::testing::plan;
use crate::plan::{PartId, WireId};

fn small() -> Plan {
    plan(
        r#"{ "parts": { "gen": "generator", "cell": "battery", "door": "switch", "lamp": "lamp" },
             "wires": ["gen.out cell.in", "cell.out door.feed", "door.out lamp.in"] }"#,
    )
}

fn part(id: &str) -> Readable {
    Readable::Part(PartId::from(id))
}

fn row(of: Readable, shows: &str, day: &str, time: &str) -> ReadingEntry {
    let of = Some(of);
    let [shows, day, time] = [shows, day, time].map(String::from);
    ReadingEntry {
        of,
        shows,
        day,
        time,
    }
}

fn entries(rows: impl IntoIterator<Item = ReadingEntry>) -> ReadingEntries {
    let mut entries = ReadingEntries::default();
    for row in rows {
        entries.push(row).expect("room for a row");
    }
    entries
}

#[test]
fn a_row_counts_once_all_of_it_is_typed_and_the_day_may_be_left_out() {
    let plan = small();
    let day_ms = plan.world.day_ms();
    let wire = Readable::Wire(WireId::from("w3"));
    for (typed, shows, at) in [
        (
            row(part("lamp"), "off", "", "21:00"),
            Shows::Runs(false),
            75_600_000,
        ),
        (
            row(part("door"), "open", "1", "0:00"),
            Shows::Conducts(false),
            0,
        ),
        (
            row(part("cell"), "still", "2", "00:00:01"),
            Shows::Moves(Trend::Still),
            day_ms + 1000,
        ),
        (
            row(wire, " 12 ", " 3 ", " 24:00 "),
            Shows::Takes(12),
            3 * day_ms,
        ),
    ] {
        let of = typed.of.clone().expect("it is of something");
        let read = typed.read(&plan);
        assert_eq!(
            read.reading,
            Some(BaseReading { of, shows, at }),
            "{typed:?}"
        );
        assert_eq!((read.wrong.len(), read.lacks), (0, None));
    }
}

#[test]
fn what_is_not_typed_yet_is_told_as_the_next_thing_to_do_and_is_no_fault() {
    let plan = small();
    let lacks = |typed: ReadingEntry| {
        let read = typed.read(&plan);
        assert_eq!((read.reading, read.wrong.len()), (None, 0), "{typed:?}");
        read.lacks
    };
    let said = |field| Some(next_field_says(field));
    assert_eq!(lacks(ReadingEntry::default()), said(ReadingField::Of));
    assert_eq!(
        lacks(row(part("lamp"), "", "", "21:00")),
        said(ReadingField::Shows)
    );
    assert_eq!(
        lacks(row(part("lamp"), "off", "2", "")),
        said(ReadingField::Time)
    );
}

#[test]
fn a_wrong_entry_is_told_by_its_field_and_kept() {
    let plan = small();
    let wire = Readable::Wire(WireId::from("w1"));
    for (typed, field, told) in [
        (
            row(part("gone"), "off", "", "21:00"),
            ReadingField::Of,
            "gone",
        ),
        (
            row(part("gen"), "runs", "", "21:00"),
            ReadingField::Of,
            "gen",
        ),
        (
            row(part("lamp"), "open", "", "21:00"),
            ReadingField::Shows,
            "runs or off",
        ),
        (
            row(wire.clone(), "a few", "", "21:00"),
            ReadingField::Shows,
            "whole steps",
        ),
        (
            row(wire, "-1", "", "21:00"),
            ReadingField::Shows,
            "whole steps",
        ),
        (
            row(part("lamp"), "off", "0", "21:00"),
            ReadingField::Day,
            "from 1 to 100000",
        ),
        (
            row(part("lamp"), "off", "x", "21:00"),
            ReadingField::Day,
            "from 1 to 100000",
        ),
        (
            row(part("lamp"), "off", "", "24:01"),
            ReadingField::Time,
            "00:00 to 24:00",
        ),
        (
            row(part("lamp"), "off", "", "noon"),
            ReadingField::Time,
            "00:00 to 24:00",
        ),
    ] {
        let kept = entries([typed.clone()]);
        let read = kept.read(&plan).remove(0);
        assert_eq!((&read.reading, read.lacks), (&None, None), "{typed:?}");
        let fields: Vec<_> = read.wrong.keys().copied().collect();
        assert_eq!(fields, [field], "{typed:?}");
        assert!(read.wrong[&field].contains(told), "{}", read.wrong[&field]);
        assert_eq!(kept.rows()[0].1, typed);
    }
    let two = row(part("lamp"), "of", "", "noon").read(&plan);
    assert_eq!(two.wrong.len(), 2, "every fault of a row is told");
}

#[test]
fn of_two_rows_of_one_thing_at_one_moment_the_later_does_not_count() {
    let plan = small();
    let rows = entries([
        row(part("lamp"), "off", "", "21:00"),
        row(part("lamp"), "runs", "1", "21:00:00"),
        row(part("lamp"), "runs", "2", "21:00"),
    ]);
    let read = rows.read(&plan);
    let counts: Vec<bool> = read.iter().map(|read| read.reading.is_some()).collect();
    assert_eq!(counts, [true, false, true]);
    assert!(read[1].wrong[&ReadingField::Of].contains("same thing at the same time"));
    assert_eq!(rows.readings(&plan).len(), 2);
}

#[test]
fn adding_takes_the_place_of_a_reading_of_the_same_thing_and_time() {
    let plan = small();
    let reading = |shows, at| BaseReading {
        of: part("lamp"),
        shows,
        at,
    };
    let noon = plan.world.day_ms() / 2;
    let mut rows = ReadingEntries::default();
    let first = rows.add(&plan, &reading(Shows::Runs(true), noon));
    let again = rows.add(&plan, &reading(Shows::Runs(false), noon));
    assert_eq!(first, again);
    assert_eq!(rows.readings(&plan), [reading(Shows::Runs(false), noon)]);
    rows.add(&plan, &reading(Shows::Runs(true), 0));
    assert_eq!(rows.readings(&plan).len(), 2);
    // A row that is only begun is filled in.
    let begun = rows.begin(&plan, &part("door"), 0);
    assert_eq!(rows.begin(&plan, &part("door"), 0), begun);
    let door = BaseReading {
        of: part("door"),
        shows: Shows::Conducts(true),
        at: 0,
    };
    assert_eq!(rows.add(&plan, &door), begun);
    assert!(rows.readings(&plan).contains(&door));
}

#[test]
fn choosing_something_else_keeps_what_that_can_show() {
    let plan = small();
    let mut rows = entries([row(part("lamp"), "off", "", "21:00")]);
    let number = rows.rows()[0].0;
    let shows = |rows: &ReadingEntries| rows.rows()[0].1.shows.clone();
    rows.choose(&plan, number, Some(part("lamp")));
    assert_eq!(shows(&rows), "off");
    rows.choose(&plan, number, Some(part("cell")));
    assert_eq!(shows(&rows), "");
    let words = ShowsEntry::Words(vec!["rises", "falls", "still"]);
    assert_eq!(rows.rows()[0].1.shows_entry(&plan), words);
    rows.choose(&plan, number, None);
    assert_eq!(rows.rows()[0].1.shows_entry(&plan), ShowsEntry::Nothing);
}

#[test]
fn rows_are_kept_as_a_text_and_another_text_is_none() {
    let mut rows = entries([
        row(part("lamp"), "a bit", "x", "noon"),
        row(Readable::Wire(WireId::from("w1")), "5", "2", "9:30"),
        ReadingEntry::default(),
    ]);
    let again = ReadingEntries::of_draft(&rows.draft()).expect("its own text");
    assert_eq!(again, rows);
    let last = rows.rows()[2].0;
    rows.clear();
    assert!(rows.is_empty());
    assert!(
        rows.push(ReadingEntry::default()) > Some(last),
        "numbers are not given again"
    );
    for text in ["", "{}", "[1]", r#"[{"of":7}]"#] {
        assert_eq!(ReadingEntries::of_draft(text), None, "{text}");
    }
    let many = format!("[{}]", vec!["{}"; READINGS + 1].join(","));
    assert_eq!(ReadingEntries::of_draft(&many), None);
}
