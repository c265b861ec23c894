//! One instant: what every wire offers and what is taken through it, all in whole steps.
//!
//! Each number is asked for by name and works out what it depends on, downwards from the wire: the plain recursion that
//! the rules' two passes unroll. Knows nothing of time.

use super::model::{Battery, End, Kind, Model, Short};

/// What an instant depends on, all indexed by part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conditions {
    /// What a source has, its whole bank.
    pub available: Vec<i64>,
    /// Whether a battery's output is on.
    pub output: Vec<bool>,
    /// Whether a battery is full.
    pub full: Vec<bool>,
    /// Whether a contact conducts.
    pub conducts: Vec<bool>,
}

/// What a solved instant says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solved {
    /// By wire.
    pub offers: Vec<i64>,
    /// By wire.
    pub takes: Vec<i64>,
    /// By part: whether it is a load that runs.
    pub runs: Vec<bool>,
}

/// The plan's shape, as far as an instant needs it.
pub struct Net {
    /// The parts and wires.
    pub model: Model,
    /// By wire: on a closed loop.
    pub closed: Vec<bool>,
    /// By part: a battery that feeds itself.
    pub feeds_itself: Vec<bool>,
}

/// Solves one instant in full.
pub fn solve(net: &Net, now: &Conditions) -> Solved {
    let wires = net.model.wires.len();
    let mut solver = Solver {
        net,
        now,
        offers: vec![None; wires],
        takes: vec![None; wires],
    };
    Solved {
        offers: (0..wires).map(|wire| solver.offer(wire)).collect(),
        takes: (0..wires).map(|wire| solver.take(wire)).collect(),
        runs: (0..net.model.parts.len())
            .map(|part| solver.runs(part))
            .collect(),
    }
}

struct Solver<'a> {
    net: &'a Net,
    now: &'a Conditions,
    offers: Vec<Option<i64>>,
    takes: Vec<Option<i64>>,
}

impl<'a> Solver<'a> {
    fn part(&self, part: usize) -> &'a super::model::Part {
        &self.net.model.parts[part]
    }

    fn offer(&mut self, wire: usize) -> i64 {
        if self.net.closed[wire] {
            return 0;
        }
        if let Some(known) = self.offers[wire] {
            return known;
        }
        let offer = self.offer_at_output(self.net.model.wires[wire].from);
        self.offers[wire] = Some(offer);
        offer
    }

    /// What an input port is offered; 0 where no wire ends.
    fn offered(&mut self, part: usize, port: usize) -> i64 {
        self.part(part).inputs[port].map_or(0, |wire| self.offer(wire))
    }

    fn runs(&mut self, part: usize) -> bool {
        match self.part(part).kind {
            Kind::Load { draw, .. } => self.offered(part, 0) >= draw,
            _ => false,
        }
    }

    fn offer_at_output(&mut self, End { part, port }: End) -> i64 {
        match &self.part(part).kind {
            Kind::Source { .. } => self.now.available[part],
            Kind::Battery(battery) => {
                if self.now.output[part] {
                    battery.max_out
                } else {
                    0
                }
            }
            Kind::Load { draw, short } => {
                let offered = self.offered(part, 0);
                if offered >= *draw {
                    offered - draw
                } else if *short == Short::Pass {
                    offered
                } else {
                    0
                }
            }
            Kind::Tap { amount } => {
                let offered = self.offered(part, 0);
                let wired = self.part(part).outputs[0].is_some();
                let tapped = if wired { offered.min(*amount) } else { 0 };
                if port == 0 { tapped } else { offered - tapped }
            }
            Kind::Divider => {
                let offered = self.offered(part, 0);
                let outputs = &self.part(part).outputs;
                let wired = outputs.iter().flatten().count() as i64;
                let before = outputs[..port].iter().flatten().count() as i64;
                offered / wired + i64::from(before < offered % wired)
            }
            Kind::Busbar => (0..self.part(part).inputs.len())
                .map(|port| self.offered(part, port))
                .sum(),
            Kind::Changeover { .. } => {
                let side = self.side(part);
                self.offered(part, side)
            }
            Kind::Meter => self.offered(part, 0),
            Kind::Contact { .. } => {
                if self.now.conducts[part] {
                    self.offered(part, 0)
                } else {
                    0
                }
            }
        }
    }

    /// The input that a changeover uses: 0 for `main`, 1 for `backup`.
    fn side(&mut self, part: usize) -> usize {
        match self.part(part).kind {
            Kind::Changeover { least } => usize::from(self.offered(part, 0) < least),
            _ => unreachable!("only a changeover has sides"),
        }
    }

    fn take(&mut self, wire: usize) -> i64 {
        if self.net.closed[wire] {
            return 0;
        }
        if let Some(known) = self.takes[wire] {
            return known;
        }
        let to = self.net.model.wires[wire].to;
        let offer = self.offer(wire);
        let take = self.take_at_input(to, offer);
        self.takes[wire] = Some(take);
        take
    }

    /// What is taken from all of a part's outputs.
    fn taken(&mut self, part: usize) -> i64 {
        let outputs = &self.part(part).outputs;
        outputs.iter().flatten().map(|wire| self.take(*wire)).sum()
    }

    fn take_at_input(&mut self, End { part, port }: End, offer: i64) -> i64 {
        match &self.part(part).kind {
            Kind::Source { .. } => unreachable!("a source has no input"),
            Kind::Battery(battery) => self.take_of_battery(part, battery, offer),
            Kind::Load { draw, short } => {
                let own = if offer >= *draw {
                    *draw
                } else if *short == Short::Waste {
                    offer
                } else {
                    0
                };
                own + self.taken(part)
            }
            Kind::Tap { .. } | Kind::Divider | Kind::Meter => self.taken(part),
            Kind::Busbar => {
                let before: i64 = (0..port).map(|port| self.offered(part, port)).sum();
                (self.taken(part) - before).clamp(0, offer)
            }
            Kind::Changeover { .. } => {
                if self.side(part) == port {
                    self.taken(part)
                } else {
                    0
                }
            }
            Kind::Contact { coil, .. } if port > 0 => {
                if offer >= *coil {
                    *coil
                } else {
                    0
                }
            }
            Kind::Contact { .. } => {
                if self.now.conducts[part] {
                    self.taken(part)
                } else {
                    0
                }
            }
        }
    }

    fn take_of_battery(&mut self, part: usize, battery: &Battery, offer: i64) -> i64 {
        let open = offer.min(battery.max_in);
        if !self.now.full[part] || self.net.feeds_itself[part] {
            return open;
        }
        let holds = 1000 * self.taken(part);
        open.min((holds + battery.efficiency - 1) / battery.efficiency)
    }
}
