//! The shelf: random sessions over a storage that fails at any write, in one page and in two; earlier stored forms; the
//! whole shelf's file.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Edit, NamedWorld, Part, Plan, WORLD_FORMAT, examples, read_plan, read_world};
use duskline::shelf::{
    Calendar, Change, Content, Failure, Filter, MemoryStore, Mended, Open, Origin, Record, Save,
    Shelf, Sort, Stop, Store, Stored, Version, Versions, export, import, mend, migrate, text_of,
};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

const DAY: u64 = 86_400_000;
const NOW: u64 = 20_000 * DAY;
const TODAY: Calendar = Calendar { midnight: NOW };

fn plan(title: &str, lamps: usize) -> Plan {
    let mut plan = Plan {
        title: title.into(),
        ..Plan::empty()
    };
    for at in 0..lamps {
        let id = plan.new_part_id();
        let part = Part::new(id, "lamp", (0.0, at as f64 * 120.0));
        plan.apply(Edit::AddPart(at, part)).unwrap();
    }
    plan
}

fn kept(stored: &Stored, key: &str) -> Option<Plan> {
    read_plan(Record::read(stored.get(Store::Plans, key)?).text).ok()
}

/// Does a change in a storage that does not fail.
fn done(store: &mut MemoryStore, change: Change) -> Shelf {
    store.write(&change.writes).unwrap();
    change.after
}

/// A shelf with these plans, kept one after the other, each with a first version.
fn shelf_of(plans: &[(&str, Plan)]) -> (Shelf, MemoryStore) {
    let (mut shelf, mut store) = (Shelf::default(), MemoryStore::default());
    for (at, (key, plan)) in plans.iter().enumerate() {
        let none = Versions::default();
        let save = Save {
            now: NOW + at as u64,
            versions: Some((&none, TODAY)),
            ..Save::default()
        };
        shelf = done(
            &mut store,
            shelf.save(&Open::fresh(*key), plan, &save).change,
        );
    }
    (shelf, store)
}

/// That a storage is read as this shelf, with nothing to mend.
fn is_whole(store: &MemoryStore, shelf: &Shelf) {
    let found = mend(store.stored());
    assert_eq!(found.told, []);
    assert_eq!(found.writes, []);
    assert_eq!(found.shelf, *shelf);
}

mod sessions {
    use super::*;

    /// What somebody does; numbers choose among what is there.
    #[derive(Clone, Debug)]
    enum Act {
        Create { untitled: bool },
        Edit { which: usize },
        Rename { which: usize },
        Tag { which: usize },
        Bin { which: usize },
        Unbin { which: usize },
        Empty,
        Duplicate { which: usize },
        Restore { which: usize, version: usize },
    }

    fn act() -> impl Strategy<Value = Act> {
        let which = 0usize..8;
        prop_oneof![
            2 => any::<bool>().prop_map(|untitled| Act::Create { untitled }),
            6 => which.clone().prop_map(|which| Act::Edit { which }),
            1 => which.clone().prop_map(|which| Act::Rename { which }),
            1 => which.clone().prop_map(|which| Act::Tag { which }),
            2 => which.clone().prop_map(|which| Act::Bin { which }),
            1 => which.clone().prop_map(|which| Act::Unbin { which }),
            1 => Just(Act::Empty),
            1 => which.clone().prop_map(|which| Act::Duplicate { which }),
            2 => (which, 0usize..8).prop_map(|(which, version)| Act::Restore { which, version }),
        ]
    }

    /// A page with what it knows, over a storage.
    struct Page {
        shelf: Shelf,
        store: MemoryStore,
        clock: u64,
        keys: usize,
    }

    impl Page {
        fn new() -> Page {
            let (shelf, store) = shelf_of(&[]);
            Page {
                shelf,
                store,
                clock: NOW,
                keys: 0,
            }
        }

        fn fresh(&mut self) -> String {
            self.keys += 1;
            format!("k{}", self.keys)
        }

        fn chosen(&self, which: usize) -> Option<(String, Plan)> {
            let keys: Vec<&String> = self.shelf.entries.keys().collect();
            let key = keys.get(which % keys.len().max(1))?.to_string();
            let plan = kept(self.store.stored(), &key)?;
            Some((key, plan))
        }

