//! What is read before the page shows anything: the shelf, and the plan that was open last.
//!
//! Only what tells of the plans is read, and the one plan. Where the stores do not fit one another, as after a crash in
//! local storage, everything is read and put right ([`mend`]). What earlier versions kept in local storage is taken over,
//! and leaves its old place only when it stands in the new.

use super::database::Database;
use super::trouble::Trouble;
use super::{browser, late, new_key, now};
use crate::shelf::{Mended, Record, Save, Shelf, Store, Stored, mend, migrate};

/// Where the key of the plan that was open last is kept, in the tab's own storage and in that of all tabs.
pub(super) const OPEN: &str = "open";

/// What was read.
pub struct Loaded {
    /// Where it is kept.
    pub(super) database: Database,
    /// All plans that are kept.
    pub(super) shelf: Shelf,
    /// The plan that was open last, if there is one.
    pub(super) open: Option<Text>,
    /// What was put right.
    pub(super) mended: Vec<Mended>,
    /// Plans that a list named and of which nothing was there.
    pub(super) missing: Vec<String>,
    /// Why what an earlier version kept could not be taken over.
    pub(super) trouble: Option<Trouble>,
}

/// A plan as it is kept.
pub(super) struct Text {
    /// Its key.
    pub key: String,
    /// Its record in the store of plans.
    pub record: String,
    /// Its steps of undo, if they are kept.
    pub undo: Option<String>,
}

/// Reads the shelf and the plan that was open last.
pub async fn load() -> Loaded {
    browser::take_over_settings();
    let database = Database::open().await;
    let mut loaded = Loaded {
        database: database.clone(),
        shelf: Shelf::default(),
        open: None,
        mended: Vec::new(),
        missing: Vec::new(),
        trouble: None,
    };
    let read = async {
        loaded.shelf = match told(&database).await? {
            Some(shelf) => shelf,
            None => loaded.mend().await?,
        };
        loaded.take_over().await?;
        loaded.take_late().await
    };
    if let Err(trouble) = read.await {
        loaded.trouble = Some(trouble);
    }
    // A reload shows this tab's own plan, though another tab may have opened one since.
    let wanted = [browser::read_of_tab(OPEN), browser::read(OPEN)];
    for key in wanted.into_iter().flatten() {
        let is_there = loaded.shelf.entry(&key).is_some_and(|e| !e.is_binned());
        if is_there && let Ok(Some(text)) = read_plan(&database, &key).await {
            loaded.open = Some(text);
            break;
        }
    }
    loaded
}

/// The plan kept under a key.
pub(super) async fn read_plan(database: &Database, key: &str) -> Result<Option<Text>, Trouble> {
    let Some(record) = database.read(Store::Plans, key).await? else {
        return Ok(None);
    };
    let undo = match Record::read(&record).content {
        Some(content) => {
            database
                .read(Store::Undo, &format!("{key}/{content}"))
                .await
        }
        None => Ok(None),
    };
    Ok(Some(Text {
        key: key.into(),
        record,
        // Without its steps the plan is whole all the same.
        undo: undo.ok().flatten(),
    }))
}

/// The shelf of what is told of the plans; nothing where the stores do not fit one another.
async fn told(database: &Database) -> Result<Option<Shelf>, Trouble> {
    let mut stored = Vec::new();
    for store in [Store::Facts, Store::Entries, Store::Worlds, Store::Books] {
        let all = database.read_all(store, "").await?;
        stored.extend(all.into_iter().map(|(key, text)| (store, key, text)));
    }
    let stored: Stored = stored.into_iter().collect();
    let plans = database.keys(Store::Plans).await?;
    Ok(Shelf::told(&stored, plans.iter().map(String::as_str)))
}

impl Loaded {
    /// Reads everything and puts right what does not fit.
    async fn mend(&mut self) -> Result<Shelf, Trouble> {
        let mut stored = Vec::new();
        for store in Store::ALL {
            let all = self.database.read_all(store, "").await?;
            stored.extend(all.into_iter().map(|(key, text)| (store, key, text)));
        }
        let mending = mend(&stored.into_iter().collect());
        // The plans are there whether or not this can be written.
        self.trouble = self.database.write(&mending.writes).await.err();
        self.mended = mending.told;
        Ok(mending.shelf)
    }

    /// Writes what tabs that were closed had no time for.
    async fn take_late(&mut self) -> Result<(), Trouble> {
        for (open, plan) in late::left_over(&self.shelf, new_key) {
            let save = Save {
                now: now(),
                ..Save::default()
            };
            let change = self.shelf.save(&open, &plan, &save).change;
            self.database.write(&change.writes).await?;
            self.shelf = change.after;
            late::clear(&open.key);
        }
        Ok(())
    }

    /// Takes over what earlier versions kept in local storage.
    async fn take_over(&mut self) -> Result<(), Trouble> {
        let everything = browser::everything();
        let pairs = everything.iter().map(|(n, t)| (n.as_str(), t.as_str()));
        let migration = migrate(&self.shelf, pairs, &browser::prefix());
        // Which plan was open last is still kept there.
        let open = browser::prefix() + OPEN;
        let taken: Vec<&String> = migration.taken.iter().filter(|n| **n != open).collect();
        if taken.is_empty() {
            return Ok(());
        }
        self.missing = migration.missing;
        // In local storage there may be no room for a plan twice.
        if self.database.is_local() {
            taken.iter().for_each(|name| browser::remove_whole(name));
        }
        if let Err(trouble) = self.database.write(&migration.change.writes).await {
            for (name, text) in everything.iter().filter(|pair| taken.contains(&&pair.0)) {
                browser::put_back(name, text);
            }
            return Err(trouble);
        }
        self.shelf = migration.change.after;
        taken.iter().for_each(|name| browser::remove_whole(name));
        if let Some(key) = migration.open {
            // Without it the plan opened last is told by its time.
            let _ = browser::write(OPEN, &key);
        }
        Ok(())
    }
}
