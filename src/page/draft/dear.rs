//! What is dear: of what there is to be as little as possible, first and then.

use super::desk::Desk;
use crate::draft::Least;
use crate::page::details::Choice;
use leptos::prelude::*;

/// What is said of each.
fn said(least: Least) -> &'static str {
    match least {
        Least::Materials => "materials",
        Least::Parts => "parts",
        Least::Spilled => "energy spilled (among the plans found)",
        Least::Kinds => "kinds of parts",
    }
}

/// A choice for each place, and one that waits for the next.
#[component]
pub(super) fn Dear(desk: Desk) -> impl IntoView {
    let all = desk.of(|order| order.least.clone());
    let rows = Memo::new(move |_| all.with(|all| (all.len() + 1).min(Least::ALL.len())));
    let row = move |row: usize| {
        let options = Signal::derive(move || all.with(|all| options(all, row)));
        let value = Signal::derive(move || {
            let word = all.with(|all| all.get(row).map(|least| least.word()));
            word.unwrap_or_default().to_string()
        });
        let choose = move |word: String| desk.change(|order| put(&mut order.least, row, &word));
        let label = if row == 0 {
            "As little as possible of"
        } else {
            "Then of"
        };
        view! { <Choice id=format!("draft-least-{row}") label options value choose/> }
    };
    view! {
        <h4>"What to use little of"</h4>
        <For each=move || 0..rows.get() key=|at| *at let:at>{row(at)}</For>
    }
}

/// What may be chosen in a row: what no other row has; and nothing, except in the first.
fn options(all: &[Least], row: usize) -> Vec<(String, String)> {
    let own = all.get(row);
    let free = |least: &Least| own == Some(least) || !all.contains(least);
    let none = (row > 0).then(|| (String::new(), "nothing more".to_string()));
    let words = Least::ALL.into_iter().filter(free);
    none.into_iter()
        .chain(words.map(|least| (least.word().to_string(), said(least).to_string())))
        .collect()
}

/// Puts a word in a row, or takes the row away.
fn put(all: &mut Vec<Least>, row: usize, word: &str) {
    let least = Least::ALL.into_iter().find(|least| least.word() == word);
    match (least, all.get_mut(row)) {
        (Some(least), Some(place)) => *place = least,
        (Some(least), None) => all.push(least),
        (None, Some(_)) => drop(all.remove(row)),
        (None, None) => {}
    }
}
