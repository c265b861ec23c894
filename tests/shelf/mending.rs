//! What is put right of a storage, and what stays as it is.

use super::*;

#[test]
fn a_damaged_plan_stays_as_it_is_and_is_told_on_the_shelf() {
    let (_, store) = shelf_of(&[("a", plan("Ledge", 2)), ("b", plan("Kiln", 1))]);
    let mut stored = store.stored().clone();
    let cut = stored.get(Store::Plans, "a").unwrap();
    let cut = cut[..cut.len() - 9].to_string();
    stored.put(Store::Plans, "a", cut.clone());
    let found = mend(&stored);
    assert!(found.shelf.entry("a").unwrap().damaged && !found.shelf.entry("b").unwrap().damaged);
    stored.write_all(&found.writes);
    assert_eq!(stored.get(Store::Plans, "a"), Some(cut.as_str()));
    let again = mend(&stored);
    assert_eq!((again.told, again.shelf), (vec![], found.shelf));
}

#[test]
fn a_plan_that_is_gone_comes_back_from_its_newest_version_and_one_in_the_bin_does_not() {
    let (shelf, mut store) = shelf_of(&[("a", plan("Ledge", 2)), ("b", plan("Kiln", 1))]);
    let shelf = done(&mut store, shelf.bin("b", NOW));
    assert!(shelf.entry("b").unwrap().is_binned());
    let all = [Store::Facts, Store::Entries, Store::Versions];
    let kept = all.into_iter().flat_map(|s| {
        store
            .stored()
            .of(s)
            .map(move |(k, t)| (s, k.to_string(), t.to_string()))
    });
    let mut stored: Stored = kept.collect();
    let found = mend(&stored);
    assert_eq!(
        found.told,
        [
            Mended::FromVersion("a".into(), "Ledge".into()),
            Mended::Rest("b".into())
        ]
    );
    stored.write_all(&found.writes);
    assert_eq!(super::kept(&stored, "a"), Some(plan("Ledge", 2)));
    assert_eq!(stored.get(Store::Entries, "b"), None);
    assert_eq!(mend(&stored).told, []);
}

#[test]
fn what_is_told_of_a_plan_is_made_anew_where_it_is_gone_or_of_another_text() {
    let (shelf, store) = shelf_of(&[("a", plan("Ledge", 2)), ("b", plan("Kiln", 1))]);
    let mut stored = store.stored().clone();
    stored.put(Store::Facts, "a", "{");
    let other = stored
        .get(Store::Facts, "b")
        .unwrap()
        .replace("Kiln", "Kilm");
    stored.put(Store::Facts, "b", other);
    stored.put(Store::Entries, "b", "nonsense");
    let found = mend(&stored);
    let told = [
        Mended::Facts("a".into(), "Ledge".into()),
        Mended::Own("b".into(), "Kilm".into()),
    ];
    assert_eq!(
        found.told, told,
        "a title that fits revision and content is believed"
    );
    assert_eq!(
        found.shelf.entry("a").unwrap().facts.fingerprint,
        shelf.entry("a").unwrap().facts.fingerprint
    );
}

#[test]
fn a_text_that_was_put_there_by_hand_is_a_plan_like_any_other() {
    let mut stored = Stored::default();
    stored.put(Store::Plans, "a", text_of(&plan("Ledge", 2)));
    let found = mend(&stored);
    stored.write_all(&found.writes);
    let again = mend(&stored);
    assert_eq!((again.told, again.writes), (vec![], vec![]));
    assert_eq!(again.shelf.entry("a").unwrap().facts.revision, 1);
}

proptest! {
    #[test]
    fn no_storage_panics_and_mended_once_is_whole(
        records in proptest::collection::vec((0usize..9, "[ab](/[0-9]{1,3})?", "\\PC{0,30}|[0-9] [0-9a-f]{32}\n\\{.*\\}"), 0..12),
        damage in proptest::option::of((0usize..40, any::<u8>())),
    ) {
        let (_, store) = shelf_of(&[("a", plan("Ledge", 2))]);
        let mut stored = store.stored().clone();
        for (store, key, text) in records {
            stored.put(Store::ALL[store], key, text);
        }
        if let Some((at, byte)) = damage {
            let mut text = stored.get(Store::Plans, "a").unwrap().as_bytes().to_vec();
            let at = at % text.len().max(1);
            text.get_mut(at).into_iter().for_each(|b| *b = byte);
            stored.put(Store::Plans, "a", String::from_utf8_lossy(&text));
        }
        let found = mend(&stored);
        stored.write_all(&found.writes);
        let again = mend(&stored);
        prop_assert_eq!(again.told, vec![]);
        prop_assert_eq!(again.writes, vec![]);
        prop_assert_eq!(again.shelf, found.shelf);
    }
}
