//! Where the shelf's records are kept: the browser's database, else its local storage, else nowhere.
//!
//! In the database each store of [`crate::shelf::Store`] is one of its object stores, and all writes of a change are one
//! transaction: all of them or none, also when the tab is closed meanwhile. In local storage records of all stores lie
//! under names of their own ([`Store::shared_name`]), and writes are done in their order. A write that asks for a revision which is no longer there is refused.

use super::browser;
use super::trouble::Trouble;
use crate::shelf::{Condition, Store, Write};
use idb::event::DatabaseEvent;
use idb::{Factory, KeyRange, ObjectStoreParams, Query};
use idb::{Transaction, TransactionMode, TransactionResult};
use std::collections::BTreeSet;
use std::rc::Rc;
use wasm_bindgen::JsValue;

/// The version of the database's form.
const VERSION: u32 = 1;

/// Where records are kept. Cheap to clone.
#[derive(Clone)]
pub struct Database {
    place: Place,
}

#[derive(Clone)]
enum Place {
    Indexed(Rc<idb::Database>),
    Local,
    Nowhere,
}

impl Database {
    /// The browser's database; where that can't be had, its local storage.
    pub async fn open() -> Database {
        let place = match open_indexed(&browser::prefix()).await {
            Ok(database) => Place::Indexed(Rc::new(database)),
            Err(_) if browser::is_there() => Place::Local,
            Err(_) => Place::Nowhere,
        };
        Database { place }
    }

    /// Whether anything can be kept at all.
    pub fn is_there(&self) -> bool {
        !matches!(self.place, Place::Nowhere)
    }

    /// Whether it is local storage, where there is little room and no transaction.
    pub fn is_local(&self) -> bool {
        matches!(self.place, Place::Local)
    }

    /// The record of a store under a key.
    pub async fn read(&self, store: Store, key: &str) -> Result<Option<String>, Trouble> {
        match &self.place {
            Place::Indexed(database) => {
                let name = store.name();
                let transaction = database.transaction(&[name], TransactionMode::ReadOnly)?;
                let found = transaction
                    .object_store(name)?
                    .get(JsValue::from_str(key))?;
                Ok(found.await?.and_then(|v| v.as_string()))
            }
            Place::Local => Ok(browser::read(&store.shared_name(key))),
            Place::Nowhere => Ok(None),
        }
    }

    /// The keys and records of a store whose keys begin with `start`, in the order of the keys.
    pub async fn read_all(
        &self,
        store: Store,
        start: &str,
    ) -> Result<Vec<(String, String)>, Trouble> {
        match &self.place {
            Place::Indexed(database) => {
                let name = store.name();
                let transaction = database.transaction(&[name], TransactionMode::ReadOnly)?;
                let texts = transaction.object_store(name)?;
                let keys = texts.get_all_keys(Some(keys_from(start)?), None)?;
                let values = texts.get_all(Some(keys_from(start)?), None)?;
                let (keys, values) = (keys.await?, values.await?);
                let pairs = keys.iter().zip(&values);
                Ok(pairs
                    .filter_map(|(key, text)| Some((key.as_string()?, text.as_string()?)))
                    .collect())
            }
            Place::Local => {
                let before = store.shared_name("");
                let names = browser::names(&store.shared_name(start)).into_iter();
                Ok(names
                    .filter_map(|name| Some((name[before.len()..].into(), browser::read(&name)?)))
                    .collect())
            }
            Place::Nowhere => Ok(Vec::new()),
        }
    }

    /// The keys of a store.
    pub async fn keys(&self, store: Store) -> Result<BTreeSet<String>, Trouble> {
        match &self.place {
            Place::Indexed(database) => {
                let name = store.name();
                let transaction = database.transaction(&[name], TransactionMode::ReadOnly)?;
                let keys = transaction.object_store(name)?.get_all_keys(None, None)?;
                Ok(keys.await?.iter().filter_map(JsValue::as_string).collect())
            }
            _ => {
                let all = self.read_all(store, "").await?;
                Ok(all.into_iter().map(|(key, _)| key).collect())
            }
        }
    }

