//! The keyboard on the board: parts by arrow keys, ports within a part, wires from port to port; and the page's shortcuts.

use super::hands::{Hands, card_id, port_id};
use super::pointer::Pointers;
use crate::editor::layout::{self, MODULE};
use crate::page::store::Selection;
use crate::plan::{Edit, End, Part, PartId, Plan, Wire, WireId};
use leptos::prelude::*;
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};

/// Where the keyboard is.
enum Place {
    /// In a field, a dialog or another pane's control.
    Elsewhere,
    /// Nowhere in particular, or on the paper.
    Nowhere,
    Part(PartId),
    Port(End),
    Bend(WireId, usize),
}

/// Listens to the keys of the whole page.
pub fn listen(hands: Hands, pointers: Pointers) {
    let listener = window_event_listener(leptos::ev::keydown, move |ev| {
        if !ev.default_prevented() && press(hands, pointers, &ev) {
            ev.prevent_default();
        }
    });
    on_cleanup(move || listener.remove());
}

fn place(ev: &KeyboardEvent) -> Place {
    let Some(target) = ev.target().and_then(|t| t.dyn_into::<Element>().ok()) else {
        return Place::Nowhere;
    };
    let near = |s: &str| target.closest(s).ok().flatten();
    let says = |e: &Element, name: &str| e.get_attribute(name).unwrap_or_default();
    if let Some(port) = near("[data-port]") {
        let part = PartId::from(says(&port, "data-end"));
        return Place::Port(End::new(&part, &says(&port, "data-port")));
    }
    if let Some(bend) = near("[data-bend]") {
        let index = says(&bend, "data-bend").parse().unwrap_or(0);
        return Place::Bend(says(&bend, "data-wire").into(), index);
    }
    if let Some(part) = near("[data-part]") {
        return Place::Part(says(&part, "data-part").into());
    }
    if target.tag_name().eq_ignore_ascii_case("body") || near("svg.paper").is_some() {
        Place::Nowhere
    } else {
        Place::Elsewhere
    }
}

fn writes(ev: &KeyboardEvent) -> bool {
    let target = ev.target().and_then(|t| t.dyn_into::<Element>().ok());
    target.is_some_and(|t| {
        let field = "input:not([type=range],[type=checkbox],[type=radio]), textarea, select, dialog, [contenteditable]";
        t.closest(field).ok().flatten().is_some()
    })
}

/// Does what the key means here; answers whether it meant anything.
fn press(hands: Hands, pointers: Pointers, ev: &KeyboardEvent) -> bool {
    if writes(ev) || ev.alt_key() {
        return false;
    }
    if (ev.ctrl_key() || ev.meta_key()) && !ev.key().starts_with("Arrow") {
        return command(hands, ev);
    }
    let key = ev.key();
    match (key.as_str(), place(ev)) {
        ("?", _) => hands.help.set(true),
        ("f" | "F", _) => hands.store.fit(),
        ("+" | "=", _) => zoom(hands, 1.25),
        ("-" | "−", _) => zoom(hands, 0.8),
        ("Escape", place) => escape(hands, pointers, &place),
        (_, Place::Elsewhere) => return false,
        ("Delete" | "Backspace", Place::Bend(wire, index)) => pointers.unbend(&wire, index),
        ("Delete" | "Backspace", Place::Port(end)) => {
            let wire = hands
                .store
                .with_plan(|p| p.wire_at(&end).map(|w| w.id.clone()));
            match wire {
                Some(wire) => remove(hands, &[], &[wire]),
                None => return false,
            }
        }
        ("Delete" | "Backspace", place) => {
            let mut chosen = hands.store.selection().get_untracked();
            if let (true, Place::Part(id)) = (chosen.is_empty(), place) {
                chosen.parts.insert(id);
            }
            let parts: Vec<PartId> = chosen.parts.into_iter().collect();
            let wires: Vec<WireId> = chosen.wires.into_iter().collect();
            remove(hands, &parts, &wires);
        }
        ("F2", place) => rename(hands, place),
        (_, Place::Port(end)) => return on_port(hands, ev, &end),
        (_, Place::Part(id)) => return on_part(hands, ev, &id),
        (_, Place::Nowhere) => return nudge(hands, ev),
        _ => return false,
    }
    true
}

