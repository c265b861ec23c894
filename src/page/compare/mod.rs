//! The log's page that compares: variants and versions kept with the plan, two of them side by side, and what differs, part
//! by part.
//! Nothing is worked out here.

mod comparison;
mod kept;
mod versions;

pub(super) use comparison::{Comparison, ComparisonTable};
use kept::said as said_of;
pub(super) use kept::{Variants, use_variants};

use versions::Versions;

use super::jobs::OutOfDate;
use super::store::use_store;
use crate::plan::{Change, Differences, Plan, differences};
use leptos::prelude::*;

/// What the plan as it is is called.
const AS_IS: &str = "The plan as it is";

/// The page.
#[component]
pub fn ComparePage() -> impl IntoView {
    let variants = use_variants();
    let called = |name: String| {
        if name.is_empty() {
            AS_IS.to_string()
        } else {
            name
        }
    };
    let first = Signal::derive(move || called(variants.first.get()));
    let second = Signal::derive(move || called(variants.second.get()));
    let can = Memo::new(move |_| variants.first.get() != variants.second.get());
    let word = move || {
        if variants.comparison().is_blank() {
            "Compare"
        } else {
            "Compare again"
        }
    };
    view! {
        <div class="compare-page">
            <div class="compare-main">
                <NameForm label="Keep the plan as a variant" does="Keep" take=move |name| variants.keep(name)/>
                <div class="compare-choice fields">
                    <Pick label="Compare" of=variants.first/>
                    <Pick label="with" of=variants.second/>
                    <button type="button" disabled=move || !can.get() on:click=move |_| variants.compare()>{word}</button>
                </div>
                <Shelf/>
                <Versions/>
                <OutOfDate when=Signal::derive(move || variants.is_out_of_date())/>
                <div class:old=move || variants.is_out_of_date()>
                    <ComparisonTable of=variants.comparison() first second only_changed=false/>
                </div>
            </div>
            <section class="compare-differs" aria-label="What differs">
                <h3>"What differs"</h3>
                <Differs/>
            </section>
        </div>
    }
}

/// A form that takes a name.
#[component]
fn NameForm(
    /// What the name is for.
    label: &'static str,
    /// What stands on its button.
    does: &'static str,
    /// Takes the name.
    take: impl Fn(&str) + 'static,
) -> impl IntoView {
    let name = RwSignal::new(String::new());
    let submit = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        take(&name.get_untracked());
        name.set(String::new());
    };
    view! {
        <form class="compare-keep fields" on:submit=submit>
            <label>{label}" "
                <input type="text" autocomplete="off" maxlength="60" placeholder="Its name" prop:value=move || name.get()
                    on:input=move |e| name.set(event_target_value(&e))/>
            </label>
            <button type="submit" disabled=move || name.with(|n| n.trim().is_empty())>{does}</button>
        </form>
    }
}

/// Shows a variant or a version on the board, and puts the plan back.
#[component]
fn ShowOnBoard(
    /// What it is called.
    name: String,
) -> impl IntoView {
    let (store, variants) = (use_store(), use_variants());
    let says = said_of(&name);
    let shown = Memo::new(move |_| store.preview().as_ref() == Some(&says));
    let turn = move |_| {
        if shown.get_untracked() {
            return store.end_preview();
        }
        let read = name.clone();
        variants.with_version(&name, move || variants.show(&read));
    };
    view! {
        <button type="button" aria-pressed=move || shown.get().to_string() on:click=turn>
            {move || if shown.get() { "Put back" } else { "Show on the board" }}
        </button>
    }
}

/// Chooses the plan as it is or a variant.
#[component]
fn Pick(
    /// What stands before it.
    label: &'static str,
    /// The name chosen, of a variant or a version; empty for the plan as it is.
    of: RwSignal<String>,
) -> impl IntoView {
    let variants = use_variants();
    let choose = move |event| {
        let name = event_target_value(&event);
        let chosen = name.clone();
        variants.with_version(&name, move || of.set(chosen));
    };
    let options = move || {
        let names = std::iter::once(String::new()).chain(variants.names());
        let names = names.chain(variants.versions().into_iter().map(|v| v.0));
        names
            .map(|name| {
                let said = if name.is_empty() { AS_IS.to_string() } else { name.clone() };
                let chosen = name.clone();
                view! { <option value=name prop:selected=move || of.with(|n| *n == chosen)>{said}</option> }
            })
            .collect::<Vec<_>>()
    };
    view! {
        <label>{label}" "<select on:change=choose>{options}</select></label>
    }
}

