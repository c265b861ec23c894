//! Text that knows which of its words speak of what, so that a face can link them. What it says without links is its
//! pieces one after the other.

use crate::plan::PartId;
use crate::quantity::Ms;
use serde::{Deserialize, Serialize};

/// What some words speak of.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum LinkTarget {
    /// A part.
    Part(PartId),
    /// A moment, in milliseconds since midnight of day 1.
    Time(Ms),
    /// A duty, by its place in the plan.
    Duty(usize),
}

/// Some words, and what they speak of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PassagePiece {
    /// The words.
    pub text: String,
    /// What they speak of, if of one thing.
    pub link: Option<LinkTarget>,
}

/// One or more sentences.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Passage {
    /// The pieces, in their order.
    pub pieces: Vec<PassagePiece>,
}

impl Passage {
    /// All words.
    pub fn text(&self) -> String {
        self.pieces
            .iter()
            .map(|piece| piece.text.as_str())
            .collect()
    }

    /// What it speaks of, each thing as often as it is spoken of.
    pub fn links(&self) -> impl Iterator<Item = &LinkTarget> {
        self.pieces.iter().filter_map(|piece| piece.link.as_ref())
    }

    /// Adds plain words.
    pub(super) fn say(&mut self, text: impl AsRef<str>) {
        let text = text.as_ref();
        match self.pieces.last_mut().filter(|piece| piece.link.is_none()) {
            Some(last) => last.text.push_str(text),
            None if text.is_empty() => {}
            None => self.pieces.push(PassagePiece {
                text: text.into(),
                link: None,
            }),
        }
    }

    /// Adds words that speak of something.
    pub(super) fn link(&mut self, text: impl Into<String>, link: LinkTarget) {
        self.pieces.push(PassagePiece {
            text: text.into(),
            link: Some(link),
        });
    }
}
