//! What is read off a run that is under way, as a number: so that readings are compared and counted alike.

use super::base_reading::{Readable, Shape, Shows, Trend};
use crate::net::{Controls, Live, Net};
use crate::plan::{Part, Plan, Wire};
use crate::quantity::Ms;
use crate::run::{Engine, PartState};
use serde::{Deserialize, Serialize};

/// Something that can be read, by its place in the plan as it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Sight {
    Load(usize),
    Contact(usize),
    Battery(usize),
    Wire(usize),
}

/// Where the parts and wires of a plan stand in a plan with fewer of them; none that are gone.
#[derive(Clone, Debug, Default)]
pub(super) struct Places {
    /// None where every part stands where it stood.
    parts: Option<Vec<Option<usize>>>,
    wires: Option<Vec<Option<usize>>>,
}

impl Places {
    /// Where nothing is gone.
    pub(super) const fn same() -> Places {
        Places {
            parts: None,
            wires: None,
        }
    }

    /// In `built`, which has some of the plan's parts and wires in their order.
    pub(super) fn of(plan: &Plan, built: &Plan) -> Places {
        let mut parts = built.parts.iter().map(|p| &p.id).enumerate().peekable();
        let mut wires = built.wires.iter().map(|w| &w.id).enumerate().peekable();
        let part = |part: &Part| parts.next_if(|(_, id)| **id == part.id);
        let part = plan.parts.iter().map(part);
        let wire = |wire: &Wire| wires.next_if(|(_, id)| **id == wire.id);
        let wire = plan.wires.iter().map(wire);
        Places {
            parts: Some(part.map(|found| found.map(|(at, _)| at)).collect()),
            wires: Some(wire.map(|found| found.map(|(at, _)| at)).collect()),
        }
    }

    fn part(&self, at: usize) -> Option<usize> {
        self.parts.as_ref().map_or(Some(at), |parts| parts[at])
    }

    fn wire(&self, at: usize) -> Option<usize> {
        self.wires.as_ref().map_or(Some(at), |wires| wires[at])
    }
}

impl Sight {
    /// Where this stands in the plan; none where the plan has nothing of the kind.
    pub(super) fn of(plan: &Plan, readable: &Readable) -> Option<Sight> {
        let shape = readable.shape(plan)?;
        let at = match readable {
            Readable::Part(id) => plan.part_place(id),
            Readable::Wire(id) => plan.wire_place(id),
        }?;
        Some(match shape {
            Shape::Load => Sight::Load(at),
            Shape::Contact => Sight::Contact(at),
            Shape::Battery => Sight::Battery(at),
            Shape::Wire => Sight::Wire(at),
        })
    }

    /// What it shows at `t`, to which the run has come; none of a wire. What is gone is off, open and still.
    pub(super) fn state(self, engine: &Engine, places: &Places, t: Ms) -> Option<u64> {
        let shown = match self {
            Sight::Load(at) => places.part(at).map(|p| u64::from(engine.live().runs[p])),
            Sight::Contact(at) => {
                let conducts = |p: usize| u64::from(engine.controls().conducts[p]);
                places.part(at).map(conducts)
            }
            Sight::Battery(at) => places.part(at).map(|p| trend(&engine.state(p, t))),
            Sight::Wire(_) => return None,
        };
        Some(shown.unwrap_or(0))
    }

    /// What a wire takes at an instant that is worked out whole; none of anything else. What is gone takes nothing.
    pub(super) fn take(self, live: &Live, places: &Places) -> Option<u64> {
        match self {
            Sight::Wire(at) => Some(places.wire(at).map_or(0, |wire| live.take[wire])),
            _ => None,
        }
    }

    /// What such a number says.
    pub(super) fn shows(self, value: u64) -> Shows {
        match (self, value) {
            (Sight::Load(_), value) => Shows::Runs(value == 1),
            (Sight::Contact(_), value) => Shows::Conducts(value == 1),
            (Sight::Wire(_), value) => Shows::Takes(value),
            (Sight::Battery(_), 0) => Shows::Moves(Trend::Still),
            (Sight::Battery(_), 1) => Shows::Moves(Trend::Rises),
            (Sight::Battery(_), _) => Shows::Moves(Trend::Falls),
        }
    }
}

/// Instants of one net worked out whole, one after the other: runs here skim, and pass over what wires take.
pub(super) struct Whole<'a> {
    net: &'a Net,
    live: Live,
    /// What the last instant was worked out from.
    controls: Option<Controls>,
}

impl<'a> Whole<'a> {
    /// Of a net, before the first instant.
    pub(super) fn new(net: &'a Net) -> Whole<'a> {
        Whole {
            net,
            live: Live::new(net),
            controls: None,
        }
    }

    /// The instant of these controls; only what differs from the last one is worked out.
    pub(super) fn solve(&mut self, now: Controls) -> &Live {
        if let Some(before) = &self.controls {
            for part in 0..now.available.len() {
                let is_same = now.available[part] == before.available[part]
                    && now.output[part] == before.output[part]
                    && now.full[part] == before.full[part]
                    && now.conducts[part] == before.conducts[part];
                if !is_same {
                    self.live.touch(self.net, part);
                }
            }
        }
        self.live.solve(self.net, &now);
        self.controls = Some(now);
        &self.live
    }
}

/// The number of what was read.
pub(super) fn number_of(shows: Shows) -> u64 {
    match shows {
        Shows::Runs(on) | Shows::Conducts(on) => u64::from(on),
        Shows::Moves(Trend::Still) => 0,
        Shows::Moves(Trend::Rises) => 1,
        Shows::Moves(Trend::Falls) => 2,
        Shows::Takes(steps) => steps,
    }
}

fn trend(state: &PartState) -> u64 {
    match state {
        PartState::Battery { slope: 1.., .. } => 1,
        PartState::Battery { slope: ..=-1, .. } => 2,
        _ => 0,
    }
}
