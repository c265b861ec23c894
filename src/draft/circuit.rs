//! A circuit: a branching with a supply for each of its feeds, in numbers; what it is built of, and the plan that it is.
//!
//! The plan's first parts are the wants, in the order's order. Nothing is laid out: whoever shows the plan does that.

use super::allowed::{Allowed, Tally, add};
use super::branching::{Branching, Item, Line, Splitter, contacts_on, needs};
use super::demand::Demand;
use super::gates::{CoilFrom, Gate, GateContact};
use super::order::DraftOrder;
use super::sources::SourceChoice;
use super::standing::Standing;
use super::supplies::SupplyForm;
use crate::book::Profile;
use crate::plan::{Duty, End, Part, PartId, Plan, Reach, Wire};
use serde_json::{Map, Value};

/// What circuits are made of.
#[derive(Clone, Copy)]
pub(super) struct Pieces<'a> {
    pub order: &'a DraftOrder,
    pub allowed: &'a Allowed,
    pub gates: &'a [Gate],
    pub choices: &'a [SourceChoice],
    pub forms: &'a [SupplyForm],
    pub demand: &'a Demand,
    /// What stands and is completed.
    pub standing: Option<&'a Standing>,
}

/// A feed: the form of its supply, and the counts of it.
pub(super) type Feed = (usize, Vec<u64>);

impl Pieces<'_> {
    /// The parts that a branching takes, beside the wants and the supplies; none where something for it is not to be had.
    pub fn tally_of(&self, branching: &Branching) -> Option<Tally> {
        let mut tally = Tally::new();
        for line in &branching.lines {
            self.count(line, branching, &mut tally)?;
        }
        // One busbar ahead of each want that is fed twice.
        let joined = branching.lines.first().map_or(0, joins);
        if joined > 0 {
            tally.insert(self.joiner()?, joined);
        }
        Some(tally)
    }

    fn count(&self, line: &Line, branching: &Branching, tally: &mut Tally) -> Option<()> {
        for item in line {
            let (kinds, ways): (Vec<usize>, &[Line]) = match item {
                Item::Load(_) | Item::Join(_) | Item::End(..) => (Vec::new(), &[]),
                Item::Contact(gate) => match branching.contacts.get(*gate)?.as_ref()? {
                    GateContact::Alone { kind, .. } => (vec![*kind], &[]),
                    GateContact::Dusk { relay, from, .. } => (vec![*relay, from.kind()], &[]),
                },
                Item::Tap(_, way) => match branching.splitter {
                    Splitter::Taps(kind) => (vec![kind], std::slice::from_ref(way)),
                    Splitter::Dividers => return None,
                },
                Item::Split(ways) => (vec![self.divider(ways.len())?], ways),
            };
            for kind in kinds {
                *tally.entry(kind).or_default() += 1;
            }
            for way in ways {
                self.count(way, branching, tally)?;
            }
        }
        Some(())
    }

    fn divider(&self, ways: usize) -> Option<usize> {
        self.allowed.dividers(ways as u64).first().copied()
    }

    fn joiner(&self) -> Option<usize> {
        self.allowed.busbars(2).first().copied()
    }

    /// Whether a supply of this form can do what a line asks of it: a dusk tap needs a panel with a battery behind it.
    pub fn fits(&self, line: &Line, branching: &Branching, form: &SupplyForm) -> bool {
        let dusk = |gate: &usize| {
            matches!(branching.contacts.get(*gate),
                Some(Some(GateContact::Dusk { from, .. })) if from.is_ahead())
        };
        let first = form.sources.first().map(|at| self.choices[*at].profile);
        let has_panel = first == Some(Profile::Sun) && form.battery.is_some();
        has_panel || !contacts_on(line).iter().any(dusk)
    }

    /// The parts of a whole circuit beside the wants.
    pub fn tally(&self, branching: &Tally, feeds: &[Feed]) -> Tally {
        let mut tally = branching.clone();
        for (form, counts) in feeds {
            add(&mut tally, &self.forms[*form].tally(counts, self.choices));
        }
        tally
    }

    /// The plan; `start` is the level of batteries at the start in per mille, none as in the book. None where something
    /// does not fit.
    pub fn plan(&self, branching: &Branching, feeds: &[Feed], start: Option<u64>) -> Option<Plan> {
        let mut draft = Drawing::begin(self);
        let joined: Vec<(usize, PartId)> = match branching.lines.first().map_or(0, joins) {
            0 => Vec::new(),
            _ => {
                let kind = self.joiner()?;
                let wants = branching.lines.first().map(joined_wants)?;
                let bar = |want: usize| (want, draft.part(kind, 1, Map::new()));
                wants.into_iter().map(bar).collect()
            }
        };
        for (want, bar) in &joined {
            let load = draft.wants.get(*want)?.clone();
            draft.wire((bar.clone(), "out".into()), (load, "in"));
        }
        for (number, (line, (form, counts))) in branching.lines.iter().zip(feeds).enumerate() {
            let form = &self.forms[*form];
            if !self.fits(line, branching, form) {
                return None;
            }
            let dusk = contacts_on(line)
                .into_iter()
                .filter_map(|gate| match branching.contacts.get(gate)? {
                    Some(GateContact::Dusk { from, coil, .. }) => Some((*from, *coil)),
                    _ => None,
                })
                .collect();
            let least = needs(line, &|want| self.demand.draw(want));
            let (from, coils) = draft.supply(form, counts, (dusk, least, start))?;
            let mut leads = Leads {
                branching,
                joined: &joined,
                feed: number,
                coils: coils.into_iter(),
            };
            draft.line(line, from, &mut leads)?;
        }
        Some(draft.plan)
    }
}

