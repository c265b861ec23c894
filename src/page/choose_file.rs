//! A button that asks for a file, and a file read as text.

use leptos::html;
use leptos::prelude::*;
use wasm_bindgen_futures::JsFuture;

/// The button, and the field behind it.
#[component]
pub fn ChooseFile(
    /// What stands on the button.
    name: &'static str,
    /// What the field asks for.
    asks: &'static str,
    /// The endings and media types of such files.
    accept: &'static str,
    /// Takes the file that was chosen.
    take: impl Fn(web_sys::File) + 'static,
) -> impl IntoView {
    let field = NodeRef::<html::Input>::new();
    let choose = move |_| {
        if let Some(field) = field.get_untracked() {
            field.click();
        }
    };
    let chosen = move |_| {
        let Some(field) = field.get_untracked() else {
            return;
        };
        let file = field.files().and_then(|files| files.get(0));
        // So that the same file may be chosen again.
        field.set_value("");
        if let Some(file) = file {
            take(file);
        }
    };
    view! {
        <button type="button" on:click=choose>{name}</button>
        <input type="file" hidden accept=accept aria-label=asks node_ref=field on:change=chosen/>
    }
}

/// Reads a file as text and hands it to `then`; nothing where it can't be read.
pub fn read_text(file: &web_sys::File, then: impl FnOnce(Option<String>) + 'static) {
    let text = file.text();
    leptos::task::spawn_local(async move {
        let read = JsFuture::from(text).await;
        then(read.ok().and_then(|text| text.as_string()));
    });
}
