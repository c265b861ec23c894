//! The second program: the core and proof in a web worker, beside the page. Questions come in, answers go out.
//!
//! [`task`] has the questions and the pieces of their answers, [`message`] what is sent to and fro, [`answer`] works a
//! question out, and [`queue`] decides which worker of a pool works at what; all of that runs natively too and is tested
//! there. `serve`, on wasm32 only, listens in the worker. The page links the types, never the algorithms of proof.

mod answer;
mod autonomy;
mod building;
mod compare;
mod drafting;
mod findings;
mod host;
mod logic;
mod losses;
pub mod message;
pub mod queue;
mod recheck;
#[cfg(target_arch = "wasm32")]
mod serve;
mod showing;
mod sizes;
mod start_by;
pub mod task;
mod teaching;

pub use answer::{answer, work};
pub use host::Host;
pub use message::{FromWorker, ToWorker};
#[cfg(target_arch = "wasm32")]
pub use serve::serve;
pub use task::{Answer, GivenNumbers, Manner, PictureFile, StartFound, Task};
