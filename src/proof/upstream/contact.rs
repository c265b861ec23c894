//! Why a contact does what it does: what of its signals and its past sets one reason apart from another, and which
//! signals are followed further up.

use super::{Scene, Walk};
use crate::plan::{Function, Spec};
use crate::proof::clause::{Clause, Kind, Need, Range, State, Until};
use crate::proof::past::{Deed, Deeds};
use crate::run::ContactLook;

impl Walk<'_> {
    /// Why a contact does what it does.
    pub(super) fn contact(&mut self, part: usize) {
        if self.is_over(|k| matches!(k, Kind::Contact(state) if state.part == part)) {
            return;
        }
        let Scene {
            plan, engine, t, ..
        } = self.scene;
        let node = &engine.net().nodes[part];
        let (Some(Spec::Contact { function, coil, .. }), Some(look)) =
            (&node.spec, engine.contact(part, t))
        else {
            return;
        };
        if look.held {
            return self.push(Clause::new(Kind::Held(part)));
        }
        if let Function::Charge { watches, .. } = function {
            let watched = plan.parts.iter().position(|p| p.id.as_str() == watches);
            self.reason.parts.extend(watched);
        }
        let signal = |at: usize| node.signals.get(at).copied().flatten();
        let is_live = |at: usize| engine.live().offered(signal(at)) >= *coil;
        let [a, b] = [is_live(0), is_live(1)];
        let (live, turned) = told(function, look.truth, [a, b], self.scene.past.of(part));
        let state = State {
            part,
            conducts: engine.controls().conducts[part],
            truth: look.truth,
            breaks: look.breaks,
            is_due: look.is_due,
            live,
            turned,
        };
        self.push(Clause {
            amount: Range::one(look.count),
            counted: self.scene.past.of(part).counted,
            until: Until::at(engine.turns(part, t).or(look.ends)),
            ..Clause::new(Kind::Contact(state))
        });
        let next = followed(function, &look, [a, b], turned.is_some());
        let start = self.reason.clauses.len();
        let missing = next.iter().find(|(at, _)| signal(*at).is_none());
        let missing = missing.map(|(at, _)| Kind::NoSignal(part, *at));
        let ways = next
            .iter()
            .filter_map(|(at, is_live)| Some((signal(*at)?, *is_live)));
        self.branch(ways, *coil, Need::Takes);
        if let Some(kind) = missing {
            let also = self.reason.clauses.len() > start;
            self.push(Clause {
                also,
                ..Clause::new(kind)
            });
        }
    }
}

/// The signals and the deed that count for what is told: what is not told must not set one reason apart from another.
fn told(
    function: &Function,
    q: bool,
    [a, b]: [bool; 2],
    deeds: Deeds,
) -> ([bool; 2], Option<Deed>) {
    match function {
        Function::Impulse => ([false; 2], deeds.turned),
        Function::Counter(_) if !q => ([false, b], None),
        Function::Counter(_) => ([false; 2], deeds.turned),
        Function::Latch { .. } if q => ([a, false], deeds.turned.filter(|_| !a)),
        Function::Latch { .. } => ([false, b], deeds.turned.filter(|_| !b)),
        Function::Pulse(_) if q => ([false; 2], None),
        Function::Pulse(_) => ([a, false], deeds.turned.filter(|_| a)),
        _ => ([a, b], None),
    }
}

/// Which signals to follow up, and whether because they are live.
fn followed(
    function: &Function,
    look: &ContactLook,
    [a, b]: [bool; 2],
    has_turned: bool,
) -> Vec<(usize, bool)> {
    let q = look.truth;
    let both = |live: bool| vec![(0, live), (1, live)];
    match function {
        Function::Relay => vec![(0, a)],
        Function::Xor if a == b => both(a),
        Function::Or if !a && !b => both(false),
        Function::And if a && b => both(true),
        Function::Xor | Function::Or => both(true)
            .into_iter()
            .filter(|(at, _)| [a, b][*at])
            .collect(),
        Function::And => both(false)
            .into_iter()
            .filter(|(at, _)| ![a, b][*at])
            .collect(),
        Function::OnDelay(_) if q || !a => vec![(0, a)],
        Function::OffDelay(_) if a || !q => vec![(0, a)],
        Function::Pulse(_) if !q && !a => vec![(0, false)],
        Function::Latch { .. } if !q && b => vec![(1, true)],
        Function::Latch { .. } if q && a => vec![(0, true)],
        Function::Latch { .. } => vec![(usize::from(q), false)],
        Function::Impulse if !has_turned && !a => vec![(0, false)],
        Function::Counter(_) if !q && b => vec![(1, true)],
        Function::Counter(_) if !q && look.count == 0 && !a => vec![(0, false)],
        _ => Vec::new(),
    }
}
