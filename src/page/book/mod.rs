//! The plan's book in a window of its own: a table of its part types, the form of the one that is chosen, tables and files
//! in and out, and what a change does to the plan's duties while it is entered. What may stand in a book is the core's
//! business; every change is a step of undo of the plan.

mod before_after;
mod delete;
mod exchange;
mod field;
mod form;
mod numbers;
mod prove_others;
mod table;

use super::details::Choice;
use super::jobs::use_jobs;
use super::refused::Refused;
use super::store::{Store, use_store};
use crate::book::built_in_names;
use crate::plan::{BookError, BookRef, Edit, Plan, Template};
use crate::sheet::book_error::told;
use before_after::{BeforeAfter, Trial};
use leptos::prelude::*;

/// What the parts of the window share. Cheap to copy.
#[derive(Clone, Copy)]
struct Desk {
    store: Store,
    /// The name of the type whose form is shown.
    chosen: RwSignal<Option<String>>,
    /// The types that are marked, to do something with all of them.
    marked: RwSignal<Vec<String>>,
    /// Why the last change was refused, a sentence each.
    refused: RwSignal<Vec<String>>,
    trial: Trial,
    /// Types that are deleted once that is answered.
    deletion: RwSignal<Option<delete::Deletion>>,
}

impl Desk {
    /// Does what leads to another book as one step; where it is refused says why above the table.
    fn change(self, says: &str, edits: Result<Vec<Edit>, BookError>) -> bool {
        match self.enter(says, edits) {
            Ok(()) => true,
            Err(reasons) => {
                self.refused.set(reasons);
                false
            }
        }
    }

    /// The same for an entry, which says itself why it was refused.
    fn enter(self, says: &str, edits: Result<Vec<Edit>, BookError>) -> Result<(), Vec<String>> {
        self.trial.end();
        let edits = edits.map_err(|error| self.with_plan(|plan| told(plan, &error)))?;
        self.refused.set(Vec::new());
        self.store.commit(says, edits);
        Ok(())
    }

    /// Says above the table why something can't be.
    fn refuse(self, error: &BookError) {
        self.refused.set(self.with_plan(|plan| told(plan, error)));
    }

    /// Does what makes a type, and shows its form.
    fn add(self, says: &str, made: Result<(String, Vec<Edit>), BookError>) {
        let name = made.as_ref().ok().map(|(name, _)| name.clone());
        if self.change(says, made.map(|(_, edits)| edits)) {
            self.chosen.set(name);
        }
    }

    fn with_plan<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.store.with_plan(f)
    }
}

/// What stands in the window with the book.
#[component]
pub fn BookPage() -> impl IntoView {
    let (store, trial) = (use_store(), Trial::start(use_jobs()));
    let first = store.with_plan(|plan| plan.book.book.types.first().map(|t| t.name.clone()));
    let desk = Desk {
        store,
        chosen: RwSignal::new(first),
        marked: RwSignal::new(Vec::new()),
        refused: RwSignal::new(Vec::new()),
        trial,
        deletion: RwSignal::new(None),
    };
    on_cleanup(move || trial.end());
    let book = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.book.clone())
    });
    // A refusal is seen, wherever one has scrolled to.
    Effect::new(move || {
        if desk.refused.with(|r| !r.is_empty()) {
            bring_into_sight(".refused");
        }
    });
    view! {
        <p class="aside">{move || book.with(about)}</p>
        <div class="book-tools">
            <WhichBook desk book/>
            <numbers::BookNumbers desk book/>
            <exchange::Exchange desk/>
            <prove_others::ProveOthers desk book/>
        </div>
        <Refused reasons=desk.refused/>
        <delete::Asked desk/>
        <div class="book-page">
            <div class="book-types">
                <NewType desk/>
                <table::Types desk book/>
            </div>
            <section class="book-form" aria-label="The part type">
                <BeforeAfter of=trial/>
                {move || {
                    let name = desk.chosen.get();
                    // Another book, or the same after undo, is shown anew.
                    let kind = book.with(|b| name.and_then(|n| b.book.find(&n).cloned()));
                    match kind {
                        Some(kind) => view! { <form::TypeForm desk kind/> }.into_any(),
                        None => view! { <p class="aside">"Choose a part type to see its numbers."</p> }.into_any(),
                    }
                }}
            </section>
        </div>
    }
}

/// Brings what this selector finds into sight, where it is not.
fn bring_into_sight(selector: &'static str) {
    request_animation_frame(move || {
        if let Ok(Some(found)) = document().query_selector(selector) {
            let options = web_sys::ScrollIntoViewOptions::new();
            options.set_block(web_sys::ScrollLogicalPosition::Nearest);
            found.scroll_into_view_with_scroll_into_view_options(&options);
        }
    });
}

/// What is said of the book.
fn about(book: &BookRef) -> String {
    let own = match book.is_built_in() {
        true => "It comes with Duskline: with your first change the plan gets a copy of its own.",
        false => "It is this plan's own, and travels in its file and its link.",
    };
    [book.book.says.as_str(), own, book.book.caution.as_str()]
        .into_iter()
        .filter(|said| !said.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Which book the plan uses: one that comes with the program, or its own.
#[component]
fn WhichBook(desk: Desk, book: Memo<BookRef>) -> impl IntoView {
    const OWN: &str = "";
    let options = Signal::derive(move || {
        let called = |name: &str| {
            let label = BookRef::built_in(name).map(|b| b.book.label.clone());
            (
                name.to_string(),
                label
                    .filter(|l| !l.is_empty())
                    .unwrap_or_else(|| name.into()),
            )
        };
        let mut all: Vec<_> = built_in_names().into_iter().map(called).collect();
        book.with(|b| {
            if !b.is_built_in() {
                all.insert(0, (OWN.into(), b.book.name.clone()));
            }
        });
        all
    });
    let value =
        Signal::derive(move || book.with(|b| b.written.as_str().unwrap_or(OWN).to_string()));
    let choose = move |name: String| {
        if let Some(other) = BookRef::built_in(&name) {
            let edits = desk.with_plan(|plan| plan.take_other_book(&other.book));
            desk.change("take another book", edits);
        }
    };
    view! { <Choice id="book-which".to_string() label="Book" options value choose/> }
}

/// Adds a type: plain, by what it does.
#[component]
fn NewType(desk: Desk) -> impl IntoView {
    let kinds = BookRef::built_in("bare")
        .map(|b| b.book.types.clone())
        .unwrap_or_default();
    let options: Vec<_> = kinds
        .into_iter()
        .map(|t| view! { <option value=t.name>{t.label}</option> })
        .collect();
    let kind = RwSignal::new(String::new());
    let add = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let kind = kind.get_untracked();
        if kind.is_empty() {
            return;
        }
        let made = desk.with_plan(|plan| plan.add_type(Template::Bare(&kind), ""));
        desk.add("add a part type", made);
    };
    view! {
        <form class="fields" on:submit=add>
            <label>"New part type "
                <select on:change=move |e| kind.set(event_target_value(&e))>
                    <option value="">"what it does…"</option>
                    {options}
                </select>
            </label>
            <button type="submit" disabled=move || kind.with(String::is_empty)>"Add"</button>
        </form>
    }
}
