//! Versions of a plan, and its steps of undo.

use super::*;

#[test]
fn restoring_a_version_adds_one_and_loses_nothing_that_came_after() {
    let (shelf, mut store) = shelf_of(&[("a", plan("Ledge", 1))]);
    let mut open = Open::of(shelf.entry("a").unwrap());
    let (mut shelf, mut versions) = (shelf, Versions::read(store.stored(), "a"));
    for lamps in 2..5 {
        let save = Save {
            now: NOW + lamps as u64 * 120_000,
            versions: Some((&versions, TODAY)),
            ..Save::default()
        };
        let saved = shelf.save(&open, &plan("Ledge", lamps), &save);
        shelf = done(&mut store, saved.change);
        (open, versions) = (saved.open, saved.versions.unwrap());
    }
    let record = store
        .stored()
        .get(Store::Versions, &versions.key("a", 1))
        .unwrap();
    let old = read_plan(&Version::read(record).unwrap().unpack().unwrap()).unwrap();
    assert_eq!(old, plan("Ledge", 1));
    // An edit that is no version yet becomes one first.
    let now = plan("Ledge", 9);
    let save = Save {
        now: NOW + DAY / 2,
        versions: Some((&versions, TODAY)),
        ..Save::default()
    };
    let saved = shelf.restore_version(&open, &now, (1, &old), &save);
    let shelf = done(&mut store, saved.change);
    assert_eq!(kept(store.stored(), "a"), Some(old));
    let parts: Vec<(u64, u64, Option<u64>)> = (Versions::read(store.stored(), "a").all().iter())
        .map(|head| (head.number, head.parts, head.restores))
        .collect();
    assert_eq!(
        parts,
        [
            (1, 1, None),
            (2, 2, None),
            (3, 3, None),
            (4, 4, None),
            (5, 9, None),
            (6, 1, Some(1))
        ]
    );
    assert_eq!(saved.versions.unwrap(), Versions::read(store.stored(), "a"));
    is_whole(&store, &shelf);
}

#[test]
fn undo_is_kept_under_the_content_that_it_belongs_to() {
    let (shelf, mut store) = shelf_of(&[]);
    let save = |undo: &str| Save {
        undo: Some(undo.into()),
        ..Save::default()
    };
    let saved = shelf.save(&Open::fresh("a"), &plan("Ledge", 1), &save("one"));
    let shelf = done(&mut store, saved.change);
    let saved = shelf.save(&saved.open, &plan("Ledge", 2), &save("two"));
    let shelf = done(&mut store, saved.change);
    let all: Vec<_> = store.stored().of(Store::Undo).collect();
    assert_eq!(all, [(saved.open.undo_key().as_str(), "two")]);
    // Nothing but steps changed: undone and done again.
    let again = shelf.save(&saved.open, &plan("Ledge", 2), &save("three"));
    assert_eq!(again.open, saved.open);
    let shelf = done(&mut store, again.change);
    assert_eq!(
        store.stored().get(Store::Undo, &saved.open.undo_key()),
        Some("three")
    );
    is_whole(&store, &shelf);
}
