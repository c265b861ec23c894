//! The space of an order: every branching and every form of supply that is searched.
//!
//! Wants of the same conditions stand behind the same contacts. One that must run only then stands behind all of them, any
//! other behind none, some or all of them, for a load that may run on needs no contact.

use super::allowed::{Allowed, Tally};
use super::branching::{Branching, GateSet, Line, Splitter, Stop, is_split, line_to};
use super::circuit::Pieces;
use super::demand::Demand;
use super::gates::{Gate, GateContact, ways};
use super::order::{DraftOrder, Wanted};
use super::products::Products;
use super::sources::{SourceChoice, Spans, choices};
use super::standing::Standing;
use super::supplies::{SupplyForm, forms, forms_from};
use crate::book::{Behaviour, Short};
use crate::plan::{Plan, When, World};
use crate::quantity::Ms;
use crate::sky::Aim;

/// How many branchings are searched at the most.
const BRANCHINGS: usize = 400;
/// Up to so many things that lack power are led to on two lines, too, where something is completed.
const APART: usize = 4;

/// Everything that is searched for one order.
#[derive(Clone, Debug)]
pub(super) struct Space {
    pub order: DraftOrder,
    /// Where panels give most.
    pub best: Option<Aim>,
    pub allowed: Allowed,
    pub gates: Vec<Gate>,
    pub choices: Vec<SourceChoice>,
    pub forms: Vec<SupplyForm>,
    pub demand: Demand,
    /// The branchings with the parts that each takes, the cheapest first.
    pub branchings: Vec<(Branching, Tally)>,
    /// Whether there are more branchings than are searched.
    pub more: bool,
    /// What stands and is completed.
    pub standing: Option<Standing>,
}

/// Wants of the same conditions.
struct WantClass {
    conditions: GateSet,
    only: bool,
}

impl Space {
    /// The space of an order; `best` is where panels give most in its world, `plan` what is to be completed.
    pub fn of(order: &DraftOrder, best: Option<Aim>, plan: Option<&Plan>) -> Space {
        let standing = plan.map(|plan| Standing::of(order, plan));
        let allowed = Allowed::of(order);
        let demand = Demand::of(order);
        let by_day = demand.is_by_day(&dark(&order.world));
        let choices = choices(&allowed, &order.world, (best, by_day));
        let doubled = !order.keeps.losses.is_empty() && standing.is_none();
        let outs = standing.as_ref().map_or(0, |standing| standing.outs.len());
        let mut all = forms_from(outs, &allowed);
        all.extend(forms(&allowed, &choices, !doubled));
        let mut space = Space {
            forms: all,
            standing,
            gates: gates(order),
            demand,
            order: order.clone(),
            best,
            allowed,
            choices,
            branchings: Vec::new(),
            more: false,
        };
        let is_late = |(at, want): (usize, &Wanted)| {
            let kind = order.book.book.find(&want.kind);
            let stood = space.standing.as_ref().is_some_and(|s| s.stood(at));
            let late = kind.is_some_and(|k| order.stage.is_some_and(|stage| k.stage > stage));
            late && !stood
        };
        let late = order.wants.iter().enumerate().any(is_late);
        let house = order.switch.iter().flat_map(|switch| &switch.wants);
        // One switch can't stand on two feeds.
        let twice = house
            .into_iter()
            .any(|want| doubled && order.keeps.losses.contains(want));
        if !late && !twice {
            space.branch();
        }
        space
    }

