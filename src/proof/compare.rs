//! Two variants of a plan side by side: what each comes to in the days that go on repeating. Energies and times exact,
//! "a day" an average over those days.
//!
//! What differs part by part and wire by wire is the plans' own business: [`crate::plan::differences`].

use super::findings::Simulation;
use super::loss::{Loss, all_losses, losses};
use super::study::Study;
use super::words::length;
use crate::plan::{Clock, Duty, PartId, Plan, Spec, When};
use crate::quantity::{Energy, Ms};
use crate::run::Clockwork;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A duty of a variant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DutyFigures {
    /// The load.
    pub part: PartId,
    /// What the load is called.
    pub name: String,
    /// When it must run, in words: `dark, and only then`.
    pub when: String,
    /// Whether it is kept.
    pub kept: bool,
    /// How often it is broken: gaps, and stretches in which the load is on when it must not be.
    pub times: usize,
    /// How long it is broken, of all the time that was run.
    pub broken: Ms,
}

/// A battery of a variant.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LevelFigures {
    /// The battery.
    pub part: PartId,
    /// What it is called.
    pub name: String,
    /// Its lowest level in the days that repeat.
    pub lowest: Energy,
    /// The first moment of it.
    pub at: Ms,
    /// What it holds.
    pub capacity: Energy,
}

/// When a load that is needed while it is dark lights.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DuskFigures {
    /// The load.
    pub part: PartId,
    /// What it is called.
    pub name: String,
    /// When it gets dark on the last of the days that repeat.
    pub dusk: Option<Ms>,
    /// When the load starts: before dusk where it runs already, else the first time after it; none where it does not
    /// before the day ends.
    pub lights: Option<Ms>,
    /// Whether it runs all day.
    pub always: bool,
}

/// What a variant comes to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figures {
    /// The plan's title.
    pub title: String,
    /// Whether the days repeat, so that all of this holds for ever.
    pub for_ever: bool,
    /// How many days were run.
    pub days: u64,
    /// The length of a day.
    pub day_ms: Ms,
    /// The duties, in the plan's order.
    pub duties: Vec<DutyFigures>,
    /// What sources could give a day.
    pub available: Energy,
    /// What they gave a day.
    pub taken: Energy,
    /// What loads used a day while they ran.
    pub used: Energy,
    /// The batteries, in the plan's order.
    pub batteries: Vec<LevelFigures>,
    /// The loads that are needed while it is dark.
    pub dusk: Vec<DuskFigures>,
    /// How many parts it has, banks counted out.
    pub parts: u64,
    /// How many wires.
    pub wires: usize,
    /// What it costs: materials in the order of their names, and amounts.
    pub cost: Vec<(String, u64)>,
    /// Single losses: how many break nothing, and of how many. None until they were tried.
    pub losses: Option<(usize, usize)>,
}

impl Figures {
    /// What is spilled a day.
    pub fn spilled(&self) -> Energy {
        self.available - self.taken
    }

    /// How many duties are kept.
    pub fn kept(&self) -> usize {
        self.duties.iter().filter(|d| d.kept).count()
    }
}

/// One thing that two variants are compared by.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ComparedRow {
    /// What it is.
    pub what: String,
    /// In the first variant.
    pub first: String,
    /// In the second.
    pub second: String,
}

/// What a plan comes to; single losses are not tried.
pub fn figures(plan: &Plan) -> Figures {
    figures_of(&Arc::new(Study::new(plan.clone())))
}

/// As [`figures`], of a plan that is studied.
pub fn figures_of(study: &Arc<Study>) -> Figures {
    let plan = study.plan();
    let seen = Simulation::of(Arc::clone(study));
    let sum =
        |f: &dyn Fn(usize) -> Energy| -> Energy { seen.a_day((0..plan.parts.len()).map(f).sum()) };
    let given = |at: usize| seen.given(at, seen.from, seen.to);
    let mut cost: BTreeMap<&str, u64> = BTreeMap::new();
    for part in &plan.parts {
        for (material, n) in plan.kind_of(part).map_or(&[][..], |t| &t.cost) {
            let all = cost.entry(material).or_default();
            *all = all.saturating_add(n.saturating_mul(part.count));
        }
    }
    Figures {
        title: plan.title.clone(),
        for_ever: seen.check.for_ever,
        days: seen.check.days,
        day_ms: seen.day_ms,
        duties: duties(&seen),
        available: sum(&|at| given(at).0),
        taken: sum(&|at| given(at).1),
        used: sum(&|at| seen.used(at)),
        batteries: batteries(&seen),
        dusk: dusk(&seen),
        parts: plan.parts.iter().map(|p| p.count).sum(),
        wires: plan.wires.len(),
        cost: cost.into_iter().map(|(m, n)| (m.to_string(), n)).collect(),
        losses: None,
    }
}

