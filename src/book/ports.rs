//! The ports of each behaviour: their names, and on which side of a part's card they stand.

use super::Behaviour;
use std::borrow::Cow;

/// On which side a port stands, and what may be wired to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Takes power.
    In,
    /// Gives power.
    Out,
    /// Takes a signal: live while offered what a coil takes.
    Signal,
}

/// One port of a part type.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Port {
    /// Its name in a file and on the board.
    pub name: Cow<'static, str>,
    /// Its side.
    pub side: Side,
}

fn one(name: &'static str, side: Side) -> Port {
    Port {
        name: Cow::Borrowed(name),
        side,
    }
}

fn many(stem: &str, ways: u64, side: Side) -> impl Iterator<Item = Port> {
    (1..=ways).map(move |n| Port {
        name: Cow::Owned(format!("{stem}{n}")),
        side,
    })
}

/// The ports of `behaviour`, inputs first, then outputs, then signals.
pub(super) fn of(behaviour: &Behaviour) -> Vec<Port> {
    use Side::{In, Out, Signal};
    match behaviour {
        Behaviour::Source { .. } => vec![one("out", Out)],
        Behaviour::Battery { .. } | Behaviour::Meter => vec![one("in", In), one("out", Out)],
        Behaviour::Load { .. } => vec![one("in", In), one("loop", Out)],
        Behaviour::Tap => vec![one("in", In), one("tap", Out), one("rest", Out)],
        Behaviour::Divider { ways } => std::iter::once(one("in", In))
            .chain(many("out", *ways, Out))
            .collect(),
        Behaviour::Busbar { ways } => many("in", *ways, In).chain([one("out", Out)]).collect(),
        Behaviour::Changeover => vec![one("main", In), one("backup", In), one("out", Out)],
        Behaviour::Contact { function, .. } => {
            let signals = function.signals().iter().map(|s| one(s, Signal));
            [one("feed", In), one("out", Out)]
                .into_iter()
                .chain(signals)
                .collect()
        }
    }
}
