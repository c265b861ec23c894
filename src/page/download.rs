//! A text handed to the browser as a file to be kept elsewhere.

use super::store::Store;
use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};

/// What a file is called: after `title`, or after what it is where that has no name in it.
pub fn named(title: &str, what: &str, ending: &str) -> String {
    let name = plain(title);
    let name = if name.is_empty() { what } else { &name };
    format!("{name}.{ending}")
}

/// What of a text may stand in a file's name: letters, digits, and what no system minds.
fn plain(title: &str) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() || " _-,.'".contains(c) {
            c
        } else {
            '-'
        }
    };
    let name: String = title.chars().map(plain).take(80).collect();
    name.trim_matches([' ', '.', '-']).to_string()
}

/// What is said where the browser does not take a file.
const NOT_TAKEN: &str = "The browser did not take the file.";

/// Hands a JSON document to the browser as a file named after `title`, or after what it is where that has no name in it. Where
/// the browser does not take it, that is said.
pub fn save_json(store: Store, text: &str, (title, what): (&str, &str), ending: &str) {
    let name = named(title, what, &format!("{ending}.json"));
    save(store, text, &name, "application/json");
}

/// Hands a text to the browser as a file of this name and media type. Where the browser does not take it, that is said.
pub fn save(store: Store, text: &str, name: &str, media: &str) {
    if let Err(said) = hand_over(text, name, media) {
        store.notice(said.into());
    }
}

/// The same for whoever says it elsewhere.
///
/// # Errors
/// Where the browser does not take it: the sentence that says so.
pub fn hand_over(text: &str, name: &str, media: &str) -> Result<(), &'static str> {
    take(text, name, media).ok_or(NOT_TAKEN)
}

/// Hands what is no text to the browser as a file of this name.
///
/// # Errors
/// Where the browser does not take it: the sentence that says so.
pub fn hand_over_blob(blob: &web_sys::Blob, name: &str) -> Result<(), &'static str> {
    take_blob(blob, name).ok_or(NOT_TAKEN)
}

fn take(text: &str, name: &str, media: &str) -> Option<()> {
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let options = web_sys::BlobPropertyBag::new();
    options.set_type(media);
    let blob = web_sys::Blob::new_with_str_sequence_and_options(&parts, &options).ok()?;
    take_blob(&blob, name)
}

fn take_blob(blob: &web_sys::Blob, name: &str) -> Option<()> {
    let url = web_sys::Url::create_object_url_with_blob(blob).ok()?;
    let anchor: web_sys::HtmlAnchorElement =
        document().create_element("a").ok()?.dyn_into().ok()?;
    anchor.set_href(&url);
    anchor.set_download(name);
    anchor.click();
    // Later, since some browsers read it only after the click is over.
    let later = move || {
        let _ = web_sys::Url::revoke_object_url(&url);
    };
    set_timeout(later, std::time::Duration::from_secs(30));
    Some(())
}