/// The variants, each with what can be done with it.
#[component]
fn Shelf() -> impl IntoView {
    let variants = use_variants();
    let one = move |name: String| {
        let (shown, swap, forget) = (name.clone(), name.clone(), name.clone());
        let swap = move |_| {
            // It says itself what came of it.
            let _ = variants.swap(&swap);
        };
        view! {
            <li>
                <span class="variant-name">{name}</span>
                <ShowOnBoard name=shown/>
                <button type="button" on:click=swap>"Swap to it"</button>
                <button type="button" on:click=move |_| variants.forget(&forget)>"Forget"</button>
            </li>
        }
    };
    let list = move || {
        let names = variants.names();
        if names.is_empty() {
            return view! {
                <p class="aside">"No variant is kept with this plan yet. Keep one, change the plan, and compare; or compare with a version below."</p>
            }
            .into_any();
        }
        let rows: Vec<_> = names.into_iter().map(one).collect();
        view! { <ul class="variants" aria-label="Variants">{rows}</ul> }.into_any()
    };
    view! { {list} }
}

/// What differs between the two that are chosen; a click shows the part.
#[component]
fn Differs() -> impl IntoView {
    let variants = use_variants();
    move || {
        let (first, second) = (variants.first.get(), variants.second.get());
        if first == second {
            return view! { <p class="aside">"Choose two that are not the same."</p> }.into_any();
        }
        let Some((a, b)) = variants.plan(&first).zip(variants.plan(&second)) else {
            return ().into_any();
        };
        let found = differences(&a, &b);
        if found.is_none() {
            return view! { <p>"Nothing differs, or nothing but places on the board."</p> }
                .into_any();
        }
        view! { <ul class="differences">{lines(&a, &b, &found)}</ul> }.into_any()
    }
}

fn lines(a: &Plan, b: &Plan, found: &Differences) -> Vec<AnyView> {
    let store = use_store();
    let mut out = Vec::new();
    let plan_of = |change: &Change| if *change == Change::Added { b } else { a };
    for (id, change) in &found.parts {
        let (name, parts) = (plan_of(change).called(id), vec![id.clone()]);
        let said = said(change);
        out.push(
            view! {
                <li><button type="button" class="difference" on:click=move |_| store.show(&parts, &[])>
                    <strong>{name}</strong>": "{said}
                </button></li>
            }
            .into_any(),
        );
    }
    for (id, change) in &found.wires {
        let plan = plan_of(change);
        let ends = plan.wire(id).map(|w| {
            let end = |end: &crate::plan::End| format!("{} {}", plan.called(&end.part), end.port);
            format!("Wire from {} to {}", end(&w.from), end(&w.to))
        });
        let (name, wires) = (ends.unwrap_or_else(|| id.to_string()), vec![id.clone()]);
        let said = said(change);
        out.push(
            view! {
                <li><button type="button" class="difference" on:click=move |_| store.show(&[], &wires)>
                    <strong>{name}</strong>": "{said}
                </button></li>
            }
            .into_any(),
        );
    }
    for (what, x, y) in &found.rest {
        let said = format!("{x} → {y}");
        out.push(view! { <li><strong>{what.clone()}</strong>": "{said}</li> }.into_any());
    }
    out
}

/// A change in words.
fn said(change: &Change) -> String {
    match change {
        Change::Added => "only in the second".into(),
        Change::Gone => "only in the first".into(),
        Change::Changed(all) => {
            let one = |(what, x, y): &(String, String, String)| format!("{what} {x} → {y}");
            all.iter().map(one).collect::<Vec<_>>().join(", ")
        }
    }
}
