//! Two small things that stand over the board: the question whether a wire may be replaced, and the field in which a part
//! is renamed in place.

use super::hands::{Hands, card_id, port_id};
use crate::editor::layout;
use crate::plan::Edit;
use leptos::html::{Button, Input};
use leptos::prelude::*;

/// The question whether a new wire may take the place of others.
#[component]
pub fn Asked() -> impl IntoView {
    let hands: Hands = expect_context();
    move || hands.asking.get().map(|_| view! { <Question/> })
}

#[component]
fn Question() -> impl IntoView {
    let hands: Hands = expect_context();
    let store = hands.store;
    let first = NodeRef::<Button>::new();
    Effect::new(move |_| {
        if let Some(button) = first.get() {
            let _ = button.focus();
        }
    });
    let says = move || {
        hands.asking.get().map(|ask| {
            store.with_plan(|plan| {
                let wires = ask.wires.iter().filter_map(|id| plan.wire(id));
                let all: Vec<String> = wires
                    .map(|w| {
                        format!(
                            "{} {} to {} {}",
                            plan.called(&w.from.part),
                            w.from.port,
                            plan.called(&w.to.part),
                            w.to.port
                        )
                    })
                    .collect();
                format!("A port takes one wire. Replace {}?", all.join(" and "))
            })
        })
    };
    let place = move || {
        let ask = hands.asking.get()?;
        let at = store
            .with_plan(|plan| super::hands::port_at(plan, &ask.to))?
            .0;
        let v = store.view().get();
        let x = ((at.0 - v.x) * v.zoom).clamp(8.0, (v.width - 300.0).max(8.0));
        let y = ((at.1 - v.y) * v.zoom + 16.0).clamp(8.0, (v.height - 120.0).max(8.0));
        Some(format!("left:{x}px;top:{y}px"))
    };
    let close = move |replaces: bool| {
        let to = hands.asking.get_untracked().map(|a| a.to);
        if replaces {
            hands.replace();
        } else {
            hands.asking.set(None);
        }
        if let Some(to) = to {
            hands.focus_on(port_id(&to));
        }
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
    let hands: Hands = expect_context();
    let store = hands.store;
    move || {
        let id = hands.renaming.get()?;
        let (name, label) = store.with_plan(|plan| {
            let part = plan.part(&id)?;
            let label = plan.kind_of(part).map(|t| t.label.clone());
            Some((part.name.clone(), label.unwrap_or_default()))
        })?;
        let field = NodeRef::<Input>::new();
        Effect::new(move |_| {
            if let Some(field) = field.get() {
                let _ = field.focus();
                field.select();
            }
        });
        let place = {
            let id = id.clone();
            move || {
                let v = store.view().get();
                let (x, y, w, _) = store
                    .with_plan(|plan| plan.part(&id).map(|p| view::rect(plan, p)))
                    .unwrap_or_default();
                let width = (w * v.zoom).max(160.0);
                format!(
                    "left:{}px;top:{}px;width:{width}px",
                    (x - v.x) * v.zoom,
                    (y - v.y) * v.zoom + 4.0
                )
            }
        };
        // Taking the field away blurs it, after what belonged to it is gone: the rename has ended by then.
        let end = move |keep: bool, back: bool| {
            let Some(id) = hands.renaming.get_untracked() else {
                return;
            };
            let text = field.get_untracked().map(|f| f.value()).unwrap_or_default();
            hands.renaming.set(None);
            if keep {
                let name = text.trim().to_string();
                let said = format!("rename {}", store.with_plan(|p| p.called(&id)));
                store.commit(&said, vec![Edit::Rename(id.clone(), name)]);
            }
            if back {
                hands.focus_on(card_id(&id));
            }
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
