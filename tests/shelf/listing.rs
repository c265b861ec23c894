//! What is listed, in which order, and what is done with plans on the shelf.

use super::*;
use duskline::shelf::{KnownVerdict, ShelfVerdict};

fn names(shelf: &Shelf, filter: &Filter, sort: Sort) -> Vec<String> {
    shelf
        .list(filter, sort)
        .into_iter()
        .map(|e| e.name())
        .collect()
}

fn search(text: &str) -> Filter {
    Filter {
        search: text.into(),
        ..Filter::default()
    }
}

#[test]
fn a_list_is_sorted_and_a_search_puts_better_matches_first() {
    let mut noted = plan("Kiln", 3);
    noted.notes = "Beside the ledge".into();
    let plans = [
        ("a", plan("Ledge 10", 1)),
        ("b", noted),
        ("c", plan("ledge 2", 2)),
        ("d", plan("", 0)),
        ("e", plan("Tern cove", 4)),
        ("f", plan("Ledge", 5)),
    ];
    let (shelf, mut store) = shelf_of(&plans);
    let shelf = done(
        &mut store,
        shelf.tag("e", &["Ledge".into(), " ledge ".into(), "".into()]),
    );
    assert_eq!(shelf.entry("e").unwrap().own.tags, ["Ledge"]);
    let all = Filter::default();
    assert_eq!(
        names(&shelf, &all, Sort::Title),
        [
            "Kiln",
            "Ledge",
            "ledge 2",
            "Ledge 10",
            "Tern cove",
            "Untitled"
        ]
    );
    assert_eq!(names(&shelf, &all, Sort::Changed)[0], "Ledge");
    assert_eq!(
        names(&shelf, &all, Sort::Parts)[..2],
        ["Ledge", "Tern cove"]
    );
    assert_eq!(
        names(&shelf, &search("LEDGE"), Sort::Title),
        ["Ledge", "ledge 2", "Ledge 10", "Tern cove", "Kiln"]
    );
    assert_eq!(
        names(&shelf, &search("cov tern"), Sort::Title),
        ["Tern cove"]
    );
    assert_eq!(names(&shelf, &search("untit"), Sort::Title), ["Untitled"]);
    let tagged = Filter {
        tag: Some("Ledge".into()),
        ..Filter::default()
    };
    assert_eq!(names(&shelf, &tagged, Sort::Title), ["Tern cove"]);
    assert_eq!(shelf.tags(), [("Ledge".into(), 1)]);
    let shelf = done(&mut store, shelf.bin("e", NOW));
    assert_eq!(names(&shelf, &tagged, Sort::Title), [""; 0]);
    assert_eq!(
        names(
            &shelf,
            &Filter {
                binned: true,
                ..Filter::default()
            },
            Sort::Title
        ),
        ["Tern cove"]
    );
    assert_eq!(shelf.tags(), []);
    is_whole(&store, &shelf);
}

#[test]
fn a_verdict_counts_for_the_plan_that_was_proven() {
    let (shelf, mut store) = shelf_of(&[("a", plan("Ledge", 1)), ("b", plan("Kiln", 1))]);
    let of = shelf.entry("a").unwrap().facts.fingerprint.unwrap();
    let verdict = KnownVerdict {
        of,
        kept: 1,
        duties: 2,
        for_ever: true,
    };
    let shelf = done(&mut store, shelf.note_verdict("a", verdict));
    assert_eq!(shelf.entry("a").unwrap().verdict(), ShelfVerdict::Broken);
    assert_eq!(shelf.entry("b").unwrap().verdict(), ShelfVerdict::Unknown);
    assert_eq!(
        names(&shelf, &Filter::default(), Sort::Verdict),
        ["Ledge", "Kiln"]
    );
    let open = Open::of(shelf.entry("a").unwrap());
    let shelf = done(
        &mut store,
        shelf
            .save(&open, &plan("Ledge", 2), &Save::default())
            .change,
    );
    assert_eq!(shelf.entry("a").unwrap().verdict(), ShelfVerdict::Unknown);
    let open = Open::of(shelf.entry("a").unwrap());
    let shelf = done(
        &mut store,
        shelf
            .save(&open, &plan("Ledge otherwise", 1), &Save::default())
            .change,
    );
    assert_eq!(
        shelf.entry("a").unwrap().verdict(),
        ShelfVerdict::Broken,
        "what was proven is back"
    );
    is_whole(&store, &shelf);
}

