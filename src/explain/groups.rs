//! Groups of parts that are understood better together, found from how they are wired and never from what they are
//! called. A part may be in several groups or in none.
//!
//! Meters are looked through: they change nothing. Wires on closed loops carry nothing and are not followed.

use super::day_run::DaySeen;
use super::explanation::{GroupKind, PartGroup};
use crate::book::Profile;
use crate::net::Net;
use crate::plan::{Function, PartId, Plan, Spec};
use std::collections::{BTreeMap, BTreeSet};

/// Every group of a plan: banks, dusk relays, switchovers, shares, lines, seal-ins, commands, floats; each kind in the
/// plan's order of its chief parts.
pub fn groups(plan: &Plan, net: &Net, seen: &DaySeen) -> Vec<PartGroup> {
    let search = Search { plan, net, seen };
    let dusk = search.each(|part| search.dusk_relay(part));
    let seals = search.each(|part| search.seal_in(part));
    let relays = dusk.iter().filter_map(|group| match &group.kind {
        GroupKind::DuskRelay { relay, .. } => Some(relay),
        _ => None,
    });
    let seal_ins = seals.iter().filter_map(|group| group.parts.first());
    let told: BTreeSet<PartId> = relays.chain(seal_ins).cloned().collect();
    let mut found = search.each(|part| search.bank(part));
    found.extend(dusk);
    found.extend(search.each(|part| search.switchover(part)));
    found.extend(search.each(|part| search.shares(part)));
    found.extend(search.lines());
    found.extend(seals);
    let command = |part: usize| search.command(part).filter(|g| !told.contains(&g.parts[0]));
    found.extend(search.each(command));
    found.extend(search.each(|part| search.float(part)));
    found
}

struct Search<'a> {
    plan: &'a Plan,
    net: &'a Net,
    seen: &'a DaySeen,
}

