//! The details: whatever is chosen on the board, to be read and set. One part, one wire, several at once, or the plan
//! itself with its world where nothing is chosen.
//!
//! Every change is one step of undo. It computes no power: what it reads comes from the solver's answer.

mod aim;
mod conditions;
mod duties;
mod field;
mod figures;
mod lists;
mod part;
mod plan;
mod ports;
mod reserve;
mod several;
mod start_by;
mod wire;

pub(crate) use conditions::DutyConditions;
pub(crate) use duties::{GRACE, GRACE_S};
pub(crate) use field::{Choice, Entry};
pub(crate) use lists::Spans;
pub(super) use start_by::StartByJob;

use super::store::{Pane, use_store};
use crate::editor::{Drawing, Selection};
use crate::plan::{PartId, WireId};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// What the panel is about.
#[derive(Clone, PartialEq)]
enum About {
    Plan,
    Part(PartId),
    Wire(WireId),
    Several,
}

/// The details of what is chosen.
#[component]
pub fn Details(
    /// What is said of the site about what is chosen, or about the site itself.
    on_site: fn(Selection) -> AnyView,
) -> impl IntoView {
    let store = use_store();
    let selection = store.selection();
    let about = Memo::new(move |_| {
        // Another plan under the same ids is another thing.
        let _ = store.plan_key();
        selection.with(|s| match (s.parts.len(), s.wires.len()) {
            (0, 0) => About::Plan,
            (1, 0) => s.parts.first().cloned().map_or(About::Plan, About::Part),
            (0, 1) => s.wires.first().cloned().map_or(About::Plan, About::Wire),
            _ => About::Several,
        })
    });
    let is_site = Memo::new(move |_| {
        store.drawing().get() == Drawing::Site && about.with(|a| *a == About::Plan)
    });
    // The details of the plan go and come again at every choice.
    let world_unfolded = RwSignal::new(false);
    let shown = move || match about.get() {
        About::Plan if is_site.get() => on_site(Selection::default()),
        About::Plan => view! { <plan::PlanDetails world_unfolded/> }.into_any(),
        About::Part(id) => {
            view! { <part::PartDetails id=id.clone() on_site=on_site(Selection::part(&id))/> }
                .into_any()
        }
        About::Wire(id) => {
            view! { <wire::WireDetails id=id.clone() on_site=on_site(Selection::wire(&id))/> }
                .into_any()
        }
        About::Several => view! { <several::SeveralDetails/> }.into_any(),
    };
    let whole = NodeRef::<leptos::html::Div>::new();
    // Whatever is chosen is read from its beginning.
    Effect::watch(
        move || about.track(),
        move |(), _, _| {
            let mut next = whole.get_untracked().map(web_sys::Element::from);
            while let Some(element) = next {
                element.set_scroll_top(0);
                next = element.parent_element();
            }
        },
        false,
    );
    // Who is led to the home hours finds their form unfolded, in sight and with the keyboard on it.
    Effect::watch(
        move || store.asks_for_home(),
        move |_, _, _| {
            world_unfolded.set(true);
            request_animation_frame(|| {
                let form = document().get_element_by_id("world-home");
                if let Some(form) = form.and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) {
                    form.scroll_into_view();
                    // Focus may be refused, which harms nothing.
                    let _ = form.focus();
                }
            });
        },
        false,
    );
    // What is pressed here may go with what was chosen before; the keyboard then stays in the details.
    let keep_focus = move |_| {
        request_animation_frame(move || {
            let is_lost = document().active_element() == document().body().map(Into::into);
            if let Some(Some(whole)) = whole.try_get_untracked().filter(|_| is_lost) {
                whole.set_tab_index(-1);
                let stays = web_sys::FocusOptions::new();
                stays.set_prevent_scroll(true);
                // Focus may be refused, which harms nothing.
                let _ = whole.focus_with_options(&stays);
            }
        });
    };
    let away = move || store.pane().get() == Some(Pane::Problems);
    view! { <div class="about" class:put-away=away node_ref=whole on:click=keep_focus>{shown}</div> }
}