fn command(hands: Hands, ev: &KeyboardEvent) -> bool {
    let store = hands.store;
    match (ev.key().to_ascii_lowercase().as_str(), ev.shift_key()) {
        ("z", false) => store.undo(),
        ("z", true) | ("y", _) => store.redo(),
        ("a", _) => {
            let all = store.with_plan(|plan| Selection {
                parts: plan.parts.iter().map(|p| p.id.clone()).collect(),
                wires: plan.wires.iter().map(|w| w.id.clone()).collect(),
            });
            store.select(all);
        }
        ("d", _) => duplicate(hands),
        _ => return false,
    }
    true
}

fn zoom(hands: Hands, factor: f64) {
    let view = hands.store.view();
    view.update(|v| *v = v.zoomed(factor, (v.width / 2.0, v.height / 2.0)));
}

fn rename(hands: Hands, place: Place) {
    let chosen = hands.store.selection().with_untracked(|s| s.parts.clone());
    let id = match place {
        Place::Part(id) => Some(id),
        Place::Port(end) => Some(end.part),
        _ => chosen.into_iter().next(),
    };
    hands.renaming.set(id);
}

fn escape(hands: Hands, pointers: Pointers, place: &Place) {
    let store = hands.store;
    pointers.cancel();
    if let Some(joining) = hands.joining.get_untracked() {
        hands.let_go();
        if matches!(place, Place::Port(_)) {
            hands.focus_on(port_id(&joining.from));
        }
    } else if hands.asking.with_untracked(Option::is_some) {
        hands.let_go();
    } else if store.carry().with_untracked(Option::is_some) {
        store.set_carry(None);
    } else if let Place::Port(end) = place {
        hands.focus_on(card_id(&end.part));
    } else if store.pane().get_untracked().is_some() {
        store.pane().set(None);
    } else {
        store.select(Selection::default());
    }
}

/// Removes parts and wires with all that hangs on them, as one step.
pub fn remove(hands: Hands, parts: &[PartId], wires: &[WireId]) {
    let store = hands.store;
    let (edits, said, next) = store.with_plan(|plan| {
        let said = match (parts, wires) {
            ([one], _) => format!("remove {}", plan.called(one)),
            ([], [_]) => "remove a wire".to_string(),
            ([], _) => format!("remove {} wires", wires.len()),
            _ => format!("remove {} parts", parts.len()),
        };
        let from = parts.first().and_then(|id| plan.part(id));
        let next = from.and_then(|from| {
            let far = |p: &Part| {
                let (a, b) = (p.at.unwrap_or_default(), from.at.unwrap_or_default());
                (a.0 - b.0).hypot(a.1 - b.1)
            };
            let left = plan.parts.iter().filter(|p| !parts.contains(&p.id));
            left.min_by(|a, b| far(a).total_cmp(&far(b)))
                .map(|p| p.id.clone())
        });
        (plan.removal(parts, wires), said, next)
    });
    if edits.is_empty() {
        return;
    }
    if store.commit(&said, edits) {
        store.notice(format!("Done: {said}. Ctrl Z takes it back."));
        if let Some(next) = next {
            store.set_focus(Some(next.clone()));
            hands.focus_on(card_id(&next));
        }
    }
}