/// How many single losses break nothing, and of how many; `watch` is told how many are done, of how many, and answers
/// whether to go on.
pub fn survived(
    plan: &Plan,
    watch: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<(usize, usize)> {
    let whole = super::check(plan);
    let all: Vec<Loss> = all_losses(plan);
    let mut survived = 0;
    for (done, report) in losses(plan, &whole, &all).enumerate() {
        survived += usize::from(report.breaks.is_empty());
        if !watch(done + 1, all.len()) {
            return None;
        }
    }
    Some((survived, all.len()))
}

fn duties(seen: &Simulation) -> Vec<DutyFigures> {
    let one = |(duty, verdict): (&Duty, &super::Verdict)| DutyFigures {
        part: duty.part.clone(),
        name: seen.plan.called(&duty.part),
        when: when_words(duty),
        kept: verdict.kept,
        times: verdict.gaps.len(),
        broken: verdict.gaps.iter().map(|g| g.to - g.from).sum(),
    };
    let pairs = seen.plan.duties.iter().zip(&seen.check.duties);
    pairs.map(one).collect()
}

fn when_words(duty: &Duty) -> String {
    let when = duty.when.in_short();
    let only = if duty.only { ", and only then" } else { "" };
    format!("{when}{only}")
}

fn batteries(seen: &Simulation) -> Vec<LevelFigures> {
    let one = |at: usize| {
        let Some(Spec::Battery { capacity, .. }) = seen.specs[at] else {
            return None;
        };
        let (moment, lowest) = seen
            .levels(at)
            .into_iter()
            .min_by_key(|(t, level)| (*level, *t))?;
        Some(LevelFigures {
            part: seen.id(at).clone(),
            name: seen.name(at),
            lowest,
            at: moment,
            capacity,
        })
    };
    (0..seen.plan.parts.len()).filter_map(one).collect()
}

fn dusk(seen: &Simulation) -> Vec<DuskFigures> {
    let world = &seen.plan.world;
    let dark = Clockwork::of_duty(When::Dark, world, &world.sky());
    // The last day of those that repeat, and the night after it as the first of them had it.
    let day = seen.day_ms;
    let begin = seen.to.saturating_sub(day).max(seen.from);
    let (mut at, mut falls) = (begin, None);
    let mut was = dark.truth(begin);
    while let Some(next) = dark.next(at).filter(|next| *next < seen.to) {
        let is = dark.truth(next);
        if is && !was {
            falls = Some(next);
            break;
        }
        (at, was) = (next, is);
    }
    let mut out: Vec<DuskFigures> = Vec::new();
    let in_the_dark = |d: &&Duty| d.when.is_only(When::Dark);
    for duty in seen.plan.duties.iter().filter(in_the_dark) {
        let Some(part) = seen.place(&duty.part) else {
            continue;
        };
        if out.iter().any(|d| d.part == duty.part) {
            continue;
        }
        let record = seen.journey().record.loads.get(&part);
        let runs = record.map_or(&[][..], |l| l.runs.as_slice());
        let always = runs.iter().any(|(a, b)| *a <= begin && *b >= seen.to);
        let lights = falls.and_then(|dusk| {
            let found = runs.iter().find(|(_, end)| *end > dusk)?;
            Some(found.0)
        });
        out.push(DuskFigures {
            part: duty.part.clone(),
            name: seen.name(part),
            dusk: falls,
            lights,
            always,
        });
    }
    out
}

/// Two variants, row by row.
pub fn rows(a: &Plan, first: &Figures, b: &Plan, second: &Figures) -> Vec<ComparedRow> {
    let mut rows = Vec::new();
    let mut row = |what: &str, first: String, second: String| {
        rows.push(ComparedRow {
            what: what.to_string(),
            first,
            second,
        });
    };
    let both = |say: &dyn Fn(&Plan, &Figures) -> String| (say(a, first), say(b, second));
    let (x, y) = both(&|_, f| {
        let days = if f.days == 1 {
            "1 day".into()
        } else {
            format!("{} days", f.days)
        };
        if f.for_ever { "for ever".into() } else { days }
    });
    row("Holds", x, y);
    let (x, y) = both(&|_, f| format!("{} of {}", f.kept(), f.duties.len()));
    row("Duties kept", x, y);
    for pair in pairs(&first.duties, &second.duties) {
        let one = |d: &DutyFigures| match (d.kept, d.times) {
            (true, _) => "kept".into(),
            (false, 1) => format!("broken once, {}", length(d.broken)),
            (false, n) => format!("broken {n} times, {}", length(d.broken)),
        };
        let [x, y] = [pair.first, pair.second].map(|d| d.map_or("no such duty".into(), one));
        row(&format!("{}, {}", pair.name, pair.when), x, y);
    }
    let energy = |plan: &Plan, energy| plan.book.book.unit.say_energy(energy);
    let (x, y) = both(&|p, f| energy(p, f.available));
    row("Sources could give a day", x, y);
    let (x, y) = both(&|p, f| energy(p, f.taken));
    row("Taken of it", x, y);
    let (x, y) = both(&|p, f| energy(p, f.spilled()));
    row("Spilled", x, y);
    let (x, y) = both(&|p, f| energy(p, f.used));
    row("Loads use a day", x, y);
    for pair in pairs(&first.batteries, &second.batteries) {
        let one = |(plan, figures, level): (&Plan, &Figures, Option<&LevelFigures>)| {
            level.map_or("no such battery".into(), |d| {
                let share = d.lowest * 100 / d.capacity.max(1);
                let when = Clock::at(d.at, figures.day_ms);
                format!("{} ({share} %) at {when}", energy(plan, d.lowest))
            })
        };
        let (x, y) = (one((a, first, pair.first)), one((b, second, pair.second)));
        row(&format!("{}: lowest level", pair.name), x, y);
    }
    for pair in pairs(&first.dusk, &second.dusk) {
        let one = |figures: &Figures, dusk: Option<&DuskFigures>| {
            dusk.map_or("no such duty".into(), |d| lights(d, figures.day_ms))
        };
        let (x, y) = (one(first, pair.first), one(second, pair.second));
        row(&format!("{} lights", pair.name), x, y);
    }
    let (x, y) = both(&|_, f| f.parts.to_string());
    row("Parts, each of a bank counted", x, y);
    let (x, y) = both(&|_, f| f.wires.to_string());
    row("Wires", x, y);
    for material in union(
        first.cost.iter().map(|c| &c.0),
        second.cost.iter().map(|c| &c.0),
    ) {
        let (x, y) = both(&|_, f| {
            let found = f.cost.iter().find(|c| c.0 == material);
            found.map_or(0, |c| c.1).to_string()
        });
        row(&format!("Cost: {material}"), x, y);
    }
    if first.losses.is_some() || second.losses.is_some() {
        let (x, y) = both(&|_, f| {
            // Where no duty is kept, no loss can break one.
            f.losses.map_or("not tried yet".into(), |(survived, all)| {
                match f.duties.is_empty() || f.kept() > 0 {
                    true => format!("{survived} of {all}"),
                    false => "no duty is kept that one could break".into(),
                }
            })
        });
        row("Single losses survived", x, y);
    }
    rows
}

fn lights(dusk: &DuskFigures, day_ms: Ms) -> String {
    match (dusk.dusk, dusk.lights) {
        (_, Some(_)) if dusk.always => "on all day".into(),
        (None, _) => "no dusk".into(),
        (Some(_), None) => "not before midnight".into(),
        (Some(dark), Some(at)) => {
            let clock = |t| Clock::at(t, day_ms);
            format!("at {} (dusk {})", clock(at), clock(dark))
        }
    }
}

/// Something of a part that both variants may have.
trait Named {
    /// The part.
    fn part(&self) -> &PartId;
    /// What it is called.
    fn name(&self) -> &str;
    /// What tells it from others of the same part.
    fn when(&self) -> &str {
        ""
    }
}

impl Named for DutyFigures {
    fn part(&self) -> &PartId {
        &self.part
    }
    fn name(&self) -> &str {
        &self.name
    }
    fn when(&self) -> &str {
        &self.when
    }
}

impl Named for LevelFigures {
    fn part(&self) -> &PartId {
        &self.part
    }
    fn name(&self) -> &str {
        &self.name
    }
}

impl Named for DuskFigures {
    fn part(&self) -> &PartId {
        &self.part
    }
    fn name(&self) -> &str {
        &self.name
    }
}

/// What stands in one row: that of the first variant, that of the second, or both.
struct Pair<'a, T> {
    /// What its part is called, with the part's id where another row has the same words.
    name: String,
    when: String,
    first: Option<&'a T>,
    second: Option<&'a T>,
}

