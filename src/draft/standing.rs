//! What stands already where a plan is to be completed: its loads that are wanted, its ports that are free, and where what
//! is missing can come in. Nothing of it is ever changed; parts and wires are only added.
//!
//! A want whose duty is broken and whose input is free is led to. One whose input is wired can only be helped by the inputs
//! that are free ahead of it: a busbar's, a changeover's side, the head of its line.

use super::order::DraftOrder;
use crate::book::{Behaviour, Side};
use crate::plan::{Duty, End, Part, PartId, Plan};
use crate::proof::check;
use serde_json::Map;
use std::collections::BTreeSet;

/// How many free inputs ahead of one want are tried.
const AHEAD: usize = 3;
/// How many choices of them are tried.
const CHOICES: usize = 12;

/// What stands.
#[derive(Clone, Debug)]
pub(super) struct Standing {
    /// The plan with the wanted loads that it lacked. Its first duties are those wanted.
    pub plan: Plan,
    /// The load of each want.
    pub loads: Vec<PartId>,
    /// Whether the load of each want is one that the plan lacked.
    pub is_new: Vec<bool>,
    /// Outputs that nothing hangs on.
    pub outs: Vec<End>,
    /// Free inputs at which a line may end, with what hangs on each in steps.
    pub heads: Vec<(End, u64)>,
    /// The wants that are led to; the head where the line ends at one, because its loop is wired.
    pub direct: Vec<(usize, Option<usize>)>,
    /// Which heads are to be fed, too: each a way to help all wants that can't be led to.
    pub choices: Vec<Vec<usize>>,
}

impl Standing {
    /// What of `plan` stands for an order.
    pub fn of(order: &DraftOrder, plan: &Plan) -> Standing {
        let mut standing = with_loads(order, plan);
        standing.outs = standing.free(Side::Out);
        let with_duty = (0..order.wants.len()).filter(|at| order.wants[*at].duty.is_some());
        let verdicts = check(&standing.plan).duties;
        let mut missing: Vec<usize> = (with_duty.clone().zip(&verdicts))
            .filter(|(_, verdict)| !verdict.kept)
            .map(|(want, _)| want)
            .collect();
        if missing.is_empty() {
            // Every duty is kept; more is asked.
            missing = with_duty.collect();
        }
        standing.find_heads(&missing);
        standing
    }

    /// Whether the part of a want stood already.
    pub fn stood(&self, want: usize) -> bool {
        self.is_new.get(want).is_some_and(|is_new| !is_new)
    }

    /// The ports on a side that no wire is at.
    fn free(&self, side: Side) -> Vec<End> {
        let parts = self.plan.parts.iter();
        parts.flat_map(|part| self.free_of(part, side)).collect()
    }

    fn free_of(&self, part: &Part, side: Side) -> Vec<End> {
        let ports = self.plan.kind_of(part).map(|kind| kind.ports());
        let own = ports.unwrap_or_default().into_iter();
        let ends = own
            .filter(|port| port.side == side)
            .map(|port| End::new(&part.id, &port.name));
        let is_wired = |end: &End| {
            self.plan
                .wires
                .iter()
                .any(|w| w.from == *end || w.to == *end)
        };
        ends.filter(|end| !is_wired(end)).collect()
    }

    fn find_heads(&mut self, missing: &[usize]) {
        let free: BTreeSet<PartId> = (self.free(Side::In).into_iter())
            .map(|end| end.part)
            .collect();
        let (open, wired): (Vec<usize>, Vec<usize>) =
            (missing.iter()).partition(|want| free.contains(&self.loads[**want]));
        for want in open {
            let load = self.loads[want].clone();
            let goes_on = self.outs.contains(&End::new(&load, "loop"));
            let head = (!goes_on).then(|| self.head(End::new(&load, "in")));
            self.direct.push((want, head));
        }
        let led: BTreeSet<PartId> = (self.direct.iter())
            .map(|(want, _)| self.loads[*want].clone())
            .collect();
        // What is led to brings its loop to the loads on it.
        let mut choices: Vec<BTreeSet<usize>> = vec![BTreeSet::new()];
        for want in wired {
            let (ends, is_led) = self.ahead(&self.loads[want], &led);
            let heads: Vec<usize> = ends.into_iter().map(|end| self.head(end)).collect();
            let with = |chosen: &BTreeSet<usize>| {
                let each = heads.iter().map(|head| {
                    let mut more = chosen.clone();
                    more.insert(*head);
                    more
                });
                let as_is = (is_led || heads.is_empty()).then(|| chosen.clone());
                as_is.into_iter().chain(each).collect::<Vec<_>>()
            };
            choices = choices.iter().flat_map(with).collect();
            choices.sort_by_key(|heads| (heads.len(), heads.clone()));
            choices.dedup();
            choices.truncate(CHOICES);
        }
        let choices = choices.into_iter().map(|heads| heads.into_iter().collect());
        self.choices = choices.collect();
    }

