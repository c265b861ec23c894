//! The page in the browser: Leptos components, one file each. It holds no truth and computes no power; the plan and
//! the solver are the core's.

mod add;
mod board;
mod book;
mod build;
mod cables;
mod caution;
mod choose_file;
mod clipboard;
mod compare;
mod copy_text;
mod day;
mod details;
mod dial;
mod dialog;
mod download;
mod draft;
mod duties;
mod explain;
mod files;
mod findings;
mod fold;
mod frame;
mod incoming;
mod jobs;
pub mod keeping;
mod keys;
pub mod later;
mod launched;
mod links;
mod log;
mod logic;
mod losses;
mod measure;
mod paper;
mod part;
mod picture;
mod plans;
pub mod preview;
mod print;
mod problems;
mod recheck;
mod recording;
mod refused;
mod shelf;
mod site;
mod sizes;
mod standing;
pub mod store;
mod tab_row;
mod teach;
mod theme;
mod tidying;
pub mod toolbar;
mod walk;
pub mod welcome;
mod windows;
mod world;
mod world_day;
mod worlds;

use later::Fetch;
use leptos::prelude::*;

/// Starts the program: reads what the browser keeps, then mounts the page on the document's body and says so to the frame
/// that it stands in. `fetch` fetches the page's second part.
pub fn start(fetch: Fetch) {
    console_error_panic_hook::set_once();
    // The view library's own way stands only once something is mounted.
    wasm_bindgen_futures::spawn_local(async move {
        let loaded = keeping::load().await;
        leptos::mount::mount_to_body(move || view! { <frame::Frame fetch loaded/> });
        if let Ok(event) = web_sys::Event::new("duskline-started") {
            // It is no event that could be prevented.
            let _ = window().dispatch_event(&event);
        }
    });
}
