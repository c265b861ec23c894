//! A small window of board and caption that stays on top of all others, where the browser has such windows.
//!
//! It shows a picture that is written anew as the moment moves; it has no buttons of its own.

use super::last::{Last, last};
use crate::page::day::use_run;
use crate::page::store::Store;
use js_sys::{Function, Object, Promise, Reflect};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// The property of the browser's window that opens them.
const OPENER: &str = "documentPictureInPicture";
/// How large it is at first, in pixels.
const SIZE: (u32, u32) = (480, 270);

/// The small window. Cheap to copy.
#[derive(Clone, Copy)]
pub struct SmallWindow {
    store: Store,
    shown: RwSignal<Option<web_sys::Window>, LocalStorage>,
    /// Whether one is being opened.
    opens: StoredValue<bool>,
}

impl SmallWindow {
    /// Closed. What it shows follows the page.
    pub fn new(store: Store) -> SmallWindow {
        let small = SmallWindow {
            store,
            shown: RwSignal::new_local(None),
            opens: StoredValue::new(false),
        };
        let run = use_run();
        Effect::new(move |_| {
            let Some(shown) = small.shown.get() else {
                return;
            };
            store.shown();
            let Last {
                time,
                caption,
                walk,
                asks,
            } = last(store, run);
            let picture = store.with(|editor| editor.picture()).unwrap_or_default();
            let says = walk.or_else(|| caption.map(|caption| caption.says));
            let says = says.into_iter().chain(asks).collect::<Vec<_>>().join(" ");
            show(&shown, &picture, &format!("{time}  {says}"));
        });
        small
    }

    /// Whether the browser has such windows.
    pub fn is_known() -> bool {
        Reflect::has(&window(), &OPENER.into()).unwrap_or(false)
    }

    /// Whether it is open. Tracked.
    pub fn is_open(self) -> bool {
        self.shown.with(Option::is_some)
    }

    /// Opens it, or closes it.
    pub fn turn(self) {
        if self.shown.with_untracked(Option::is_some) {
            return self.close();
        }
        if self.opens.get_value() {
            return;
        }
        self.opens.set_value(true);
        spawn_local(async move {
            let opened = open().await;
            // The view for a recording may have ended meanwhile.
            let is_wanted = self.opens.try_set_value(false).is_none();
            match opened {
                Ok(opened) if is_wanted => {
                    self.clear_when_closed(&opened);
                    self.shown.set(Some(opened));
                }
                // It is closed then, whatever the browser says.
                Ok(opened) => drop(opened.close()),
                Err(_) => self
                    .store
                    .notice("This browser opens no small window that stays on top.".into()),
            }
        });
    }

    /// Closes it, if it is open.
    pub fn close(self) {
        if let Some(Some(shown)) = self.shown.try_update(Option::take) {
            // It may be closed already, which harms nothing.
            let _ = shown.close();
        }
    }

    fn clear_when_closed(self, opened: &web_sys::Window) {
        let gone = Closure::once_into_js(move || {
            let _ = self.shown.try_set(None);
        });
        // Where it can't be heard, the button says so long that it is open.
        let _ = opened.add_event_listener_with_callback("pagehide", gone.unchecked_ref());
    }
}

/// Opens a small window with the page's own style.
async fn open() -> Result<web_sys::Window, JsValue> {
    let opener = Reflect::get(&window(), &OPENER.into())?;
    let ask: Function = Reflect::get(&opener, &"requestWindow".into())?.dyn_into()?;
    let size = Object::new();
    Reflect::set(&size, &"width".into(), &SIZE.0.into())?;
    Reflect::set(&size, &"height".into(), &SIZE.1.into())?;
    let promised: Promise = ask.call1(&opener, &size)?.dyn_into()?;
    let opened: web_sys::Window = JsFuture::from(promised).await?.unchecked_into();
    let theirs = opened.document().ok_or(JsValue::NULL)?;
    let sheets = document().query_selector_all("link[rel=stylesheet]")?;
    let head = theirs.head().ok_or(JsValue::NULL)?;
    for at in 0..sheets.length() {
        if let Some(sheet) = sheets.get(at) {
            let copy = sheet.clone_node_with_deep(true)?;
            // A relative address would be looked for beside the small window.
            if let (Some(from), Some(to)) = (
                sheet.dyn_ref::<web_sys::HtmlLinkElement>(),
                copy.dyn_ref::<web_sys::HtmlLinkElement>(),
            ) {
                to.set_href(&from.href());
            }
            head.append_child(&copy)?;
        }
    }
    // The theme that was chosen, and the language.
    if let (Some(own), Some(root)) = (document().document_element(), theirs.document_element()) {
        for name in ["data-theme", "lang"] {
            if let Some(value) = own.get_attribute(name) {
                root.set_attribute(name, &value)?;
            }
        }
    }
    theirs.set_title(&document().title());
    let body = theirs.body().ok_or(JsValue::NULL)?;
    body.set_class_name("small-window");
    for (tag, class) in [("div", "small-picture"), ("p", "small-caption")] {
        let element = theirs.create_element(tag)?;
        element.set_class_name(class);
        body.append_child(&element)?;
    }
    Ok(opened)
}

fn show(window: &web_sys::Window, picture: &str, says: &str) {
    let Some(document) = window.document() else {
        return;
    };
    let find = |class: &str| document.query_selector(class).ok().flatten();
    if let Some(place) = find(".small-picture") {
        place.set_inner_html(picture);
    }
    if let Some(place) = find(".small-caption") {
        place.set_text_content(Some(says));
    }
}