    fn head(&mut self, end: End) -> usize {
        let known = self.heads.iter().position(|(head, _)| *head == end);
        known.unwrap_or_else(|| {
            let draw = self.behind(&end.part);
            self.heads.push((end, draw));
            self.heads.len() - 1
        })
    }

    /// The free inputs ahead of a part, the nearest first, and whether a part that is led to is among those ahead.
    fn ahead(&self, part: &PartId, led: &BTreeSet<PartId>) -> (Vec<End>, bool) {
        let (mut found, mut is_led) = (Vec::new(), false);
        let mut seen = vec![part.clone()];
        let mut at = 0;
        while let Some(id) = seen.get(at).cloned() {
            at += 1;
            match self.plan.part(&id) {
                _ if led.contains(&id) => is_led = true,
                Some(part) => found.extend(self.free_of(part, Side::In)),
                None => {}
            }
            for wire in self.plan.wires.iter().filter(|wire| wire.to.part == id) {
                if self.is_feed(&wire.to) && !seen.contains(&wire.from.part) {
                    seen.push(wire.from.part.clone());
                }
            }
        }
        found.truncate(AHEAD);
        (found, is_led)
    }

    fn is_feed(&self, end: &End) -> bool {
        let kind = self.plan.part(&end.part).and_then(|p| self.plan.kind_of(p));
        let port = kind.and_then(|kind| kind.port(&end.port));
        port.is_some_and(|port| port.side == Side::In)
    }

    /// What the loads draw together that a part leads to, itself included.
    fn behind(&self, part: &PartId) -> u64 {
        let (mut seen, mut draws, mut at) = (vec![part.clone()], 0u64, 0);
        while let Some(id) = seen.get(at).cloned() {
            at += 1;
            let part = self.plan.part(&id);
            let kind = part.and_then(|part| self.plan.kind_of(part));
            if let (Some(part), Some(Behaviour::Load { draw, .. })) =
                (part, kind.map(|kind| &kind.behaviour))
            {
                draws = draws.saturating_add(draw.saturating_mul(part.count));
            }
            for wire in self.plan.wires.iter().filter(|wire| wire.from.part == id) {
                if self.is_feed(&wire.to) && !seen.contains(&wire.to.part) {
                    seen.push(wire.to.part.clone());
                }
            }
        }
        draws
    }
}

/// The plan with the loads that it lacks, and each want's load. A want is the first load of its type, name and count.
fn with_loads(order: &DraftOrder, plan: &Plan) -> Standing {
    let mut standing = Standing {
        plan: plan.clone(),
        loads: Vec::new(),
        is_new: Vec::new(),
        outs: Vec::new(),
        heads: Vec::new(),
        direct: Vec::new(),
        choices: Vec::new(),
    };
    let own: BTreeSet<&PartId> = plan.duties.iter().map(|duty| &duty.part).collect();
    let mut duties: Vec<Duty> = Vec::new();
    let mut others: Vec<Duty> = plan.duties.clone();
    for want in &order.wants {
        let fits = |part: &&Part| {
            let same = (&part.kind, &part.name, part.count) == (&want.kind, &want.name, want.count);
            same && !standing.loads.contains(&part.id)
        };
        let with_duty = plan.parts.iter().filter(fits).find(|p| own.contains(&p.id));
        let known = with_duty.or_else(|| plan.parts.iter().find(fits));
        let known = known.map(|part| part.id.clone());
        standing.is_new.push(known.is_none());
        let id = known.unwrap_or_else(|| {
            let id = standing.plan.new_part_id();
            let mut part = Part::new(id.clone(), &want.kind, (0.0, 0.0));
            part.at = None;
            part.name = want.name.clone();
            part.count = want.count;
            standing.plan.parts.push(part);
            id
        });
        let first = others.iter().position(|duty| duty.part == id);
        let extra = first.map_or_else(Map::new, |at| others.remove(at).extra);
        duties.extend(want.duty.map(|duty| Duty {
            part: id.clone(),
            when: duty.when,
            only: duty.only,
            grace_s: duty.grace_s,
            extra,
        }));
        standing.loads.push(id);
    }
    duties.extend(others);
    standing.plan.duties = duties;
    standing
}