    /// The same without what circuits are chosen from.
    pub fn pieces(&self) -> Pieces<'_> {
        Pieces {
            order: &self.order,
            allowed: &self.allowed,
            gates: &self.gates,
            choices: &self.choices,
            forms: &self.forms,
            demand: &self.demand,
            standing: self.standing.as_ref(),
        }
    }

    /// Whether two forms may feed one plan: of what is completed, one begins at an output that stands and stores nothing,
    /// the other somewhere else and from one bank.
    pub fn go_together(&self, a: usize, b: usize) -> bool {
        let (a, b) = (&self.forms[a], &self.forms[b]);
        let plain = |form: &SupplyForm| form.from.is_some() && form.battery.is_none();
        let single = |form: &SupplyForm| form.sources.len() < 2 && form.over.is_none();
        let apart = (plain(a) || plain(b)) && a.from != b.from && single(a) && single(b);
        self.standing.is_none() || apart
    }

    /// What a type does.
    pub fn behaviour(&self, kind: usize) -> Behaviour {
        self.allowed.kind(kind).behaviour.clone()
    }

    fn branch(&mut self) {
        let (classes, class_of) = self.classes();
        // Where all is fed twice there are as many supplies as pairs of them.
        let most = match self.order.keeps.losses.is_empty() {
            true => BRANCHINGS,
            false => BRANCHINGS / 2,
        };
        let stands = self.standing.is_some();
        let options: Vec<Vec<GateSet>> = classes.iter().map(|c| options(c, stands)).collect();
        let mut found: Vec<(Branching, Tally)> = Vec::new();
        for sets in Products::of(options.iter().map(Vec::len).collect()) {
            let chosen: Vec<GateSet> = sets
                .iter()
                .zip(&options)
                .map(|(at, all)| all[*at])
                .collect();
            let stops = self.stops(&class_of, &chosen);
            let used = stops.iter().fold(0, |all, stop| all | stop.gates);
            let built = self.contacts(used);
            for contacts in Products::of(built.iter().map(Vec::len).collect()) {
                let contacts: Vec<Option<GateContact>> = (contacts.iter().zip(&built))
                    .map(|(at, all)| all[*at].clone())
                    .collect();
                self.split(&stops, &contacts, &mut found);
                if found.len() >= most {
                    self.more = true;
                    break;
                }
            }
            if self.more {
                break;
            }
        }
        found.sort_by_key(|(_, tally)| (self.allowed.cost(tally), tally.values().sum::<u64>()));
        self.branchings = found;
    }

    /// The classes of wants, and the class of each want that has a duty.
    fn classes(&self) -> (Vec<WantClass>, Vec<(usize, usize)>) {
        let (mut classes, mut class_of): (Vec<WantClass>, _) = (Vec::new(), Vec::new());
        for (want, wanted) in self.order.wants.iter().enumerate() {
            let Some(duty) = wanted.duty else { continue };
            let mut led = self.standing.iter().flat_map(|s| &s.direct);
            if self.standing.is_some() && !led.any(|(direct, _)| *direct == want) {
                continue;
            }
            let conditions = duty.when.deciding().into_iter();
            let bits = conditions.filter_map(|when| self.gate(Gate::While(when)));
            let own = WantClass {
                conditions: bits.fold(0, |all, gate| all | 1 << gate),
                only: duty.only,
            };
            let same = |c: &WantClass| (c.conditions, c.only) == (own.conditions, own.only);
            let at = classes.iter().position(same).unwrap_or_else(|| {
                classes.push(own);
                classes.len() - 1
            });
            class_of.push((want, at));
        }
        (classes, class_of)
    }

    fn gate(&self, gate: Gate) -> Option<usize> {
        self.gates.iter().position(|known| *known == gate)
    }

    fn stops(&self, class_of: &[(usize, usize)], chosen: &[GateSet]) -> Vec<Stop> {
        let order = &self.order;
        let house = self.gate(Gate::House);
        let stop = |(want, class): &(usize, usize)| {
            let kind = order.book.book.find(&order.wants[*want].kind);
            let behaviour = kind.map(|kind| &kind.behaviour);
            let switched = order
                .switch
                .as_ref()
                .is_some_and(|s| s.wants.contains(want));
            Stop {
                want: *want,
                draw: self.demand.draw(*want),
                passes: matches!(
                    behaviour,
                    Some(Behaviour::Load {
                        short: Short::Pass,
                        ..
                    })
                ),
                joins: self.standing.is_none() && order.keeps.losses.contains(want),
                end: self.end_at(*want),
                gates: chosen[*class] | house.filter(|_| switched).map_or(0, |gate| 1 << gate),
            }
        };
        class_of.iter().map(stop).collect()
    }

    /// Where the line to a want ends, where what stands goes on from it.
    fn end_at(&self, want: usize) -> Option<usize> {
        let direct = &self.standing.as_ref()?.direct;
        direct.iter().find(|(direct, _)| *direct == want)?.1
    }

    /// The ways to lead to what lacks power: one line, and where something is completed also two, each with the free
    /// inputs of one choice.
    fn ways_to(&self, stops: &[Stop]) -> Vec<Vec<Vec<Stop>>> {
        let Some(standing) = &self.standing else {
            let doubled: Vec<Stop> = stops.iter().filter(|stop| stop.joins).copied().collect();
            let second = (!doubled.is_empty()).then_some(doubled);
            return vec![[stops.to_vec()].into_iter().chain(second).collect()];
        };
        let mut found = Vec::new();
        for heads in &standing.choices {
            let head = |at: &usize| Stop {
                want: 0,
                draw: standing.heads[*at].1,
                passes: true,
                joins: false,
                end: Some(*at),
                gates: 0,
            };
            let all: Vec<Stop> = stops
                .iter()
                .copied()
                .chain(heads.iter().map(head))
                .collect();
            if all.is_empty() {
                // What stands is enough.
                found.push(Vec::new());
                continue;
            }
            found.push(vec![all.clone()]);
            let halves = if all.len() <= APART {
                1 << (all.len() - 1)
            } else {
                1
            };
            for half in 1..halves {
                let (one, other) = parted(&all, half);
                found.push(vec![one, other]);
            }
        }
        found
    }

    /// How each gate may be built; only "not at all" for those that are not used.
    fn contacts(&self, used: GateSet) -> Vec<Vec<Option<GateContact>>> {
        let sky = self.order.world.sky();
        let each = self.gates.iter().enumerate().map(|(at, gate)| {
            if used & (1 << at) == 0 {
                return vec![None];
            }
            let found = ways(*gate, &self.allowed, &sky, self.least_grace(*gate));
            found.into_iter().map(Some).collect()
        });
        each.collect()
    }

    fn least_grace(&self, gate: Gate) -> Ms {
        let has = |want: &usize| {
            let duty = self.order.wants[*want].duty;
            duty.is_some_and(|duty| match gate {
                Gate::House => false,
                Gate::While(when) => duty.when.deciding().contains(&when),
            })
        };
        let wants = (0..self.order.wants.len()).filter(has);
        wants.map(|want| self.demand.grace(want)).min().unwrap_or(0)
    }

    fn split(
        &self,
        stops: &[Stop],
        contacts: &[Option<GateContact>],
        found: &mut Vec<(Branching, Tally)>,
    ) {
        let taps = self.allowed.taps().into_iter().map(Splitter::Taps).take(1);
        let dividers = [Splitter::Dividers];
        let splitters: Vec<Splitter> = taps.chain(dividers).collect();
        for way in self.ways_to(stops) {
            let mut is_done = false;
            for splitter in &splitters {
                let line = |stops: &Vec<Stop>| line_to(stops.clone(), &self.gates, *splitter);
                let lines: Vec<Line> = way.iter().map(line).collect();
                let split = lines.iter().any(is_split);
                if is_done && !split {
                    continue;
                }
                is_done = true;
                let branching = Branching {
                    contacts: contacts.to_vec(),
                    splitter: *splitter,
                    lines,
                };
                if let Some(tally) = self.pieces().tally_of(&branching) {
                    found.push((branching, tally));
                }
            }
        }
    }
}

