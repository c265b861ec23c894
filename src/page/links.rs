//! Plans as links: the open plan put on the clipboard as a URL, and the fragment of the page's own URL opened.
//!
//! A link opens as another plan and never over one that is kept; then the fragment goes from the address, so that a
//! reload shows the plan as it has become. What can't be opened is told in a dialog, and nothing else happens.

use super::copy_text;
use super::incoming::Incoming;
use super::keeping::{Keeper, Message};
use super::later::Later;
use super::store::Store;
use crate::plan::link::{self, Carried};
use crate::plan::{NamedWorld, Plan, Salvage};
use crate::shelf::Origin;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// Chat programs cut links from about here on.
const LONG: usize = 2000;

/// What a learner is told whose plan goes out as it is.
const SOLVED: &str = " It has what was built on the board: go back to what is given before you send the exercise to others.";

/// Puts a link to the open plan on the clipboard, or shows it where that can't be done.
pub fn copy(store: Store, keeper: Keeper) {
    let more = match store.with_plan(Plan::is_solved_by_learner) {
        true => SOLVED,
        false => "",
    };
    hand_out(store, keeper, address(store), "plan", more);
}

/// The same with a link to the open plan as a solution: without the walk, which whoever set the exercise has.
pub fn copy_solution(store: Store, keeper: Keeper) {
    let plan = Plan {
        walk: None,
        ..Plan::clone(&store.document())
    };
    let url = with_fragment(&link::to_fragment(&plan));
    hand_out(store, keeper, url, "solution", "");
}

/// The same with a link to a world.
pub fn copy_world(store: Store, keeper: Keeper, world: &NamedWorld) {
    let url = with_fragment(&link::world_to_fragment(world));
    hand_out(store, keeper, url, "world", "");
}

/// Hands a link out to a plan, a solution or a world; `more` is said where it could be copied.
fn hand_out(store: Store, keeper: Keeper, url: String, what: &'static str, more: &'static str) {
    if url.len() > link::LONGEST {
        let said = format!("This {what} is too large for a link. Send it as a file.");
        return keeper.message().set(Some(Message::new("Too large", said)));
    }
    leptos::task::spawn_local(async move {
        if copy_text::put(&url).await {
            let length = url.len();
            let long = if length > LONG {
                " Some chat programs cut links of that length; a file is safer there."
            } else {
                ""
            };
            store.notice(format!("Link copied, {length} characters.{more}{long}"));
        } else {
            let said =
                "The browser does not let the page use the clipboard. Select the link and copy it.";
            keeper.message().set(Some(Message {
                copy: Some(url),
                ..Message::new(&format!("Link to this {what}"), said)
            }));
        }
    });
}

/// The link to the open plan, at the page's own address.
pub fn address(store: Store) -> String {
    with_fragment(&store.with_plan(link::to_fragment))
}

/// The page's own address, without what stands behind a `#`.
pub fn here() -> String {
    let href = window().location().href().unwrap_or_default();
    href.split('#').next().unwrap_or_default().to_string()
}

fn with_fragment(fragment: &str) -> String {
    format!("{}#{fragment}", here())
}

/// Opens the plan that a link carries as another, or hands its world on.
pub fn open(incoming: Incoming, later: Later, text: &str) {
    match link::carried(text) {
        Some(Carried::World) => {
            let text = text.to_string();
            later.call(move |part| (part.take_link)(incoming, &text));
        }
        _ => open_plan(incoming, text),
    }
}

/// Opens the plan that a link carries as another.
pub fn open_plan(incoming: Incoming, text: &str) {
    let keeper = incoming.keeper;
    match link::from_link(text) {
        Ok(Salvage { plan, faults }) if faults.is_empty() => {
            // Whoever gets an exercise by a link is a learner.
            keeper.open_other(plan.begun(), Origin::Received)
        }
        Ok(Salvage { plan, faults }) => {
            let said = "The plan in this link is damaged. What is sound of it can be opened as another plan, without what is listed here and what hangs on it.";
            keeper.message().set(Some(Message {
                rest: Some(plan.begun()),
                ..Message::new("A damaged plan", said).with_faults(&faults)
            }));
        }
        Err(error) => incoming.refuse_link(&error, &error),
    }
}

/// Opens what stands in the page's fragment, if that is meant for us, and clears it.
fn open_fragment(incoming: Incoming, later: Later) {
    let location = window().location();
    let hash = location.hash().unwrap_or_default();
    let named = hash.trim_start_matches('#');
    // A fragment that names a place of the page is for the browser.
    if named.is_empty() || document().get_element_by_id(named).is_some() {
        return;
    }
    let place = location.pathname().unwrap_or_default() + &location.search().unwrap_or_default();
    if let Ok(history) = window().history() {
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&place));
    }
    open(incoming, later, &hash);
}

/// Opens the fragment now and whenever it changes.
pub fn listen(incoming: Incoming, later: Later) {
    open_fragment(incoming, later);
    let heard = window_event_listener(leptos::ev::hashchange, move |_| {
        open_fragment(incoming, later)
    });
    on_cleanup(move || heard.remove());
}
