//! What an engine that was paused shows of the instant it has come to, without making a whole picture of it.

use super::Engine;

impl Engine {
    /// Whether the load `part`, by its place in the plan, runs now; false for any other part.
    pub fn runs(&self, part: usize) -> bool {
        self.live.runs.get(part).copied().unwrap_or(false)
    }

    /// Whether the output of the battery `part` is on now; false for any other part.
    pub fn output(&self, part: usize) -> bool {
        self.controls.output.get(part).copied().unwrap_or(false)
    }

    /// Whether the contact `part` conducts now; false for any other part.
    pub fn conducts(&self, part: usize) -> bool {
        self.controls.conducts.get(part).copied().unwrap_or(false)
    }
}