/// The first stop and those whose bit is not in `half`, and the others.
fn parted(stops: &[Stop], half: usize) -> (Vec<Stop>, Vec<Stop>) {
    let places = stops.iter().enumerate();
    let (one, other): (Vec<_>, Vec<_>) = places.partition(|(at, _)| half << 1 & 1 << at == 0);
    let stops = |all: Vec<(usize, &Stop)>| all.into_iter().map(|(_, stop)| *stop).collect();
    (stops(one), stops(other))
}

/// When it is dark, within a day.
fn dark(world: &World) -> Spans {
    let (day, (first, changes)) = (world.day_ms(), world.sky().dark_changes());
    let mut ends = vec![0];
    ends.extend(changes.into_iter().filter(|at| *at < day));
    ends.push(day);
    let spans = ends.windows(2).enumerate();
    let spans = spans.filter(|(at, _)| (at % 2 == 0) == first);
    spans.map(|(_, ends)| (ends[0], ends[1])).collect()
}

/// Every gate that an order may need.
fn gates(order: &DraftOrder) -> Vec<Gate> {
    let mut gates: Vec<Gate> = Vec::new();
    if order.switch.is_some() {
        gates.push(Gate::House);
    }
    for duty in order.wants.iter().filter_map(|want| want.duty) {
        for when in duty.when.deciding() {
            let gate = Gate::While(when);
            if when != When::Always && !gates.contains(&gate) {
                gates.push(gate);
            }
        }
    }
    gates
}

/// Behind which contacts the wants of a class may stand.
fn options(class: &WantClass, stands: bool) -> Vec<GateSet> {
    // A free output of what stands may be behind such contacts already.
    if class.only && !stands {
        return vec![class.conditions];
    }
    // All subsets, the whole first.
    let (mut found, mut set) = (Vec::new(), class.conditions);
    loop {
        found.push(set);
        if set == 0 {
            return found;
        }
        set = (set - 1) & class.conditions;
    }
}
