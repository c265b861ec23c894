//! The site: the storeys of the place in which the plan is built, with its parts where they hang and its wires as they
//! run. Shown in the board's place; what is chosen on the one is chosen on the other.
//!
//! Drawings come from `src/sheet/site/`, gestures and keys go to the editor. It computes no power.

mod amend;
mod details;
mod ground;
mod input;
mod offer;
mod over;
mod paper;
mod part;
mod print;
mod problems;
mod rooms;
mod runs;
mod strangers;
mod tools;
mod tray;
mod wire;

pub(super) use details::on_site;
pub(super) use print::PrintedSite;
pub(super) use problems::SiteProblems;
pub(super) use runs::use_site;
pub(super) use strangers::Strangers;

use crate::editor::{Message, SiteAct};
use crate::page::jobs::Jobs;
use crate::page::store::{Store, use_store};
use leptos::prelude::*;
use runs::SiteRuns;

/// Starts what follows the document's site.
pub(super) fn start(jobs: Jobs) {
    let site = SiteRuns::start(jobs);
    provide_context(site);
    problems::tell(jobs.store(), site);
}

/// The site in the board's place.
#[component]
pub fn SitePage() -> impl IntoView {
    let site = use_site();
    let has_site = Memo::new(move |_| site.drawn().with(Option::is_some));
    move || match has_site.get() {
        true => view! { <paper::Paper/> }.into_any(),
        false => view! { <offer::Offer/> }.into_any(),
    }
}

/// What stands in the shelf's place: parts without a place, what is drawn with, what lines mean.
#[component]
pub fn SiteShelf() -> impl IntoView {
    let site = use_site();
    let has_site = Memo::new(move |_| site.drawn().with(Option::is_some));
    view! {
        <h2 class="unseen">"Site"</h2>
        <Show when=move || has_site.get() fallback=|| view! { <p class="aside site-none">"No site yet."</p> }>
            <tray::Tray/>
            <tools::Tools/>
            <tools::Legend/>
        </Show>
    }
}

/// Does something with the site.
fn act(store: Store, act: SiteAct) {
    store.dispatch(Message::Site(act));
}

/// The same for components.
fn use_act() -> impl Fn(SiteAct) + Copy {
    let store = use_store();
    move |one| act(store, one)
}
