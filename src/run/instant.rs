//! What a plan shows at one instant: for each wire and part, in the plan's order.

use super::engine::Engine;
use crate::net::{Bound, Chatter, Problem, ProblemKind, TooManyEvents, Weight, structure_problems};
use crate::plan::{Clock, Plan, Spec};
use crate::quantity::{Energy, Ms};
use serde::{Deserialize, Serialize};

/// What a wire carries, in steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Flow {
    /// What could come through it.
    pub offer: u64,
    /// What does.
    pub take: u64,
    /// Whether it is on a closed loop and so carries nothing.
    pub on_loop: bool,
}

/// What a part does. Powers in steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PartState {
    /// A source.
    Source {
        /// What it could give now.
        available: u64,
        /// What is taken of it; the rest is spilled.
        taken: u64,
    },
    /// A load.
    Load {
        /// Whether it runs.
        runs: bool,
        /// What it draws when it runs.
        draw: u64,
        /// What it is offered.
        offered: u64,
    },
    /// A battery.
    Battery {
        /// What it holds now.
        level: Energy,
        /// What it can hold.
        capacity: Energy,
        /// The level at or below which its output goes off.
        cut_out: Energy,
        /// The level at or above which its output goes on again.
        cut_in: Energy,
        /// Whether its output is on.
        output: bool,
        /// Whether it is full.
        full: bool,
        /// What it takes in.
        taking: u64,
        /// What is taken of it.
        giving: u64,
        /// How its level changes, in 1/1000 step·ms a millisecond.
        slope: Energy,
    },
    /// A contact.
    Contact {
        /// Whether it conducts.
        conducts: bool,
        /// Whether its function is true.
        truth: bool,
        /// Whether it is held open for chatter.
        held: bool,
    },
    /// A part without a state of its own.
    Plain,
}

impl PartState {
    /// At `t`, the instant of this state: when a battery's output would go off if all went on as it does now. `None`
    /// where it gives nothing, gains, or is off, and for any other part.
    pub fn lasts_until(&self, t: Ms) -> Option<Ms> {
        let PartState::Battery {
            level,
            cut_out,
            output: true,
            giving: 1..,
            slope,
            ..
        } = *self
        else {
            return None;
        };
        let left = (level - cut_out).max(0).unsigned_abs();
        let wait = (slope < 0).then(|| left.div_ceil(slope.unsigned_abs()))?;
        t.checked_add(Ms::try_from(wait).ok()?)
    }
}

/// One instant of a plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Instant {
    /// Milliseconds since midnight of day 1.
    pub t: Ms,
    /// For each wire in the plan's order.
    pub wires: Vec<Flow>,
    /// For each part in the plan's order.
    pub parts: Vec<PartState>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
}

impl Engine {
    /// What the part at this place of the plan shows at `t`, the time that the engine has come to.
    pub fn state(&self, part: usize, t: Ms) -> PartState {
        let node = &self.net.nodes[part];
        let slot = |slots: &[Option<usize>]| slots.first().copied().flatten();
        let (taking, giving) = (
            self.live.taken(slot(&node.ins)),
            self.live.taken(slot(&node.outs)),
        );
        match &node.spec {
            Some(Spec::Source { .. }) => PartState::Source {
                available: self.controls.available[part],
                taken: giving,
            },
            Some(Spec::Load { draw, .. }) => {
                let offered = slot(&node.ins).map_or(0, |wire| self.live.offer[wire]);
                PartState::Load {
                    runs: self.live.runs[part],
                    draw: *draw,
                    offered,
                }
            }
            Some(Spec::Battery {
                capacity,
                cut_out,
                cut_in,
                ..
            }) => {
                let battery = self.batteries.get(&part);
                let level = battery.map_or(0, |b| b.at(t));
                let slope = battery.map_or(0, |b| b.shown_slope());
                PartState::Battery {
                    level,
                    capacity: *capacity,
                    cut_out: *cut_out,
                    cut_in: *cut_in,
                    output: self.controls.output[part],
                    full: level == *capacity,
                    taking,
                    giving,
                    slope,
                }
            }
            Some(Spec::Contact { .. }) => {
                let contact = self.contacts.get(&part);
                PartState::Contact {
                    conducts: self.controls.conducts[part],
                    truth: contact.is_some_and(|c| c.memory.truth),
                    held: contact.is_some_and(|c| c.held),
                }
            }
            _ => PartState::Plain,
        }
    }

