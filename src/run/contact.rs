//! A contact while a plan runs: its function, its lag, its chatter.

use super::function::{Clockwork, Memory};
use crate::plan::Function;
use crate::quantity::Ms;
use std::sync::Arc;

/// A contact's change at which it chatters.
pub const CHATTER: u32 = 100;

/// A contact while it runs.
#[derive(Clone, Debug)]
pub struct Contact {
    /// The function it follows.
    pub function: Arc<Function>,
    /// The clockwork of a function that the time alone decides.
    pub clockwork: Option<Arc<Clockwork>>,
    /// What its function remembers.
    pub memory: Memory,
    /// Steps a live signal takes.
    pub coil: u64,
    /// Whether it conducts while its function is false.
    pub breaks: bool,
    /// When its change falls due, if one is pending.
    pub due: Option<Ms>,
    /// Its changes since the last solve that left nothing pending, if `round` is the engine's.
    pub changes: u32,
    /// In which round `changes` were counted.
    pub round: u64,
    /// Whether it is held open for chatter.
    pub held: bool,
}

impl Contact {
    /// A contact at t = 0: true only where the time alone says so.
    pub fn new(
        function: Function,
        clockwork: Option<Clockwork>,
        coil: u64,
        breaks: bool,
    ) -> Contact {
        let memory = Memory {
            truth: clockwork.as_ref().is_some_and(|c| c.truth(0)),
            ..Memory::default()
        };
        Contact {
            function: Arc::new(function),
            clockwork: clockwork.map(Arc::new),
            memory,
            coil,
            breaks,
            due: None,
            changes: 0,
            round: 0,
            held: false,
        }
    }

    /// What it is to do.
    pub fn wants(&self) -> bool {
        self.memory.truth != self.breaks
    }

    /// Counts a change in `round`; whether it chatters from this change on.
    pub fn count(&mut self, round: u64) -> bool {
        if self.round != round {
            self.round = round;
            self.changes = 0;
        }
        self.changes += 1;
        self.held = self.changes >= CHATTER;
        self.held
    }
}
