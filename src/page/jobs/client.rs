//! One worker as the page sees it: started from the second program, written to, heard, and ended when dropped.

use crate::worker::{FromWorker, ToWorker};
use js_sys::{Reflect, Uint8Array};
use leptos::prelude::document;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, WorkerOptions, WorkerType};

/// What is heard of a worker.
pub(super) enum Incoming {
    /// The compiled program, from which another worker starts sooner.
    Program(JsValue),
    /// It hears from now on.
    Ready,
    /// It says something.
    Says(FromWorker),
    /// Its program could not be had, and why.
    NotStarted(String),
    /// It broke off, and why.
    Broke(String),
}

/// A worker.
pub(super) struct Client {
    worker: web_sys::Worker,
    _hears: Closure<dyn FnMut(MessageEvent)>,
    _fails: Closure<dyn FnMut(ErrorEvent)>,
}

impl Drop for Client {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}

impl Client {
    /// Starts a worker, from the compiled program where there is one.
    pub(super) fn start(
        program: Option<&JsValue>,
        hear: impl Fn(Incoming) + Clone + 'static,
    ) -> Result<Client, String> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = web_sys::Worker::new_with_options("./worker.js", &options)
            .map_err(|_| "this browser starts no worker".to_string())?;
        let fail = hear.clone();
        let hears = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
            hear(incoming(&event.data()));
        });
        let fails = Closure::<dyn FnMut(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            fail(Incoming::Broke(event.message()));
        });
        worker.set_onmessage(Some(hears.as_ref().unchecked_ref()));
        worker.set_onerror(Some(fails.as_ref().unchecked_ref()));
        let first = js_sys::Object::new();
        let put = |key: &str, value: &JsValue| Reflect::set(&first, &key.into(), value).is_ok();
        put("name", &program_name().into());
        put("program", program.unwrap_or(&JsValue::UNDEFINED));
        worker
            .post_message(&first)
            .map_err(|_| "nothing can be sent to a worker".to_string())?;
        Ok(Client {
            worker,
            _hears: hears,
            _fails: fails,
        })
    }

    /// Sends a message.
    pub(super) fn send(&self, message: &ToWorker) {
        let bytes = Uint8Array::from(message.to_bytes().as_slice());
        let _ = self.worker.post_message(&bytes);
    }
}

fn incoming(data: &JsValue) -> Incoming {
    if data.is_string() {
        return Incoming::Ready;
    }
    if let Some(bytes) = data.dyn_ref::<Uint8Array>() {
        return match FromWorker::from_bytes(&bytes.to_vec()) {
            Some(says) => Incoming::Says(says),
            None => Incoming::Broke("its answer can't be read; reload the page".into()),
        };
    }
    let get = |key: &str| Reflect::get(data, &key.into()).ok();
    match get("program").filter(|program| !program.is_undefined()) {
        Some(program) => Incoming::Program(program),
        None => Incoming::NotStarted(
            get("failed")
                .and_then(|w| w.as_string())
                .unwrap_or_default(),
        ),
    }
}

/// The file name of the second program, without its endings, as the page's head tells it.
fn program_name() -> String {
    let meta = document()
        .query_selector("meta[name=duskline-worker]")
        .ok()
        .flatten();
    let named = meta.and_then(|meta| meta.get_attribute("content"));
    named.unwrap_or_else(|| "duskline-worker".into())
}
