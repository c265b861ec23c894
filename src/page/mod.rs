//! The page in the browser: Leptos components, one file each. It holds no truth and computes no power; the plan and
//! the solver are the core's.

mod board;
mod clipboard;
mod details;
mod dial;
mod dialog;
mod files;
mod frame;
mod links;
mod problems;
mod shelf;
pub mod state;
pub mod storage;
mod theme;
pub mod toolbar;
pub mod view;
pub mod welcome;
mod world;

use leptos::prelude::*;

/// Mounts the page on the document's body.
pub fn mount() {
    console_error_panic_hook::set_once();
    leptos::mount::mount_to_body(|| view! { <frame::Frame/> });
}