        /// The change that an act makes; none where there is nothing to act on.
        fn change(&mut self, act: &Act) -> Option<Change> {
            self.clock += 61_000;
            let now = self.clock;
            Some(match act {
                Act::Create { untitled } => {
                    let key = self.fresh();
                    let title = if *untitled {
                        String::new()
                    } else {
                        format!("Ledge {now}")
                    };
                    let none = Versions::default();
                    let save = Save {
                        now,
                        undo: Some("steps".into()),
                        versions: Some((&none, TODAY)),
                        ..Save::default()
                    };
                    self.shelf
                        .save(&Open::fresh(key), &plan(&title, 1), &save)
                        .change
                }
                Act::Edit { which } => {
                    let (key, mut plan) = self.chosen(*which)?;
                    plan.notes = format!("changed at {now}");
                    let open = Open::of(self.shelf.entry(&key)?);
                    let versions = Versions::read(self.store.stored(), &key);
                    let save = Save {
                        now,
                        undo: Some(format!("steps at {now}")),
                        picture: Some("<svg/>".into()),
                        versions: Some((&versions, TODAY)),
                        ..Save::default()
                    };
                    self.shelf.save(&open, &plan, &save).change
                }
                Act::Rename { which } => {
                    let (key, plan) = self.chosen(*which)?;
                    self.shelf.rename(&key, &plan, &format!("Kiln {now}"), now)
                }
                Act::Tag { which } => {
                    let (key, _) = self.chosen(*which)?;
                    self.shelf.tag(&key, &[format!("tag {now}")])
                }
                Act::Bin { which } => self.shelf.bin(&self.chosen(*which)?.0, now),
                Act::Unbin { which } => self.shelf.unbin(&self.chosen(*which)?.0),
                Act::Empty => self.shelf.empty_bin(now),
                Act::Duplicate { which } => {
                    let (key, plan) = self.chosen(*which)?;
                    let fresh = self.fresh();
                    self.shelf.duplicate(&key, &plan, &fresh, now)
                }
                Act::Restore { which, version } => {
                    let (key, now_plan) = self.chosen(*which)?;
                    let versions = Versions::read(self.store.stored(), &key);
                    let head = versions.all().get(version % versions.all().len().max(1))?;
                    let record = self
                        .store
                        .stored()
                        .get(Store::Versions, &versions.key(&key, head.number))?;
                    let old = read_plan(&Version::read(record)?.unpack()?).ok()?;
                    let open = Open::of(self.shelf.entry(&key)?);
                    let save = Save {
                        now,
                        versions: Some((&versions, TODAY)),
                        ..Save::default()
                    };
                    self.shelf
                        .restore_version(&open, &now_plan, (head.number, &old), &save)
                        .change
                }
            })
        }

        /// Reads the storage again, as after a failure or at the next visit.
        fn visit(&mut self) -> Vec<Mended> {
            self.store.fail(None);
            let found = mend(self.store.stored());
            self.store.write(&found.writes).unwrap();
            self.shelf = found.shelf;
            found.told
        }
    }

    /// What is kept, for people: each plan's text, and whether it is in the bin.
    fn shown(shelf: &Shelf, stored: &Stored) -> BTreeMap<String, (String, bool)> {
        let one = |key: &String| {
            let text = Record::read(stored.get(Store::Plans, key).expect("a plan is there")).text;
            read_plan(text).expect("a plan is readable");
            (
                key.clone(),
                (text.to_string(), shelf.entries[key].is_binned()),
            )
        };
        shelf.entries.keys().map(one).collect()
    }

