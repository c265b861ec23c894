//! Plans as files: taken away, read back by choosing one or by dropping it onto the page.
//!
//! A file is read whole in the browser and sent nowhere. A damaged one is told of, place by place, and its sound rest
//! offered as another plan; nothing that is open or kept is touched.

use super::choose_file::{ChooseFile, read_text};
use super::download::{hand_over, plain};
use super::incoming::Incoming;
use super::keeping::Message;
use super::store::Store;
use crate::plan::{NamedWorld, Salvage, WORLD_FORMAT, salvage, world_of_value};
use crate::read::{self, Faults, format_of};
use crate::shelf::{Origin, SHELF_FORMAT};
use leptos::prelude::*;
use wasm_bindgen::JsValue;

/// The largest file that is read, in bytes.
const LARGEST: f64 = 64e6;

/// Hands the open plan to the browser as a file named after its title.
pub fn download(store: Store) {
    let (text, title) = store.with_plan(|plan| (plan.print(), plan.title.clone()));
    if hand_over(&text, &name_of(&title), "application/json").is_none() {
        store.notice("The browser did not take the file.".into());
    }
}

/// A file's name of a title.
fn name_of(title: &str) -> String {
    let name = plain(title);
    let name = if name.is_empty() { "plan" } else { &name };
    format!("{name}.duskline.json")
}

/// Hands a world to the browser as a file named after it.
pub fn download_world(store: Store, world: &NamedWorld) {
    let name = plain(&world.name);
    let name = if name.is_empty() { "world" } else { &name };
    let name = format!("{name}.duskline-world.json");
    if hand_over(&world.print(), &name, "application/json").is_none() {
        store.notice("The browser did not take the file.".into());
    }
}

/// Reads a file and opens what is in it: a plan as another, a world among the worlds, plans of a whole shelf beside those
/// that are kept.
pub fn open_file(incoming: Incoming, file: web_sys::File) {
    let keeper = incoming.keeper;
    let name = file.name();
    if file.size() > LARGEST {
        let said = format!("{name} is larger than any plan. Nothing of it was read.");
        return keeper.message().set(Some(Message::new("Too large", said)));
    }
    read_text(&file, move |text| match text {
        Some(text) => open_text(incoming, &text, &name),
        None => {
            let said = format!("{name} could not be read. Is it still there?");
            keeper.message().set(Some(Message::new("Not read", said)));
        }
    });
}

/// Opens what is in a text; `name` is what the text is called in messages.
pub fn open_text(incoming: Incoming, text: &str, name: &str) {
    let keeper = incoming.keeper;
    match salvage(text) {
        Ok(Salvage { plan, faults }) if faults.is_empty() => {
            keeper.open_other(plan, Origin::Received)
        }
        Ok(Salvage { plan, faults }) => {
            let said = format!(
                "{name} is damaged. What is sound of it can be opened as another plan, without what is listed here and what hangs on it."
            );
            keeper.message().set(Some(Message {
                rest: Some(plan),
                ..Message::new("A damaged plan", said).with_faults(&faults)
            }));
        }
        Err(faults) => open_other(incoming, text, name, &faults),
    }
}

/// Opens a text that is no plan, for these reasons.
fn open_other(incoming: Incoming, text: &str, name: &str, faults: &Faults) {
    let keeper = incoming.keeper;
    let refuse = |title: &str, what: &str, faults: &Faults| {
        let said = format!("{name} can't be read as a {what}. Nothing was changed.");
        let message = Message::new(title, said).with_faults(faults);
        keeper.message().set(Some(message));
    };
    let value = read::json(text.trim_start_matches('\u{feff}')).ok();
    match value.as_ref().and_then(format_of) {
        Some(WORLD_FORMAT) => match value.as_ref().map(world_of_value) {
            Some(Ok(world)) => incoming.take_world(world),
            Some(Err(faults)) => refuse("No world", "world", &faults),
            None => {}
        },
        Some(SHELF_FORMAT) => keeper.take_whole(text.into(), name.into()),
        _ => refuse("No plan", "plan", faults),
    }
}

/// Whether files are what is being dragged; parts from the shelf are none of ours.
fn drags_files(event: &web_sys::DragEvent) -> Option<web_sys::DataTransfer> {
    let data = event.data_transfer()?;
    data.types()
        .includes(&JsValue::from_str("Files"), 0)
        .then_some(data)
}

/// From now on a file that is dropped onto the page is opened.
pub fn listen(incoming: Incoming) {
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
                open_file(incoming, file);
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
    let incoming = Incoming::here();
    view! {
        <ChooseFile name="Open a file…" asks="A file of a plan or a world" accept=".json,application/json"
            take=move |file| open_file(incoming, file)/>
    }
}
