//! Taking a whole shelf's file in: what is there already stays, the other is kept beside it with a number, and what is
//! alike is not doubled. Damaged entries are told by their place, and the rest is taken.

use super::entry::{Origin, Own, Time, body_of, free_title, stem};
use super::file::HEAD;
use super::stored::{Store, Write};
use super::versions::{Version, key_of};
use super::{Change, Entry, Shelf};
use crate::plan::{Plan, salvage_value, world_of_value};
use crate::read::{self, Fault, FaultKind, Faults, Place};
use serde_json::{Map, Value};

/// What came of a file.
#[derive(Clone, Debug)]
pub struct Import {
    /// The change of the shelf.
    pub change: Change,
    /// The names under which plans, worlds and books were taken, in the file's order.
    pub added: Vec<String>,
    /// Those of them that were called otherwise in the file: as there, and as here.
    pub renamed: Vec<(String, String)>,
    /// How many plans, worlds and books of the file are on the shelf already.
    pub same: usize,
    /// What could not be taken, by its place.
    pub faults: Faults,
}

/// Takes in a shelf's file; `fresh` gives a key at each call that nothing has. An error only where there is nothing to
/// offer.
pub fn import(
    shelf: &Shelf,
    text: &str,
    now: Time,
    fresh: &mut dyn FnMut() -> String,
) -> Result<Import, Faults> {
    let value = read::json(text.trim_start_matches('\u{feff}')).map_err(|fault| vec![fault])?;
    let mut faults = Faults::new();
    let root = Place::root("shelf");
    let Some(map) = read::object(&value, &root, &mut faults) else {
        return Err(faults);
    };
    HEAD.check(map, &root).map_err(|fault| vec![fault])?;
    let mut import = Import {
        change: shelf.unchanged(),
        added: Vec::new(),
        renamed: Vec::new(),
        same: 0,
        faults,
    };
    for (name, take) in [
        (
            "plans",
            Import::plan as fn(&mut Import, &Value, &Place, Time, String),
        ),
        ("worlds", Import::world),
        ("books", Import::book),
    ] {
        let at = root.key(name);
        let entries = read::list(map, name, &root, &mut import.faults);
        for (index, entry) in entries.iter().enumerate() {
            take(&mut import, entry, &at.index(index), now, fresh());
        }
    }
    Ok(import)
}

impl Import {
    /// A plan whose tags or versions are damaged is taken all the same, without those.
    fn plan(&mut self, value: &Value, place: &Place, now: Time, key: String) {
        let Some(map) = read::object(value, place, &mut self.faults) else {
            return;
        };
        let own = read_own(map, place, now, &mut self.faults);
        let versions = read_versions(map, place, &mut self.faults);
        let at = place.key("plan");
        let Some(written) = map.get("plan") else {
            let found = match map.get("text") {
                Some(_) => "a text that is no JSON",
                None => "nothing",
            };
            self.faults
                .push(at.fault(FaultKind::Missing, found, "a plan"));
            return;
        };
        let plan = match salvage_value(written) {
            Ok(found) if found.faults.is_empty() => found.plan,
            Ok(found) => {
                return self
                    .faults
                    .extend(found.faults.into_iter().map(|f| within(&at, f)));
            }
            Err(faults) => {
                return self
                    .faults
                    .extend(faults.into_iter().map(|f| within(&at, f)));
            }
        };
        if self.has_plan(&plan) {
            self.same += 1;
            return;
        }
        let mut taken = plan.clone();
        taken.title = self.change.after.free_title(&plan.title);
        let changed = map.get("changed").and_then(Value::as_u64).unwrap_or(now);
        self.change.add(&key, own, &taken, changed);
        self.keep_versions(&key, versions);
        if let Some(variants) = map.get("variants").filter(|v| v.is_array()) {
            let put = Write::put(Store::Variants, key.clone(), variants.to_string());
            self.change.writes.push(put);
        }
        let name = self
            .change
            .after
            .entry(&key)
            .map_or(String::new(), Entry::name);
        self.took(&plan.title, &taken.title, name);
    }

    /// Whether a plan is there that is alike and is called so, with or without a number.
    fn has_plan(&self, plan: &Plan) -> bool {
        let body = body_of(&plan.to_value(), &["title"]);
        let mut entries = self.change.after.entries.values();
        entries.any(|e| e.facts.body == body && stem(&e.facts.title).0 == stem(&plan.title).0)
    }

    /// The versions of the file in place of the first one that every new plan has, and that one behind them where it is
    /// another.
    fn keep_versions(&mut self, key: &str, versions: Vec<Version>) {
        let Some(last) = versions.last() else { return };
        let first = key_of(key, 1);
        let own = self
            .change
            .writes
            .iter()
            .position(|w| w.store == Store::Versions && w.key == first);
        let own = own.map(|at| self.change.writes.remove(at));
        let own = own.and_then(|write| Version::read(&write.text?));
        let next = last.head.number + 1;
        let mut kept = versions.clone();
        if let Some(mut own) = own.filter(|own| own.head.content != last.head.content) {
            own.head.number = next;
            kept.push(own);
        }
        let put = |version: Version| {
            Write::put(
                Store::Versions,
                key_of(key, version.head.number),
                version.record(),
            )
        };
        self.change.writes.extend(kept.into_iter().map(put));
    }