    fn session(acts: &[Act], fails_at: usize, after: usize, failure: Failure) {
        let mut page = Page::new();
        for (at, act) in acts.iter().enumerate() {
            let Some(change) = page.change(act) else {
                continue;
            };
            let before = shown(&page.shelf, page.store.stored());
            let old_versions: BTreeSet<(String, Content)> = named_contents(page.store.stored());
            if at == fails_at {
                page.store
                    .fail(Some((after % (change.writes.len() + 1), failure)));
            }
            let expected = {
                let mut stored = page.store.stored().clone();
                assert!(
                    change.writes.iter().all(|w| stored.write(w)),
                    "no write is refused in one page"
                );
                shown(&change.after, &stored)
            };
            match page.store.write(&change.writes) {
                Ok(()) => {
                    page.shelf = change.after;
                    page.store.fail(None);
                    let found = mend(page.store.stored());
                    assert_eq!(
                        (&found.told[..], &found.writes[..]),
                        (&[][..], &[][..]),
                        "{act:?}"
                    );
                    assert_eq!(found.shelf, page.shelf, "{act:?}");
                }
                Err(Stop::Refused(_)) => panic!("refused in one page"),
                Err(Stop::Failed(..)) => {
                    page.visit();
                    let after = shown(&page.shelf, page.store.stored());
                    for (key, was) in &before {
                        let is = after.get(key);
                        let to = expected.get(key);
                        assert!(
                            is == Some(was) || is == to,
                            "{act:?}: {key} was {was:?}, is {is:?}, not {to:?}"
                        );
                    }
                    for (key, is) in &after {
                        let known = before.get(key) == Some(is) || expected.get(key) == Some(is);
                        assert!(known, "{act:?}: {key} is {is:?}");
                    }
                    // Mended once is whole.
                    assert_eq!(page.visit(), []);
                }
            }
            // Restoring and editing take away no version that had a name or was the newest.
            if matches!(act, Act::Restore { .. })
                && page.store.stored().of(Store::Versions).count() > 0
            {
                let now = named_contents(page.store.stored());
                let lost: Vec<_> = old_versions
                    .iter()
                    .filter(|v| page.shelf.entries.contains_key(&v.0) && !now.contains(v))
                    .collect();
                assert!(lost.is_empty(), "{act:?}: {lost:?}");
            }
        }
    }

    /// The contents of all versions, by plan. Acts of a session are more than a minute apart on one day, so that none is
    /// thinned out.
    fn named_contents(stored: &Stored) -> BTreeSet<(String, Content)> {
        let read = |(key, record): (&str, &str)| {
            let plan = key.split('/').next().unwrap().to_string();
            (plan, Version::read(record).unwrap().head.content)
        };
        stored.of(Store::Versions).map(read).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

        #[test]
        fn a_session_that_breaks_off_at_any_write_loses_at_most_the_last_act(
            acts in proptest::collection::vec(act(), 1..14),
            at in any::<prop::sample::Index>(),
            after in 0usize..16,
            failure in prop_oneof![Just(Failure::Quota), Just(Failure::Denied), Just(Failure::Crash)],
        ) {
            let at = at.index(acts.len());
            session(&acts, at, after, failure);
        }
    }

    #[test]
    fn every_write_of_every_kind_of_act_may_be_the_last() {
        let acts = [
            Act::Create { untitled: false },
            Act::Create { untitled: true },
            Act::Edit { which: 0 },
            Act::Edit { which: 0 },
            Act::Tag { which: 0 },
            Act::Duplicate { which: 0 },
            Act::Restore {
                which: 0,
                version: 0,
            },
            Act::Rename { which: 1 },
            Act::Bin { which: 0 },
            Act::Bin { which: 1 },
            Act::Unbin { which: 1 },
            Act::Empty,
        ];
        for at in 0..acts.len() {
            for after in 0..12 {
                for failure in [Failure::Crash, Failure::Quota] {
                    session(&acts, at, after, failure);
                }
            }
        }
    }

    /// Two pages with the same plan open save in any order, each from what it knows; whoever is refused keeps its own
    /// beside it. No text that was said to be kept is ever gone unseen.
    fn two_pages(order: &[bool]) {
        let first = plan("Ledge", 1);
        let (shelf, mut store) = shelf_of(&[("k", first.clone())]);
        let open = Open::of(shelf.entry("k").unwrap());
        let mut pages = [
            (shelf.clone(), open.clone(), first.clone()),
            (shelf, open, first),
        ];
        let mut refused = 0;
        for (turn, second) in order.iter().enumerate() {
            let (shelf, open, plan) = &mut pages[usize::from(*second)];
            plan.notes = format!("turn {turn} of page {second}");
            let save = Save {
                now: NOW + turn as u64,
                undo: Some(format!("{turn}")),
                ..Save::default()
            };
            let saved = shelf.save(open, plan, &save);
            match store.write(&saved.change.writes) {
                Ok(()) => (*shelf, *open) = (saved.change.after, saved.open),
                Err(Stop::Refused(_)) => {
                    refused += 1;
                    *shelf = mend(store.stored()).shelf;
                    let fresh = Open::fresh(format!("k{turn}"));
                    let saved = shelf.save(&fresh, plan, &save);
                    store.write(&saved.change.writes).unwrap();
                    (*shelf, *open) = (saved.change.after, saved.open);
                }
                Err(failed) => panic!("{failed:?}"),
            }
            for (_, open, plan) in &pages {
                let is_last = kept(store.stored(), &open.key).is_some_and(|k| k == *plan);
                let is_first = open.revision == 1 && open.key == "k";
                assert!(
                    is_last || is_first,
                    "turn {turn}: what {} has is not kept",
                    open.key
                );
            }
        }
        let both = order.contains(&true) && order.contains(&false);
        assert_eq!(
            refused,
            usize::from(both),
            "one page goes on beside the other"
        );
        let found = mend(store.stored());
        let clean = |m: &Mended| matches!(m, Mended::Rest(_));
        assert!(found.told.iter().all(clean), "{:?}", found.told);
    }

