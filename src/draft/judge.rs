//! Judging a drafted plan: whether it does all that the order asks, and everything that the answer tells of it. All of it
//! comes from runs of the plan as any other would be judged; nothing that the search believes counts here.

use super::order::DraftOrder;
use crate::plan::{Part, PartId, Plan, Spec};
use crate::proof::{
    Check, Holds, Loss, LossJudge, Study, all_losses, autonomy, bad_weather, check_keeping,
    without, worst_starts,
};
use crate::quantity::{Energy, HOUR_MS, Ms, STEP_MS, Unit};
use crate::run::{Record, run};
use crate::works::Bill;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// A drafted plan, with what is told of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drafted {
    /// The plan; its cards have no places yet.
    pub plan: Plan,
    /// The materials that all of it takes.
    pub materials: BTreeMap<String, u64>,
    /// Their sum.
    pub materials_sum: u64,
    /// Its parts, banks multiplied out.
    pub parts: u64,
    /// Its different part types.
    pub kinds: u64,
    /// The highest stage that a part needs.
    pub stage: u64,
    /// Whether its days repeat.
    pub for_ever: bool,
    /// How long every duty holds without sun and wind from the worst moment once the days repeat; none where nothing ever
    /// breaks.
    pub holds: Option<Ms>,
    /// How many days without sun in a row it survives.
    pub dull_days: u64,
    /// The lowest level of a battery over the days that repeat: of the battery that is then the emptiest for its size.
    pub lowest: Option<LowestLevel>,
    /// How many parts and wires there are whose loss breaks a duty, loads for their own duties left out.
    pub single_points: u64,
    /// What sources could give and nobody takes, over the days that repeat; and how many those are.
    pub spilled: (Energy, u64),
    /// Why each part is there.
    pub why: Vec<Reason>,
}

/// The lowest level of a battery.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LowestLevel {
    /// The battery.
    pub part: PartId,
    /// What it then holds.
    pub level: Energy,
    /// What the whole bank can hold.
    pub capacity: Energy,
}

impl LowestLevel {
    /// The share of the capacity, from 0 to 1.
    pub fn share(&self) -> f64 {
        self.level as f64 / self.capacity.max(1) as f64
    }

    /// As JSON, in the unit-hours of a book's unit.
    pub(super) fn json(&self, unit: &Unit) -> Value {
        json!({ "part": self.part, "level": unit.hours(self.level), "share": self.share() })
    }
}

/// Why a part is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The part.
    pub part: PartId,
    /// The duties, by their places in the plan, that losing it breaks.
    pub without: Vec<usize>,
}

/// Whether the plan keeps every duty for ever; its check then.
pub(super) fn serves(plan: &Plan) -> Option<Check> {
    let all: Vec<usize> = (0..plan.duties.len()).collect();
    let check = check_keeping(plan, &all)?;
    (check.is_fine() && check.for_ever).then_some(check)
}

/// Whether the plan, whose check is given, keeps all that the order asks beside the duties. What is soon known comes first.
pub(super) fn keeps_all(plan: &Plan, check: &Check, order: &DraftOrder) -> bool {
    let keeps = &order.keeps;
    turns_off(plan, order)
        && holds_soon(plan, check, order)
        && (keeps.dull_days == 0 || dull_days(plan, check) >= keeps.dull_days)
        && (keeps.hours == 0.0 || holds(plan, check).is_none_or(|ms| ms >= hours_ms(keeps.hours)))
        && stands_losses(plan, check, order)
}

/// Whether the one hand switch, thrown, turns off what it is to turn off.
fn turns_off(plan: &Plan, order: &DraftOrder) -> bool {
    let Some(house) = &order.switch else {
        return true;
    };
    let mut hand = plan.parts.iter().filter(|part| {
        let kind = plan.kind_of(part);
        kind.is_some_and(|kind| kind.is_hand_operated())
    });
    let loads: Vec<Option<usize>> = house
        .wants
        .iter()
        .map(|w| load_of(plan, order, *w))
        .collect();
    hand.any(|switch| {
        let thrown = without(plan, &Loss::Switch(switch.id.clone()));
        let day = run(&thrown, 1);
        let is_off = |load: usize| {
            day.loads
                .get(&load)
                .is_some_and(|load| load.runs.is_empty())
        };
        loads.iter().all(|load| load.is_some_and(is_off))
    })
}

/// The place in the plan of a want's load, which its duty names: the wants' duties are the plan's first.
fn load_of(plan: &Plan, order: &DraftOrder, want: usize) -> Option<usize> {
    let before = order.wants.iter().take(want);
    let duty = before.filter(|want| want.duty.is_some()).count();
    order.wants.get(want)?.duty?;
    let part = &plan.duties.get(duty)?.part;
    plan.parts.iter().position(|own| own.id == *part)
}

/// Hours as milliseconds, rounded up.
pub(super) fn hours_ms(hours: f64) -> Ms {
    libm::ceil(hours * HOUR_MS as f64) as Ms
}

/// Whether the hours hold from a few moments that are likely to be the worst.
fn holds_soon(plan: &Plan, check: &Check, order: &DraftOrder) -> bool {
    if order.keeps.hours == 0.0 {
        return true;
    }
    let (day, asked) = (plan.world.day_ms(), hours_ms(order.keeps.hours));
    let from = check.repeats.unwrap_or(0) * day;
    let (_, moments) = plan.world.sky().dark_changes();
    moments.iter().all(|moment| {
        let found = autonomy(plan, from + moment).duties;
        found.iter().all(|holds| time(*holds, day) >= asked)
    })
}

fn time(holds: Holds, day: Ms) -> Ms {
    match holds {
        Holds::For { time, .. } | Holds::Stopped(time) => time,
        Holds::Days(days) => days.saturating_mul(day),
        Holds::ForEver => Ms::MAX,
    }
}

