//! The walk up the wires from a load at one instant: what keeps it off, or what lets it run, down to what a builder can
//! act on.
//!
//! What holds a wire back is found by the net; here it is followed through contacts and their signals. What is found is
//! data, so that the same reason seen at several instants can be joined; [`super::phrases`] has the words. Powers in steps.

mod contact;

use super::clause::{Clause, Comes, Kind, Need, Range, Until};
use super::giver::giver;
use super::past::Past;
use crate::net::words::first;
use crate::net::{Why, why};
use crate::plan::{Plan, Spec};
use crate::quantity::Ms;
use crate::run::{Engine, Record, What};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// How many clauses follow from each other at the most.
const DEEPEST: usize = 5;

/// How many clauses a reason has at the most.
const MOST: usize = 8;

/// How many inputs that bring nothing are followed.
const WIDEST: usize = 3;

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
    /// What brought its contacts to where they are.
    pub past: &'a Past,
    /// Two midnights with the same state, after which all goes on alike, if there are any.
    pub round: Option<(Ms, Ms)>,
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
            depth: 0,
        };
        walk.reason.parts.push(load);
        let node = &self.engine.net().nodes[load];
        match (first(&node.ins), on) {
            (None, _) => walk.push(Clause::new(Kind::NoWire(load))),
            (Some(wire), true) => walk.live(wire),
            (Some(wire), false) => walk.dead(wire, drawn(&node.spec), Need::Draws),
        }
        walk.reason
    }
}

/// What a load draws or a contact's signal port takes.
fn drawn(spec: &Option<Spec>) -> u64 {
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
    depth: usize,
}

impl<'a> Walk<'a> {
    fn push(&mut self, clause: Clause) {
        if !self.is_over(|k| k == clause.kind) {
            self.reason.clauses.push(clause);
        }
    }

    /// Follows several ways up from one step, each a reason of its own for it.
    fn branch(&mut self, ways: impl Iterator<Item = (usize, bool)>, need: u64, needs: Need) {
        let start = self.reason.clauses.len();
        self.depth += 1;
        for (wire, is_live) in ways {
            let before = self.reason.clauses.len();
            match is_live {
                _ if self.depth >= DEEPEST => {}
                true => self.live(wire),
                false => self.dead(wire, need, needs),
            }
            if let Some(clause) = self.reason.clauses.get_mut(before) {
                clause.also = before > start;
            }
        }
        self.depth -= 1;
    }

    /// Up from a wire that carries nothing: the part that several inputs lead to of which all carry nothing, if there is
    /// one and all on the way pass on what they get.
    fn dry(&self, mut wire: usize) -> Option<usize> {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        for _ in 0..net.nodes.len() {
            if net.wires[wire].closed {
                return None;
            }
            let part = net.part_of[net.wires[wire].from];
            let node = &net.nodes[part];
            match &node.spec {
                Some(Spec::Contact { .. }) if !engine.controls().conducts[part] => return None,
                Some(Spec::Source { .. } | Spec::Battery { .. }) | None => return None,
                _ => {}
            }
            if node.ins.iter().flatten().any(|w| live.offer[*w] > 0) {
                return None;
            }
            let mut ins = node.ins.iter().flatten();
            wire = *ins.next()?;
            if ins.next().is_some() {
                return Some(part);
            }
        }
        None
    }

    /// Whether the walk has been here before or has gone far enough.
    fn is_over(&self, been: impl Fn(Kind) -> bool) -> bool {
        let clauses = &self.reason.clauses;
        clauses.len() >= MOST || clauses.iter().any(|c| been(c.kind))
    }

    /// Why no more than it does comes through `wire`, where so much is needed.
    fn dead(&mut self, wire: usize, need: u64, needs: Need) {
        let engine = self.scene.engine;
        let (net, live) = (engine.net(), engine.live());
        let offer = live.offer[wire];
        self.reason.wires.push(wire);
        if let Some(part) = self.dry(wire).filter(|_| offer == 0) {
            self.reason.parts.push(part);
            self.push(Clause::new(Kind::Dry(part)));
            let ins = net.nodes[part].ins.iter().flatten().take(WIDEST);
            return self.branch(ins.map(|w| (*w, false)), need, needs);
        }
        let why = self.whys[wire];
        self.reason.parts.extend(why.part());
        let node = |part: usize| &net.nodes[part];
        let seen = |kind: Kind| Clause {
            needs,
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
                    amount: Range::one(drawn(&node(part).spec)),
                    comes,
                    ..seen(Kind::Ahead(part, from))
                });
            }
            Why::Held(part) => {
                if self.is_over(|k| k == Kind::Behind(part)) {
                    return;
                }
                self.push(Clause::new(Kind::Behind(part)));
                let way = first(&node(part).ins).map(|wire| (wire, false));
                self.branch(way.into_iter(), drawn(&node(part).spec), Need::Draws);
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
            let wired = net.nodes[part].ins.iter().flatten();
            match wired.copied().find(|w| !net.wires[*w].closed) {
                Some(up) => part = net.part_of[net.wires[up].from],
                None => break,
            }
        }
        self.reason.parts.push(part);
        let looped = net.nodes[part].ins.iter().flatten().next().is_some();
        self.push(Clause::new(match looped {
            true => Kind::FedByLoop(part),
            false => Kind::NoWireTo(part),
        }));
    }

    fn empty(&mut self, part: usize, seen: Clause) {
        self.reason.empty.get_or_insert(part);
        let Scene {
            t,
            record,
            memo,
            round,
            ..
        } = self.scene;
        let after = |t: Ms| {
            let from = record.events.partition_point(|e| e.t <= t);
            let mut later = record.events[from..].iter();
            let on = later.find(|e| e.place() == part && e.what == What::OutputOn);
            on.map(|e| e.t)
        };
        let back = memo.get(Asked::Back(part), t, || {
            // After the last midnight all goes on as after the one that it repeats, however long that takes.
            let again = |(earlier, last): (Ms, Ms)| Some(after(earlier)? + (last - earlier));
            after(t).or_else(|| round.and_then(again))
        });
        let most = match self.scene.engine.net().nodes[part].spec {
            Some(Spec::Battery { max_out, .. }) => max_out,
            _ => 0,
        };
        self.push(Clause {
            amount: Range::one(most),
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

    /// A busbar with too little: the inputs that bring nothing are followed.
    fn sum(&mut self, part: usize, seen: Clause) {
        let engine = self.scene.engine;
        let ins = engine.net().nodes[part].ins.iter().flatten().copied();
        let dead = |w: &usize| engine.live().offer[*w] == 0 && self.whys[*w] != Why::Nothing;
        let dead: Vec<usize> = ins.filter(dead).take(WIDEST).collect();
        let (lacks, needs) = (seen.lacks.most, seen.needs);
        self.push(seen);
        self.branch(dead.into_iter().map(|w| (w, false)), lacks, needs);
    }

    /// What lets something come through `wire`: the nearest contact that conducts, or else what gives.
    fn live(&mut self, wire: usize) {
        let engine = self.scene.engine;
        let up = giver(engine, wire);
        let gives = up.wires.last().map_or(0, |w| engine.live().offer[*w]);
        self.reason.wires.extend(up.wires);
        self.reason.parts.push(up.last);
        if up.is_contact {
            return self.contact(up.last);
        }
        let kind = match self.reason.clauses.is_empty() {
            true => Kind::Alone(up.last),
            false => Kind::Gives(up.last),
        };
        self.push(Clause {
            amount: Range::one(gives),
            ..Clause::new(kind)
        });
    }
}