/// What either list has, in the first one's order, then the second's; each once. Two are the same where their parts are,
/// else where they are called alike: a part may have been put in for another.
fn pairs<'a, T: Named>(first: &'a [T], second: &'a [T]) -> Vec<Pair<'a, T>> {
    let mut partner: Vec<Option<usize>> = vec![None; first.len()];
    let mut taken = vec![false; second.len()];
    let same_part = |a: &T, b: &T| a.part() == b.part();
    let same_name = |a: &T, b: &T| a.name() == b.name();
    for alike in [&same_part as &dyn Fn(&T, &T) -> bool, &same_name] {
        for (one, partner) in first.iter().zip(&mut partner) {
            let fits = |at: &usize| {
                let other = &second[*at];
                !taken[*at] && alike(one, other) && one.when() == other.when()
            };
            if partner.is_none() {
                *partner = (0..second.len()).find(fits);
            }
            if let Some(at) = *partner {
                taken[at] = true;
            }
        }
    }
    let both = first.iter().zip(partner);
    let both = both.map(|(one, at)| (one, Some(one), at.map(|at| &second[at])));
    let rest = second.iter().zip(taken).filter(|(_, taken)| !taken);
    let rest = rest.map(|(one, _)| (one, None, Some(one)));
    let mut rows: Vec<Pair<T>> = Vec::new();
    let all: Vec<(&T, Option<&T>, Option<&T>)> = both.chain(rest).collect();
    for (shown, first, second) in all.iter().copied() {
        let alike = |o: &T| o.name() == shown.name() && o.when() == shown.when();
        let is_alone = all.iter().filter(|(o, _, _)| alike(o)).count() == 1;
        rows.push(Pair {
            name: match is_alone {
                true => shown.name().to_string(),
                false => format!("{} ({})", shown.name(), shown.part()),
            },
            when: shown.when().to_string(),
            first,
            second,
        });
    }
    rows
}

