//! The walk up the wires from a load at one instant: what keeps it off, or what lets it run, down to what a builder can
//! act on.
//!
//! What holds a wire back is found by the net; here it is followed through contacts and their signals. What is found is
//! data, so that the same reason seen at several instants can be joined; [`super::told`] has the words. Powers in steps.

use super::clause::{Clause, Comes, Kind, Range, State, Until};
use crate::net::words::first;
use crate::net::{Why, why};
use crate::plan::{Function, Plan, Spec};
use crate::quantity::Ms;
use crate::run::{Engine, Record, What};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// How many clauses a reason has at the most.
const DEEPEST: usize = 5;

/// The steps of a walk, so that two walks can be compared.
pub type Key = Vec<Kind>;

/// Why a load is off, or on.
#[derive(Clone, Debug, Default)]
pub struct Reason {
    /// What was found, nearest the load first; each because of the next.
    pub clauses: Vec<Clause>,
    /// Parts concerned, by their places in the plan.
    pub parts: Vec<usize>,
    /// Wires concerned.
    pub wires: Vec<usize>,
    /// The battery that ran flat, if one is at the root.
    pub empty: Option<usize>,
}

impl Reason {
    /// What tells one reason from another.
    pub fn key(&self) -> Key {
        self.clauses.iter().map(|c| c.kind).collect()
    }

    /// Takes in the same reason as it was seen another time.
    pub fn join(&mut self, other: &Reason) {
        for (own, other) in self.clauses.iter_mut().zip(&other.clauses) {
            own.join(other);
        }
    }
}

/// What is asked of the future, by part and amount.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Asked {
    /// When the battery's output is on again.
    Back(usize),
    /// When the source gives so much.
    Gives(usize, u64),
}

/// What was found of the future: it holds as long as its moment is still to come.
#[derive(Default)]
pub struct Memo(RefCell<BTreeMap<Asked, Option<Ms>>>);

impl Memo {
    fn get(&self, asked: Asked, t: Ms, find: impl FnOnce() -> Option<Ms>) -> Option<Ms> {
        let known = self.0.borrow().get(&asked).copied();
        if let Some(known) = known.filter(|at| at.is_none_or(|at| at > t)) {
            return known;
        }
        let found = find();
        self.0.borrow_mut().insert(asked, found);
        found
    }
}

/// What the walk looks at.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// The plan.
    pub plan: &'a Plan,
    /// The run of it, at `t`.
    pub engine: &'a Engine,
    /// The same run from end to end, for what comes after `t`.
    pub record: &'a Record,
    /// What was found of what comes, at `t` or before.
    pub memo: &'a Memo,
    /// The instant.
    pub t: Ms,
}

impl<'a> Scene<'a> {
    /// What keeps the load off, or lets it run where `on`.
    pub fn reason(self, load: usize, on: bool) -> Reason {
        let mut walk = Walk {
            scene: self,
            whys: why(
                self.engine.net(),
                self.engine.live(),
                self.engine.controls(),
            ),
            reason: Reason::default(),
        };
        walk.reason.parts.push(load);
        let node = &self.engine.net().nodes[load];
        match (first(&node.ins), on) {
            (None, _) => walk.push(Clause::new(Kind::NoWire(load))),
            (Some(wire), true) => walk.live(wire),
            (Some(wire), false) => walk.dead(wire, needs(&node.spec), "it draws"),
        }
        walk.reason
    }
}

/// What a load draws or a contact's signal port takes.
fn needs(spec: &Option<Spec>) -> u64 {
    match spec {
        Some(Spec::Load { draw, .. }) => *draw,
        Some(Spec::Contact { coil, .. }) => *coil,
        _ => 1,
    }
}

struct Walk<'a> {
    scene: Scene<'a>,
    whys: Vec<Why>,
    reason: Reason,
}

impl<'a> Walk<'a> {
    fn push(&mut self, clause: Clause) {
        self.reason.clauses.push(clause);
    }

    /// Whether the walk has been here before or has gone far enough.
    fn is_over(&self, been: impl Fn(Kind) -> bool) -> bool {
        let clauses = &self.reason.clauses;
        clauses.len() >= DEEPEST || clauses.iter().any(|c| been(c.kind))
    }

