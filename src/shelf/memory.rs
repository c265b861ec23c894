//! A storage in memory that fails when it is told to, for trying what a shelf does then.

use super::stored::{Stored, Write};

/// How a storage fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// There is no room for this write; removals still work.
    Quota,
    /// The storage denies itself.
    Denied,
    /// The page is gone after this write.
    Crash,
}

/// Why the writes of a change were not all done, and how many were.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// The storage failed.
    Failed(Failure, usize),
    /// A write was refused, since what is there is not what it was made from.
    Refused(usize),
}

/// A storage in memory.
#[derive(Clone, Debug, Default)]
pub struct MemoryStore {
    stored: Stored,
    /// After how many more writes it fails, and how.
    fails: Option<(usize, Failure)>,
}

impl MemoryStore {
    /// A storage that holds this.
    pub fn new(stored: Stored) -> MemoryStore {
        MemoryStore {
            stored,
            fails: None,
        }
    }

    /// What it holds.
    pub fn stored(&self) -> &Stored {
        &self.stored
    }

    /// Lets it fail after so many more writes, or at none.
    pub fn fail(&mut self, after: Option<(usize, Failure)>) {
        self.fails = after;
    }

    /// Does writes in their order, up to the first that can't be done.
    pub fn write(&mut self, writes: &[Write]) -> Result<(), Stop> {
        for (done, write) in writes.iter().enumerate() {
            match &mut self.fails {
                Some((0, Failure::Quota)) if write.text.is_none() => {}
                Some((0, failure)) => return Err(Stop::Failed(*failure, done)),
                Some((left, _)) => *left -= 1,
                None => {}
            }
            if !self.stored.write(write) {
                return Err(Stop::Refused(done));
            }
        }
        // Gone after the last write is gone all the same.
        match self.fails {
            Some((0, Failure::Crash)) => Err(Stop::Failed(Failure::Crash, writes.len())),
            _ => Ok(()),
        }
    }
}
