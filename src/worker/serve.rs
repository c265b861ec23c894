//! The worker's side on wasm32: hears questions, works them out in steps and sends the answers, piece by piece.
//!
//! Between steps it listens: a question may be stopped, and a newer one goes first while the older waits. It keeps the
//! last plan it was given.

use super::answer::work;
use super::host::{Host, Pause};
use super::message::{FromWorker, ToWorker};
use super::task::{Answer, Task};
use crate::plan::read_plan;
use crate::proof::Study;
use js_sys::{Function, Promise, Uint8Array};
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{DedicatedWorkerGlobalScope, MessageChannel, MessageEvent};

/// How long it works between two looks at its messages, in milliseconds.
const STRETCH: f64 = 10.0;

/// The worker: its last plan, and the questions under way.
struct Server {
    scope: DedicatedWorkerGlobalScope,
    /// The last plan, or what is wrong with it.
    plan: RefCell<Result<Arc<Study>, String>>,
    /// The questions under way, the newest last: only that one is worked at.
    numbers: RefCell<Vec<u64>>,
    /// When it last looked at its messages.
    looked: Cell<f64>,
}

/// Answers questions for as long as the worker lives. Does nothing in a page.
pub fn serve() {
    let Ok(scope) = js_sys::global().dyn_into::<DedicatedWorkerGlobalScope>() else {
        return;
    };
    console_error_panic_hook::set_once();
    let server = Rc::new(Server {
        scope: scope.clone(),
        plan: RefCell::new(Err("no plan was given".into())),
        numbers: RefCell::default(),
        looked: Cell::new(0.0),
    });
    let hear = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        let bytes = Uint8Array::new(&event.data()).to_vec();
        match ToWorker::from_bytes(&bytes) {
            Some(ToWorker::Ask { number, task, plan }) => server.ask(number, task, plan),
            Some(ToWorker::Stop(number)) => server.numbers.borrow_mut().retain(|n| *n != number),
            None => {}
        }
    });
    scope.set_onmessage(Some(hear.as_ref().unchecked_ref()));
    // It hears for as long as the worker lives.
    hear.forget();
    // What was sent before this moment was lost; from now on nothing is.
    let _ = scope.post_message(&JsValue::from_str("ready"));
}

impl Server {
    fn send(&self, message: &FromWorker) {
        let bytes = Uint8Array::from(message.to_bytes().as_slice());
        let _ = self.scope.post_message(&bytes);
    }

    fn ask(self: &Rc<Server>, number: u64, task: Task, text: Option<String>) {
        if let Some(text) = text {
            let plan = read_plan(&text).map(|plan| Arc::new(Study::new(plan)));
            *self.plan.borrow_mut() =
                plan.map_err(|faults| faults.iter().map(ToString::to_string).collect());
        }
        let study = match &*self.plan.borrow() {
            Ok(study) => Arc::clone(study),
            Err(why) => {
                self.send(&FromWorker::Failed(number, why.clone()));
                return self.send(&FromWorker::Over(number));
            }
        };
        self.numbers.borrow_mut().push(number);
        let call = Call {
            server: self.clone(),
            number,
        };
        spawn_local(async move {
            work(task, &study, &call).await;
            call.server.numbers.borrow_mut().retain(|n| *n != number);
            call.server.send(&FromWorker::Over(number));
        });
    }

    fn now(&self) -> f64 {
        let clock = self.scope.performance();
        clock.map_or(0.0, |clock| clock.now())
    }
}

/// One question under way.
struct Call {
    server: Rc<Server>,
    number: u64,
}

impl Host for Call {
    fn say(&self, piece: Answer) {
        if !self.is_stopped() {
            self.server.send(&FromWorker::Piece(self.number, piece));
        }
    }

    fn pause(&self) -> Option<Pause> {
        if self.server.now() - self.server.looked.get() < STRETCH {
            return None;
        }
        let (server, number) = (self.server.clone(), self.number);
        Some(Box::pin(async move {
            loop {
                next_message().await;
                let numbers = server.numbers.borrow();
                if numbers.last() == Some(&number) || !numbers.contains(&number) {
                    break;
                }
            }
            server.looked.set(server.now());
        }))
    }

    fn is_stopped(&self) -> bool {
        !self.server.numbers.borrow().contains(&self.number)
    }
}

/// Lets the worker hear what has come meanwhile. A message to itself comes after those, and sooner than any timer.
async fn next_message() {
    let Ok(channel) = MessageChannel::new() else {
        return;
    };
    let heard = Promise::new(&mut |resolve: Function, _| {
        channel.port1().set_onmessage(Some(&resolve));
    });
    let _ = channel.port2().post_message(&JsValue::NULL);
    let _ = JsFuture::from(heard).await;
    channel.port1().close();
}
