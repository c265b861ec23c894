//! Where more of something is proven to be no worse, for the plan at hand.
//!
//! More is not always better: a load that runs only with the second battery may empty both, a changeover may go to the
//! weaker side, a relay on a panel may let go later. So nothing is taken for granted. Let `A` and `B` be a plan with
//! different counts. These are proven, by induction from one millisecond to the next:
//!
//! 1. **A battery's count.** Let all loads and signals that its output leads to be *saturated* at a count `n`: whatever
//!    way is open, each gets at least what it needs, even if the battery alone feeds it. Let there be no busbar and no
//!    battery behind its output, no battery ahead of its input, no contact that watches it, and let it not feed itself.
//!    Then, with a count of `n` or more in both plans and more of it in `B`, loads and contacts do the same in both until
//!    its output first goes off in `A`: a wire that it feeds either is dead in both or gives enough in both. Up to then it
//!    gives the same and takes no less, has no less above its cut-out, and so its output is still on in `B`.
//! 2. **A source's count.** Let what it gives reach, through busbars, taps, dividers, meters and contacts, only inputs of
//!    such batteries, and signals that take one step and are live exactly while it gives anything. Then the same holds
//!    until an output of one of those batteries first goes off in `A`.
//! 3. **An output that goes off stays off** for as long as its bank needs, at the most it can take, from cut-out to
//!    cut-in. If in that time a duty applies for longer than its grace to a load that only this battery feeds, then the
//!    duty is broken. Instants at which that is so are *covered*.
//!
//! It follows: if `B` breaks a duty at `t`, and every instant at which an output may first go off in `A` before `t` is
//! covered, then `A` breaks a duty. Either it does as `B` does up to `t`, or an output goes off at a covered instant.

use super::cover::Cover;
use crate::net::{Net, Node};
use crate::plan::{Function, Plan, Spec};
use crate::quantity::{Energy, Ms, STEP_MS};
use crate::run::Clockwork;
use std::collections::BTreeSet;

/// The most wires that a proof goes along; a plan with more ways than this counts as not proven.
const WAYS: usize = 20_000;

/// What is proven of a plan's banks.
#[derive(Clone, Debug, Default)]
pub(super) struct Proven {
    /// For each bank, in the order given: the count from which on more of it is no worse.
    pub from: Vec<Option<u64>>,
    /// The batteries, by their places, whose outputs decide that.
    pub batteries: Vec<usize>,
    /// What is certain to be broken when one of their outputs goes off.
    pub cover: Vec<Cover>,
    /// What the batteries covered at every instant must give for ever.
    pub needs: Vec<Need>,
}

/// A battery whose output must never go off, and what it then gives without a pause.
#[derive(Clone, Debug)]
pub(super) struct Need {
    /// Its place.
    pub battery: usize,
    /// The count from which on that holds.
    pub from: u64,
    /// Steps.
    pub steps: u64,
    /// Per mille of what it takes in that is stored.
    pub efficiency: u64,
    /// The sources that reach it, by their places.
    pub sources: Vec<usize>,
}

/// Proves what can be proven for `banks`, places of sources and batteries.
pub(super) fn prove(plan: &Plan, banks: &[usize]) -> Proven {
    let net = Net::compile(plan);
    let look = Look { plan, net: &net };
    let mut proven = Proven::default();
    let mut batteries = BTreeSet::new();
    for bank in banks {
        let from = match look.spec(*bank) {
            Some(Spec::Battery { .. }) => look.battery(*bank).inspect(|_| {
                batteries.insert(*bank);
            }),
            Some(Spec::Source { .. }) => look.source(*bank).map(|reached| {
                batteries.extend(reached);
                1
            }),
            _ => None,
        };
        proven.from.push(from);
    }
    proven.batteries = batteries.into_iter().collect();
    proven.cover = proven.batteries.iter().map(|b| look.cover(*b)).collect();
    for (bank, from) in banks.iter().zip(&proven.from) {
        let place = proven.batteries.iter().position(|b| b == bank);
        if let (Some(from), Some(at)) = (*from, place)
            && proven.cover[at].always()
        {
            let need = look.need(*bank);
            proven.needs.extend(need.map(|n| Need { from, ..n }));
        }
    }
    proven
}

