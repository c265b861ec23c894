//! A sentence about a learner's plan with what on the board it speaks of, and what all such sentences are made with.
//!
//! Times in milliseconds since midnight of day 1. It knows no grade.

use crate::plan::{PartId, WireId};
use crate::proof::Loss;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// One or more sentences, and what they speak of.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct GradeSentence {
    /// What is said.
    pub says: String,
    /// The parts, what it is mainly about first.
    pub parts: Vec<PartId>,
    /// The wires.
    pub wires: Vec<WireId>,
    /// The trial in which it can be seen, by its place: 0 for the plain days.
    pub trial: usize,
    /// The moment at which it can be seen there, in milliseconds since midnight of day 1.
    pub at: Option<Ms>,
    /// What is lost there besides.
    pub loss: Option<Loss>,
}

/// A text on one line.
pub(super) fn on_one_line(text: &str) -> String {
    let text = text.replace(char::is_control, " ");
    text.trim().to_string()
}
