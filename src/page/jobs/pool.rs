//! The workers that all jobs share. Started when needed, used again, let go when idle. What is done when, the queue says.

use super::client::{Client, Incoming};
use crate::page::store::Fingerprint;
use crate::plan::Plan;
use crate::worker::queue::{Action, Order, Queue};
use crate::worker::{Answer, FromWorker, Task, ToWorker};
use leptos::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;
use wasm_bindgen::JsValue;

/// How many workers there are at the most: one for what takes long, one for the rest.
const WORKERS: usize = 2;

/// What is heard of a question.
pub enum Reply {
    /// A piece of its answer.
    Piece(Answer),
    /// Why it has no answer. Nothing comes after this.
    Failed(String),
    /// It begins anew: what was heard so far is void.
    Anew,
}

type Listener = Rc<dyn Fn(Reply)>;

struct Question {
    task: Task,
    plan: Arc<Plan>,
    about: Fingerprint,
    listener: Listener,
}

struct Inner {
    queue: Queue<Fingerprint>,
    /// Each with the number of its start: what an ended worker still had to say is not heard.
    clients: Vec<Option<(u64, Client)>>,
    starts: u64,
    questions: BTreeMap<u64, Question>,
    last: u64,
    program: Option<JsValue>,
    /// The last plan that was sent, as its file.
    printed: Option<(Fingerprint, String)>,
    timer: Option<TimeoutHandle>,
}

/// The workers. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Pool {
    inner: StoredValue<Rc<RefCell<Inner>>, LocalStorage>,
}

impl Pool {
    /// No worker yet.
    pub fn new() -> Pool {
        Pool {
            inner: StoredValue::new_local(Rc::new(RefCell::new(Inner {
                queue: Queue::new(WORKERS),
                clients: (0..WORKERS).map(|_| None).collect(),
                starts: 0,
                questions: BTreeMap::new(),
                last: 0,
                program: None,
                printed: None,
                timer: None,
            }))),
        }
    }

    /// Into how many shares work is best divided.
    pub fn shares() -> usize {
        let cores = window().navigator().hardware_concurrency();
        if cores < 2.0 { 1 } else { WORKERS }
    }

    /// Asks a question about a plan; its number is for [`Pool::stop`] and [`Pool::prefer`].
    pub fn ask(
        self,
        task: Task,
        (plan, about): (&Arc<Plan>, Fingerprint),
        priority: u8,
        listener: impl Fn(Reply) + 'static,
    ) -> u64 {
        let inner = self.inner.get_value();
        let (number, actions) = {
            let mut inner = inner.borrow_mut();
            inner.last += 1;
            let order = Order {
                number: inner.last,
                priority,
                manner: task.manner(),
                about,
            };
            let question = Question {
                task,
                plan: plan.clone(),
                about,
                listener: Rc::new(listener),
            };
            inner.questions.insert(order.number, question);
            (order.number, inner.queue.ask(order))
        };
        self.act(actions);
        number
    }

    /// The answer to a question is no longer wanted: nothing more is heard of it.
    pub fn stop(self, number: u64) {
        let Some(inner) = self.inner.try_get_value() else {
            return;
        };
        let actions = {
            let mut inner = inner.borrow_mut();
            if inner.questions.remove(&number).is_none() {
                return;
            }
            inner.queue.stop(number, now())
        };
        self.act(actions);
    }

    /// A question that waits becomes more or less urgent.
    pub fn prefer(self, number: u64, priority: u8) {
        let actions = (self.inner.get_value().borrow_mut())
            .queue
            .prefer(number, priority);
        self.act(actions);
    }

    fn act(self, actions: Vec<Action>) {
        let inner = self.inner.get_value();
        let mut anew = Vec::new();
        for action in actions {
            match action {
                Action::Start(worker) => self.start(worker),
                Action::End(worker) => inner.borrow_mut().clients[worker] = None,
                Action::Ask {
                    worker,
                    number,
                    with_plan,
                } => inner.borrow_mut().send(worker, number, with_plan),
                Action::Stop { worker, number } => {
                    if let Some((_, client)) = &inner.borrow().clients[worker] {
                        client.send(&ToWorker::Stop(number));
                    }
                }
                Action::Anew(number) => {
                    let inner = inner.borrow();
                    let question = inner.questions.get(&number);
                    anew.extend(question.map(|q| q.listener.clone()));
                }
            }
        }
        self.set_timer();
        for listener in anew {
            listener(Reply::Anew);
        }
    }

