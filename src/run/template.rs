//! A plan compiled and set up once, from which runs of it begin that lack some of its parts and wires.
//!
//! Or that have two wires exchanged: [`Template::exchanged`].
//!
//! What a loss leaves is run hundreds of times; to compile it and to find its panels' steps each time would take longer
//! than many of the runs. A run that begins here is to the last integer that of a plan without those parts and wires.

use super::engine::{Engine, Foreseen};
use super::recorder::Recorder;
use crate::net::{Live, Net};
use crate::plan::Plan;
use std::cmp::Reverse;
use std::sync::Arc;

/// A plan compiled and set up, but not solved yet.
#[derive(Clone, Debug)]
pub struct Template {
    engine: Engine,
}

impl Template {
    /// Of a plan; `None` where less of it would have to be compiled anew: a wire that is taken may open a closed loop, so
    /// that others on it carry something, or end a ring by which a battery feeds itself.
    pub fn of(plan: &Plan) -> Option<Template> {
        let mut engine = Engine::compiled(plan);
        let is_plain =
            engine.net.loops.is_empty() && engine.net.nodes.iter().all(|n| !n.feeds_itself);
        is_plain.then(|| {
            engine.set_up(plan, 0, usize::MAX);
            Template { engine }
        })
    }

    /// Of a plan, whatever it is: for [`Template::exchanged`] alone.
    pub fn of_wires(plan: &Plan) -> Template {
        let mut engine = Engine::compiled(plan);
        engine.set_up(plan, 0, usize::MAX);
        Template { engine }
    }

    /// As [`Engine::skimming`], of the plan in which the wires at these two places have changed over their input ends.
    /// `plan` is the one of which this is.
    pub fn exchanged(&self, plan: &Plan, a: usize, b: usize) -> Engine {
        let of = &self.engine;
        let net = Arc::new(of.net.exchanged(a, b));
        let mut engine = Engine {
            live: Live::skimming(&net),
            net,
            controls: of.controls.clone(),
            batteries: of.batteries.clone(),
            contacts: of.contacts.clone(),
            recorder: None,
            chattered: of.chattered.clone(),
            supplies: Arc::clone(&of.supplies),
            queue: of.queue.clone(),
            ..*of
        };
        engine.begin(plan);
        engine
    }

    /// As [`Engine::tracing`], of the plan with these parts and wires alone, by their places in `plan`, of which this is.
    pub fn begin(&self, plan: &Plan, parts: &[bool], wires: &[bool]) -> Engine {
        let mut engine = self.left(plan, (parts, wires), Live::skimming);
        engine.recorder = Some(Recorder::of_trace(&engine));
        engine
    }

    /// As [`Engine::new`], of the plan with these parts and wires alone; those that are not there stay as dead ones in their
    /// places.
    pub fn begin_whole(&self, plan: &Plan, parts: &[bool], wires: &[bool]) -> Engine {
        self.left(plan, (parts, wires), Live::new)
    }

    /// What is left, solved at t = 0.
    fn left(
        &self,
        plan: &Plan,
        (parts, wires): (&[bool], &[bool]),
        live: fn(&Net) -> Live,
    ) -> Engine {
        let is_there = |part: usize| parts.get(part).copied().unwrap_or(false);
        let of = &self.engine;
        let net = Arc::new(remaining(&of.net, parts, wires));
        let mut engine = Engine {
            live: live(&net),
            net,
            controls: of.controls.clone(),
            batteries: of.batteries.clone(),
            contacts: of.contacts.clone(),
            recorder: None,
            chattered: of.chattered.clone(),
            supplies: Arc::clone(&of.supplies),
            queue: Default::default(),
            ..*of
        };
        let stays = |Reverse((_, what, part)): &&Reverse<(_, Foreseen, usize)>| {
            *what == Foreseen::Midnight || is_there(*part)
        };
        engine.queue = of.queue.iter().filter(stays).copied().collect();
        engine.batteries.retain(|part, _| is_there(*part));
        engine.contacts.retain(|part, _| is_there(*part));
        let controls = &mut engine.controls;
        for part in (0..controls.available.len()).filter(|part| !is_there(*part)) {
            controls.available[part] = 0;
            controls.output[part] = false;
            controls.full[part] = false;
            controls.conducts[part] = false;
        }
        engine.begin(plan);
        engine
    }
}

/// The net with these parts and wires alone: what is not there is left dead in its place.
fn remaining(net: &Net, parts: &[bool], wires: &[bool]) -> Net {
    let mut rest = net.clone();
    for (node, there) in rest.nodes.iter_mut().zip(parts) {
        if !there {
            node.spec = None;
        }
        for slots in [&mut node.ins, &mut node.outs, &mut node.signals] {
            for slot in slots {
                *slot = slot.filter(|wire| wires[*wire]);
            }
        }
    }
    rest
}