    fn world(&mut self, value: &Value, place: &Place, _: Time, key: String) {
        let world = match world_of_value(value) {
            Ok(world) => world,
            Err(faults) => {
                return self
                    .faults
                    .extend(faults.into_iter().map(|f| within(place, f)));
            }
        };
        let shelf = &self.change.after;
        let body = body_of(&world.to_value(), &["name", "id"]);
        let alike =
            |w: &super::KeptDocument| w.body == body && stem(&w.name).0 == stem(&world.name).0;
        if shelf.worlds.values().any(alike) {
            self.same += 1;
            return;
        }
        let name = shelf.free_world_name(&world.name);
        let id = match shelf.world(world.id()) {
            Some(_) => key.clone(),
            None => world.id().to_string(),
        };
        let kept = match id == world.id() && name == world.name {
            true => world.clone(),
            false => world.renamed(&id, &name),
        };
        self.go_on(|shelf| shelf.keep_world(&key, &kept));
        self.took(&world.name, &name, name.clone());
    }

    fn book(&mut self, value: &Value, place: &Place, _: Time, key: String) {
        let book = match crate::book::read_book_at(value, place) {
            Ok(book) => book,
            Err(faults) => return self.faults.extend(faults),
        };
        let shelf = &self.change.after;
        let body = body_of(value, &["name", "id"]);
        let alike =
            |b: &super::KeptDocument| b.body == body && stem(&b.name).0 == stem(&book.name).0;
        if shelf.books.values().any(alike) {
            self.same += 1;
            return;
        }
        let name = free_title(&book.name, &|name| {
            shelf.books.values().any(|b| b.name == name)
        });
        let mut kept = value.clone();
        if name != book.name
            && let Some(map) = kept.as_object_mut()
        {
            map.insert("name".into(), name.as_str().into());
        }
        self.go_on(|shelf| shelf.keep_book(&key, &kept));
        self.took(&book.name, &name, name.clone());
    }

    fn go_on(&mut self, act: impl FnOnce(&Shelf) -> Change) {
        let change = act(&self.change.after);
        self.change.after = change.after;
        self.change.writes.extend(change.writes);
    }

    fn took(&mut self, there: &str, here: &str, name: String) {
        if there != here {
            self.renamed.push((there.into(), here.into()));
        }
        self.added.push(name);
    }
}

/// What is said of a plan in a file; what can't be read is told and left out.
fn read_own(map: &Map<String, Value>, place: &Place, now: Time, faults: &mut Faults) -> Own {
    let time = |key: &str| map.get(key).and_then(Value::as_u64);
    let at = place.key("tags");
    let mut tags: Vec<String> = Vec::new();
    for (index, tag) in read::list(map, "tags", place, faults).iter().enumerate() {
        match tag.as_str() {
            Some(tag) => tags.push(tag.into()),
            None => faults.push(at.index(index).wrong(FaultKind::Type, tag, "a text")),
        }
    }
    let origin = map.get("origin").cloned().unwrap_or_default();
    Own {
        tags,
        origin: serde_json::from_value(origin).unwrap_or(Origin::Received),
        created: time("created").unwrap_or(now),
        opened: time("opened").unwrap_or(now),
        binned: time("binned"),
    }
}

/// The versions in a file, in the order of their numbers; what can't be read is told and left out.
fn read_versions(map: &Map<String, Value>, place: &Place, faults: &mut Faults) -> Vec<Version> {
    let at = place.key("history");
    let mut versions: Vec<Version> = Vec::new();
    for (index, entry) in read::list(map, "history", place, faults).iter().enumerate() {
        let version = serde_json::from_value::<Version>(entry.clone()).ok();
        let is_new = |v: &Version| versions.iter().all(|o| o.head.number != v.head.number);
        match version.filter(|v| v.head.number > 0 && v.unpack().is_some() && is_new(v)) {
            Some(version) => versions.push(version),
            None => faults.push(at.index(index).wrong(
                FaultKind::Type,
                entry,
                "a version of the plan",
            )),
        }
    }
    versions.sort_by_key(|version| version.head.number);
    versions
}

/// A fault of a document within another: its place begins with that of the document.
fn within(place: &Place, fault: Fault) -> Fault {
    let inner = ["plan", "world file"]
        .iter()
        .find_map(|root| fault.place.strip_prefix(root));
    let at = match inner {
        // The document itself, or an entry of it.
        Some(rest) if rest.is_empty() || rest.starts_with('[') => format!("{place}{rest}"),
        _ => format!("{place}.{}", fault.place),
    };
    Fault { place: at, ..fault }
}