/// What either list has, in the first one's order, then the second's; each once.
fn union<'a>(
    first: impl Iterator<Item = &'a String>,
    second: impl Iterator<Item = &'a String>,
) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for one in first.chain(second) {
        if !out.contains(one) {
            out.push(one.clone());
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read_plan;

    /// Two lamps and two cells, none with a name; the second cell begins as full as `start` says.
    fn unnamed(start: u64, lamp: &str, name: &str) -> Plan {
        let text = format!(
            r#"{{"format": "duskline/plan", "version": 1, "book": "outpost", "parts": [
            {{"id": "p1", "type": "generator"}}, {{"id": "p2", "type": "battery-cell"}},
            {{"id": "p3", "type": "battery-cell", "set": {{"start": {start}}}}},
            {{"id": "p4", "type": "lamp"}}, {{"id": "{lamp}", "type": "lamp", "name": "{name}"}}],
            "wires": [{{"id": "w1", "from": "p1.out", "to": "p2.in"}}, {{"id": "w2", "from": "p2.out", "to": "p4.in"}},
            {{"id": "w3", "from": "p3.out", "to": "{lamp}.in"}}],
            "duties": [{{"part": "p4", "when": "dark"}}, {{"part": "{lamp}", "when": "dark"}}]}}"#
        );
        read_plan(&text).expect("it reads")
    }

    fn told(a: &Plan, b: &Plan, of: &str) -> Vec<(String, bool, bool)> {
        let no = |said: &str| said.starts_with("no such");
        rows(a, &figures(a), b, &figures(b))
            .into_iter()
            .filter(|r| r.what.contains(of))
            .map(|r| (r.what, no(&r.first), no(&r.second)))
            .collect()
    }

    #[test]
    fn parts_called_alike_have_a_row_each() {
        let (a, b) = (unnamed(1000, "p5", ""), unnamed(300, "p5", ""));
        let rows = rows(&a, &figures(&a), &b, &figures(&b));
        let of = |what: &str| {
            let row = rows.iter().find(|r| r.what == what).expect(what);
            (row.first.as_str(), row.second.as_str())
        };
        assert_eq!(of("Lamp (p4), dark"), ("kept", "kept"));
        assert!(of("Lamp (p5), dark").1.contains("broken"));
        let cell = |id: &str| (format!("Battery cell ({id}): lowest level"), false, false);
        assert_eq!(told(&a, &b, "lowest level"), [cell("p2"), cell("p3")]);
        assert_eq!(told(&a, &b, "lights").len(), 2);
    }

    #[test]
    fn a_part_renamed_and_a_part_put_in_for_another_of_its_name_keep_their_rows() {
        let both = |what: &str| (what.to_string(), false, false);
        let a = unnamed(300, "p5", "Stair lamp");
        for b in [
            unnamed(300, "p5", "Hall lamp"),
            unnamed(300, "p9", "Stair lamp"),
        ] {
            let duties = [both("Lamp, dark"), both("Stair lamp, dark")];
            assert_eq!(told(&a, &b, ", dark"), duties);
        }
        let other = unnamed(300, "p9", "Hall lamp");
        let duties = [
            both("Lamp, dark"),
            ("Stair lamp, dark".into(), false, true),
            ("Hall lamp, dark".into(), true, false),
        ];
        assert_eq!(told(&a, &other, ", dark"), duties);
    }
}
