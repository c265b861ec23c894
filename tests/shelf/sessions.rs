//! Random sessions over a storage that fails at any write, in one page and in two.

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
        if matches!(act, Act::Restore { .. }) && page.store.stored().of(Store::Versions).count() > 0
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
