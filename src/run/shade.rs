//! Sun and wind taken away while a plan runs: both from an instant on, or the sun for some days. Steady sources go on.
//!
//! Times in milliseconds. What is taken away is taken with the events of its first millisecond, in the same solve.

use super::engine::{Engine, Foreseen};
use crate::book::Profile;
use crate::plan::Spec;
use crate::quantity::Ms;
use std::cmp::Reverse;
use std::sync::Arc;

impl Engine {
    /// From `t` on neither sun nor wind give anything. Every event before `t` must have been gone through, and none of
    /// `t` itself.
    pub fn still(&mut self, t: Ms) {
        self.shade(t, Ms::MAX, |profile| profile != Profile::Steady);
    }

    /// From `t` up to `until` the sun gives nothing, as if the weather were 0; the wind goes on. As for
    /// [`Engine::still`], the events of `t` must be ahead.
    pub fn overcast(&mut self, t: Ms, until: Ms) {
        self.shade(t, until, |profile| profile == Profile::Sun);
    }

    /// What the sources of which `which` is true could give now, in steps.
    pub fn gives_by(&self, which: impl Fn(Profile) -> bool) -> u64 {
        let nodes = self.net.nodes.iter().zip(&self.controls.available);
        nodes
            .filter(|(n, _)| matches!(n.spec, Some(Spec::Source { profile, .. }) if which(profile)))
            .map(|(_, available)| *available)
            .sum()
    }

    /// From `t` up to `until` the sources of which `which` is true give nothing.
    pub(super) fn shade(&mut self, t: Ms, until: Ms, which: impl Fn(Profile) -> bool) {
        let mut shaded = vec![false; self.net.nodes.len()];
        let supplies = Arc::make_mut(&mut self.supplies);
        for (part, supply) in supplies.iter_mut() {
            if let Some(Spec::Source { profile, .. }) = self.net.nodes[*part].spec
                && which(profile)
            {
                supply.shade(t, until);
                shaded[*part] = true;
            }
        }
        // What was foreseen of them gives way to what is foreseen at `t`, so that no moment is met twice.
        let stays = |Reverse((_, what, part)): &Reverse<(Ms, Foreseen, usize)>| {
            *what != Foreseen::Supply || !shaded[*part]
        };
        let queue = std::mem::take(&mut self.queue).into_vec().into_iter();
        let queue = queue.filter(stays);
        let parts = supplies.keys().filter(|part| shaded[**part]);
        let now = parts.map(|part| Reverse((t, Foreseen::Supply, *part)));
        self.queue = queue.chain(now).collect();
    }
}
