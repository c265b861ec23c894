//! Part types deleted from the plan's book; where other kept plans share the book and have parts of them, after a question
//! that names those plans. Each of them has its own copy and keeps it.

use super::Desk;
use crate::page::keeping::{Keeper, use_keeper};
use crate::plan::{BookError, Edit, Plan};
use crate::sheet::followed::deletion;
use crate::shelf::Entry;
use leptos::prelude::*;

/// Types that are to be deleted, once that is answered.
#[derive(Clone)]
pub(super) struct Deletion {
    /// Their names.
    kinds: Vec<String>,
    /// Which plans have parts of them, in a sentence or two.
    says: String,
}

impl Desk {
    /// Deletes types of these names, or asks first.
    pub(super) fn delete(self, keeper: Keeper, kinds: Vec<String>) {
        self.deletion.set(None);
        if let Err(error) = self.with_plan(|plan| deletion_edits(plan, &kinds)) {
            return self.refuse(&error);
        }
        let own = keeper.key().get_untracked();
        let shared: Vec<String> = self.with_plan(|plan| {
            let world = plan.follows.as_ref().map(|f| f.world.as_str());
            // With this a plan on a built-in book gets one of its own, which no other has.
            let book = (!plan.book.is_built_in()).then_some(plan.book.book.name.as_str());
            keeper.shelf().with_untracked(|shelf| {
                let found = shelf.sharing(&own, world, book).into_iter();
                found.map(|entry| entry.key.clone()).collect()
            })
        });
        if shared.is_empty() {
            return self.delete_now(&kinds);
        }
        keeper.all_kept(shared, move |plans| {
            // The window may be closed by now, and with it all that is asked there.
            if self.deletion.try_get_untracked().is_none() {
                return;
            }
            let has = |plan: &Plan| plan.parts.iter().any(|part| kinds.contains(&part.kind));
            let users = plans.iter().filter(|(_, plan)| has(plan));
            let users: Vec<String> = keeper.shelf().with_untracked(|shelf| {
                let entries = users.filter_map(|(key, _)| shelf.entry(key));
                entries.map(Entry::name).collect()
            });
            self.ask(kinds, &users);
        });
    }

    /// Asks where plans have such parts, else deletes.
    fn ask(self, kinds: Vec<String>, users: &[String]) {
        if users.is_empty() {
            return self.delete_now(&kinds);
        }
        let label = |plan: &Plan, kind: &String| {
            let found = plan.book.book.find(kind);
            found.map_or_else(|| kind.clone(), |t| t.label.clone())
        };
        let labels: Vec<String> =
            self.with_plan(|plan| kinds.iter().map(|kind| label(plan, kind)).collect());
        let says = deletion(&labels, users);
        self.deletion.set(Some(Deletion { kinds, says }));
    }

    fn delete_now(self, kinds: &[String]) {
        let edits = self.with_plan(|plan| deletion_edits(plan, kinds));
        let says = match kinds.len() {
            1 => "delete a part type",
            _ => "delete part types",
        };
        if self.change(says, edits) {
            let is_gone = |name: &String| kinds.contains(name);
            self.marked
                .update(|marked| marked.retain(|name| !is_gone(name)));
            if self
                .chosen
                .with_untracked(|c| c.as_ref().is_some_and(is_gone))
            {
                self.chosen.set(None);
            }
        }
    }
}

/// The edits that delete types, each from what the one before it left.
fn deletion_edits(plan: &Plan, kinds: &[String]) -> Result<Vec<Edit>, BookError> {
    super::table::one_by_one(plan, kinds, &|plan, kind| plan.delete_type(kind))
}

/// The question, while it is open.
#[component]
pub(super) fn Asked(desk: Desk) -> impl IntoView {
    let answer = move |deletes: bool| {
        let asked = desk.deletion.get_untracked();
        desk.deletion.set(None);
        if let Some(deletion) = asked.filter(|_| deletes) {
            desk.delete_now(&deletion.kinds);
        }
    };
    move || {
        let deletion = desk.deletion.get()?;
        Some(view! {
            <div class="refused" role="alert">
                <p>{deletion.says}</p>
                <p class="acts">
                    <button type="button" on:click=move |_| answer(true)>"Delete all the same"</button>
                    <button type="button" on:click=move |_| answer(false)>"Keep"</button>
                </p>
            </div>
        })
    }
}

/// The button that deletes one type.
#[component]
pub(super) fn DeleteType(desk: Desk, name: StoredValue<String>) -> impl IntoView {
    let keeper = use_keeper();
    let delete = move |_| desk.delete(keeper, vec![name.get_value()]);
    view! { <button type="button" on:click=delete>"Delete it"</button> }
}
