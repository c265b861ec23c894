//! Plans as files: taken away, read back by choosing one or by dropping it onto the page.
//!
//! A file is read whole in the browser and sent nowhere. A damaged one is told of, place by place, and its sound rest
//! offered as another plan; nothing that is open or kept is touched.

use super::choose_file::{ChooseFile, read_text};
use super::download::save_json;
use super::incoming::Incoming;
use super::keeping::{Keeper, Message};
use super::later::{Later, use_later};
use super::store::Store;
use crate::plan::{NamedWorld, Salvage, salvage};
use crate::read::Faults;
use crate::shelf::Origin;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// The largest file that is read, in bytes.
const LARGEST: f64 = 64e6;

/// Hands the open plan to the browser as a file named after its title.
pub fn download(store: Store) {
    let (text, title) = store.with_plan(|plan| (plan.print(), plan.title.clone()));
    save_json(store, &text, (&title, "plan"), "duskline");
}

/// Hands a world to the browser as a file named after it.
pub fn download_world(store: Store, world: &NamedWorld) {
    save_json(
        store,
        &world.print(),
        (&world.name, "world"),
        "duskline-world",
    );
}

/// Reads a file and opens what is in it: a plan as another, a world among the worlds, plans of a whole shelf beside those
/// that are kept.
pub fn open_file(incoming: Incoming, later: Later, file: web_sys::File) {
    let keeper = incoming.keeper;
    let name = file.name();
    if file.size() > LARGEST {
        let said = format!("{name} is larger than any plan. Nothing of it was read.");
        return keeper.message().set(Some(Message::new("Too large", said)));
    }
    read_text(&file, move |text| match text {
        Some(text) => {
            if let Err(faults) = open_text(keeper, &text, &name) {
                later.call(move |part| (part.take_other)(incoming, &text, &name, &faults));
            }
        }
        None => {
            let said = format!("{name} could not be read. Is it still there?");
            keeper.message().set(Some(Message::new("Not read", said)));
        }
    });
}

/// Opens the plan in a text as another; `name` is what the text is called in messages. Where the text is none at all
/// nothing happens, and why is answered.
pub fn open_text(keeper: Keeper, text: &str, name: &str) -> Result<(), Faults> {
    let Salvage { plan, faults } = salvage(text)?;
    if faults.is_empty() {
        keeper.open_other(plan, Origin::Received);
        return Ok(());
    }
    let said = format!(
        "{name} is damaged. What is sound of it can be opened as another plan, without what is listed here and what hangs on it."
    );
    keeper.message().set(Some(Message {
        rest: Some(plan),
        ..Message::new("A damaged plan", said).with_faults(&faults)
    }));
    Ok(())
}

/// Whether files are what is being dragged; parts from the shelf are none of ours.
fn drags_files(event: &web_sys::DragEvent) -> Option<web_sys::DataTransfer> {
    let data = event.data_transfer()?;
    data.types()
        .includes(&JsValue::from_str("Files"), 0)
        .then_some(data)
}

/// From now on a file that is dropped onto the page is opened.
pub fn listen(incoming: Incoming, later: Later) {
    let over = window_event_listener(leptos::ev::dragover, |event| {
        if let Some(data) = drags_files(&event) {
            event.prevent_default();
            data.set_drop_effect("copy");
        }
    });
    let drop = window_event_listener(leptos::ev::drop, move |event| {
        if let Some(data) = drags_files(&event) {
            event.prevent_default();
            if let Some(file) = data.files().and_then(|files| files.get(0)) {
                open_file(incoming, later, file);
            }
        }
    });
    on_cleanup(move || {
        over.remove();
        drop.remove();
    });
}

/// The button that asks for a plan's file.
#[component]
pub fn OpenFile() -> impl IntoView {
    let (incoming, later) = (Incoming::here(), use_later());
    view! {
        <ChooseFile name="Open a file…" asks="A file of a plan or a world" accept=".json,application/json"
            take=move |file| open_file(incoming, later, file)/>
    }
}
