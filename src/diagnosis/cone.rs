//! What a reading hangs on: the parts and wires that can have a say in it, so that a fault of none of them can't change it.
//!
//! An offer hangs on what the part that makes it is offered, on its contact and on which of its outputs are wired; a take also on all
//! that takes behind the wire; a level on both of the battery's wires. A battery's output hangs on its level, unless it
//! holds so much that its output can't go off before the reading: no fault here makes loads draw more, so all that can ever
//! be taken is the sum of all draws, coils and charging. Closed loops need no word of their own: one that a fault closes or
//! opens runs through a wire of the fault, and whatever lies on it hangs on that wire.
//!
//! One thing is shared by all parts of a plan, wired or not: a contact is held for chatter at its hundredth change while others' changes
//! are pending. So nothing is said of a reading that hangs on a contact with a hundred changes. Nor does it count that a
//! faulty run may end at the bound of events: a reading after that is not explained either way.

use super::candidates::Candidate;
use super::sight::Sight;
use super::single_fault::SingleFault;
use crate::book::Short;
use crate::net::Net;
use crate::plan::{Function, PartId, Plan, Spec, WireId};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::{Engine, Stop};

/// A contact with so many changes may be held.
const CHATTER: usize = 100;

/// What a plan's readings may hang on, worked out once for all of them.
pub(super) struct Ground<'a> {
    plan: &'a Plan,
    net: &'a Net,
    /// The most that can ever be taken of one battery, in steps, but for its own limit; none where loads take what they get.
    most: Option<u64>,
    /// The changes of contacts of the plan as drawn, in the order of time.
    changes: Vec<(Ms, usize)>,
}

/// What one reading hangs on.
#[derive(Clone, Debug)]
pub(super) struct Cone {
    parts: Vec<bool>,
    wires: Vec<bool>,
}

/// What is still to be followed up.
enum Hangs {
    Offer(usize),
    Take(usize),
    /// What a contact does.
    State(usize),
    Level(usize),
}

impl<'a> Ground<'a> {
    /// Of a plan, for readings up to `end`; none where its run is stopped before.
    pub(super) fn of(plan: &'a Plan, net: &'a Net, end: Ms) -> Option<Ground<'a>> {
        let mut engine = Engine::tracing(plan);
        let stop = engine.advance(end.saturating_add(1));
        (stop == Stop::Complete).then(|| Ground {
            plan,
            net,
            most: most_taken(net),
            changes: engine.into_trace(end.saturating_add(1)).changes,
        })
    }

    /// What a reading at `t` hangs on; none where that can't be told.
    pub(super) fn cone(&self, sight: Sight, t: Ms) -> Option<Cone> {
        let mut cone = Cone {
            parts: vec![false; self.net.nodes.len()],
            wires: vec![false; self.net.wires.len()],
        };
        let mut open = Vec::new();
        match sight {
            Sight::Load(part) => {
                cone.parts[part] = true;
                open.extend(
                    self.net.nodes[part]
                        .ins
                        .iter()
                        .flatten()
                        .map(|w| Hangs::Offer(*w)),
                );
            }
            Sight::Contact(part) => open.push(Hangs::State(part)),
            Sight::Battery(part) => open.push(Hangs::Level(part)),
            Sight::Wire(wire) => open.push(Hangs::Take(wire)),
        }
        let mut seen = Seen::new(self.net);
        while let Some(next) = open.pop() {
            if seen.is_new(&next) {
                self.follow(&next, t, &mut cone, &mut open);
            }
        }
        let changes = self.changes.iter().take_while(|(at, _)| *at <= t);
        let mut counts = vec![0; cone.parts.len()];
        changes.for_each(|(_, part)| counts[*part] += 1);
        let is_calm = |(there, changes): (&bool, &usize)| !there || *changes < CHATTER;
        cone.parts.iter().zip(&counts).all(is_calm).then_some(cone)
    }

    fn follow(&self, next: &Hangs, t: Ms, cone: &mut Cone, open: &mut Vec<Hangs>) {
        let net = self.net;
        let ins = |part: usize| net.nodes[part].ins.iter().flatten().copied();
        match *next {
            Hangs::Offer(wire) => {
                let part = net.part_of[net.wires[wire].from];
                cone.wires[wire] = true;
                cone.parts[part] = true;
                match &net.nodes[part].spec {
                    Some(battery @ Spec::Battery { .. }) => {
                        if !self.stays_on(battery, t) {
                            open.push(Hangs::Level(part));
                        }
                        return;
                    }
                    Some(Spec::Contact { .. }) => open.push(Hangs::State(part)),
                    _ => {}
                }
                open.extend(ins(part).map(Hangs::Offer));
            }
            Hangs::Take(wire) => {
                open.push(Hangs::Offer(wire));
                if net.wires[wire].signal {
                    return;
                }
                let part = net.wires[wire].to;
                cone.parts[part] = true;
                match net.nodes[part].spec {
                    Some(Spec::Battery { .. }) => return open.push(Hangs::Level(part)),
                    Some(Spec::Contact { .. }) => open.push(Hangs::State(part)),
                    _ => {}
                }
                open.extend(ins(part).map(Hangs::Offer));
                let outs = net.nodes[part].outs.iter().flatten();
                open.extend(outs.map(|wire| Hangs::Take(*wire)));
            }
            Hangs::State(part) => {
                cone.parts[part] = true;
                let signals = net.nodes[part].signals.iter().flatten();
                open.extend(signals.map(|wire| Hangs::Offer(*wire)));
                open.extend(self.watched(part).map(Hangs::Level));
            }
            Hangs::Level(part) => {
                cone.parts[part] = true;
                open.extend(ins(part).map(Hangs::Offer));
                for wire in ins(part) {
                    cone.wires[wire] = true;
                }
                let outs = net.nodes[part].outs.iter().flatten();
                open.extend(outs.map(|wire| Hangs::Take(*wire)));
            }
        }
    }

    /// The battery that a charge contact watches.
    fn watched(&self, part: usize) -> Option<usize> {
        let Some(Spec::Contact {
            function: Function::Charge { watches, .. },
            ..
        }) = &self.net.nodes[part].spec
        else {
            return None;
        };
        self.plan.part_place(&PartId::from(watches.as_str()))
    }

    /// Whether a battery's output is on up to `t`, whatever is taken of it.
    fn stays_on(&self, battery: &Spec, t: Ms) -> bool {
        let Spec::Battery {
            max_out,
            cut_out,
            start,
            ..
        } = *battery
        else {
            return false;
        };
        let most = self.most.map_or(max_out, |most| most.min(max_out));
        let taken = Energy::from(most) * STEP_MS * Energy::from(t);
        start - taken > cut_out
    }
}

