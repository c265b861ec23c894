//! Copies of an engine, kept along a run so that any instant of it is near one. Times in milliseconds.
//!
//! They are spaced by the work between them, not by time: a quiet week needs none and a busy minute may need many. Where
//! they become too many or too large every second one goes and the spacing doubles, so that they stay spread over the
//! whole run and their memory stays bounded, whatever the plan and however long the run.

use super::Engine;
use crate::quantity::Ms;
use std::collections::BTreeMap;

/// The most copies kept.
const MOST: usize = 64;
/// The most bytes kept in all but the first copy, about.
const MOST_BYTES: usize = 16 << 20;
/// At first a copy is kept every so many milliseconds in which something was looked at.
const STRIDE: u64 = 512;

/// The copies of one run, by the moment that each has come to; the first is that of t = 0 and always stays.
#[derive(Clone, Debug)]
pub(super) struct Checkpoints {
    kept: BTreeMap<Ms, Engine>,
    stride: u64,
    bytes: usize,
}

impl Checkpoints {
    /// A run whose engine is at t = 0.
    pub(super) fn new(start: Engine) -> Checkpoints {
        Checkpoints {
            kept: BTreeMap::from([(0, start)]),
            stride: STRIDE,
            bytes: 0,
        }
    }

    /// How much work lies between two copies: milliseconds looked at.
    pub(super) fn stride(&self) -> u64 {
        self.stride
    }

    /// How many bytes are kept, about.
    pub(super) fn bytes(&self) -> usize {
        let first = self.kept.first_key_value();
        self.bytes + first.map_or(0, |(_, engine)| engine.bytes())
    }

    /// The latest copy at or before `t`.
    pub(super) fn before(&self, t: Ms) -> Option<&Engine> {
        self.kept.range(..=t).next_back().map(|(_, engine)| engine)
    }

    /// The latest copy of all.
    pub(super) fn last(&self) -> Option<&Engine> {
        self.kept.last_key_value().map(|(_, engine)| engine)
    }

    /// Keeps a copy of an engine of this run that has come far enough beyond the last one.
    pub(super) fn pass(&mut self, engine: &Engine) {
        let is_new = self.last().is_none_or(|last| {
            engine.reached() > last.reached()
                && engine.steps().saturating_sub(last.steps()) >= self.stride
        });
        if !is_new {
            return;
        }
        let copy = engine.unrecorded();
        self.bytes += copy.bytes();
        self.kept.insert(copy.reached(), copy);
        while self.kept.len() > MOST || (self.bytes > MOST_BYTES && self.kept.len() > 1) {
            self.thin();
        }
    }

    fn thin(&mut self) {
        self.stride = self.stride.saturating_mul(2);
        let mut odd = false;
        self.kept.retain(|_, _| {
            odd = !odd;
            odd
        });
        self.bytes = self.kept.values().skip(1).map(Engine::bytes).sum();
    }
}
