//! The whole shelf as a file, taken in again.

use super::*;

fn keys() -> impl FnMut() -> String {
    let mut next = 0;
    move || {
        next += 1;
        format!("new{next}")
    }
}

fn sands(day_s: u64) -> NamedWorld {
    let text = json!({ "format": WORLD_FORMAT, "version": 1, "id": "k1", "name": "Kittiwake sands",
        "book": "outpost", "world": { "day_s": day_s } });
    read_world(&text.to_string()).unwrap()
}

fn book(lag: u64) -> Value {
    json!({ "name": "mine", "lag_ms": lag, "types": [{ "type": "gen", "behaviour": "source", "peak": 12, "profile": "steady" }] })
}

fn full() -> (Shelf, MemoryStore) {
    let (shelf, mut store) = shelf_of(&[
        ("a", plan("Ledge", 2)),
        ("b", plan("", 1)),
        ("c", plan("Kiln", 3)),
    ]);
    let shelf = done(&mut store, shelf.tag("a", &["shore".into()]));
    let open = Open::of(shelf.entry("a").unwrap());
    let versions = Versions::read(store.stored(), "a");
    let save = Save {
        now: NOW + 120_000,
        versions: Some((&versions, TODAY)),
        ..Save::default()
    };
    let shelf = done(
        &mut store,
        shelf.save(&open, &plan("Ledge", 4), &save).change,
    );
    let shelf = done(&mut store, shelf.bin("c", NOW));
    let shelf = done(&mut store, shelf.keep_world("w", &sands(3600)));
    let shelf = done(&mut store, shelf.keep_book("x", &book(50)));
    (shelf, store)
}

#[test]
fn an_empty_shelf_takes_all_in_with_tags_versions_and_the_bin() {
    let (shelf, store) = full();
    let text = export(&shelf, store.stored());
    let mut other = MemoryStore::default();
    let found = import(&Shelf::default(), &text, NOW, &mut keys()).unwrap();
    assert_eq!(found.faults, []);
    assert_eq!(
        found.added,
        ["Ledge", "Untitled", "Kiln", "Kittiwake sands", "mine"]
    );
    let here = done(&mut other, found.change);
    is_whole(&other, &here);
    let again = export(&here, other.stored());
    let (a, b): (Value, Value) = (
        serde_json::from_str(&text).unwrap(),
        serde_json::from_str(&again).unwrap(),
    );
    assert_eq!(a, b);
    let key = here
        .entries
        .values()
        .find(|e| e.facts.title == "Ledge")
        .unwrap()
        .key
        .clone();
    assert_eq!(Versions::read(other.stored(), &key).all().len(), 2);
}

#[test]
fn what_is_alike_is_not_doubled_and_what_is_otherwise_is_kept_beside_with_a_number() {
    let (shelf, mut store) = full();
    let text = export(&shelf, store.stored());
    let same = import(&shelf, &text, NOW, &mut keys()).unwrap();
    assert_eq!(
        (same.same, &same.added[..], &same.change.writes[..]),
        (5, &[][..], &[][..])
    );
    let open = Open::of(shelf.entry("a").unwrap());
    let shelf = done(
        &mut store,
        shelf
            .save(&open, &plan("Ledge", 7), &Save::default())
            .change,
    );
    let shelf = done(&mut store, shelf.keep_world("w", &sands(7200)));
    let shelf = done(&mut store, shelf.keep_book("x", &book(60)));
    let found = import(&shelf, &text, NOW, &mut keys()).unwrap();
    let pair = |a: &str, b: &str| (a.to_string(), b.to_string());
    assert_eq!(
        found.renamed,
        [
            pair("Ledge", "Ledge 2"),
            pair("Kittiwake sands", "Kittiwake sands 2"),
            pair("mine", "mine 2")
        ]
    );
    assert_eq!(found.same, 2);
    let shelf = done(&mut store, found.change);
    assert_eq!(
        kept(store.stored(), "a"),
        Some(plan("Ledge", 7)),
        "what is there stays"
    );
    is_whole(&store, &shelf);
    let again = import(&shelf, &text, NOW, &mut keys()).unwrap();
    assert_eq!(
        (again.same, again.added.len()),
        (5, 0),
        "nor is it doubled the next time"
    );
}

#[test]
fn damaged_entries_are_told_by_their_place_and_the_rest_is_taken() {
    let (shelf, store) = full();
    let mut file: Value = serde_json::from_str(&export(&shelf, store.stored())).unwrap();
    file["plans"][1]["plan"]["parts"][0]["type"] = json!("lampp");
    file["plans"][2]["plan"] = json!([]);
    file["plans"][0]["history"][1]["text"] = json!("cut");
    file["plans"][0]["tags"] = json!(["shore", 7]);
    file["plans"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "text": "{" }));
    file["worlds"][0]["world"]["day_s"] = json!(-1);
    file["books"]
        .as_array_mut()
        .unwrap()
        .push(json!({ "name": "other" }));
    let found = import(&Shelf::default(), &file.to_string(), NOW, &mut keys()).unwrap();
    let told: Vec<String> = found.faults.iter().map(|f| f.to_string()).collect();
    let expected = [
        "plans[0].tags[1]: found 7, expected a text",
        "plans[0].history[1]: found an object, expected a version of the plan",
        "plans[1].plan.parts[0].type: found \"lampp\", expected a part type of the book",
        "plans[2].plan: found a list of 0, expected an object",
        "plans[3].plan: found a text that is no JSON, expected a plan",
        "worlds[0].world.day_s: found -1, expected a number from 0.001 to 100000000",
        "books[1].types: found nothing, expected a list of part types",
    ];
    assert_eq!(told, expected);
    assert_eq!(found.added, ["Ledge", "mine"]);
    assert_eq!(
        found.change.after.entries.values().next().unwrap().own.tags,
        ["shore"]
    );
}

#[test]
fn a_file_that_is_no_shelf_says_so() {
    let said =
        |text: &str| import(&Shelf::default(), text, NOW, &mut keys()).unwrap_err()[0].to_string();
    assert_eq!(said("[]"), "shelf: found a list of 0, expected an object");
    assert_eq!(
        said(&text_of(&plan("", 0))),
        "format: found \"duskline/plan\", expected \"duskline/shelf\""
    );
    assert_eq!(
        said("{\"format\":\"duskline/shelf\",\"version\":2}"),
        "version: found 2, expected 1; this shelf was made by a newer Duskline: update this one"
    );
}

#[test]
fn a_crash_while_a_file_is_taken_in_leaves_whole_plans() {
    let (shelf, store) = full();
    let text = export(&shelf, store.stored());
    let change = import(&Shelf::default(), &text, NOW, &mut keys())
        .unwrap()
        .change;
    for after in 0..change.writes.len() {
        let mut store = MemoryStore::default();
        store.fail(Some((after, Failure::Crash)));
        store.write(&change.writes).unwrap_err();
        let found = mend(store.stored());
        assert!(
            found
                .told
                .iter()
                .all(|m| matches!(m, Mended::Rest(_) | Mended::Facts(..))),
            "{:?}",
            found.told
        );
        let mut stored = store.stored().clone();
        stored.write_all(&found.writes);
        for key in found.shelf.entries.keys() {
            assert!(kept(&stored, key).is_some());
        }
    }
}
