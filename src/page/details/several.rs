//! Several parts or wires at once: counted, deleted, duplicated, lined up.

use crate::page::store::{Selection, Store, use_store};
use crate::plan::{Edit, End, Part, PartId, Wire, WireId};
use crate::sheet::card;
use leptos::prelude::*;
use std::collections::BTreeMap;

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
                <button type="button" disabled=move || counts.get().0 == 0 on:click=move |_| duplicate(store)>
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

/// Copies the chosen parts with the wires and duties among them, and chooses the copies.
fn duplicate(store: Store) {
    let chosen = store.selection().get_untracked().parts;
    let (parts, wires, mut duties) =
        store.with_plan(|plan| (plan.parts.clone(), plan.wires.clone(), plan.duties.clone()));
    let mut ids: BTreeMap<PartId, PartId> = BTreeMap::new();
    let mut edits = Vec::new();
    let originals = parts.iter().filter(|p| chosen.contains(&p.id));
    for (at, part) in (parts.len()..).zip(originals) {
        let id = store.new_part_id();
        ids.insert(part.id.clone(), id.clone());
        let copy = Part {
            id,
            at: part.at.map(|(x, y)| (x + ASIDE, y + ASIDE)),
            ..part.clone()
        };
        edits.push(Edit::AddPart(at, copy));
    }
    let mut at = wires.len();
    for wire in &wires {
        if let (Some(from), Some(to)) = (ids.get(&wire.from.part), ids.get(&wire.to.part)) {
            let copy = Wire {
                id: store.new_wire_id(),
                from: End::new(from, &wire.from.port),
                to: End::new(to, &wire.to.port),
                bends: wire
                    .bends
                    .iter()
                    .map(|(x, y)| (x + ASIDE, y + ASIDE))
                    .collect(),
                extra: wire.extra.clone(),
            };
            edits.push(Edit::AddWire(at, copy));
            at += 1;
        }
    }
    let copied: Vec<_> = duties
        .iter()
        .filter_map(|d| {
            let mut copy = d.clone();
            copy.part = ids.get(&d.part)?.clone();
            Some(copy)
        })
        .collect();
    if !copied.is_empty() {
        duties.extend(copied);
        edits.push(Edit::Duties(duties));
    }
    if store.commit(&format!("duplicate {}", plural(ids.len(), "part")), edits) {
        store.select(Selection {
            parts: ids.into_values().collect(),
            ..Selection::default()
        });
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
