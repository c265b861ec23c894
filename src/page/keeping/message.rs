//! Something to tell in a dialog: a link or a file that can't be opened, and what can be had of it.

use crate::plan::Plan;
use crate::read::Faults;

/// Something to tell in a dialog.
#[derive(Clone, Debug, PartialEq)]
pub struct Message {
    /// The dialog's heading.
    pub title: String,
    /// What happened and what to do.
    pub text: String,
    /// What is wrong with a document: place, found, expected.
    pub faults: Vec<[String; 3]>,
    /// The sound rest of it, to be opened as another plan.
    pub rest: Option<Plan>,
    /// A text to be copied by hand.
    pub copy: Option<String>,
}

impl Message {
    /// A heading and a text.
    pub fn new(title: &str, text: impl Into<String>) -> Message {
        Message {
            title: title.into(),
            text: text.into(),
            faults: Vec::new(),
            rest: None,
            copy: None,
        }
    }

    /// Adds what is wrong with a document.
    pub fn with_faults(mut self, faults: &Faults) -> Message {
        let row = |f: &crate::read::Fault| [f.place.clone(), f.found.clone(), f.expected.clone()];
        self.faults = faults.iter().map(row).collect();
        self
    }
}
