//! The variants that are kept with a plan, in this browser's storage under the plan's key, and which two are compared.

use super::Comparison;
use crate::page::jobs::Jobs;
use crate::page::keeping::{browser, variants_at};
use crate::page::store::Store;
use crate::plan::{Plan, read_plan};
use leptos::prelude::*;
use serde_json::{Value, json};
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
    list: RwSignal<Vec<Variant>>,
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
            list: RwSignal::new(Vec::new()),
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
            variants.list.set(read(&key));
            variants.first.set(String::new());
            let last = variants
                .list
                .with_untracked(|l| l.last().map(|v| v.name.clone()));
            variants.second.set(last.unwrap_or_default());
            variants.comparison.clear();
            opened
        });
        variants
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

    /// The plan called so: a variant, or the plan as it is for an empty name. Tracks both.
    pub fn plan(self, name: &str) -> Option<Plan> {
        if name.is_empty() {
            self.store.revision();
            return Some(self.store.with_plan(Plan::clone));
        }
        self.list
            .with(|l| l.iter().find(|v| v.name == name).map(|v| v.plan.clone()))
    }

    /// Keeps the plan as it is under a name; one of that name is replaced.
    pub fn keep(self, name: &str) {
        let name = name.trim();
        if name.is_empty() {
            return self.store.notice("Give the variant a name.".into());
        }
        let plan = self.store.with_plan(Plan::clone);
        self.list.update(|list| {
            list.retain(|v| v.name != name);
            list.push(Variant {
                name: name.into(),
                plan,
            });
        });
        self.second.set(name.into());
        if self.keep_list() {
            self.store.notice(format!("Kept as variant {name}."));
        }
    }

    /// Forgets a variant.
    pub fn forget(self, name: &str) {
        self.list.update(|list| list.retain(|v| v.name != name));
        for side in [self.first, self.second] {
            if side.with_untracked(|s| s == name) {
                side.set(String::new());
            }
        }
        if self.keep_list() {
            self.store.notice(format!("Variant {name} is forgotten."));
        }
    }

    fn keep_list(self) -> bool {
        let key = untrack(|| self.store.plan_key());
        if key.is_empty() {
            return true;
        }
        let entry = |v: &Variant| json!({ "name": v.name, "plan": v.plan.to_value() });
        let value: Value = self.list.with_untracked(|l| l.iter().map(entry).collect());
        let kept = browser::write(&variants_at(&key), &value.to_string());
        if let Err(why) = &kept {
            self.store.notice(format!(
                "{why}: variants are lost when this page is closed."
            ));
        }
        kept.is_ok()
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
        self.store.preview_change(
            &format!("variant {name}"),
            &format!("swap to variant {name}"),
            edits,
        );
    }

    /// Makes the plan what a variant is, as one step of undo.
    pub fn swap(self, name: &str) {
        let Some(plan) = untrack(|| self.plan(name)) else {
            return;
        };
        let edits = self.store.with_plan(|now| now.edits_to(&plan));
        if edits.is_empty() {
            return self
                .store
                .notice(format!("The plan is as variant {name} already."));
        }
        if self.store.commit(&format!("swap to variant {name}"), edits) {
            self.store
                .notice(format!("The plan is variant {name} now; undo swaps back."));
        }
    }
}

/// The variants that are kept under a plan's key; what can't be read is left out.
fn read(key: &str) -> Vec<Variant> {
    let text = browser::read(&variants_at(key)).unwrap_or_default();
    let value: Value = serde_json::from_str(&text).unwrap_or_default();
    let entry = |v: &Value| {
        Some(Variant {
            name: v.get("name")?.as_str()?.to_string(),
            plan: read_plan(&v.get("plan")?.to_string()).ok()?,
        })
    };
    value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(entry)
        .collect()
}