    fn start(self, worker: usize) {
        let inner = self.inner.get_value();
        let (start, program) = {
            let mut inner = inner.borrow_mut();
            inner.starts += 1;
            (inner.starts, inner.program.clone())
        };
        let hear = move |incoming| self.hear(worker, start, incoming);
        match Client::start(program.as_ref(), hear) {
            Ok(client) => inner.borrow_mut().clients[worker] = Some((start, client)),
            Err(why) => self.not_started(worker, why),
        }
    }

    fn hear(self, worker: usize, start: u64, incoming: Incoming) {
        let inner = self.inner.get_value();
        let is_there = |(of, _): &(u64, Client)| *of == start;
        if !inner.borrow().clients[worker]
            .as_ref()
            .is_some_and(is_there)
        {
            return;
        }
        match incoming {
            Incoming::Program(program) => inner.borrow_mut().program = Some(program),
            Incoming::Ready => {
                let actions = inner.borrow_mut().queue.ready(worker, now());
                self.act(actions);
            }
            Incoming::Says(FromWorker::Piece(number, piece)) => {
                self.tell(number, Reply::Piece(piece))
            }
            Incoming::Says(FromWorker::Failed(number, why)) => self.fail([number], &why),
            Incoming::Says(FromWorker::Over(number)) => {
                let actions = {
                    let mut inner = inner.borrow_mut();
                    inner.questions.remove(&number);
                    inner.queue.over(worker, number, now())
                };
                self.act(actions);
            }
            Incoming::NotStarted(why) => self.not_started(
                worker,
                format!("the program for it could not be fetched ({why})"),
            ),
            Incoming::Broke(why) => {
                let (failed, actions) = {
                    let mut inner = inner.borrow_mut();
                    inner.clients[worker] = None;
                    inner.queue.broken(worker)
                };
                // The core never panics: nothing else ends a worker at its work.
                let why = format!(
                    "the work broke off, most likely because it takes more memory than a browser gives ({why})"
                );
                self.fail(failed, &why);
                self.act(actions);
            }
        }
    }

    fn not_started(self, worker: usize, why: String) {
        let failed = {
            let inner = self.inner.get_value();
            let mut inner = inner.borrow_mut();
            inner.clients[worker] = None;
            inner.queue.unavailable(worker)
        };
        self.fail(failed, &why);
    }

    fn fail(self, numbers: impl IntoIterator<Item = u64>, why: &str) {
        for number in numbers {
            self.tell(number, Reply::Failed(why.into()));
            self.inner
                .get_value()
                .borrow_mut()
                .questions
                .remove(&number);
        }
    }

    fn tell(self, number: u64, heard: Reply) {
        let inner = self.inner.get_value();
        let question = inner
            .borrow()
            .questions
            .get(&number)
            .map(|q| q.listener.clone());
        // Only now that the pool is free again: whoever listens may ask the next question.
        if let Some(listener) = question {
            listener(heard);
        }
    }

    fn set_timer(self) {
        let inner = self.inner.get_value();
        let mut inner = inner.borrow_mut();
        if let Some(timer) = inner.timer.take() {
            timer.clear();
        }
        let Some(at) = inner.queue.next_tick() else {
            return;
        };
        let tick = move || {
            let Some(inner) = self.inner.try_get_value() else {
                return;
            };
            let actions = inner.borrow_mut().queue.tick(now());
            self.act(actions);
        };
        let wait = Duration::from_secs_f64((at - now()).max(0.0) / 1000.0 + 0.001);
        inner.timer = set_timeout_with_handle(tick, wait).ok();
    }
}

impl Default for Pool {
    fn default() -> Pool {
        Pool::new()
    }
}

impl Inner {
    fn send(&mut self, worker: usize, number: u64, with_plan: bool) {
        let Some(question) = self.questions.get(&number) else {
            return;
        };
        let Some((_, client)) = &self.clients[worker] else {
            return;
        };
        let plan = with_plan.then(|| match &self.printed {
            Some((of, text)) if *of == question.about => text.clone(),
            _ => {
                let text = question.plan.print();
                self.printed = Some((question.about, text.clone()));
                text
            }
        });
        client.send(&ToWorker::Ask {
            number,
            task: question.task.clone(),
            plan,
        });
    }
}

/// Milliseconds of the page's clock.
pub(super) fn now() -> f64 {
    let clock = window().performance();
    clock.map_or(0.0, |clock| clock.now())
}