/// Up to how many steps less a battery's output, at the count it has, still saturates all it leads to, where the rest of
/// what (1) asks for holds too.
pub(super) fn spare(plan: &Plan, battery: usize) -> Option<u64> {
    let net = Net::compile(plan);
    let look = Look { plan, net: &net };
    let Some(Spec::Battery { max_out, .. }) = look.spec(battery) else {
        return None;
    };
    let enough = |steps: u64| look.saturated(battery, *max_out - steps);
    if !look.stands_alone(battery) || !enough(0) {
        return None;
    }
    let (mut low, mut high) = (0, *max_out);
    while low < high {
        let middle = low + (high - low).div_ceil(2);
        if enough(middle) {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    Some(low)
}

/// Whether an output of `battery` that goes off breaks a duty at whatever instant.
pub(super) fn covered_always(plan: &Plan, battery: usize) -> bool {
    let net = Net::compile(plan);
    Look { plan, net: &net }.cover(battery).always()
}

impl Proven {
    /// Whether every instant from `from` to `to`, both included, is covered for each of the batteries.
    pub fn covered(&self, from: Ms, to: Ms, day: Ms) -> bool {
        self.cover.iter().all(|c| c.covers(from, to, day))
    }
}

/// A plan with its net, looked at for proofs.
struct Look<'a> {
    plan: &'a Plan,
    net: &'a Net,
}

impl Look<'_> {
    fn spec(&self, part: usize) -> Option<&Spec> {
        self.net.nodes[part].spec.as_ref()
    }

    fn node(&self, part: usize) -> &Node {
        &self.net.nodes[part]
    }

    /// The sources and batteries from which something may come to `part`'s inputs.
    fn feeders(&self, part: usize) -> BTreeSet<usize> {
        let mut seen = BTreeSet::from([part]);
        let mut found = BTreeSet::new();
        let mut todo = vec![part];
        while let Some(at) = todo.pop() {
            for wire in self.node(at).ins.iter().flatten() {
                let ends = self.net.wires[*wire];
                let from = self.net.part_of[ends.from];
                if ends.closed {
                    continue;
                }
                match self.spec(from) {
                    Some(Spec::Source { .. } | Spec::Battery { .. }) => {
                        found.insert(from);
                    }
                    _ if seen.insert(from) => todo.push(from),
                    _ => {}
                }
            }
        }
        found
    }

    fn fed_by_battery(&self, part: usize) -> bool {
        self.feeders(part)
            .iter()
            .any(|at| matches!(self.spec(*at), Some(Spec::Battery { .. })))
    }

    fn watched(&self, battery: usize) -> bool {
        let id = self.plan.parts[battery].id.as_str();
        self.net.nodes.iter().any(|n| {
            matches!(&n.spec, Some(Spec::Contact { function: Function::Charge { watches, .. }, .. }) if watches == id)
        })
    }

    /// What (1) asks of a battery but for saturation, and (2) of a battery that a source reaches.
    fn stands_alone(&self, battery: usize) -> bool {
        !self.node(battery).feeds_itself && !self.watched(battery) && !self.fed_by_battery(battery)
    }

    /// The count from which on (1) holds.
    fn battery(&self, battery: usize) -> Option<u64> {
        let Some(Spec::Battery { max_out, .. }) = self.spec(battery) else {
            return None;
        };
        let one = max_out / self.plan.parts[battery].count.max(1);
        let enough = |count: u64| self.saturated(battery, one.saturating_mul(count));
        if !self.stands_alone(battery) || !enough(crate::limits::COUNT) {
            return None;
        }
        let (mut low, mut high) = (1, crate::limits::COUNT);
        while low < high {
            let middle = low + (high - low) / 2;
            if enough(middle) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        Some(low)
    }

    /// Whether `steps` at a battery's output are enough for everything that it leads to, and nothing behind it shares
    /// or stores.
    fn saturated(&self, battery: usize, steps: u64) -> bool {
        let mut todo = vec![(self.node(battery).outs[0], steps)];
        let mut ways = 0;
        while let Some((slot, steps)) = todo.pop() {
            let Some(wire) = slot else { continue };
            let ends = self.net.wires[wire];
            if ends.closed {
                continue;
            }
            ways += 1;
            let node = self.node(self.net.part_of[ends.to]);
            if ways > WAYS {
                return false;
            }
            match (&node.spec, ends.signal) {
                (Some(Spec::Contact { coil, .. }), true) => {
                    if steps < *coil {
                        return false;
                    }
                }
                (Some(Spec::Contact { .. } | Spec::Meter), false) => {
                    todo.push((node.outs[0], steps));
                }
                (Some(Spec::Load { draw, .. }), _) if steps >= *draw => {
                    todo.push((node.outs[0], steps - draw));
                }
                (Some(Spec::Tap(amount)), _) => {
                    let aside = if node.outs[0].is_some() {
                        steps.min(*amount)
                    } else {
                        0
                    };
                    todo.push((node.outs[0], aside));
                    todo.push((node.outs[1], steps - aside));
                }
                (Some(Spec::Divider(_)), _) => {
                    let wired = node.outs.iter().flatten().count() as u64;
                    for (at, slot) in node.outs.iter().filter(|s| s.is_some()).enumerate() {
                        let more = u64::from((at as u64) < steps % wired);
                        todo.push((*slot, steps / wired + more));
                    }
                }
                (Some(Spec::Changeover(least)), _) => {
                    if node.ins[0] == Some(wire) && steps < *least {
                        return false;
                    }
                    todo.push((node.outs[0], steps));
                }
                _ => return false,
            }
        }
        true
    }

    /// The batteries that a source reaches, where (2) holds for it.
    fn source(&self, source: usize) -> Option<Vec<usize>> {
        let mut todo = vec![(self.node(source).outs[0], true)];
        let mut seen = BTreeSet::new();
        let mut reached = BTreeSet::new();
        while let Some((slot, positive)) = todo.pop() {
            let Some(wire) = slot else { continue };
            let ends = self.net.wires[wire];
            if ends.closed || !seen.insert((wire, positive)) {
                continue;
            }
            let part = self.net.part_of[ends.to];
            let node = self.node(part);
            match (&node.spec, ends.signal) {
                (Some(Spec::Contact { coil, .. }), true) => {
                    if !positive || *coil != 1 {
                        return None;
                    }
                }
                (Some(Spec::Contact { .. } | Spec::Meter), false) => {
                    todo.push((node.outs[0], positive));
                }
                (Some(Spec::Busbar(_)), _) => {
                    // From which of its inputs a busbar takes hangs on what each is offered.
                    if self.fed_by_battery(part) {
                        return None;
                    }
                    todo.push((node.outs[0], positive));
                }
                (Some(Spec::Tap(amount)), _) => {
                    let sets_aside = node.outs[0].is_some() && *amount > 0;
                    todo.push((node.outs[0], positive));
                    todo.push((node.outs[1], positive && !sets_aside));
                }
                (Some(Spec::Divider(_)), _) => {
                    for (at, slot) in node.outs.iter().filter(|s| s.is_some()).enumerate() {
                        todo.push((*slot, positive && at == 0));
                    }
                }
                (Some(Spec::Battery { .. }), _) if self.stands_alone(part) => {
                    reached.insert(part);
                }
                _ => return None,
            }
        }
        Some(reached.into_iter().collect())
    }

    fn cover(&self, battery: usize) -> Cover {
        let stays = match self.spec(battery) {
            Some(Spec::Battery {
                max_in,
                efficiency,
                cut_out,
                cut_in,
                ..
            }) => {
                let rate = Energy::from(*max_in) * Energy::from(*efficiency);
                let way = (cut_in - cut_out).max(0);
                Ms::try_from((way + rate - 1) / rate.max(1)).unwrap_or(Ms::MAX / 4)
            }
            _ => 0,
        };
        let sky = self.plan.world.sky();
        let own = |duty: &&crate::plan::Duty| {
            let load = self.plan.parts.iter().position(|p| p.id == duty.part);
            load.is_some_and(|load| {
                matches!(self.spec(load), Some(Spec::Load { .. }))
                    && self.feeders(load) == BTreeSet::from([battery])
            })
        };
        let duties = self.plan.duties.iter().filter(own);
        Cover {
            stays: stays.min(Ms::MAX / 4),
            duties: duties
                .map(|d| {
                    (
                        Clockwork::of_duty(d.when, &self.plan.world, &sky),
                        d.grace_ms(),
                    )
                })
                .collect(),
        }
    }

    /// What a saturating battery gives without a pause while its output is on.
    fn need(&self, battery: usize) -> Option<Need> {
        let Some(Spec::Battery { efficiency, .. }) = self.spec(battery) else {
            return None;
        };
        let feeders = self.feeders(battery);
        let is_source = |at: &usize| matches!(self.spec(*at), Some(Spec::Source { .. }));
        Some(Need {
            battery,
            from: 1,
            steps: self.unconditional(battery),
            efficiency: *efficiency,
            sources: feeders.into_iter().filter(is_source).collect(),
        })
    }

    /// The draws of the loads behind no contact and no changeover.
    fn unconditional(&self, battery: usize) -> u64 {
        let mut todo = vec![self.node(battery).outs[0]];
        let mut sum = 0u64;
        let mut seen = BTreeSet::new();
        while let Some(slot) = todo.pop() {
            let Some(wire) = slot else { continue };
            let ends = self.net.wires[wire];
            if ends.closed || ends.signal || !seen.insert(wire) {
                continue;
            }
            let node = self.node(self.net.part_of[ends.to]);
            match &node.spec {
                Some(Spec::Load { draw, .. }) => {
                    sum = sum.saturating_add(*draw);
                    todo.push(node.outs[0]);
                }
                Some(Spec::Tap(_) | Spec::Divider(_) | Spec::Meter) => {
                    todo.extend(node.outs.iter().copied());
                }
                _ => {}
            }
        }
        sum
    }
}

impl Need {
    /// Whether the sources can't keep it up, whatever the batteries hold: `given` is what they have to give over `time`,
    /// in [`Energy`].
    pub fn short(&self, given: Energy, time: Ms) -> bool {
        let stored = given / STEP_MS * Energy::from(self.efficiency);
        stored < Energy::from(self.steps) * STEP_MS * Energy::from(time)
    }
}
