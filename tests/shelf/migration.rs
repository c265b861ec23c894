//! Earlier stored forms, each as a fixture, taken over.

use super::*;

const PREFIX: &str = "duskline:/duskline/:";

fn pairs(text: &str) -> BTreeMap<String, String> {
    serde_json::from_str(text).unwrap()
}

fn migrated(shelf: &Shelf, pairs: &BTreeMap<String, String>) -> duskline::shelf::Migration {
    migrate(
        shelf,
        pairs
            .iter()
            .map(|(name, text)| (name.as_str(), text.as_str())),
        PREFIX,
    )
}

/// The shelf that comes of a fixture; every text of a plan is kept to the letter.
fn taken(text: &str) -> (Shelf, Stored, duskline::shelf::Migration) {
    let pairs = pairs(text);
    let found = migrated(&Shelf::default(), &pairs);
    let mut store = MemoryStore::default();
    let shelf = done(&mut store, found.change.clone());
    is_whole(&store, &shelf);
    for (key, _) in store.stored().of(Store::Plans) {
        let text = Record::read(store.stored().get(Store::Plans, key).unwrap()).text;
        let names = [
            format!("{PREFIX}plan/{key}"),
            format!("duskline/plan/{key}"),
        ];
        let was = names.iter().find_map(|name| pairs.get(name)).unwrap();
        assert_eq!(text, was);
    }
    // Again: nothing more.
    assert_eq!(migrated(&shelf, &pairs).change.writes, []);
    (shelf, store.stored().clone(), found)
}

fn told(shelf: &Shelf) -> Vec<(String, String, u64, bool)> {
    let one = |e: &duskline::shelf::Entry| (e.key.clone(), e.name(), e.facts.parts, e.damaged);
    shelf
        .list(&Filter::default(), Sort::Changed)
        .into_iter()
        .map(one)
        .collect()
}

fn row(key: &str, name: &str, parts: u64) -> (String, String, u64, bool) {
    (key.into(), name.into(), parts, false)
}

#[test]
fn the_first_form_is_taken_over_in_its_order() {
    let (shelf, _, found) = taken(include_str!("../fixtures/stored/1-first.json"));
    assert_eq!(
        told(&shelf),
        [row("a1", "Ledge", 2), row("b2", "Untitled", 1)]
    );
    assert_eq!(found.open.as_deref(), Some("a1"));
    assert_eq!(
        found.taken.len(),
        4,
        "the theme is not the shelf's: {:?}",
        found.taken
    );
}

#[test]
fn variants_come_with_their_plan() {
    let (shelf, stored, _) = taken(include_str!("../fixtures/stored/2-variants.json"));
    assert_eq!(told(&shelf), [row("a1", "Ledge", 2)]);
    let variants: Vec<_> = stored.of(Store::Variants).collect();
    assert_eq!(variants.len(), 1);
    let list: Value = serde_json::from_str(variants[0].1).unwrap();
    assert_eq!(
        (variants[0].0, &list[0]["name"]),
        ("a1", &json!("Two more"))
    );
}

#[test]
fn of_the_form_with_a_path_only_this_page_s_names_are_taken() {
    let (shelf, _, found) = taken(include_str!("../fixtures/stored/3-with-path.json"));
    assert_eq!(
        told(&shelf),
        [row("b2", "Tern cove", 3), row("a1", "Ledge", 2)]
    );
    assert_eq!(found.open.as_deref(), Some("b2"));
    assert!(found.taken.iter().all(|name| name.starts_with(PREFIX)));
}

#[test]
fn times_and_numbers_of_today_s_form_are_kept_and_what_is_gone_is_told() {
    let (shelf, stored, found) = taken(include_str!("../fixtures/stored/4-with-parts.json"));
    assert_eq!(
        told(&shelf),
        [
            row("a1", "Ledge", 2),
            row("b2", "Untitled 2", 1),
            row("c3", "Untitled", 0)
        ]
    );
    let entry = shelf.entry("a1").unwrap();
    assert_eq!(
        (entry.facts.changed, entry.facts.notes.as_str()),
        (1_764_200_000_000, "By the kiln")
    );
    assert_eq!(
        (found.missing, found.open),
        (vec!["Gone".to_string()], None)
    );
    let first = Versions::read(&stored, "a1");
    assert_eq!(
        first.all().iter().map(|head| head.at).collect::<Vec<_>>(),
        [1_764_200_000_000]
    );
}

#[test]
fn where_both_forms_have_a_plan_the_later_one_counts() {
    let (shelf, _, _) = taken(include_str!("../fixtures/stored/half-taken-over.json"));
    assert_eq!(
        told(&shelf),
        [row("a1", "Ledge", 4), row("b2", "Tern cove", 3)]
    );
}

#[test]
fn a_damaged_list_loses_no_plan_and_a_damaged_plan_stays_as_it_is() {
    let (shelf, _, found) = taken(include_str!("../fixtures/stored/damaged.json"));
    let mut all = told(&shelf);
    all.sort();
    assert_eq!(all[0], row("a1", "Ledge", 2));
    // A text that is cut off tells nothing; one with a wrong type tells its title.
    assert_eq!(all[1], ("b2".into(), "Untitled".into(), 0, true));
    assert_eq!(all[2], ("c3".into(), "Kiln".into(), 1, true));
    assert_eq!(found.open.as_deref(), Some("a1"));
}

#[test]
fn an_example_that_was_left_as_it_is_is_known_as_one() {
    let plan = read_plan(examples()[1].1).unwrap();
    let pairs = BTreeMap::from([(format!("{PREFIX}plan/a"), text_of(&plan))]);
    let found = migrated(&Shelf::default(), &pairs);
    assert_eq!(
        found.change.after.entry("a").unwrap().own.origin,
        Origin::Example
    );
}