/// How long every duty holds from the worst moment; none where nothing ever breaks.
fn holds(plan: &Plan, check: &Check) -> Option<Ms> {
    let found = worst_starts(plan, check, &mut |_, _, _| true);
    let day = plan.world.day_ms();
    let least = found
        .duties
        .iter()
        .map(|worst| time(worst.holds, day))
        .min();
    least.filter(|least| *least < Ms::MAX)
}

fn dull_days(plan: &Plan, check: &Check) -> u64 {
    bad_weather(plan, check, &mut |_, _, _| true).days
}

/// The number of the want whose duty stands at a place. Wants without a duty have none.
fn want_of(order: &DraftOrder, duty: usize) -> Option<usize> {
    let with_duty = order.wants.iter().enumerate();
    let mut with_duty = with_duty.filter(|(_, want)| want.duty.is_some());
    with_duty.nth(duty).map(|(at, _)| at)
}

/// Whether the duties that are to stand single losses do, and no contact within reach commands those that none may.
fn stands_losses(plan: &Plan, check: &Check, order: &DraftOrder) -> bool {
    let keeps = &order.keeps;
    if keeps.losses.is_empty() && keeps.reach.is_empty() {
        return true;
    }
    let mut judge = LossJudge::new(plan, check);
    all_losses(plan).iter().all(|loss| {
        let named = match loss {
            Loss::Switch(_) => &keeps.reach,
            Loss::Part(_) | Loss::Wire(_) => &keeps.losses,
            Loss::Empty(_) => return true,
        };
        if named.is_empty() {
            return true;
        }
        let broken = judge.breaks(loss).into_iter();
        let mut wants = broken.filter_map(|duty| want_of(order, duty));
        !wants.any(|want| named.contains(&want) && !is_excused(plan, order, want, loss))
    })
}

/// Whether a loss is the want's own load, the wire at its input, or the part which that wire comes from.
fn is_excused(plan: &Plan, order: &DraftOrder, want: usize, loss: &Loss) -> bool {
    let Some(load) = load_of(plan, order, want).and_then(|at| plan.parts.get(at)) else {
        return false;
    };
    let wire = plan
        .wires
        .iter()
        .find(|w| w.to.part == load.id && w.to.port == "in");
    match loss {
        Loss::Part(id) => *id == load.id || wire.is_some_and(|wire| wire.from.part == *id),
        Loss::Wire(id) => wire.is_some_and(|wire| wire.id == *id),
        Loss::Switch(_) | Loss::Empty(_) => false,
    }
}

/// Everything that is told of a plan that does what the order asks.
pub(super) fn judged(plan: Plan) -> Drafted {
    let study = Study::new(plan);
    let journey = study.journey().clone();
    let (plan, check) = (study.plan().clone(), study.check().clone());
    let bill = Bill::of(&plan);
    let mut judge = LossJudge::new(&plan, &check);
    let own = |id: &PartId| {
        let own = plan.duties.iter().position(|duty| duty.part == *id);
        move |at: &usize| Some(*at) != own
    };
    let mut points = 0;
    let mut reason = |part: &Part| {
        let without = judge.breaks(&Loss::Part(part.id.clone()));
        points += u64::from(without.iter().any(own(&part.id)));
        Reason {
            part: part.id.clone(),
            without,
        }
    };
    let why: Vec<Reason> = plan.parts.iter().map(&mut reason).collect();
    let wires = plan.wires.iter().map(|w| Loss::Wire(w.id.clone()));
    points += wires.filter(|loss| judge.breaks_any(loss)).count() as u64;
    let day = plan.world.day_ms();
    let from = check.repeats.unwrap_or(0);
    let spilled = spilled(&journey.record, (from * day, check.days * day));
    Drafted {
        materials_sum: bill.materials.values().fold(0, |a, b| a.saturating_add(*b)),
        parts: bill.part_count(),
        kinds: bill.parts.len() as u64,
        stage: bill.stage,
        materials: bill.materials,
        for_ever: check.for_ever,
        holds: holds(&plan, &check),
        dull_days: dull_days(&plan, &check),
        lowest: lowest(&plan, &journey.record, from * day),
        single_points: points,
        spilled: (spilled, (check.days - from).max(1)),
        why,
        plan: (*plan).clone(),
    }
}

/// The lowest level from a moment on.
fn lowest(plan: &Plan, record: &Record, from: Ms) -> Option<LowestLevel> {
    let each = record.batteries.iter().filter_map(|(at, battery)| {
        let part = plan.parts.get(*at)?;
        let Some(Spec::Battery { capacity, .. }) = plan.spec(part) else {
            return None;
        };
        let levels = battery.level.iter().filter(|(t, _)| *t >= from);
        Some(LowestLevel {
            part: part.id.clone(),
            level: levels.map(|(_, level)| *level).min()?,
            capacity,
        })
    });
    each.min_by(|a, b| a.share().total_cmp(&b.share()))
}

/// What sources could have given in a stretch and did not.
fn spilled(record: &Record, (from, to): (Ms, Ms)) -> Energy {
    let sum = |steps: &[(Ms, u64)]| {
        let ends = steps.iter().skip(1).map(|step| step.0).chain([to]);
        let each = steps.iter().zip(ends).map(|((begin, power), end)| {
            let (begin, end) = ((*begin).max(from), end.min(to));
            Energy::from(end.saturating_sub(begin)) * Energy::from(*power) * STEP_MS
        });
        each.sum::<Energy>()
    };
    let sources = record.sources.values();
    sources.map(|s| sum(&s.could) - sum(&s.gives)).sum()
}