    /// Does the writes of a change.
    pub async fn write(&self, writes: &[Write]) -> Result<(), Trouble> {
        match &self.place {
            _ if writes.is_empty() => Ok(()),
            Place::Indexed(database) => write_indexed(database, writes).await,
            Place::Local => write_local(writes),
            Place::Nowhere => Err(Trouble::NoStorage),
        }
    }
}

/// The range of all keys that begin with `start`.
fn keys_from(start: &str) -> Result<Query, Trouble> {
    let (from, to) = (start.into(), format!("{start}\u{ffff}").into());
    Ok(KeyRange::bound(&from, &to, None, None)?.into())
}

async fn open_indexed(name: &str) -> Result<idb::Database, Trouble> {
    let mut request = Factory::new()?.open(name, Some(VERSION))?;
    request.on_upgrade_needed(|event| {
        let Ok(database) = event.database() else {
            return;
        };
        let there = database.store_names();
        for store in Store::ALL {
            if !there.iter().any(|name| name == store.name()) {
                // Where it can't be made, the test below says so.
                let _ = database.create_object_store(store.name(), ObjectStoreParams::new());
            }
        }
    });
    let mut database = request.await?;
    // A later version of the page that wants to change its form must not wait for this tab.
    database.on_version_change(|event| {
        if let Ok(database) = event.database() {
            database.close();
        }
    });
    // A browser that lets one open a database and then use none is found out here.
    let names = Store::ALL.map(Store::name);
    let transaction = database.transaction(&names, TransactionMode::ReadOnly)?;
    transaction.object_store(names[0])?.count(None)?.await?;
    Ok(database)
}

/// Does the writes in one transaction: all of them, or none.
async fn write_indexed(database: &idb::Database, writes: &[Write]) -> Result<(), Trouble> {
    let names: BTreeSet<&str> = writes.iter().map(|w| w.store.name()).collect();
    let names: Vec<&str> = names.into_iter().collect();
    let transaction = database.transaction(&names, TransactionMode::ReadWrite)?;
    // Where it fails, the browser's own object knows why.
    let own = web_sys::IdbTransaction::from(transaction);
    let transaction = Transaction::from(own.clone());
    for write in writes {
        if write.only == Condition::Always {
            continue;
        }
        let texts = transaction.object_store(write.store.name())?;
        let found = texts.get(JsValue::from_str(&write.key))?.await?;
        let found = found.and_then(|v| v.as_string());
        if !write.only.allows(found.as_deref()) {
            // Nothing is written yet: it may as well be over.
            let _ = transaction.abort();
            return Err(Trouble::Changed);
        }
    }
    if let Err(error) = writes.iter().try_for_each(|write| ask(&transaction, write)) {
        // What was asked for before would be written by itself.
        let _ = transaction.abort();
        return Err(error);
    }
    match transaction.commit()?.await {
        Ok(TransactionResult::Committed) => Ok(()),
        Ok(TransactionResult::Aborted) | Err(_) => Err(match own.error() {
            Some(error) => Trouble::of(&error),
            None => Trouble::Refused("AbortError".into()),
        }),
    }
}

/// Asks for one write.
fn ask(transaction: &Transaction, write: &Write) -> Result<(), Trouble> {
    let texts = transaction.object_store(write.store.name())?;
    let key = JsValue::from_str(&write.key);
    match &write.text {
        Some(text) => drop(texts.put(&JsValue::from_str(text), Some(&key))?),
        None if write.key.ends_with('/') => drop(texts.delete(keys_from(&write.key)?)?),
        None => drop(texts.delete(key)?),
    }
    Ok(())
}

fn write_local(writes: &[Write]) -> Result<(), Trouble> {
    for write in writes {
        let name = write.store.shared_name(&write.key);
        if !write.only.allows(browser::read(&name).as_deref()) {
            return Err(Trouble::Changed);
        }
        match &write.text {
            Some(text) => browser::write(&name, text)?,
            None if write.key.ends_with('/') => {
                for name in browser::names(&name) {
                    browser::remove(&name);
                }
            }
            None => browser::remove(&name),
        }
    }
    Ok(())
}
