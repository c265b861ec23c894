//! Duskline plans, runs and proves the power of a base in an invented world.
//!
//! This file is the map. Data flows one way: **book + plan → net → run → proof → sheet**. The [`editor`] holds the open plan;
//! the [`shelf`] all plans that are kept; the two faces, [`page`] (wasm32 only) and [`terminal`] (never wasm32), look on from outside. [`worker`] answers beside the page.

pub mod book;
pub mod clock;
pub mod diagnosis;
pub mod draft;
pub mod editor;
pub mod explain;
pub mod fit;
pub mod gather;
pub mod limits;
pub mod net;
pub mod picture;
pub mod plan;
pub mod proof;
pub mod quantity;
pub mod read;
pub mod run;
pub mod sheet;
pub mod shelf;
pub mod site;
pub mod sky;
pub mod teach;
pub mod worker;
pub mod works;

#[cfg(target_arch = "wasm32")]
pub mod page;
#[cfg(not(target_arch = "wasm32"))]
pub mod terminal;
