//! Work beside the page: questions that take longer than a frame are answered by the same program in a web worker.
//!
//! [`Clerk`] is the page's side: one question at a time, a new one stops the one before. [`serve`] is the worker's side.
//! [`task`] has the questions and answers and, with each, who works it out. Bytes between them are postcard's.

mod builder;
mod clerk;
mod losses;
mod serve;
pub mod task;

pub use clerk::Clerk;
pub use serve::{is_worker, serve};
pub use task::{Answer, Task};
