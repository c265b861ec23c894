//! What the build and the tests need besides this checkout: found, or installed, or asked for.
//!
//! Each piece is looked for first, by version where the version matters, so that a machine that has everything is asked a
//! few files only. What cannot be installed gives an error that says what to do.

mod chromium;
mod crates;
mod npm;
mod rust;

pub use chromium::chromium;
pub use crates::{trunk, wasm_bindgen, wasm_split};
pub use npm::npm_packages;
pub use rust::{WASM, lints, wasm_target};