/// Adds copies of the chosen parts with the wires between them, and chooses those.
pub fn duplicate(hands: Hands) {
    let store = hands.store;
    let chosen = store.selection().with_untracked(|s| s.parts.clone());
    if chosen.is_empty() {
        return;
    }
    let parts: Vec<Part> = store.with_plan(|plan| {
        let all = plan.parts.iter().filter(|p| chosen.contains(&p.id));
        all.cloned().collect()
    });
    let wires: Vec<Wire> = store.with_plan(|plan| {
        let within = |w: &&Wire| chosen.contains(&w.from.part) && chosen.contains(&w.to.part);
        plan.wires.iter().filter(within).cloned().collect()
    });
    let new: BTreeMap<PartId, PartId> = parts
        .iter()
        .map(|p| (p.id.clone(), store.new_part_id()))
        .collect();
    let (many, lines) = store.with_plan(|plan| (plan.parts.len(), plan.wires.len()));
    let mut edits = Vec::new();
    for (i, part) in parts.into_iter().enumerate() {
        let (x, y) = part.at.unwrap_or_default();
        let copy = Part {
            id: new[&part.id].clone(),
            at: Some((x + 4.0 * MODULE, y + 4.0 * MODULE)),
            ..part
        };
        edits.push(Edit::AddPart(many + i, copy));
    }
    for (i, wire) in wires.into_iter().enumerate() {
        let shift = |(x, y): &(f64, f64)| (x + 4.0 * MODULE, y + 4.0 * MODULE);
        let copy = Wire {
            id: store.new_wire_id(),
            from: End::new(&new[&wire.from.part], &wire.from.port),
            to: End::new(&new[&wire.to.part], &wire.to.port),
            bends: wire.bends.iter().map(shift).collect(),
            extra: wire.extra,
        };
        edits.push(Edit::AddWire(lines + i, copy));
    }
    let said = format!(
        "duplicate {}",
        match new.len() {
            1 => "a part".to_string(),
            n => format!("{n} parts"),
        }
    );
    if store.commit(&said, edits) {
        let first = new.values().next().cloned();
        store.select(Selection {
            parts: new.into_values().collect(),
            ..Selection::default()
        });
        if let Some(first) = first {
            store.set_focus(Some(first.clone()));
            hands.focus_on(card_id(&first));
        }
    }
}

fn arrow(ev: &KeyboardEvent) -> Option<(f64, f64)> {
    Some(match ev.key().as_str() {
        "ArrowLeft" => (-1.0, 0.0),
        "ArrowRight" => (1.0, 0.0),
        "ArrowUp" => (0.0, -1.0),
        "ArrowDown" => (0.0, 1.0),
        _ => return None,
    })
}

/// Moves what is chosen by one square, with Shift by five.
fn nudge(hands: Hands, ev: &KeyboardEvent) -> bool {
    let Some((dx, dy)) = arrow(ev) else {
        return false;
    };
    let store = hands.store;
    let by = if ev.shift_key() { 5.0 } else { 1.0 } * MODULE;
    let chosen = store.selection().with_untracked(|s| s.parts.clone());
    let edits: Vec<Edit> = store.with_plan(|plan| {
        let all = plan.parts.iter().filter(|p| chosen.contains(&p.id));
        all.map(|p| {
            let (x, y) = p.at.unwrap_or_default();
            Edit::MovePart(p.id.clone(), Some((x + dx * by, y + dy * by)))
        })
        .collect()
    });
    if edits.is_empty() {
        return false;
    }
    store.commit("move", edits)
}

fn on_part(hands: Hands, ev: &KeyboardEvent, id: &PartId) -> bool {
    let store = hands.store;
    let chosen = store.selection().with_untracked(|s| s.parts.contains(id));
    if let Some(way) = arrow(ev) {
        if chosen && !ev.ctrl_key() && !ev.meta_key() {
            return nudge(hands, ev);
        }
        let next = store.with_plan(|plan| neighbour(plan, id, way));
        if let Some((next, rect)) = next {
            store.set_focus(Some(next.clone()));
            store.reveal(rect);
            hands.focus_on(card_id(&next));
        }
        return true;
    }
    match ev.key().as_str() {
        " " => store.selection().update(|s| {
            if !ev.shift_key() && !chosen {
                *s = Selection::default();
            }
            if !s.parts.remove(id) {
                s.parts.insert(id.clone());
            }
        }),
        "w" | "W" | "Enter" => {
            let first = store.with_plan(|plan| {
                let part = plan.part(id)?;
                let ports = view::ports(plan, part);
                let free = |p: &&crate::book::Port| plan.wire_at(&End::new(id, &p.name)).is_none();
                let port = ports.iter().find(free).or(ports.first())?;
                Some(End::new(id, &port.name))
            });
            if let Some(end) = first {
                hands.focus_on(port_id(&end));
            }
        }
        _ => return false,
    }
    true
}

