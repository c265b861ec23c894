//! The plan's book in a window of its own: a table of its part types, the form of the one that is chosen, tables and files
//! in and out, and what a change does to the plan's duties while it is entered. What may stand in a book is the core's
//! business; every change is a step of undo of the plan.

mod before_after;
mod exchange;
mod field;
mod form;
mod numbers;
mod table;

use super::details::Choice;
use super::store::{Store, use_store};
use crate::book::built_in_names;
use crate::plan::{BookError, BookRef, Edit, Plan, Template};
use before_after::{BeforeAfter, Trial};
use leptos::prelude::*;

/// What stands in the window with the book.
#[component]
pub fn BookPage(
    /// Whether the window is open.
    open: RwSignal<bool>,
) -> impl IntoView {
    let trial = Trial::start(super::jobs::use_jobs());
    view! {
        <Show when=move || open.get()>
            <Book trial/>
        </Show>
    }
}

/// What the parts of the window share. Cheap to copy.
#[derive(Clone, Copy)]
struct Desk {
    store: Store,
    /// The name of the type whose form is shown.
    chosen: RwSignal<Option<String>>,
    /// The types that are marked, to do something with all of them.
    marked: RwSignal<Vec<String>>,
    /// Why the last change was refused.
    refused: RwSignal<String>,
    trial: Trial,
}

impl Desk {
    /// Does what leads to another book as one step; where it is refused says why.
    fn change(self, says: &str, edits: Result<Vec<Edit>, BookError>) -> bool {
        self.trial.end();
        match edits {
            Ok(edits) => {
                self.refused.set(String::new());
                self.store.commit(says, edits)
            }
            Err(error) => {
                self.refused.set(error.to_string());
                false
            }
        }
    }

    fn with_plan<R>(self, f: impl FnOnce(&Plan) -> R) -> R {
        self.store.with_plan(f)
    }
}

#[component]
fn Book(trial: Trial) -> impl IntoView {
    let store = use_store();
    let first = store.with_plan(|plan| plan.book.book.types.first().map(|t| t.name.clone()));
    let desk = Desk {
        store,
        chosen: RwSignal::new(first),
        marked: RwSignal::new(Vec::new()),
        refused: RwSignal::new(String::new()),
        trial,
    };
    on_cleanup(move || trial.end());
    let book = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.book.clone())
    });
    let refused = move || {
        let said = desk.refused.get();
        let lines: Vec<String> = said.lines().map(String::from).collect();
        (!lines.is_empty()).then(|| {
            let lines: Vec<_> = lines.into_iter().map(|line| view! { <li>{line}</li> }).collect();
            view! { <div class="refused" role="alert"><p>"That can't be:"</p><ul>{lines}</ul></div> }
        })
    };
    view! {
        <p class="aside">{move || book.with(about)}</p>
        <div class="book-tools">
            <WhichBook desk book/>
            <numbers::BookNumbers desk book/>
            <exchange::Exchange desk/>
        </div>
        {refused}
        <BeforeAfter of=trial/>
        <div class="book-page">
            <div class="book-types">
                <NewType desk/>
                <table::Types desk book/>
            </div>
            <section class="book-form" aria-label="The part type">
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
        match made {
            Ok((name, edits)) => {
                if desk.change("add a part type", Ok(edits)) {
                    desk.chosen.set(Some(name));
                }
            }
            Err(error) => desk.refused.set(error.to_string()),
        }
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
