//! One instant: offers upstream first, takes downstream first. Powers in steps.
//!
//! [`Live`] keeps the last instant and, told which parts' controls changed, works out only what that can change; what
//! it finds changed is listed for the caller. Sums fit 64 bits by the table of limits.

use super::compile::{Net, Slot};
use super::skim::{NOWHERE, Skim};
use crate::book::Short;
use crate::plan::Spec;
use crate::quantity::STEP_MS;
use std::sync::Arc;

/// What an instant is worked out from, by part.
#[derive(Clone, Debug)]
pub struct Controls {
    /// What a source could give.
    pub available: Vec<u64>,
    /// Whether a battery's output is on.
    pub output: Vec<bool>,
    /// Whether a battery is full.
    pub full: Vec<bool>,
    /// Whether a contact conducts.
    pub conducts: Vec<bool>,
}

impl Controls {
    /// Everything dead, off and open.
    pub fn new(parts: usize) -> Controls {
        Controls {
            available: vec![0; parts],
            output: vec![false; parts],
            full: vec![false; parts],
            conducts: vec![false; parts],
        }
    }

    /// How many bytes they keep, about.
    pub fn bytes(&self) -> usize {
        8 * self.available.len() + self.output.len() + self.full.len() + self.conducts.len()
    }
}

/// An instant's offers and takes, kept from solve to solve.
#[derive(Clone, Debug)]
pub struct Live {
    /// The offer of each wire.
    pub offer: Vec<u64>,
    /// The take of each wire.
    pub take: Vec<u64>,
    /// Whether each load runs.
    pub runs: Vec<bool>,
    /// Contacts with a signal whose offer changed in the last solve; may name one twice.
    pub signalled: Vec<usize>,
    /// Loads that started or stopped in the last solve.
    pub turned: Vec<usize>,
    /// Whether each load is short: offered something, but less than it draws.
    pub short: Vec<bool>,
    /// Loads that became short, or are so no longer, in the last solve.
    pub shorted: Vec<usize>,
    /// Sources and batteries at whose wires a take changed in the last solve; may name one twice.
    pub drawn: Vec<usize>,
    down: Queue,
    back: Queue,
    /// What is passed over, where it is; shared, for it never changes.
    skim: Option<Arc<Skim>>,
}

/// Halves to work out, each once, by their place in the order: a set of small numbers from which the least is taken.
///
/// A bit a number, and a bit for each 64 of them that says whether there is any; almost always the least is near the one
/// taken before.
#[derive(Clone, Debug, Default)]
struct Queue {
    bits: Vec<u64>,
    any: Vec<u64>,
    /// No word of `any` before this one has a bit.
    low: usize,
    count: usize,
}

impl Queue {
    fn new(size: usize) -> Queue {
        let words = size.div_ceil(64);
        Queue {
            bits: vec![0; words],
            any: vec![0; words.div_ceil(64)],
            low: 0,
            count: 0,
        }
    }

    fn push(&mut self, key: usize) {
        let (word, bit) = (key / 64, 1u64 << (key % 64));
        if self.bits[word] & bit == 0 {
            self.bits[word] |= bit;
            self.any[word / 64] |= 1 << (word % 64);
            self.low = self.low.min(word / 64);
            self.count += 1;
        }
    }

    fn pop(&mut self) -> Option<usize> {
        if self.count == 0 {
            return None;
        }
        self.count -= 1;
        while self.any[self.low] == 0 {
            self.low += 1;
        }
        let word = self.low * 64 + self.any[self.low].trailing_zeros() as usize;
        let key = word * 64 + self.bits[word].trailing_zeros() as usize;
        self.bits[word] &= self.bits[word] - 1;
        if self.bits[word] == 0 {
            self.any[self.low] &= self.any[self.low] - 1;
        }
        Some(key)
    }
}

impl Live {
    /// Nothing offered, nothing taken, and everything to be worked out by the next [`Live::solve`].
    pub fn new(net: &Net) -> Live {
        let halves = net.order.len();
        let queue = || Queue::new(halves);
        let mut live = Live {
            offer: vec![0; net.wires.len()],
            take: vec![0; net.wires.len()],
            runs: vec![false; net.nodes.len()],
            signalled: Vec::new(),
            turned: Vec::new(),
            short: vec![false; net.nodes.len()],
            shorted: Vec::new(),
            drawn: Vec::new(),
            down: queue(),
            back: queue(),
            skim: None,
        };
        for at in 0..halves {
            live.down.push(at);
        }
        live
    }