#[test]
fn a_duplicate_has_a_title_of_its_own_and_its_tags() {
    let ledge = plan("Ledge", 1);
    let (shelf, mut store) = shelf_of(&[
        ("a", ledge.clone()),
        ("b", plan("Ledge 2", 1)),
        ("c", plan("", 1)),
    ]);
    let shelf = done(&mut store, shelf.tag("a", &["shore".into()]));
    let shelf = done(&mut store, shelf.duplicate("a", &ledge, "d", NOW));
    let shelf = done(
        &mut store,
        shelf.duplicate("b", &plan("Ledge 2", 1), "e", NOW),
    );
    let shelf = done(&mut store, shelf.duplicate("c", &plan("", 1), "f", NOW));
    let name = |key: &str| shelf.entry(key).unwrap().name();
    assert_eq!(
        ["d", "e", "f"].map(name),
        ["Ledge 3", "Ledge 4", "Untitled 2"]
    );
    assert_eq!(shelf.entry("d").unwrap().own.tags, ["shore"]);
    assert_eq!(
        kept(store.stored(), "d").unwrap(),
        Plan {
            title: "Ledge 3".into(),
            ..ledge
        }
    );
    is_whole(&store, &shelf);
}

#[test]
fn the_bin_is_emptied_of_what_has_been_there_long_enough() {
    let plans = [
        ("a", plan("Ledge", 1)),
        ("b", plan("Kiln", 1)),
        ("c", plan("Shed", 1)),
    ];
    let (shelf, mut store) = shelf_of(&plans);
    let shelf = done(&mut store, shelf.bin("a", NOW));
    let shelf = done(&mut store, shelf.bin("b", NOW + 5));
    let again = done(&mut store, shelf.bin("b", NOW + 9));
    assert_eq!(
        again, shelf,
        "it is in the bin since it was put there first"
    );
    let shelf = done(&mut store, shelf.empty_bin(NOW + 5));
    assert_eq!(shelf.entries.keys().collect::<Vec<_>>(), ["b", "c"]);
    assert!(
        Store::ALL
            .into_iter()
            .all(|s| store.stored().under(s, "a").count() == 0)
    );
    let shelf = done(&mut store, shelf.unbin("b"));
    assert_eq!(done(&mut store, shelf.empty_bin(u64::MAX)), shelf);
    is_whole(&store, &shelf);
}

#[test]
fn an_example_that_was_edited_is_listed_among_ones_own_plans() {
    let example = read_plan(examples()[0].1).unwrap();
    let (mut shelf, mut store) = (Shelf::default(), MemoryStore::default());
    let mut open = Open::fresh("a");
    let mut keep = |shelf: &Shelf, plan: &Plan, origin: Origin| {
        let save = Save {
            now: NOW,
            origin,
            ..Save::default()
        };
        let saved = shelf.save(&open, plan, &save);
        open = saved.open;
        done(&mut store, saved.change)
    };
    let origin = |shelf: &Shelf| shelf.entry("a").unwrap().own.origin;
    // As it was opened, and kept once more without a change.
    for _ in 0..2 {
        shelf = keep(&shelf, &example, Origin::Example);
        assert_eq!(origin(&shelf), Origin::Example);
    }
    let mut own = example.clone();
    own.title = "A walk over the dusk lamp".into();
    shelf = keep(&shelf, &own, Origin::Example);
    assert_eq!(origin(&shelf), Origin::Own);
    is_whole(&store, &shelf);
}

#[test]
fn a_received_plan_stays_one_when_it_is_edited() {
    let (mut shelf, mut store) = (Shelf::default(), MemoryStore::default());
    let mut open = Open::fresh("a");
    for lamps in 1..3 {
        let save = Save {
            now: NOW,
            origin: Origin::Received,
            ..Save::default()
        };
        let saved = shelf.save(&open, &plan("Ledge", lamps), &save);
        (shelf, open) = (done(&mut store, saved.change), saved.open);
    }
    assert_eq!(shelf.entry("a").unwrap().own.origin, Origin::Received);
}
