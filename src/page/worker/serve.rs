//! The worker's side: waits for questions and sends the answers, piece by piece.

use super::task::{Answer, Task, answer};
use crate::plan::read_plan;
use js_sys::Uint8Array;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent};

/// What the page asks: a number that its answers carry, the question, and the plan as its file.
pub(super) type Asked = (u64, Task, String);

/// What comes back: the question's number, and a piece or why there is none.
pub(super) type Answered = (u64, Result<Answer, String>);

/// Whether this program runs in a worker rather than in a page.
pub fn is_worker() -> bool {
    js_sys::global()
        .dyn_into::<DedicatedWorkerGlobalScope>()
        .is_ok()
}

/// Answers questions for as long as the worker lives. Does nothing in a page.
pub fn serve() {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else {
        return;
    };
    console_error_panic_hook::set_once();
    let ear = {
        let scope = scope.clone();
        Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
            let bytes = Uint8Array::new(&event.data()).to_vec();
            let Ok((number, task, text)) = postcard::from_bytes::<Asked>(&bytes) else {
                return;
            };
            let send = |piece: Result<Answer, String>| {
                if let Ok(bytes) = postcard::to_allocvec::<Answered>(&(number, piece)) {
                    let array = Uint8Array::from(bytes.as_slice());
                    let _ = scope.post_message(&array);
                }
            };
            match read_plan(&text) {
                Ok(plan) => answer(task, &plan, &mut |piece| send(Ok(piece))),
                Err(faults) => send(Err(faults.iter().map(ToString::to_string).collect())),
            }
        })
    };
    scope.set_onmessage(Some(ear.as_ref().unchecked_ref()));
    // It hears for as long as the worker lives.
    ear.forget();
    // What was sent before this moment was lost; from now on nothing is.
    let _ = scope.post_message(&JsValue::from_str("ready"));
}
