//! Two small things that stand over the board: the question whether a wire may be replaced, and the field in which a part
//! is renamed in place.

use crate::editor::{Message, from_to};
use crate::page::store::use_store;
use leptos::html::{Button, Input};
use leptos::prelude::*;

/// The question whether a new wire may take the place of others.
#[component]
pub fn Asked() -> impl IntoView {
    let store = use_store();
    move || {
        store
            .replacing()
            .with(Option::is_some)
            .then(|| view! { <Question/> })
    }
}

#[component]
fn Question() -> impl IntoView {
    let store = use_store();
    let first = NodeRef::<Button>::new();
    Effect::new(move |_| {
        if let Some(button) = first.get() {
            // Focus may be refused, which harms nothing.
            let _ = button.focus();
        }
    });
    let says = move || {
        let asked = store.replacing().get()?;
        let wires = store.with_plan(|plan| {
            let wires = asked.wires.iter().filter_map(|id| plan.wire(id));
            let all: Vec<String> = wires.map(|w| from_to(plan, &w.from, &w.to)).collect();
            all.join(" and ")
        });
        Some(format!("A port takes one wire. Replace {wires}?"))
    };
    let place = move || {
        let to = store.replacing().get()?.to;
        let at = store.with(|editor| editor.port_place(&to))?;
        let v = store.view().get();
        let (x, y) = v.to_window(at);
        let x = x.clamp(8.0, (v.width - 300.0).max(8.0));
        let y = (y + 16.0).clamp(8.0, (v.height - 120.0).max(8.0));
        Some(format!("left:{x}px;top:{y}px"))
    };
    let close = move |replaces: bool| {
        store.dispatch(Message::Replace(replaces));
    };
    view! {
        <div
            class="question"
            role="dialog"
            aria-label="Replace a wire"
            style=place
            on:keydown=move |ev| if ev.key() == "Escape" { ev.stop_propagation(); close(false) }
        >
            <p>{says}</p>
            <button type="button" node_ref=first on:click=move |_| close(true)>"Replace"</button>
            <button type="button" class="quiet" on:click=move |_| close(false)>"Cancel"</button>
        </div>
    }
}

/// The field in which a part is renamed on its card.
#[component]
pub fn Renaming() -> impl IntoView {
    let store = use_store();
    move || {
        let id = store.renaming().get()?;
        let (name, label) = store.with_plan(|plan| {
            let part = plan.part(&id)?;
            let label = plan.kind_of(part).map(|t| t.label.clone());
            Some((part.name.clone(), label.unwrap_or_default()))
        })?;
        let field = NodeRef::<Input>::new();
        Effect::new(move |_| {
            if let Some(field) = field.get() {
                // Focus may be refused, which harms nothing.
                let _ = field.focus();
                field.select();
            }
        });
        let place = move || {
            let v = store.view().get();
            let (x, y, w, _) = store
                .with(|editor| editor.card_rect(&id))
                .unwrap_or_default();
            let (x, y) = v.to_window((x, y));
            let width = (w * v.zoom).max(160.0);
            format!("left:{x}px;top:{}px;width:{width}px", y + 4.0)
        };
        // Taking the field away blurs it, after what belonged to it is gone: the rename has ended by then.
        let end = move |keeps: bool, returns: bool| {
            if store.renaming().with_untracked(Option::is_none) {
                return;
            }
            let text = field.get_untracked().map(|f| f.value());
            store.dispatch(Message::Renamed {
                name: text.filter(|_| keeps),
                returns,
            });
        };
        let key = move |ev: web_sys::KeyboardEvent| {
            ev.stop_propagation();
            match ev.key().as_str() {
                "Enter" => end(true, true),
                "Escape" => end(false, true),
                _ => {}
            }
        };
        Some(view! {
            <input
                class="rename"
                type="text"
                maxlength="60"
                node_ref=field
                aria-label="Name of the part"
                placeholder=label
                prop:value=name
                style=place
                on:keydown=key
                on:blur=move |_| end(true, false)
            />
        })
    }
}
