//! The installed page started with something: a file that its user opens with it, or a link to a plan. Browsers that install
//! pages hand these over in a queue of their own; where there is none, nothing is done here.

use super::files::open_file;
use super::incoming::Incoming;
use super::later::Later;
use super::links;
use js_sys::{Array, Function, Promise, Reflect};
use leptos::prelude::window;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

/// From now on what the page is started with is opened, also what came before.
pub fn listen(incoming: Incoming, later: Later) {
    let get = |of: &JsValue, key: &str| Reflect::get(of, &JsValue::from_str(key)).ok();
    let Some(queue) = get(&window(), "launchQueue").filter(JsValue::is_object) else {
        return;
    };
    let Some(listen) = get(&queue, "setConsumer").and_then(|f| f.dyn_into::<Function>().ok())
    else {
        return;
    };
    let hear = Closure::<dyn FnMut(JsValue)>::new(move |launch: JsValue| {
        if let Some(files) = get(&launch, "files").filter(JsValue::is_object) {
            Array::from(&files)
                .iter()
                .for_each(|handle| open_handle(incoming, later, handle));
        }
        let target = get(&launch, "targetURL").and_then(|url| url.as_string());
        if let Some((_, fragment)) = target.as_ref().and_then(|url| url.split_once('#')) {
            links::open(incoming, later, fragment);
        }
    });
    if listen.call1(&queue, hear.as_ref()).is_ok() {
        hear.forget();
    }
}

/// Opens the file that a handle stands for.
fn open_handle(incoming: Incoming, later: Later, handle: JsValue) {
    let read = Reflect::get(&handle, &JsValue::from_str("getFile")).ok();
    let read = read.and_then(|f| f.dyn_into::<Function>().ok());
    let asked = read.and_then(|f| f.call0(&handle).ok());
    let Some(file) = asked.and_then(|p| p.dyn_into::<Promise>().ok()) else {
        return;
    };
    leptos::task::spawn_local(async move {
        let file = JsFuture::from(file).await;
        match file.ok().and_then(|f| f.dyn_into::<web_sys::File>().ok()) {
            Some(file) => open_file(incoming, later, file),
            None => incoming
                .keeper
                .say("The file could not be read. Is it still there?"),
        }
    });
}