    /// As [`Live::new`], for whoever asks only which loads run, what is offered at signals and what batteries take and
    /// give: other offers and takes may not be worked out.
    pub fn skimming(net: &Net) -> Live {
        let skim = Skim::of(net);
        let mut live = Live::new(net);
        live.down = Queue::new(net.order.len());
        for (place, half) in net.order.iter().enumerate() {
            if !skim.passed[*half] {
                live.down.push(place);
            }
        }
        live.skim = Some(Arc::new(skim));
        live
    }

    /// Whether nothing hangs on what a half takes.
    fn is_quiet(&self, half: usize) -> bool {
        self.skim.as_ref().is_some_and(|skim| skim.quiet[half])
    }

    /// How many bytes it keeps, about.
    pub fn bytes(&self) -> usize {
        let flags = self.runs.len() + self.short.len();
        let listed = [&self.signalled, &self.turned, &self.shorted, &self.drawn];
        let listed: usize = listed.iter().map(|list| list.len()).sum();
        let queued = self.down.bits.len() + self.back.bits.len();
        8 * (self.offer.len() + self.take.len() + listed + queued) + flags
    }

    /// Says that the controls of `part` changed.
    pub fn touch(&mut self, net: &Net, part: usize) {
        self.down.push(net.place[part]);
        if net.out_half[part] != part {
            self.down.push(net.place[net.out_half[part]]);
        }
    }

    /// Works out what the touched parts can change.
    pub fn solve(&mut self, net: &Net, controls: &Controls) {
        self.signalled.clear();
        self.turned.clear();
        self.shorted.clear();
        self.drawn.clear();
        let last = net.order.len().saturating_sub(1);
        while let Some(place) = self.down.pop() {
            let half = net.order[place];
            self.offers(net, controls, half);
            if !self.is_quiet(half) {
                self.back.push(last - place);
            }
        }
        while let Some(key) = self.back.pop() {
            self.takes(net, controls, net.order[last - key]);
        }
    }

    /// What a slot's wire is offered; an unwired port is offered nothing.
    pub fn offered(&self, slot: Slot) -> u64 {
        slot.map_or(0, |wire| self.offer[wire])
    }

    /// What a slot's wire takes; an unwired output takes nothing.
    pub fn taken(&self, slot: Slot) -> u64 {
        slot.map_or(0, |wire| self.take[wire])
    }

    fn set_offer(&mut self, net: &Net, slot: Slot, value: u64) {
        let Some(wire) = slot else { return };
        let value = if net.wires[wire].closed { 0 } else { value };
        let was = std::mem::replace(&mut self.offer[wire], value);
        if was == value {
            return;
        }
        match self.skim.as_ref().map_or(wire, |skim| skim.far[wire]) {
            NOWHERE => {}
            far if far == wire => self.offer_changed(net, wire),
            far => {
                // What only adds is passed over: as much more or less comes at its far end.
                self.offer[far] = (self.offer[far] + value).saturating_sub(was);
                self.offer_changed(net, far);
            }
        }
    }

    /// A wire's offer is another than before.
    fn offer_changed(&mut self, net: &Net, wire: usize) {
        let ends = net.wires[wire];
        if !ends.signal {
            return self.down.push(net.place[ends.to]);
        }
        let value = self.offer[wire];
        self.signalled.push(ends.to);
        let coil = match net.nodes[ends.to].spec {
            Some(Spec::Contact { coil, .. }) if value >= coil => coil,
            _ => 0,
        };
        self.set_take(net, Some(wire), coil);
    }

    fn set_take(&mut self, net: &Net, slot: Slot, value: u64) {
        let Some(wire) = slot else { return };
        let ends = net.wires[wire];
        let value = if ends.closed { 0 } else { value };
        if std::mem::replace(&mut self.take[wire], value) == value {
            return;
        }
        let is_quiet = self.is_quiet(ends.from);
        if !is_quiet {
            let last = net.order.len() - 1;
            self.back.push(last - net.place[ends.from]);
        }
        if ends.from_draws && !is_quiet {
            self.drawn.push(net.part_of[ends.from]);
        }
        if ends.to_draws {
            self.drawn.push(ends.to);
        }
    }