    /// Why no more than it does comes through `wire`, where so much is needed.
    fn dead(&mut self, wire: usize, need: u64, draws: &'static str) {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        let offer = live.offer[wire];
        self.reason.wires.push(wire);
        let why = self.whys[wire];
        self.reason.parts.extend(why.part());
        let node = |part: usize| &net.nodes[part];
        let seen = |kind: Kind| Clause {
            draws,
            offer: Range::one(offer),
            need: Range::one(need),
            lacks: Range::one(need.saturating_sub(offer)),
            ..Clause::new(kind)
        };
        // What comes to the part, and who gives it.
        let comes = |walk: &Self, part: usize| {
            let Some(wire) = first(&node(part).ins) else {
                return (Comes::Any, Range::default());
            };
            let from = match walk.whys[wire] {
                Why::Source(part) | Why::Most(part) => Comes::From(part),
                _ => Comes::Any,
            };
            (from, Range::one(live.offer[wire]))
        };
        let given = |part: usize| Range::one(live.offered(first(&node(part).outs)));
        match why {
            Why::Nothing if net.wires[wire].closed => self.push(Clause::new(Kind::OnLoop(wire))),
            Why::Nothing => self.unwired(wire),
            Why::Open(part) => self.contact(part),
            Why::Off(part) => self.empty(part, seen(Kind::Off(part))),
            Why::Source(part) => self.source(part, seen(Kind::Source(part))),
            Why::Most(part) => self.push(Clause {
                amount: given(part),
                ..seen(Kind::Most(part))
            }),
            Why::Ahead(part) => {
                let (from, comes) = comes(self, part);
                self.push(Clause {
                    amount: Range::one(needs(&node(part).spec)),
                    comes,
                    ..seen(Kind::Ahead(part, from))
                });
            }
            Why::Held(part) => {
                if self.is_over(|k| k == Kind::Behind(part)) {
                    return;
                }
                self.push(Clause::new(Kind::Behind(part)));
                if let Some(wire) = first(&node(part).ins) {
                    self.dead(wire, needs(&node(part).spec), "it draws");
                }
            }
            Why::Aside(part) => self.push(seen(Kind::Aside(part))),
            Why::Rest(part) => {
                let (from, comes) = comes(self, part);
                self.push(Clause {
                    amount: given(part),
                    comes,
                    ..seen(Kind::Rest(part, from))
                });
            }
            Why::Share(part) => {
                let (from, comes) = comes(self, part);
                let ways = node(part).outs.iter().flatten().count();
                self.push(Clause {
                    comes,
                    ..seen(Kind::Share(part, ways, from))
                });
            }
            Why::Sum(part) => self.sum(part, seen(Kind::Sum(part))),
            Why::Backup(part) => self.push(Clause {
                amount: Range::one(live.offered(first(&node(part).ins))),
                ..seen(Kind::Backup(part))
            }),
        }
    }

    fn unwired(&mut self, wire: usize) {
        let net = self.scene.engine.net();
        let mut part = net.part_of[net.wires[wire].from];
        // Up through what only passes on, to the port that has no wire.
        for _ in 0..net.nodes.len() {
            match first(&net.nodes[part].ins).filter(|w| !net.wires[*w].closed) {
                Some(up) => part = net.part_of[net.wires[up].from],
                None => break,
            }
        }
        self.reason.parts.push(part);
        let looped = first(&net.nodes[part].ins).is_some();
        self.push(Clause::new(match looped {
            true => Kind::FedByLoop(part),
            false => Kind::NoWireTo(part),
        }));
    }

    fn empty(&mut self, part: usize, seen: Clause) {
        self.reason.empty.get_or_insert(part);
        let Scene {
            t, record, memo, ..
        } = self.scene;
        let back = memo.get(Asked::Back(part), t, || {
            let from = record.events.partition_point(|e| e.t <= t);
            let mut later = record.events[from..].iter();
            later
                .find(|e| e.part == part && e.what == What::OutputOn)
                .map(|e| e.t)
        });
        self.push(Clause {
            until: Until::at(back),
            ..seen
        });
    }