    proptest! {
        #[test]
        fn two_pages_never_write_over_each_other(order in proptest::collection::vec(any::<bool>(), 1..9)) {
            two_pages(&order);
        }
    }

    #[test]
    fn what_a_page_says_of_a_plan_is_not_lost_where_another_saves_it() {
        let (shelf, mut store) = shelf_of(&[("k", plan("Ledge", 1))]);
        let (one, other) = (shelf.clone(), shelf);
        done(&mut store, one.tag("k", &["shore".into()]));
        let open = Open::of(other.entry("k").unwrap());
        done(
            &mut store,
            other
                .save(&open, &plan("Ledge", 2), &Save::default())
                .change,
        );
        let found = mend(store.stored());
        let entry = found.shelf.entry("k").unwrap();
        assert_eq!(
            (entry.own.tags.as_slice(), entry.facts.parts),
            (&["shore".to_string()][..], 2)
        );
        assert_eq!(found.told, []);
    }
}

mod mending {
    use super::*;

    #[test]
    fn a_damaged_plan_stays_as_it_is_and_is_told_on_the_shelf() {
        let (_, store) = shelf_of(&[("a", plan("Ledge", 2)), ("b", plan("Kiln", 1))]);
        let mut stored = store.stored().clone();
        let cut = stored.get(Store::Plans, "a").unwrap();
        let cut = cut[..cut.len() - 9].to_string();
        stored.put(Store::Plans, "a", cut.clone());
        let found = mend(&stored);
        assert!(
            found.shelf.entry("a").unwrap().damaged && !found.shelf.entry("b").unwrap().damaged
        );
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
}

mod listing {
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
}

mod history {
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
        let parts: Vec<(u64, u64, Option<u64>)> =
            (Versions::read(store.stored(), "a").all().iter())
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
}

mod migration {
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
        let (shelf, _, found) = taken(include_str!("fixtures/stored/1-first.json"));
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
        let (shelf, stored, _) = taken(include_str!("fixtures/stored/2-variants.json"));
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
        let (shelf, _, found) = taken(include_str!("fixtures/stored/3-with-path.json"));
        assert_eq!(
            told(&shelf),
            [row("b2", "Tern cove", 3), row("a1", "Ledge", 2)]
        );
        assert_eq!(found.open.as_deref(), Some("b2"));
        assert!(found.taken.iter().all(|name| name.starts_with(PREFIX)));
    }

    #[test]
    fn times_and_numbers_of_today_s_form_are_kept_and_what_is_gone_is_told() {
        let (shelf, stored, found) = taken(include_str!("fixtures/stored/4-with-parts.json"));
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
        let (shelf, _, _) = taken(include_str!("fixtures/stored/half-taken-over.json"));
        assert_eq!(
            told(&shelf),
            [row("a1", "Ledge", 4), row("b2", "Tern cove", 3)]
        );
    }

    #[test]
    fn a_damaged_list_loses_no_plan_and_a_damaged_plan_stays_as_it_is() {
        let (shelf, _, found) = taken(include_str!("fixtures/stored/damaged.json"));
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
}

mod file {
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
        let said = |text: &str| {
            import(&Shelf::default(), text, NOW, &mut keys()).unwrap_err()[0].to_string()
        };
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
}
