//! `duskline day`: whole days of a plan.

use super::output::{
    BatteryOutput, ContactOutput, DayOutput, EventOutput, Keyed, LoadOutput, SourceOutput, problems,
};
use super::{Answer, print, problems_text, table::Table};
use crate::plan::{Clock, Plan};
use crate::quantity::{Ms, Short};
use crate::run::{self, BatteryRecord, ContactRecord, Event, LoadRecord, Record, SourceRecord};

/// A run over `days` days, as JSON or for reading.
pub(super) fn answer(plan: &Plan, days: u64, json: bool) -> Answer {
    let record = run::run(plan, days);
    let text = if json {
        print(&as_json(plan, &record))
    } else {
        as_text(plan, &record, days)
    };
    Answer::new(text, &record.problems)
}

fn as_json<'a>(plan: &'a Plan, record: &'a Record) -> DayOutput<'a> {
    let hours = |energy| plan.book.book.unit.hours(energy);
    let id = |part: usize| plan.parts[part].id.as_str();
    let event = |e: &Event| EventOutput {
        t: e.t,
        part: id(e.place()),
        what: e.what.word(),
    };
    let load = |load: &'a LoadRecord| LoadOutput {
        runs: &load.runs,
        energy: hours(load.energy),
    };
    let battery = |battery: &BatteryRecord| BatteryOutput {
        level: battery.level.iter().map(|(t, x)| (*t, hours(*x))).collect(),
        taken: hours(battery.taken),
        given: hours(battery.given),
        lost: hours(battery.lost),
    };
    let source = |source: &SourceRecord| SourceOutput {
        available: hours(source.available),
        taken: hours(source.taken),
    };
    let contact = |contact: &'a ContactRecord| ContactOutput {
        conducts: &contact.conducts,
    };
    let loads = record.loads.iter().map(|(p, r)| (id(*p), load(r)));
    let batteries = record.batteries.iter().map(|(p, r)| (id(*p), battery(r)));
    let sources = record.sources.iter().map(|(p, r)| (id(*p), source(r)));
    let contacts = record.contacts.iter().map(|(p, r)| (id(*p), contact(r)));
    DayOutput {
        ended: match record.complete {
            true => "complete",
            false => "too-many-events",
        },
        events: record.events.iter().map(event).collect(),
        loads: Keyed(loads.collect()),
        batteries: Keyed(batteries.collect()),
        sources: Keyed(sources.collect()),
        contacts: Keyed(contacts.collect()),
        problems: problems(plan, &record.problems),
    }
}

fn as_text(plan: &Plan, record: &Record, days: u64) -> String {
    let day_ms = plan.world.day_ms();
    let name = |part: usize| plan.called(&plan.parts[part].id);
    let mut events = Table::new(&["day", "dial", "ms", "part", "what"]);
    for e in &record.events {
        events.row([
            (e.t / day_ms + 1).to_string(),
            Clock::at(e.t, day_ms).to_string(),
            e.t.to_string(),
            name(e.place()),
            e.what.word().to_string(),
        ]);
    }
    let title = if plan.title.is_empty() {
        "A plan without a title".into()
    } else {
        plan.title.replace(char::is_control, " ")
    };
    let head = format!("{title}, {days} {}", if days == 1 { "day" } else { "days" });
    let stopped = if record.complete {
        ""
    } else {
        "Stopped early: more events than a run takes in.\n\n"
    };
    let events = if events.is_empty() {
        "No events.\n".into()
    } else {
        events.to_string()
    };
    let totals = totals(plan, record);
    let problems = problems_text(plan, &record.problems);
    format!("{head}\n\n{stopped}{events}\n{totals}\n{problems}")
}

/// A line for each source, battery, load and contact.
fn totals(plan: &Plan, record: &Record) -> String {
    let (unit, day_ms) = (&plan.book.book.unit, plan.world.day_ms());
    let say = |energy| unit.say_energy(energy);
    // Hours of the dial, of which every day has 24.
    let hours = |stretches: &[(Ms, Ms)]| {
        let ms: Ms = stretches.iter().map(|(from, to)| to - from).sum();
        let of_dial = ms as f64 * 24.0 / day_ms as f64;
        Short((of_dial * 100.0).round() / 100.0).to_string()
    };
    let mut table = Table::new(&["part", "name", "total"]);
    for (index, part) in plan.parts.iter().enumerate() {
        let total = if let Some(s) = record.sources.get(&index) {
            let (taken, available) = (say(s.taken), say(s.available));
            format!(
                "{taken} taken of {available}, {} spilled",
                say(s.available - s.taken)
            )
        } else if let Some(b) = record.batteries.get(&index) {
            let (taken, given, lost) = (say(b.taken), say(b.given), say(b.lost));
            let figures = b.figures();
            let (low, at) = figures.lowest;
            format!(
                "{taken} in, {given} out, {lost} lost; lowest {} on day {} at {}, {} at the end",
                say(low),
                at / day_ms + 1,
                Clock::at(at, day_ms),
                say(figures.last)
            )
        } else if let Some(l) = record.loads.get(&index) {
            format!(
                "ran {} h on {}, short {} h, {} starts",
                hours(&l.runs),
                say(l.energy),
                hours(&l.short),
                l.figures().starts
            )
        } else if let Some(c) = record.contacts.get(&index) {
            format!(
                "closed {} h, closings {}",
                hours(&c.conducts),
                c.figures().starts
            )
        } else {
            continue;
        };
        table.row([part.id.to_string(), plan.called(&part.id), total]);
    }
    table.to_string()
}
