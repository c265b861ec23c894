//! The page's second part, which is fetched once the first board stands: how far that is, and the places that it fills.
//!
//! The page's program comes in two files (DEVELOPERS.md says how it is split). [`Part`] lists the functions through which
//! the first calls the second. Code that the first calls in any other way comes with the first. Until the second is there
//! its places say that it comes, and afterwards, where it can't be fetched, that and a button to try again.

use super::incoming::Incoming;
use super::keeping::Keeper;
use super::store::{LogPage, Store};
use super::windows::WindowKind;
use crate::read::Faults;
use leptos::prelude::*;
use std::future::Future;
use std::pin::Pin;
use std::time::Duration;

/// Fetches the second part; `None` where that fails, and then it may be called again.
pub type Fetch = fn() -> Pin<Box<dyn Future<Output = Option<Part>>>>;

/// What the second part offers to the first.
#[derive(Clone, Copy)]
pub struct Part {
    /// Starts the jobs, and provides them by context.
    pub(super) start: fn(Store),
    /// The verdict in the bar.
    pub(super) verdict: fn() -> AnyView,
    /// The line over the board that says what a large window showed there.
    pub(super) board_note: fn() -> AnyView,
    /// The details of what is chosen.
    pub(super) details: fn() -> AnyView,
    /// A page of the log.
    pub(super) log_page: fn(LogPage) -> AnyView,
    /// What plays the day.
    pub(super) play: fn() -> AnyView,
    /// What stands in a large window; made when it is opened, and gone when it is closed.
    pub(super) window: fn(WindowKind) -> AnyView,
    /// Takes in what came by a link that is no plan's.
    pub(super) take_link: fn(Incoming, &str),
    /// Takes in a text that is no plan, with what it is called and why it is none.
    pub(super) take_other: fn(Incoming, &str, &str, &Faults),
    /// The standing line that says what new numbers change about the kept plans.
    pub(super) recheck_line: fn() -> AnyView,
    /// The site, in the board's place.
    pub(super) site: fn() -> AnyView,
    /// What stands in the shelf's place beside the site.
    pub(super) site_shelf: fn() -> AnyView,
    /// What does not go in the site.
    pub(super) site_problems: fn() -> AnyView,
    /// Begins a lesson, by its place from 0.
    pub(super) open_lesson: fn(Keeper, usize),
    /// The bar below the board by which a walk is followed.
    pub(super) walk_bar: fn() -> AnyView,
    /// Follows the plan's walk from where it was left.
    pub(super) begin_walk: fn(Store, Keeper),
    /// What stands below the board for a recording.
    pub(super) stage: fn() -> AnyView,
    /// The sheet for the printer.
    pub(super) sheet: fn() -> AnyView,
    /// Copies the link to the plan.
    pub(super) copy_link: fn(Store, Keeper),
    /// Copies what is chosen; cuts it out where the last is true.
    pub(super) copy: fn(Store, &web_sys::ClipboardEvent, bool),
    /// Pastes.
    pub(super) paste: fn(Store, Incoming, &web_sys::ClipboardEvent),
}

/// How it stands with the second part.
#[derive(Clone, Copy)]
enum State {
    /// It is on its way.
    Coming,
    /// It is there.
    Here(Part),
    /// It could not be fetched.
    Missing,
}

/// What waits for the second part.
type Act = Box<dyn FnOnce(Part)>;

/// The second part, wherever it is. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Later {
    store: Store,
    fetch: Fetch,
    state: RwSignal<State>,
    /// The scope of the page's root, in which its jobs live.
    root: StoredValue<Option<Owner>>,
    waiting: StoredValue<Vec<Act>, LocalStorage>,
}

/// The second part, from the context that the frame provides.
pub fn use_later() -> Later {
    expect_context()
}

impl Later {
    /// Fetches it once the first board is drawn. Call it in the page's root.
    pub fn start(store: Store, fetch: Fetch) -> Later {
        let later = Later {
            store,
            fetch,
            state: RwSignal::new(State::Coming),
            root: StoredValue::new(Owner::current()),
            waiting: StoredValue::new_local(Vec::new()),
        };
        // A layout is worked out by a job; that one is wished for is seen when the jobs start.
        Effect::new(move |_| {
            if store.tidies().with(Option::is_some) && untrack(|| later.part()).is_none() {
                later.call(|_| ());
            }
        });
        let begin = move || set_timeout(move || later.get(), Duration::ZERO);
        // A tab that nobody looks at draws no frame.
        match document().hidden() {
            true => begin(),
            false => request_animation_frame(begin),
        }
        later
    }

    fn get(self) {
        leptos::task::spawn_local(async move {
            let Some(part) = (self.fetch)().await else {
                if !self.take_waiting().is_empty() {
                    self.store
                        .notice("Not done: a part of the page for it could not be fetched.".into());
                }
                return self.state.set(State::Missing);
            };
            if let Some(root) = self.root.get_value() {
                root.with(|| (part.start)(self.store));
            }
            self.state.set(State::Here(part));
            if self.waiting.with_value(|waiting| !waiting.is_empty()) {
                self.store.notice(String::new());
            }
            for act in self.take_waiting() {
                act(part);
            }
        });
    }

    fn take_waiting(self) -> Vec<Act> {
        let taken = self.waiting.try_update_value(std::mem::take);
        taken.unwrap_or_default()
    }

    /// Fetches it again, where it could not be fetched.
    fn try_again(self) {
        // Untracked: an effect that asks for it must not run again for how that ends.
        if matches!(self.state.get_untracked(), State::Missing) {
            self.state.set(State::Coming);
            self.get();
        }
    }

    /// It, where it is there. Tracked.
    pub fn part(self) -> Option<Part> {
        match self.state.get() {
            State::Here(part) => Some(part),
            State::Coming | State::Missing => None,
        }
    }

    /// Whether it could not be fetched. Tracked.
    pub fn is_missing(self) -> bool {
        matches!(self.state.get(), State::Missing)
    }

    /// What it draws, or what is said in its place until it is there.
    pub fn place(self, of: impl Fn(Part) -> AnyView + Send + Sync + 'static) -> AnyView {
        let shown = move || match self.state.get() {
            State::Here(part) => of(part),
            State::Coming => view! { <p class="coming">"Coming…"</p> }.into_any(),
            State::Missing => view! {
                <p class="coming">"This part of the page could not be fetched. " <TryAgain/></p>
            }
            .into_any(),
        };
        shown.into_any()
    }

    /// Does something with it: at once where it is there, else as soon as it is.
    pub fn call(self, act: impl FnOnce(Part) + 'static) {
        match self.state.get_untracked() {
            State::Here(part) => return act(part),
            State::Coming => {}
            State::Missing => self.try_again(),
        }
        self.store
            .notice("A part of the page for it is on its way; then it is done.".into());
        self.waiting
            .update_value(|waiting| waiting.push(Box::new(act)));
    }

    /// It for an event that does not wait; where it is not there, that is said.
    pub fn at_once(self) -> Option<Part> {
        let part = untrack(|| self.part());
        if part.is_none() {
            self.store.notice(
                "Not done: a part of the page for it is not there yet. Try again in a moment."
                    .into(),
            );
            self.try_again();
        }
        part
    }
}

/// The button that fetches the second part again.
#[component]
pub fn TryAgain() -> impl IntoView {
    let later = use_later();
    view! { <button type="button" on:click=move |_| later.try_again()>"Try again"</button> }
}