    /// Offers of one half's outputs.
    fn offers(&mut self, net: &Net, controls: &Controls, half: usize) {
        let part = net.part_of[half];
        let node = &net.nodes[part];
        let Some(spec) = &node.spec else { return };
        let first = node.ins.first().copied().flatten();
        let offered = self.offered(first);
        match *spec {
            Spec::Source { .. } => self.set_offer(net, node.outs[0], controls.available[part]),
            Spec::Battery { max_out, .. } => {
                if half != part {
                    self.set_offer(
                        net,
                        node.outs[0],
                        if controls.output[part] { max_out } else { 0 },
                    );
                }
            }
            Spec::Load { draw, short } => {
                let runs = offered >= draw;
                if std::mem::replace(&mut self.runs[part], runs) != runs {
                    self.turned.push(part);
                }
                let lacks = !runs && offered > 0;
                if std::mem::replace(&mut self.short[part], lacks) != lacks {
                    self.shorted.push(part);
                }
                let left = match (runs, short) {
                    (true, _) => offered - draw,
                    (false, Short::Pass) => offered,
                    (false, _) => 0,
                };
                self.set_offer(net, node.outs[0], left);
            }
            Spec::Tap(amount) => {
                let aside = if node.outs[0].is_some() {
                    amount.min(offered)
                } else {
                    0
                };
                self.set_offer(net, node.outs[0], aside);
                self.set_offer(net, node.outs[1], offered - aside);
            }
            Spec::Divider(_) => {
                let wired = node.outs.iter().flatten().count() as u64;
                for (at, slot) in node.outs.iter().filter(|s| s.is_some()).enumerate() {
                    let more = u64::from((at as u64) < offered % wired);
                    self.set_offer(net, *slot, offered / wired + more);
                }
            }
            Spec::Busbar(_) => {
                let sum = node.ins.iter().map(|s| self.offered(*s)).sum();
                self.set_offer(net, node.outs[0], sum);
            }
            Spec::Changeover(least) => {
                let value = if offered >= least {
                    offered
                } else {
                    self.offered(node.ins[1])
                };
                self.set_offer(net, node.outs[0], value);
            }
            Spec::Meter => self.set_offer(net, node.outs[0], offered),
            Spec::Contact { .. } => {
                self.set_offer(
                    net,
                    node.outs[0],
                    if controls.conducts[part] { offered } else { 0 },
                );
            }
        }
    }

    /// Takes of one half's inputs.
    fn takes(&mut self, net: &Net, controls: &Controls, half: usize) {
        let part = net.part_of[half];
        let node = &net.nodes[part];
        let Some(spec) = &node.spec else { return };
        let offered = self.offered(node.ins.first().copied().flatten());
        let out = self.taken(node.outs.first().copied().flatten());
        match *spec {
            Spec::Source { .. } => {}
            Spec::Battery {
                max_in, efficiency, ..
            } => {
                if half != part {
                    // What it gives may change what holds it full.
                    if controls.full[part] && !node.feeds_itself {
                        self.back.push(net.order.len() - 1 - net.place[part]);
                    }
                    return;
                }
                let most = offered.min(max_in);
                let value = if controls.full[part] && !node.feeds_itself {
                    let holds =
                        (u128::from(out) * STEP_MS as u128).div_ceil(u128::from(efficiency));
                    most.min(u64::try_from(holds).unwrap_or(u64::MAX))
                } else {
                    most
                };
                self.set_take(net, node.ins[0], value);
            }
            Spec::Load { draw, short } => {
                let own = match (self.runs[part], short) {
                    (true, _) => draw,
                    (false, Short::Waste) => offered,
                    (false, _) => 0,
                };
                self.set_take(net, node.ins[0], own + out);
            }
            Spec::Tap(_) | Spec::Divider(_) | Spec::Meter => {
                let sum = node.outs.iter().map(|s| self.taken(*s)).sum();
                self.set_take(net, node.ins[0], sum);
            }
            Spec::Busbar(_) => {
                let mut left = out;
                for slot in &node.ins {
                    let share = left.min(self.offered(*slot));
                    left -= share;
                    self.set_take(net, *slot, share);
                }
            }
            Spec::Changeover(least) => {
                let main = offered >= least;
                self.set_take(net, node.ins[0], if main { out } else { 0 });
                self.set_take(net, node.ins[1], if main { 0 } else { out });
            }
            Spec::Contact { .. } => self.set_take(
                net,
                node.ins[0],
                if controls.conducts[part] { out } else { 0 },
            ),
        }
    }
}
