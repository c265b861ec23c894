//! The list of another plan beside that of the open one: a variant that is kept with it, or any other plan that is kept.

use crate::page::compare::use_variants;
use crate::page::details::Choice;
use crate::page::keeping::use_keeper;
use crate::shelf::{Entry, Shelf};
use crate::works::{Bill, BillComparison, ComparedAmount, GatherList};
use leptos::prelude::*;

/// What stands before a variant's name among the choices.
const VARIANT: &str = "variant/";
/// What stands before the key of a kept plan.
const PLAN: &str = "plan/";

/// A kept plan that was read: its key, and its bill or why there is none.
type Read = Option<(String, Result<Bill, &'static str>)>;

/// The choice, and the two lists side by side.
#[component]
pub(super) fn Beside(list: Memo<GatherList>) -> impl IntoView {
    let (keeper, variants) = (use_keeper(), use_variants());
    let chosen = RwSignal::new(String::new());
    let read: RwSignal<Read> = RwSignal::new(None);
    let options = Memo::new(move |_| {
        let variants = variants.names().into_iter();
        let variants = variants.map(|name| (format!("{VARIANT}{name}"), format!("Variant {name}")));
        let own = keeper.key().get();
        let plans = keeper.shelf().with(|shelf| others(shelf, &own));
        let none = [(String::new(), "no other plan".to_string())].into_iter();
        none.chain(variants).chain(plans).collect::<Vec<_>>()
    });
    let choose = move |value: String| {
        read.set(None);
        chosen.set(value.clone());
        let Some(key) = value.strip_prefix(PLAN).map(String::from) else {
            return;
        };
        keeper.kept(&key.clone(), move |plan| {
            let bill = match plan {
                Some(Ok(plan)) => Ok(Bill::of(&plan)),
                Some(Err(_)) => Err("That plan is damaged: open it to see what is left of it."),
                None => Err("That plan is no longer kept in this browser."),
            };
            // The window may be closed by now.
            let _ = read.try_set(Some((key, bill)));
        });
    };
    // The bill of what is chosen, once it is there.
    let other = Memo::new(move |_| {
        let value = chosen.get();
        if let Some(name) = value.strip_prefix(VARIANT) {
            let gone = "That variant is no longer kept.";
            return Some(variants.plan(name).map(|plan| Bill::of(&plan)).ok_or(gone));
        }
        let (key, bill) = read.get()?;
        (value.strip_prefix(PLAN) == Some(key.as_str())).then_some(bill)
    });
    let called = move || {
        let all = options.get();
        let found = all.into_iter().find(|(value, _)| *value == chosen.get());
        found.map(|(_, said)| said).unwrap_or_default()
    };
    let shown = move || match other.get() {
        None => ().into_any(),
        Some(Err(said)) => view! { <p role="status">{said}</p> }.into_any(),
        Some(Ok(other)) => {
            let both = list.with(|list| BillComparison::of(&list.bill, &other));
            view! { <Both both called=called()/> }.into_any()
        }
    };
    view! {
        <section aria-labelledby="gather-beside">
            <h3 id="gather-beside">"Beside another plan"</h3>
            <Choice id="gather-other".to_string() label="Compare with" options value=chosen choose/>
            {shown}
        </section>
    }
}

/// The kept plans but this one, by title.
fn others(shelf: &Shelf, own: &str) -> Vec<(String, String)> {
    let there = shelf.there().filter(|entry| entry.key != own);
    let said = |entry: &Entry| (format!("{PLAN}{}", entry.key), entry.name());
    let mut all: Vec<_> = there.map(said).collect();
    all.sort_by_key(|(key, name)| (name.to_lowercase(), key.clone()));
    all
}

/// The table.
#[component]
fn Both(both: BillComparison, called: String) -> impl IntoView {
    let group = |name: &'static str, rows: Vec<ComparedAmount>| {
        let head = view! { <tr><th scope="rowgroup" colspan="4">{name}</th></tr> };
        let rows = rows.into_iter().map(row).collect_view();
        view! { <tbody>{head}{rows}</tbody> }
    };
    let numbers = vec![both.stage, both.wires];
    view! {
        <div class="differs" tabindex="0" role="region" aria-label="Both plans">
            <table class="sides">
                <thead>
                    <tr>
                        <th scope="col">"What"</th>
                        <th scope="col">"This plan"</th>
                        <th scope="col">{called}</th>
                        <th scope="col">"Difference"</th>
                    </tr>
                </thead>
                {group("Parts", both.parts)}
                {group("Materials", both.materials)}
                {group("In all", numbers)}
            </table>
        </div>
    }
}

fn row(of: ComparedAmount) -> impl IntoView {
    let (differs, difference) = (of.difference() != 0, of.difference_said());
    view! {
        <tr class:differs=differs>
            <th scope="row">{of.label}</th>
            <td>{of.first}</td>
            <td>{of.second}</td>
            <td>{difference}</td>
        </tr>
    }
}
