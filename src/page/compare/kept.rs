//! The variants and versions that are kept with a plan under its key, and which two of them are compared.

use super::Comparison;
use crate::page::jobs::Jobs;
use crate::page::keeping::{Keeper, date, use_keeper};
use crate::page::store::Store;
use crate::plan::{Plan, read_plan};
use crate::shelf::{Store as Records, VersionHead, Versions};
use leptos::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A variant that is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Variant {
    /// What the builder calls it.
    pub name: String,
    /// The plan.
    pub plan: Plan,
}

/// The variants of the open plan. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Variants {
    store: Store,
    keeper: Keeper,
    list: RwSignal<Vec<Variant>>,
    /// Versions that were read, by what they are called.
    versions: RwSignal<BTreeMap<String, Plan>>,
    /// The names of the two that are compared; empty for the plan as it is.
    pub first: RwSignal<String>,
    /// The second of them.
    pub second: RwSignal<String>,
    comparison: Comparison,
}

/// The variants, from the context that the frame provides.
pub fn use_variants() -> Variants {
    expect_context()
}

impl Variants {
    /// Starts to follow which plan is open.
    pub fn start(jobs: Jobs) -> Variants {
        let store = jobs.store();
        let variants = Variants {
            store,
            keeper: use_keeper(),
            list: RwSignal::new(Vec::new()),
            versions: RwSignal::default(),
            first: RwSignal::new(String::new()),
            second: RwSignal::new(String::new()),
            comparison: Comparison::new(jobs),
        };
        Effect::new(move |before: Option<u64>| {
            let (key, opened) = (store.plan_key(), store.opened());
            if before == Some(opened) && variants.list.with_untracked(|l| !l.is_empty()) {
                // The same plan is kept under a key at last.
                variants.keep_list();
                return opened;
            }
            for side in [variants.first, variants.second] {
                side.set(String::new());
            }
            variants.list.set(Vec::new());
            variants.versions.set(BTreeMap::new());
            variants.comparison.clear();
            variants.keeper.read(Records::Variants, &key, move |text| {
                if untrack(|| store.opened()) == opened {
                    variants.take(read(&text.unwrap_or_default()));
                }
            });
            opened
        });
        variants
    }

    fn take(self, list: Vec<Variant>) {
        let last = list.last().map(|v| v.name.clone());
        self.list.set(list);
        self.second.set(last.unwrap_or_default());
    }

    /// The versions of the plan, the newest first: what each is called, and its number. Tracked.
    pub fn versions(self) -> Vec<(String, u64)> {
        let all = self.keeper.versions().get();
        let said = |head: &VersionHead| (called(head, &all), head.number);
        all.all().iter().rev().map(said).collect()
    }

    /// Reads a version, if this is what one is called, then does something.
    pub fn with_version(self, name: &str, then: impl FnOnce() + 'static) {
        let number = untrack(|| self.versions())
            .into_iter()
            .find(|v| v.0 == name);
        let is_read = self.versions.with_untracked(|v| v.contains_key(name));
        let Some((name, number)) = number.filter(|_| !is_read) else {
            return then();
        };
        self.keeper.version(number, move |plan| match plan {
            Some(plan) => {
                self.versions.update(|all| drop(all.insert(name, plan)));
                then();
            }
            None => self.store.notice("That version can't be read.".into()),
        });
    }

    /// Gives a version a name.
    pub fn rename_version(self, number: u64, name: &str) {
        self.keeper.rename_version(number, name);
    }

    /// Keeps the plan as it is as a version with a name.
    pub fn name_version(self, name: &str) {
        self.keeper.name_version(name);
    }

    /// The names of the variants, in the order in which they were kept. Tracked.
    pub fn names(self) -> Vec<String> {
        self.list
            .with(|l| l.iter().map(|v| v.name.clone()).collect())
    }

    /// The two side by side.
    pub fn comparison(self) -> Comparison {
        self.comparison
    }

    /// The plan called so: a variant, a version that was read, or the plan as it is for an empty name. Tracked.
    pub fn plan(self, name: &str) -> Option<Plan> {
        if name.is_empty() {
            self.store.revision();
            return Some(self.store.with_plan(Plan::clone));
        }
        let version = || self.versions.with(|v| v.get(name).cloned());
        let of = |l: &Vec<Variant>| l.iter().find(|v| v.name == name).map(|v| v.plan.clone());
        self.list.with(of).or_else(version)
    }