    fn source(&mut self, part: usize, seen: Clause) {
        let Scene {
            t, engine, memo, ..
        } = self.scene;
        let gives = engine.controls().available[part];
        let when = |steps| {
            memo.get(Asked::Gives(part, steps), t, || {
                engine.gives(part, t, steps)
            })
        };
        let until = if gives == 0 { when(1) } else { None };
        let enough = when(gives.saturating_add(seen.lacks.most));
        self.push(Clause {
            amount: Range::one(gives),
            until: Until::at(until),
            enough: Until::at(enough),
            ..seen
        });
    }

    /// A busbar with too little: of the inputs that bring nothing, the first is followed.
    fn sum(&mut self, part: usize, seen: Clause) {
        let engine = self.scene.engine;
        let mut ins = engine.net().nodes[part].ins.iter().flatten().copied();
        let follow = ins.find(|w| engine.live().offer[*w] == 0 && self.whys[*w] != Why::Nothing);
        let (lacks, draws) = (seen.lacks.most, seen.draws);
        self.push(seen);
        if let Some(wire) = follow
            && self.reason.clauses.len() < DEEPEST
        {
            self.dead(wire, lacks, draws);
        }
    }

    /// What lets something come through `wire`: the nearest contact that conducts, or else what gives.
    fn live(&mut self, mut wire: usize) {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        for _ in 0..=net.nodes.len() {
            self.reason.wires.push(wire);
            let part = net.part_of[net.wires[wire].from];
            let node = &net.nodes[part];
            let up = match node.spec {
                Some(Spec::Contact { .. }) => {
                    self.reason.parts.push(part);
                    return self.contact(part);
                }
                Some(Spec::Source { .. } | Spec::Battery { .. }) | None => None,
                Some(Spec::Changeover(least)) if live.offered(first(&node.ins)) < least => {
                    node.ins.get(1).copied().flatten()
                }
                Some(Spec::Busbar(_)) => {
                    let mut ins = node.ins.iter().flatten().copied();
                    ins.find(|w| live.offer[*w] > 0)
                }
                _ => first(&node.ins),
            };
            let Some(up) = up else {
                self.reason.parts.push(part);
                let kind = match self.reason.clauses.is_empty() {
                    true => Kind::Alone(part),
                    false => Kind::Gives(part),
                };
                return self.push(Clause {
                    amount: Range::one(live.offer[wire]),
                    ..Clause::new(kind)
                });
            };
            wire = up;
        }
    }

    /// Why a contact does what it does.
    fn contact(&mut self, part: usize) {
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
        let state = State {
            part,
            conducts: engine.controls().conducts[part],
            truth: look.truth,
            breaks: look.breaks,
            is_due: look.is_due,
            live: [a, b],
        };
        self.push(Clause {
            amount: Range::one(look.count),
            until: Until::at(engine.turns(part, t).or(look.ends)),
            ..Clause::new(Kind::Contact(state))
        });
        // Which signal to follow up, and whether because it is live.
        let q = look.truth;
        let next = match function {
            Function::Relay => Some((0, a)),
            Function::And => Some(if !a { (0, false) } else { (1, b) }),
            Function::Or => Some(if a || !b { (0, a) } else { (1, true) }),
            Function::Xor => Some(if b && !a { (1, true) } else { (0, a) }),
            Function::OnDelay(_) if q || !a => Some((0, a)),
            Function::OffDelay(_) if a || !q => Some((0, a)),
            Function::Pulse(_) if !q && !a => Some((0, false)),
            Function::Latch { .. } if !q && b => Some((1, true)),
            Function::Latch { .. } if q && a => Some((0, true)),
            Function::Latch { .. } if !q => Some((0, false)),
            _ => None,
        };
        let Some((at, is_live)) = next else { return };
        match (signal(at), is_live) {
            (Some(wire), true) => self.live(wire),
            (Some(wire), false) => self.dead(wire, *coil, "it takes"),
            (None, _) => self.push(Clause::new(Kind::NoSignal(part))),
        }
    }
}