/// The sum of all that can be taken in a plan; none where a load takes whatever it gets.
fn most_taken(net: &Net) -> Option<u64> {
    let signals = |at: usize| net.nodes[at].signals.len() as u64;
    let mut sum: u64 = 0;
    for (at, node) in net.nodes.iter().enumerate() {
        let most = match node.spec {
            Some(Spec::Load {
                short: Short::Waste,
                ..
            }) => return None,
            Some(Spec::Load { draw, .. }) => draw,
            Some(Spec::Battery { max_in, .. }) => max_in,
            Some(Spec::Contact { coil, .. }) => coil.saturating_mul(signals(at)),
            _ => 0,
        };
        sum = sum.saturating_add(most);
    }
    Some(sum)
}

/// What was followed up already, by kind.
struct Seen([Vec<bool>; 4]);

impl Seen {
    fn new(net: &Net) -> Seen {
        let (parts, wires) = (net.nodes.len(), net.wires.len());
        Seen([wires, wires, parts, parts].map(|count| vec![false; count]))
    }

    fn is_new(&mut self, what: &Hangs) -> bool {
        let (kind, at) = match *what {
            Hangs::Offer(at) => (0, at),
            Hangs::Take(at) => (1, at),
            Hangs::State(at) => (2, at),
            Hangs::Level(at) => (3, at),
        };
        !std::mem::replace(&mut self.0[kind][at], true)
    }
}

impl Cone {
    /// Whether the reading may hang on a fault.
    pub(super) fn has(&self, plan: &Plan, candidate: &Candidate) -> bool {
        match candidate {
            Candidate::Missing(wire) => self.has_wire(plan, *wire),
            // Nothing but what comes to the two inputs changes, and what is taken there.
            Candidate::Exchanged(a, b) => self.wires[*a] || self.wires[*b],
            Candidate::Other(fault) => match fault {
                SingleFault::Missing { wire } => self.has_id(plan, wire),
                SingleFault::Exchanged { wires } => wires.iter().any(|w| self.has_id(plan, w)),
                SingleFault::Port { wire, .. } => self.has_id(plan, wire),
                SingleFault::Reversed { part }
                | SingleFault::Contact { part }
                | SingleFault::Setting { part, .. } => self.has_part(plan, part),
                SingleFault::Dead { part } => {
                    let mut wires = plan.wires_of(part);
                    self.has_part(plan, part) || wires.any(|w| self.has_id(plan, &w.id))
                }
            },
        }
    }

    /// Whether a wire, or a part at one of its ends, has a say: another number of wires at a part changes shares.
    fn has_wire(&self, plan: &Plan, at: usize) -> bool {
        let wire = &plan.wires[at];
        let ends = [&wire.from.part, &wire.to.part];
        self.wires[at] || ends.into_iter().any(|part| self.has_part(plan, part))
    }

    fn has_id(&self, plan: &Plan, wire: &WireId) -> bool {
        plan.wire_place(wire)
            .is_none_or(|at| self.has_wire(plan, at))
    }

    fn has_part(&self, plan: &Plan, part: &PartId) -> bool {
        plan.part_place(part).is_none_or(|at| self.parts[at])
    }
}