    /// Keeps the plan as it is under a name; one of that name is replaced.
    pub fn keep(self, name: &str) {
        self.keep_plan(name, self.store.with_plan(Plan::clone));
    }

    /// Keeps a plan as a variant of the open one, under a name; one of that name is replaced.
    pub fn keep_plan(self, name: &str, plan: Plan) {
        let name = name.trim();
        if name.is_empty() {
            return self.store.notice("Give the variant a name.".into());
        }
        self.list.update(|list| {
            list.retain(|v| v.name != name);
            list.push(Variant {
                name: name.into(),
                plan,
            });
        });
        self.second.set(name.into());
        self.keep_list();
        self.store.notice(format!("Kept as variant {name}."));
    }

    /// Forgets a variant.
    pub fn forget(self, name: &str) {
        self.list.update(|list| list.retain(|v| v.name != name));
        for side in [self.first, self.second] {
            if side.with_untracked(|s| s == name) {
                side.set(String::new());
            }
        }
        self.keep_list();
        self.store.notice(format!("Variant {name} is forgotten."));
    }

    fn keep_list(self) {
        let key = untrack(|| self.store.plan_key());
        if key.is_empty() {
            return;
        }
        let entry = |v: &Variant| json!({ "name": v.name, "plan": v.plan.to_value() });
        let value: Value = self.list.with_untracked(|l| l.iter().map(entry).collect());
        self.keeper.put(Records::Variants, &key, value.to_string());
    }

    /// Makes the plan what a version is, as one step of undo; how it was until then becomes a version too.
    pub fn go_back_to(self, name: &str, number: u64) {
        let before = self.store.document();
        if self.swap(name) {
            self.keeper.gone_back(number, before);
        }
    }

    /// Works the two out.
    pub fn compare(self) {
        let (first, second) = (self.first.get_untracked(), self.second.get_untracked());
        let both = untrack(|| self.plan(&first).zip(self.plan(&second)));
        if let Some((first, second)) = both {
            self.comparison.ask(Arc::new(first), &second);
        }
    }

    /// Whether the table is of other plans than those that are chosen. Tracked.
    pub fn is_out_of_date(self) -> bool {
        let first = self.plan(&self.first.get());
        let both = first.zip(self.plan(&self.second.get()));
        match both {
            Some((first, second)) => self.comparison.is_out_of_date(&first, &second),
            None => !self.comparison.is_blank(),
        }
    }

    /// Shows a variant on the board, with what differs from the plan marked.
    pub fn show(self, name: &str) {
        let Some(plan) = untrack(|| self.plan(name)) else {
            return;
        };
        let edits = self.store.with_plan(|now| now.edits_to(&plan));
        self.store
            .preview_change(&said(name), &format!("swap to {}", said(name)), edits);
    }

    /// Makes the plan what a variant is, as one step of undo; whether that changed it.
    pub fn swap(self, name: &str) -> bool {
        let Some(plan) = untrack(|| self.plan(name)) else {
            return false;
        };
        let edits = self.store.with_plan(|now| now.edits_to(&plan));
        let said = said(name);
        if edits.is_empty() {
            self.store.notice(format!("The plan is as {said} already."));
            return false;
        }
        let is_done = self.store.commit(&format!("swap to {said}"), edits);
        if is_done {
            self.store
                .notice(format!("The plan is {said} now; undo swaps back."));
        }
        is_done
    }
}

/// The variants in a text; what can't be read is left out.
fn read(text: &str) -> Vec<Variant> {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let entry = |v: &Value| {
        Some(Variant {
            name: v.get("name")?.as_str()?.to_string(),
            plan: read_plan(&v.get("plan")?.to_string()).ok()?,
        })
    };
    let entries = value.as_array().into_iter().flatten();
    entries.filter_map(entry).collect()
}

/// What a version is called: its name, if it has one, its time by this machine's clock, and what it went back to.
fn called(head: &VersionHead, all: &Versions) -> String {
    let at = date(head.at, true);
    let again = head.restores.and_then(|number| all.find(number));
    match (&head.name, again) {
        (Some(name), _) => format!("Version {name}, {at}"),
        (None, Some(of)) => format!("Version of {at}, as of {} again", date(of.at, true)),
        (None, None) => format!("Version of {at}"),
    }
}

/// A variant or a version within a sentence.
pub(super) fn said(name: &str) -> String {
    match name.strip_prefix("Version ") {
        Some(rest) => format!("version {rest}"),
        None => format!("variant {name}"),
    }
}
