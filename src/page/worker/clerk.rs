//! The page's side of a worker: asks one question at a time, stops the one before, and hands over what comes back.

use super::serve::{Answered, Asked};
use super::task::{Answer, Task};
use crate::plan::Plan;
use js_sys::{Object, Reflect, Uint8Array};
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, HtmlLinkElement, MessageEvent, WorkerOptions, WorkerType};

/// What hears the pieces of one answer.
type Ear = Rc<dyn Fn(Result<Answer, String>)>;

#[derive(Default)]
struct Desk {
    worker: Option<web_sys::Worker>,
    is_ready: bool,
    number: u64,
    /// The question under way, for as long as it is: its bytes wait here until the worker is ready.
    waiting: Option<Vec<u8>>,
    ear: Option<Ear>,
    hears: Option<Closure<dyn FnMut(MessageEvent)>>,
    fails: Option<Closure<dyn FnMut(ErrorEvent)>>,
}

impl Drop for Desk {
    fn drop(&mut self) {
        if let Some(worker) = self.worker.take() {
            worker.terminate();
        }
    }
}

/// Works beside the page. Cheap to copy; lives as long as the scope that made it.
#[derive(Clone, Copy)]
pub struct Clerk {
    desk: StoredValue<Rc<RefCell<Desk>>, LocalStorage>,
    busy: RwSignal<bool>,
}

impl Clerk {
    /// A clerk with nothing to do. Its worker starts with the first question.
    pub fn new() -> Clerk {
        Clerk {
            desk: StoredValue::new_local(Rc::default()),
            busy: RwSignal::new(false),
        }
    }

    /// Whether a question is under way. Tracked.
    pub fn is_busy(self) -> bool {
        self.busy.get()
    }

    /// Asks about a plan; the question before, if it is still under way, is stopped and heard no more. `ear` hears every
    /// piece of the answer, or why there will be none.
    pub fn ask(self, plan: &Plan, task: Task, ear: impl Fn(Result<Answer, String>) + 'static) {
        self.stop();
        let rc = self.desk.get_value();
        let mut desk = rc.borrow_mut();
        desk.number += 1;
        let asked: Asked = (desk.number, task, plan.print());
        let bytes = match postcard::to_allocvec(&asked) {
            Ok(bytes) => bytes,
            Err(error) => {
                drop(desk);
                return ear(Err(error.to_string()));
            }
        };
        desk.ear = Some(Rc::new(ear));
        desk.waiting = Some(bytes);
        self.busy.set(true);
        if desk.worker.is_none() {
            drop(desk);
            if let Err(why) = self.start() {
                self.fail(why);
            }
        } else if desk.is_ready {
            send(&mut desk);
        }
    }

    /// Stops the question under way, if there is one.
    pub fn stop(self) {
        let rc = self.desk.get_value();
        let mut desk = rc.borrow_mut();
        if desk.ear.take().is_none() {
            return;
        }
        // A worker hears nothing while it works: only an end stops it.
        if desk.waiting.take().is_none() {
            if let Some(worker) = desk.worker.take() {
                worker.terminate();
            }
            desk.is_ready = false;
        }
        drop(desk);
        self.busy.set(false);
    }

    fn start(self) -> Result<(), String> {
        let script = script_address().ok_or("the page does not name its script")?;
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = web_sys::Worker::new_with_options("./worker.js", &options)
            .map_err(|_| "this browser starts no worker".to_string())?;
        let hears = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
            self.hear(&event.data())
        });
        let fails = Closure::<dyn FnMut(ErrorEvent)>::new(move |event: ErrorEvent| {
            event.prevent_default();
            // Nothing else ends a worker at its work: the core never panics.
            self.fail(format!(
                "the work broke off, most likely because it takes more memory than a browser gives ({})",
                event.message()
            ));
        });
        worker.set_onmessage(Some(hears.as_ref().unchecked_ref()));
        worker.set_onerror(Some(fails.as_ref().unchecked_ref()));
        let first = Object::new();
        let put = |key: &str, value: &JsValue| Reflect::set(&first, &key.into(), value).is_ok();
        put("script", &script.into());
        put("program", &wasm_bindgen::module());
        worker
            .post_message(&first)
            .map_err(|_| "the program can't be sent to a worker".to_string())?;
        let rc = self.desk.get_value();
        let mut desk = rc.borrow_mut();
        desk.worker = Some(worker);
        desk.is_ready = false;
        desk.hears = Some(hears);
        desk.fails = Some(fails);
        Ok(())
    }

    fn hear(self, data: &JsValue) {
        let rc = self.desk.get_value();
        if data.is_string() {
            let mut desk = rc.borrow_mut();
            desk.is_ready = true;
            return send(&mut desk);
        }
        let bytes = Uint8Array::new(data).to_vec();
        let Ok((number, piece)) = postcard::from_bytes::<Answered>(&bytes) else {
            return self.fail("the answer can't be read".into());
        };
        let is_last = piece.as_ref().map_or(true, Answer::is_last);
        let ear = {
            let mut desk = rc.borrow_mut();
            if desk.number != number {
                return;
            }
            if is_last {
                desk.ear.take()
            } else {
                desk.ear.clone()
            }
        };
        if is_last {
            self.busy.set(false);
        }
        if let Some(ear) = ear {
            ear(piece);
        }
    }

    fn fail(self, why: String) {
        let rc = self.desk.get_value();
        let ear = {
            let mut desk = rc.borrow_mut();
            if let Some(worker) = desk.worker.take() {
                worker.terminate();
            }
            desk.is_ready = false;
            desk.waiting = None;
            desk.ear.take()
        };
        self.busy.set(false);
        if let Some(ear) = ear {
            ear(Err(why));
        }
    }
}

impl Default for Clerk {
    fn default() -> Clerk {
        Clerk::new()
    }
}

fn send(desk: &mut Desk) {
    if let (Some(bytes), Some(worker)) = (desk.waiting.take(), &desk.worker) {
        let _ = worker.post_message(&Uint8Array::from(bytes.as_slice()));
    }
}

/// The address of the page's own script, which the page announces in its head.
fn script_address() -> Option<String> {
    let link = document()
        .query_selector("link[rel=modulepreload][href*=duskline]")
        .ok()??;
    Some(link.dyn_into::<HtmlLinkElement>().ok()?.href())
}