/// The nearest part in a direction: distance along it, twice the distance across.
fn neighbour(plan: &Plan, id: &PartId, way: (f64, f64)) -> Option<(PartId, view::Rect)> {
    let from = plan.part(id)?.at?;
    let mut best: Option<(f64, &Part)> = None;
    for part in plan.parts.iter().filter(|p| p.id != *id) {
        let at = part.at.unwrap_or_default();
        let (dx, dy) = (at.0 - from.0, at.1 - from.1);
        let along = dx * way.0 + dy * way.1;
        let across = (dx * way.1).abs() + (dy * way.0).abs();
        let far = along + 2.0 * across;
        if along > 0.0 && best.is_none_or(|(least, _)| far < least) {
            best = Some((far, part));
        }
    }
    best.map(|(_, part)| (part.id.clone(), view::rect(plan, part)))
}

fn on_port(hands: Hands, ev: &KeyboardEvent, end: &End) -> bool {
    let store = hands.store;
    let joining = hands.joining.get_untracked();
    if let Some(way) = arrow(ev) {
        let back = way.0 + way.1 < 0.0;
        let ring: Vec<End> = match &joining {
            Some(joining) => nearest_first(joining),
            None => store.with_plan(|plan| {
                let ports = plan.part(&end.part).map(|p| view::ports(plan, p));
                let ends = ports.unwrap_or_default();
                ends.iter().map(|p| End::new(&end.part, &p.name)).collect()
            }),
        };
        if ring.is_empty() {
            return true;
        }
        let next = match ring.iter().position(|e| e == end) {
            Some(at) if back => (at + ring.len() - 1) % ring.len(),
            Some(at) => (at + 1) % ring.len(),
            None => 0,
        };
        go_to(hands, &ring[next], joining.is_some());
        return true;
    }
    match ev.key().as_str() {
        "Enter" => match joining {
            None => {
                hands.begin(end);
                let first = hands.joining.with_untracked(|j| {
                    j.as_ref().and_then(|j| nearest_first(j).into_iter().next())
                });
                if let Some(first) = first {
                    go_to(hands, &first, true);
                }
            }
            Some(joining) if joining.from == *end => hands.let_go(),
            Some(_) => hands.finish(end),
        },
        " " => {
            let wire = store.with_plan(|p| p.wire_at(end).map(|w| w.id.clone()));
            if let Some(wire) = wire {
                store.select(Selection::wire(&wire));
            }
        }
        _ => return false,
    }
    true
}

/// The ports that can take the wire: free ones first, then by their distance from its beginning.
fn nearest_first(joining: &super::hands::Joining) -> Vec<End> {
    let mut all: Vec<_> = joining.takes.iter().collect();
    let far = |p: (f64, f64)| (p.0 - joining.at.0).hypot(p.1 - joining.at.1);
    all.sort_by(|a, b| a.1.1.cmp(&b.1.1).then(far(a.1.0).total_cmp(&far(b.1.0))));
    all.into_iter().map(|(end, _)| end.clone()).collect()
}

fn go_to(hands: Hands, end: &End, aims: bool) {
    let store = hands.store;
    let rect = store.with_plan(|plan| plan.part(&end.part).map(|p| view::rect(plan, p)));
    if let Some(rect) = rect {
        store.reveal(rect);
    }
    if aims {
        hands.target.set(Some(end.clone()));
    }
    hands.focus_on(port_id(end));
}