impl Search<'_> {
    fn each(&self, find: impl Fn(usize) -> Option<PartGroup>) -> Vec<PartGroup> {
        (0..self.net.nodes.len()).filter_map(find).collect()
    }

    fn id(&self, part: usize) -> PartId {
        self.plan.parts[part].id.clone()
    }

    fn ids(&self, parts: &[usize]) -> Vec<PartId> {
        parts.iter().map(|part| self.id(*part)).collect()
    }

    fn spec(&self, part: usize) -> Option<&Spec> {
        self.net.nodes[part].spec.as_ref()
    }

    /// The wire at a port, where there is one that may carry something.
    fn wire(&self, slots: &[Option<usize>], at: usize) -> Option<usize> {
        let wire = slots.get(at).copied().flatten()?;
        (!self.net.wires[wire].closed).then_some(wire)
    }

    /// The part that a wire comes from, looking through meters.
    fn above(&self, mut wire: usize) -> usize {
        loop {
            let part = self.net.part_of[self.net.wires[wire].from];
            let up = self.wire(&self.net.nodes[part].ins, 0);
            match (self.spec(part), up) {
                (Some(Spec::Meter), Some(up)) => wire = up,
                _ => return part,
            }
        }
    }

    /// The part that a wire leads to and the wire that enters it, looking through meters.
    fn below(&self, mut wire: usize) -> (usize, usize) {
        loop {
            let part = self.net.part_of[self.net.wires[wire].to];
            let on = self.wire(&self.net.nodes[part].outs, 0);
            match (self.spec(part), on) {
                (Some(Spec::Meter), Some(on)) => wire = on,
                _ => return (part, wire),
            }
        }
    }

    /// What a signal comes from: the nearest part up the wire that switches, shares out or gives.
    fn giver(&self, mut wire: usize) -> usize {
        loop {
            let part = self.above(wire);
            let up = self.wire(&self.net.nodes[part].ins, 0);
            match (self.spec(part), up) {
                (Some(Spec::Load { .. } | Spec::Divider(_)), Some(up)) => wire = up,
                _ => return part,
            }
        }
    }

    fn bank(&self, busbar: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[busbar];
        let Some(Spec::Busbar(_)) = node.spec else {
            return None;
        };
        let wired: Vec<usize> = (0..node.ins.len())
            .filter_map(|at| self.wire(&node.ins, at))
            .collect();
        let out = self.wire(&node.outs, 0)?;
        let sources: Vec<usize> = wired.iter().map(|wire| self.above(*wire)).collect();
        let all = sources.len() == node.ins.iter().flatten().count();
        let is_source = |part: &usize| matches!(self.spec(*part), Some(Spec::Source { .. }));
        if sources.len() < 2 || !all || !sources.iter().all(is_source) {
            return None;
        }
        let mut parts = vec![busbar];
        parts.extend(&sources);
        Some(PartGroup {
            kind: GroupKind::Bank {
                sources: self.ids(&sources),
                busbar: self.id(busbar),
                most: self.seen.wires[out].most_offer,
            },
            parts: self.ids(&parts),
        })
    }

    /// A tap that only panels feed, over busbars at the most, with a relay's coil at its port `tap`.
    fn dusk_relay(&self, tap: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[tap];
        let Some(Spec::Tap(amount)) = node.spec else {
            return None;
        };
        let (relay, entered) = self.below(self.wire(&node.outs, 0)?);
        let Some(Spec::Contact {
            coil,
            breaks,
            function: Function::Relay,
        }) = self.spec(relay)
        else {
            return None;
        };
        if !self.net.wires[entered].signal || amount < *coil {
            return None;
        }
        let sources = self.panels(self.wire(&node.ins, 0)?)?;
        let battery = self.wire(&node.outs, 1).map(|wire| self.below(wire).0);
        let is_battery = |part: &usize| matches!(self.spec(*part), Some(Spec::Battery { .. }));
        let battery = battery.filter(is_battery);
        Some(PartGroup {
            kind: GroupKind::DuskRelay {
                tap: self.id(tap),
                relay: self.id(relay),
                sources: self.ids(&sources),
                battery: battery.map(|part| self.id(part)),
                coil: *coil,
                breaks: *breaks,
                conducts: self.seen.parts[relay].on.told.clone(),
            },
            parts: self.ids(&[tap, relay]),
        })
    }

    /// The panels that alone give what comes through a wire, over busbars at the most.
    fn panels(&self, wire: usize) -> Option<Vec<usize>> {
        let (mut found, mut look) = (BTreeSet::new(), vec![wire]);
        while let Some(wire) = look.pop() {
            let part = self.above(wire);
            match self.spec(part) {
                Some(Spec::Source {
                    profile: Profile::Sun,
                    ..
                }) => {
                    found.insert(part);
                }
                Some(Spec::Busbar(_)) => {
                    let ins = &self.net.nodes[part].ins;
                    look.extend((0..ins.len()).filter_map(|at| self.wire(ins, at)));
                }
                _ => return None,
            }
        }
        (!found.is_empty()).then(|| found.into_iter().collect())
    }

    fn switchover(&self, part: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[part];
        let Some(Spec::Changeover(least)) = node.spec else {
            return None;
        };
        let [main, backup] = [0, 1].map(|at| self.wire(&node.ins, at));
        let (main, backup) = (self.above(main?), self.above(backup?));
        Some(PartGroup {
            kind: GroupKind::Switchover {
                changeover: self.id(part),
                main: self.id(main),
                backup: self.id(backup),
                least,
                on_backup: self.seen.parts[part].on.told.clone(),
            },
            parts: self.ids(&once([part, main, backup])),
        })
    }

    fn shares(&self, part: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[part];
        let Some(Spec::Divider(_)) = node.spec else {
            return None;
        };
        let wires = (0..node.outs.len()).filter_map(|at| self.wire(&node.outs, at));
        let to: Vec<usize> = wires.map(|wire| self.below(wire).0).collect();
        // A wire on a closed loop takes a share too, which would be missing here.
        if to.len() < 2 || to.len() < node.outs.iter().flatten().count() {
            return None;
        }
        let from = self.wire(&node.ins, 0).map(|wire| self.above(wire));
        Some(PartGroup {
            kind: GroupKind::Shares {
                divider: self.id(part),
                from: from.map(|part| self.id(part)),
                to: self.ids(&to),
            },
            parts: self.ids(&once(std::iter::once(part).chain(to.iter().copied()))),
        })
    }

    /// The load behind a load's loop, with the contacts on the way.
    fn behind(&self, load: usize) -> Option<(usize, Vec<usize>)> {
        let mut contacts = Vec::new();
        let mut wire = self.wire(&self.net.nodes[load].outs, 0)?;
        for _ in 0..self.net.nodes.len() {
            let (part, entered) = self.below(wire);
            match self.spec(part) {
                _ if self.net.wires[entered].signal => return None,
                Some(Spec::Load { .. }) => return Some((part, contacts)),
                Some(Spec::Contact { .. }) => {
                    contacts.push(part);
                    wire = self.wire(&self.net.nodes[part].outs, 0)?;
                }
                _ => return None,
            }
        }
        None
    }

    fn lines(&self) -> Vec<PartGroup> {
        let is_load = |part: &usize| matches!(self.spec(*part), Some(Spec::Load { .. }));
        let loads = (0..self.net.nodes.len()).filter(is_load);
        let behind: BTreeMap<usize, (usize, Vec<usize>)> = loads
            .filter_map(|load| Some((load, self.behind(load)?)))
            .collect();
        let followers: BTreeSet<usize> = behind.values().map(|(next, _)| *next).collect();
        let firsts = behind.keys().filter(|load| !followers.contains(load));
        let mut found = Vec::new();
        for first in firsts {
            let (mut loads, mut contacts) = (vec![*first], Vec::new());
            let mut last = first;
            while let Some((next, between)) = behind.get(last) {
                contacts.extend(between.iter().map(|part| (loads.len(), self.id(*part))));
                loads.push(*next);
                last = next;
            }
            found.push(PartGroup {
                parts: self.ids(&loads),
                kind: GroupKind::Line {
                    loads: self.ids(&loads),
                    contacts,
                },
            });
        }
        found
    }

    /// A make relay, or an or, whose own way on leads back to one of its signals.
    fn seal_in(&self, part: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[part];
        let Some(Spec::Contact {
            breaks: false,
            function: Function::Relay | Function::Or,
            ..
        }) = node.spec
        else {
            return None;
        };
        let over = self.way_back(part)?;
        let starts = match node.signals.len() {
            // The other signal of an or.
            2 => {
                let own = |wire: &usize| self.way_enters(part, &over, *wire);
                let signals = (0..2).filter_map(|at| self.wire(&node.signals, at));
                let others = signals.filter(|wire| !own(wire));
                others.map(|wire| self.giver(wire)).collect::<Vec<_>>()
            }
            // The other inputs of a busbar that the way back leads over.
            _ => {
                let is_busbar = |part: &&usize| matches!(self.spec(**part), Some(Spec::Busbar(_)));
                let busbar = over.iter().rev().find(is_busbar)?;
                let before = over.iter().take_while(|p| *p != busbar).last();
                let ins = &self.net.nodes[*busbar].ins;
                let wires = (0..ins.len()).filter_map(|at| self.wire(ins, at));
                let from = |wire: &usize| self.net.part_of[self.net.wires[*wire].from];
                let others = wires.filter(|wire| from(wire) != *before.unwrap_or(&part));
                others.map(|wire| self.giver(wire)).collect()
            }
        };
        if starts.is_empty() {
            return None;
        }
        let stops = self.contacts_ahead(part);
        let all = std::iter::once(part).chain(over.iter().copied());
        let all = all
            .chain(starts.iter().copied())
            .chain(stops.iter().copied());
        Some(PartGroup {
            parts: self.ids(&once(all)),
            kind: GroupKind::SealIn {
                contact: self.id(part),
                over: self.ids(&over),
                starts: self.ids(&starts),
                stops: self.ids(&stops),
            },
        })
    }

    /// The parts over which a contact's output leads to one of its own signals, if it does: none that switches or stores.
    fn way_back(&self, contact: usize) -> Option<Vec<usize>> {
        let mut before: BTreeMap<usize, usize> = BTreeMap::new();
        let mut look = vec![contact];
        while let Some(part) = look.pop() {
            let outs = &self.net.nodes[part].outs;
            for wire in (0..outs.len()).filter_map(|at| self.wire(outs, at)) {
                let next = self.net.part_of[self.net.wires[wire].to];
                if self.net.wires[wire].signal {
                    if next == contact {
                        let mut over = vec![part];
                        while let Some(up) = over.last().and_then(|p| before.get(p)) {
                            over.push(*up);
                        }
                        over.retain(|p| *p != contact);
                        over.reverse();
                        return Some(over);
                    }
                    continue;
                }
                let passes = matches!(
                    self.spec(next),
                    Some(
                        Spec::Tap(_)
                            | Spec::Divider(_)
                            | Spec::Busbar(_)
                            | Spec::Meter
                            | Spec::Load { .. }
                    )
                );
                if passes && !before.contains_key(&next) {
                    before.insert(next, part);
                    look.push(next);
                }
            }
        }
        None
    }

    /// Whether a signal's wire is the end of the way back.
    fn way_enters(&self, contact: usize, over: &[usize], wire: usize) -> bool {
        let last = over.last().copied().unwrap_or(contact);
        self.net.part_of[self.net.wires[wire].from] == last
    }

    /// The contacts in a part's feed, up to what gives or to where several ways come together or part.
    fn contacts_ahead(&self, part: usize) -> Vec<usize> {
        let mut found = Vec::new();
        let mut at = part;
        while let Some(wire) = self.wire(&self.net.nodes[at].ins, 0) {
            at = self.above(wire);
            match self.spec(at) {
                Some(Spec::Contact { .. }) if at != part && !found.contains(&at) => found.push(at),
                Some(Spec::Load { .. }) => {}
                _ => break,
            }
        }
        found
    }

    fn command(&self, part: usize) -> Option<PartGroup> {
        let node = &self.net.nodes[part];
        let Some(Spec::Contact { .. }) = node.spec else {
            return None;
        };
        let places = 0..node.signals.len();
        let signals = places.filter_map(|at| Some((at, self.wire(&node.signals, at)?)));
        let signals: Vec<(usize, usize)> =
            signals.map(|(at, wire)| (at, self.giver(wire))).collect();
        if signals.is_empty() {
            return None;
        }
        let givers = signals.iter().map(|(_, giver)| *giver);
        Some(PartGroup {
            parts: self.ids(&once(std::iter::once(part).chain(givers))),
            kind: GroupKind::Command {
                contact: self.id(part),
                signals: signals.iter().map(|(at, p)| (*at, self.id(*p))).collect(),
            },
        })
    }

    fn float(&self, part: usize) -> Option<PartGroup> {
        let Some(Spec::Contact {
            function: Function::Charge { watches, low, high },
            ..
        }) = self.spec(part)
        else {
            return None;
        };
        let battery = self.plan.part_place(&PartId::from(watches.as_str()))?;
        let is_battery = matches!(self.spec(battery), Some(Spec::Battery { .. }));
        is_battery.then(|| PartGroup {
            kind: GroupKind::Float {
                contact: self.id(part),
                battery: self.id(battery),
                low: *low,
                high: *high,
            },
            parts: self.ids(&once([part, battery])),
        })
    }
}

/// Each once, in the order in which they come.
fn once(parts: impl IntoIterator<Item = usize>) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    for part in parts {
        if !found.contains(&part) {
            found.push(part);
        }
    }
    found
}