/// How many wants a line joins.
fn joins(line: &Line) -> u64 {
    joined_wants(line).len() as u64
}

fn joined_wants(line: &Line) -> Vec<usize> {
    let mut found = Vec::new();
    for item in line {
        match item {
            Item::Join(want) => found.push(*want),
            Item::Tap(_, way) => found.extend(joined_wants(way)),
            Item::Split(ways) => found.extend(ways.iter().flat_map(joined_wants)),
            Item::Load(_) | Item::Contact(_) | Item::End(..) => {}
        }
    }
    found
}

/// An output port.
type From = (PartId, String);

/// What a line is led with.
struct Leads<'a> {
    branching: &'a Branching,
    joined: &'a [(usize, PartId)],
    feed: usize,
    coils: std::vec::IntoIter<From>,
}

/// A plan being drawn.
struct Drawing<'a> {
    pieces: &'a Pieces<'a>,
    plan: Plan,
    wants: Vec<PartId>,
}

impl<'a> Drawing<'a> {
    /// The wants and their duties.
    fn begin(pieces: &'a Pieces<'a>) -> Drawing<'a> {
        let order = pieces.order;
        if let Some(standing) = pieces.standing {
            return Drawing {
                plan: standing.plan.clone(),
                wants: standing.loads.clone(),
                pieces,
            };
        }
        let mut plan = Plan {
            book: order.book.clone(),
            world: order.world.clone(),
            ..Plan::empty()
        };
        let mut wants = Vec::new();
        for want in &order.wants {
            let id = plan.new_part_id();
            let mut part = Part::new(id.clone(), &want.kind, (0.0, 0.0));
            part.at = None;
            part.name = want.name.clone();
            part.count = want.count;
            plan.parts.push(part);
            plan.duties.extend(want.duty.map(|duty| Duty {
                part: id.clone(),
                when: duty.when,
                only: duty.only,
                grace_s: duty.grace_s,
                extra: Map::new(),
            }));
            wants.push(id);
        }
        Drawing {
            pieces,
            plan,
            wants,
        }
    }

    fn part(&mut self, kind: usize, count: u64, set: Map<String, Value>) -> PartId {
        let id = self.plan.new_part_id();
        let kind = &self.pieces.allowed.kind(kind).name;
        let mut part = Part::new(id.clone(), kind, (0.0, 0.0));
        part.at = None;
        part.count = count;
        part.set = set;
        self.plan.parts.push(part);
        id
    }

    fn wire(&mut self, from: From, to: (PartId, &str)) {
        let id = self.plan.new_wire_id();
        let (from, to) = (End::new(&from.0, &from.1), End::new(&to.0, to.1));
        self.plan.wires.push(Wire::new(id, from, to));
    }

    fn source(&mut self, at: usize, count: u64) -> From {
        let choice = &self.pieces.choices[at];
        let mut set = Map::new();
        if let Some(aim) = choice.aim {
            set.insert("azimuth".into(), crate::quantity::number(aim.azimuth));
            set.insert("tilt".into(), crate::quantity::number(aim.tilt));
        }
        (self.part(choice.kind, count, set), "out".into())
    }

    /// A supply: where it gives its power, and the taps for coils ahead of its battery.
    fn supply(
        &mut self,
        form: &SupplyForm,
        counts: &[u64],
        (dusk, least, start): (Vec<(CoilFrom, u64)>, u64, Option<u64>),
    ) -> Option<(From, Vec<From>)> {
        let mut counts = counts.iter().copied();
        let (mut outs, mut coils) = (Vec::new(), Vec::new());
        if let Some(from) = form.from {
            let end = self.pieces.standing?.outs.get(from)?;
            outs.push((end.part.clone(), end.port.clone()));
        }
        for at in &form.sources {
            outs.push(self.source(*at, counts.next()?));
        }
        for (from, coil) in dusk {
            let set = match from {
                CoilFrom::Tap(_) => Map::from_iter([("amount".to_string(), Value::from(coil))]),
                CoilFrom::Divider(_) | CoilFrom::Panel(_) => Map::new(),
            };
            let part = self.part(from.kind(), 1, set);
            let (own, rest) = match from {
                CoilFrom::Tap(_) => ("tap", "rest"),
                CoilFrom::Divider(_) => ("out1", "out2"),
                CoilFrom::Panel(_) => ("out", ""),
            };
            coils.push((part.clone(), own.to_string()));
            if from.is_ahead() {
                let first = outs.first_mut()?;
                let source = std::mem::replace(first, (part.clone(), rest.into()));
                self.wire(source, (part, "in"));
            }
        }
        let mut from = outs.first()?.clone();
        if let (Some(second), Some(kind)) = (outs.get(1), form.busbar) {
            let bar = self.part(kind, 1, Map::new());
            self.wire(from, (bar.clone(), "in1"));
            self.wire(second.clone(), (bar.clone(), "in2"));
            from = (bar, "out".into());
        }
        if let Some(kind) = form.battery {
            let set = start.map(|start| ("start".to_string(), Value::from(start)));
            let battery = self.part(kind, counts.next()?, Map::from_iter(set));
            self.wire(from, (battery.clone(), "in"));
            from = (battery, "out".into());
        }
        if let Some((over, main)) = form.over {
            let main = self.source(main, counts.next()?);
            let set = Map::from_iter([("least".to_string(), Value::from(least.max(1)))]);
            let over = self.part(over, 1, set);
            self.wire(main, (over.clone(), "main"));
            self.wire(from, (over.clone(), "backup"));
            from = (over, "out".into());
        }
        Some((from, coils))
    }

    fn line(&mut self, line: &Line, mut from: From, leads: &mut Leads) -> Option<()> {
        for item in line {
            match item {
                Item::Load(want) => {
                    let load = self.wants.get(*want)?.clone();
                    self.wire(from, (load.clone(), "in"));
                    from = (load, "loop".into());
                }
                Item::Contact(gate) => from = self.contact(*gate, from, leads)?,
                Item::Tap(amount, way) => {
                    let Splitter::Taps(kind) = leads.branching.splitter else {
                        return None;
                    };
                    let set = Map::from_iter([("amount".to_string(), Value::from(*amount))]);
                    let tap = self.part(kind, 1, set);
                    self.wire(from, (tap.clone(), "in"));
                    self.line(way, (tap.clone(), "tap".into()), leads)?;
                    from = (tap, "rest".into());
                }
                Item::Split(ways) => {
                    let kind = self.pieces.divider(ways.len())?;
                    let divider = self.part(kind, 1, Map::new());
                    self.wire(from, (divider.clone(), "in"));
                    for (number, way) in ways.iter().enumerate() {
                        let out = (divider.clone(), format!("out{}", number + 1));
                        self.line(way, out, leads)?;
                    }
                    return Some(());
                }
                Item::Join(want) => {
                    let (_, bar) = leads.joined.iter().find(|(joined, _)| joined == want)?;
                    let port = format!("in{}", leads.feed + 1);
                    self.wire(from, (bar.clone(), &port));
                    return Some(());
                }
                Item::End(at, _) => {
                    let (end, _) = self.pieces.standing?.heads.get(*at)?;
                    self.wire(from, (end.part.clone(), &end.port));
                    return Some(());
                }
            }
        }
        Some(())
    }

    fn contact(&mut self, gate: usize, from: From, leads: &mut Leads) -> Option<From> {
        let contact = match leads.branching.contacts.get(gate)?.as_ref()? {
            GateContact::Alone { kind, set } => self.part(*kind, 1, set.clone()),
            GateContact::Dusk { relay, breaks, .. } => {
                let set = breaks.then(|| ("contact".to_string(), Value::from("break")));
                let relay = self.part(*relay, 1, Map::from_iter(set));
                let coil = leads.coils.next()?;
                self.wire(coil, (relay.clone(), "coil"));
                relay
            }
        };
        if self.pieces.gates.get(gate) == Some(&Gate::House) {
            self.mark_house_switch(&contact);
        }
        self.wire(from, (contact.clone(), "feed"));
        Some((contact, "out".into()))
    }

    /// Names the house switch. It is out of reach where it commands a want that nobody within reach may command.
    fn mark_house_switch(&mut self, id: &PartId) {
        let order = self.pieces.order;
        let Some(house) = &order.switch else {
            return;
        };
        let kept_out = house.wants.iter().any(|w| order.keeps.reach.contains(w));
        if let Some(part) = self.plan.parts.iter_mut().find(|part| part.id == *id) {
            part.name = house.name.clone();
            part.reach = kept_out.then_some(Reach::Builders);
        }
    }
}