    /// The instant `t`, the time that the engine has come to.
    pub fn instant(&self, plan: &Plan, t: Ms) -> Instant {
        self.instant_with(plan, t, &structure_problems(plan, &self.net))
    }

    /// What each part does and each wire carries at `t`, the time that the engine has come to, in the plan's order; nothing
    /// is looked for in it.
    pub fn shows(&self, t: Ms) -> (Vec<PartState>, Vec<Flow>) {
        let flow = |at: usize| Flow {
            offer: self.live.offer[at],
            take: self.live.take[at],
            on_loop: self.net.wires[at].closed,
        };
        let seen = self.stopped.map_or(t, |stopped| t.min(stopped));
        let parts = (0..self.net.nodes.len()).map(|part| self.state(part, seen));
        (
            parts.collect(),
            (0..self.net.wires.len()).map(flow).collect(),
        )
    }

    /// As [`Engine::instant`], with the problems of structure as they were found before.
    pub(super) fn instant_with(&self, plan: &Plan, t: Ms, structure: &[Problem]) -> Instant {
        let (parts, wires) = self.shows(t);
        let mut problems = self.problems_with(plan, structure);
        problems.extend(crate::net::flow_problems(
            plan,
            &self.net,
            &self.live,
            &self.controls,
        ));
        crate::net::worst_first(plan, &mut problems);
        Instant {
            t,
            wires,
            parts,
            problems,
        }
    }
}

impl Engine {
    /// What the run so far found wrong, worst first: chatter and the bounds, and what the net itself shows.
    pub fn problems(&self, plan: &Plan) -> Vec<Problem> {
        self.problems_with(plan, &structure_problems(plan, &self.net))
    }

    /// As [`Engine::problems`], with those of the net as they were found before.
    pub(super) fn problems_with(&self, plan: &Plan, structure: &[Problem]) -> Vec<Problem> {
        let mut problems = structure.to_vec();
        problems.extend(self.chattered.iter().map(|part| chatter(plan, *part)));
        if let Some(t) = self.stopped {
            problems.push(self.too_many(plan, t));
        }
        crate::net::worst_first(plan, &mut problems);
        problems
    }

    /// That the run was stopped at `t`, and at which bound.
    fn too_many(&self, plan: &Plan, t: Ms) -> Problem {
        let bound = match self.events >= super::BOUND {
            true => Bound::Events(super::BOUND),
            false => Bound::Kept(self.most_kept),
        };
        Problem {
            kind: ProblemKind::TooManyEvents(TooManyEvents {
                day: t / plan.world.day_ms().max(1) + 1,
                clock: Clock::at(t, plan.world.day_ms()),
                bound,
            }),
            weight: Weight::Error,
            parts: vec![],
            wires: vec![],
        }
    }
}

fn chatter(plan: &Plan, part: usize) -> Problem {
    let id = &plan.parts[part].id;
    Problem {
        kind: ProblemKind::Chatter(Chatter { part: id.clone() }),
        weight: Weight::Error,
        parts: vec![id.clone()],
        wires: vec![],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{HOUR_MS, STEP_MS};

    fn battery(giving: u64, taking: u64, output: bool) -> PartState {
        let hour = STEP_MS * Energy::from(HOUR_MS);
        PartState::Battery {
            level: hour * 10,
            capacity: hour * 40,
            cut_out: hour * 4,
            cut_in: hour * 8,
            output,
            full: false,
            taking,
            giving,
            slope: (Energy::from(taking) - Energy::from(giving)) * STEP_MS,
        }
    }

    #[test]
    fn a_battery_lasts_until_its_cut_out_at_what_is_drawn_now() {
        // 6 unit-hours above the cut-out at 2 units less 0: three hours.
        assert_eq!(battery(2, 0, true).lasts_until(HOUR_MS), Some(4 * HOUR_MS));
        assert_eq!(battery(3, 1, true).lasts_until(0), Some(3 * HOUR_MS));
        assert_eq!(battery(2, 2, true).lasts_until(0), None, "it loses nothing");
        assert_eq!(battery(0, 0, true).lasts_until(0), None, "nothing is drawn");
        assert_eq!(battery(2, 0, false).lasts_until(0), None, "it is off");
    }
}
