//! What is to be gathered, held from outside: the table against a reader of comma-separated values, the list against sums
//! made here from the book.

use duskline::plan::{Plan, examples, read_plan};
use duskline::sheet::bill_said::gather_text;
use duskline::works::csv::bill_table;
use duskline::works::{Bill, GatherList, StockEntries, StockItem};
use std::collections::BTreeMap;

fn plans() -> impl Iterator<Item = Plan> {
    let read =
        |(name, text): &(&str, &str)| read_plan(text).unwrap_or_else(|e| panic!("{name}: {e:?}"));
    examples().iter().map(read)
}

/// Some of everything: of every second type one more than nothing, of the rest more than enough.
fn some(plan: &Plan) -> StockEntries {
    let mut entries = StockEntries::default();
    for (at, line) in Bill::of(plan).parts.iter().enumerate() {
        let there = if at % 2 == 0 { "1" } else { "4000" };
        entries.enter(&StockItem::Part(line.kind.clone()), there);
    }
    entries.enter(&StockItem::Material("copper".into()), "3");
    entries.enter(&StockItem::Material("glass".into()), "some");
    entries
}

#[test]
fn the_table_reads_back_as_the_list_has_it() {
    for plan in plans() {
        let list = GatherList::of(&plan, &some(&plan));
        let text = bill_table(&list.bill, Some(&list.missing));
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<(String, String, String, u64, u64)> = reader
            .deserialize()
            .map(|row| row.expect("a row"))
            .collect();
        let row = |kind: &str, item: &StockItem, label: &str, needed, lacks| {
            let (StockItem::Part(name) | StockItem::Material(name)) = item;
            (
                kind.to_string(),
                name.clone(),
                label.to_string(),
                needed,
                lacks,
            )
        };
        let parts = list.parts.iter();
        let parts = parts.map(|r| row("part", &r.item, &r.label, r.needed, r.lacks));
        let materials = list.materials.iter();
        let materials = materials.map(|r| row("material", &r.item, &r.label, r.needed, r.lacks));
        assert_eq!(rows, parts.chain(materials).collect::<Vec<_>>());
    }
}

#[test]
fn names_of_a_stranger_s_book_stay_texts_in_a_spreadsheet() {
    let text = r#"{ "format": "duskline/plan", "version": 1, "wires": [], "parts": [ { "id": "p1", "type": "lamp", "count": 2 } ],
        "book": { "format": "duskline/book", "version": 1, "name": "own", "label": "Own", "unit": "u", "step": 1, "lag_ms": 100,
        "types": [ { "type": "lamp", "label": "=HYPERLINK(\"a\",\"b, c\")", "group": "g", "symbol": "lamp", "behaviour": "load", "draw": 4,
        "cost": { "+copper": 1, "two\nlines": 3 } } ] } }"#;
    let plan = read_plan(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let bill = Bill::of(&plan);
    let table = bill_table(&bill, None);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<[String; 4]> = reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect();
    assert_eq!(
        rows[0],
        ["part", "lamp", "'=HYPERLINK(\"a\",\"b, c\")", "2"]
    );
    assert_eq!(rows[1], ["material", "'+copper", "'+copper", "2"]);
    assert_eq!(rows[2], ["material", "two\nlines", "two\nlines", "6"]);
    let plain = gather_text(&bill, None, None);
    assert!(plain.contains("two lines"), "{plain}");
}

#[test]
fn a_row_lacks_what_is_needed_and_not_there() {
    for plan in plans() {
        let list = GatherList::of(&plan, &some(&plan));
        let mut materials: BTreeMap<&str, u64> = BTreeMap::new();
        for row in &list.parts {
            let there: u64 = row.there.parse().expect("a number");
            assert_eq!(row.lacks, row.needed.saturating_sub(there));
            let StockItem::Part(kind) = &row.item else {
                panic!("a part");
            };
            for (material, amount) in &plan.book.book.find(kind).expect("a type").cost {
                *materials.entry(material).or_default() += amount * row.lacks;
            }
        }
        for row in &list.materials {
            let there = row.there.parse().unwrap_or(0);
            let for_parts = materials.get(row.label.as_str()).copied().unwrap_or(0);
            assert_eq!(row.lacks, for_parts.saturating_sub(there), "{}", row.label);
        }
        let wrong = list.materials.iter().filter(|row| row.wrong.is_some());
        assert!(
            wrong
                .map(|row| row.label.as_str())
                .all(|label| label == "glass")
        );
    }
}

#[test]
fn what_is_there_and_not_needed_is_listed_apart() {
    let plan = plans().next().expect("an example");
    let mut entries = some(&plan);
    let needed = GatherList::of(&plan, &entries);
    assert!(needed.others.iter().all(|row| row.needed == 0));
    entries.enter(&StockItem::Part("no such type".into()), "7");
    let list = GatherList::of(&plan, &entries);
    let added: Vec<_> = list
        .others
        .iter()
        .filter(|row| !needed.others.contains(row))
        .collect();
    assert_eq!(added.len(), 1);
    assert_eq!(
        (added[0].label.as_str(), added[0].there.as_str()),
        ("no such type", "7")
    );
    assert_eq!(list.missing, needed.missing);
}
