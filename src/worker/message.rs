//! What the page and a worker send each other, as bytes of postcard.
//!
//! A worker keeps the last plan that it was given, so a plan goes over once however many questions are asked about it.

use super::task::{Answer, Task};
use serde::{Deserialize, Serialize};

/// From the page to a worker.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ToWorker {
    /// A question.
    Ask {
        /// Its number, which the pieces of its answer carry.
        number: u64,
        /// The question.
        task: Task,
        /// The plan as its file; none where the worker was given it with an earlier question.
        plan: Option<String>,
    },
    /// The question of this number need not be answered any more.
    Stop(u64),
}

/// From a worker to the page.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum FromWorker {
    /// A piece of the answer to the question of this number.
    Piece(u64, Answer),
    /// Why the question of this number has no answer.
    Failed(u64, String),
    /// The worker is done with the question of this number, answered or stopped.
    Over(u64),
}

impl ToWorker {
    /// As bytes.
    pub fn to_bytes(&self) -> Vec<u8> {
        postcard::to_allocvec(self).unwrap_or_default()
    }

    /// From bytes; none where they are of another version of the program.
    pub fn from_bytes(bytes: &[u8]) -> Option<ToWorker> {
        postcard::from_bytes(bytes).ok()
    }
}

impl FromWorker {
    /// As bytes.
    pub fn to_bytes(&self) -> Vec<u8> {
        postcard::to_allocvec(self).unwrap_or_default()
    }

    /// From bytes; none where they are of another version of the program.
    pub fn from_bytes(bytes: &[u8]) -> Option<FromWorker> {
        postcard::from_bytes(bytes).ok()
    }
}
