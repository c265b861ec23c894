//! Several parts or wires at once: counted, deleted, duplicated, lined up.

use crate::editor::Message;
use crate::editor::Selection;
use crate::page::store::{Store, use_store};
use crate::plan::{Edit, PartId, WireId};
use crate::sheet::card;
use leptos::prelude::*;

/// How far a copy lies from what it was copied from, in pixels of the board.
const ASIDE: f64 = 32.0;

/// An edge along which parts are lined up.
#[derive(Clone, Copy)]
enum Line {
    Left,
    Top,
}

/// Everything that is chosen.
#[component]
pub(super) fn SeveralDetails() -> impl IntoView {
    let store = use_store();
    let selection = store.selection();
    let counts = Memo::new(move |_| selection.with(|s| (s.parts.len(), s.wires.len())));
    let said = move || {
        let (parts, wires) = counts.get();
        let each = [(parts, "part"), (wires, "wire")];
        let words = each
            .iter()
            .filter(|(n, _)| *n > 0)
            .map(|(n, what)| plural(*n, what));
        words.collect::<Vec<_>>().join(", ")
    };
    let few = move || counts.get().0 < 2;
    view! {
        <section aria-labelledby="details-title">
            <h2 id="details-title">{said}</h2>
            <div class="buttons">
                <button type="button" on:click=move |_| delete(store)>"Delete"</button>
                <button type="button" disabled=move || counts.get().0 == 0 on:click=move |_| { store.dispatch(Message::Duplicate); }>
                    "Duplicate"
                </button>
                <button type="button" disabled=few on:click=move |_| align(store, Line::Left)>"Line up left edges"</button>
                <button type="button" disabled=few on:click=move |_| align(store, Line::Top)>"Line up top edges"</button>
            </div>
        </section>
    }
}

fn plural(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

fn delete(store: Store) {
    let chosen = store.selection().get_untracked();
    let parts: Vec<PartId> = chosen.parts.iter().cloned().collect();
    let wires: Vec<WireId> = chosen.wires.iter().cloned().collect();
    let edits = store.with_plan(|plan| plan.removal(&parts, &wires));
    let count = chosen.parts.len() + chosen.wires.len();
    if store.commit(&format!("delete {}", plural(count, "thing")), edits) {
        store.select(Selection::default());
    }
}

/// Moves the chosen parts to the leftmost left edge or the topmost top edge, and apart where they would then cover one
/// another.
fn align(store: Store, line: Line) {
    let chosen = store.selection().get_untracked().parts;
    let edits = store.with_plan(|plan| {
        let mut all: Vec<(PartId, (f64, f64), f64)> = plan
            .parts
            .iter()
            .filter(|p| chosen.contains(&p.id))
            .filter_map(|p| {
                let ports = plan.kind_of(p).map(|t| t.ports()).unwrap_or_default();
                Some((p.id.clone(), p.at?, card::height(&ports)))
            })
            .collect();
        let edge = all
            .iter()
            .map(|(_, at, _)| {
                if matches!(line, Line::Left) {
                    at.0
                } else {
                    at.1
                }
            })
            .fold(f64::INFINITY, f64::min);
        all.sort_by(|a, b| match line {
            Line::Left => a.1.1.total_cmp(&b.1.1),
            Line::Top => a.1.0.total_cmp(&b.1.0),
        });
        let mut free = f64::NEG_INFINITY;
        let mut edits = Vec::new();
        for (id, at, height) in all {
            let to = match line {
                Line::Left => (edge, at.1.max(free)),
                Line::Top => (at.0.max(free), edge),
            };
            free = match line {
                Line::Left => to.1 + height + ASIDE,
                Line::Top => to.0 + card::WIDTH + ASIDE,
            };
            if to != at {
                edits.push(Edit::MovePart(id, Some(to)));
            }
        }
        edits
    });
    store.commit("line up", edits);
}
