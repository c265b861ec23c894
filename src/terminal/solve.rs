//! `duskline solve`: one instant of a plan.

use super::output::{FlowOutput, Keyed, SolveOutput, StateOutput, problems};
use super::{Answer, print, problems_text, table::Table};
use crate::plan::{Clock, Plan};
use crate::run::{self, Flow, Instant, PartState};

/// The instant `at` of day `day`, as JSON or for reading.
pub(super) fn answer(plan: &Plan, at: Clock, day: u64, json: bool) -> Answer {
    let day_ms = plan.world.day_ms();
    let t = (day - 1)
        .saturating_mul(day_ms)
        .saturating_add(at.ms(day_ms));
    let instant = run::at(plan, t);
    let text = if json {
        print(&as_json(plan, &instant))
    } else {
        as_text(plan, &instant, at, day)
    };
    Answer::new(text, &instant.problems)
}

fn as_json<'a>(plan: &'a Plan, instant: &'a Instant) -> SolveOutput<'a> {
    let unit = &plan.book.book.unit;
    let flow = |flow: &Flow| FlowOutput {
        offer: flow.offer,
        take: flow.take,
    };
    let state = |state: &PartState| match *state {
        PartState::Load { runs, .. } => Some(StateOutput::Load { runs }),
        PartState::Battery {
            level,
            output,
            full,
            ..
        } => Some(StateOutput::Battery {
            level: unit.hours(level),
            output,
            full,
        }),
        PartState::Contact { conducts, .. } => Some(StateOutput::Contact { conducts }),
        PartState::Source { .. } | PartState::Plain => None,
    };
    let wires = plan.wires.iter().zip(&instant.wires);
    let parts = plan.parts.iter().zip(&instant.parts);
    SolveOutput {
        t: instant.t,
        wires: Keyed(wires.map(|(w, f)| (w.id.as_str(), flow(f))).collect()),
        parts: Keyed(
            parts
                .filter_map(|(part, s)| Some((part.id.as_str(), state(s)?)))
                .collect(),
        ),
        problems: problems(plan, &instant.problems),
    }
}

fn as_text(plan: &Plan, instant: &Instant, at: Clock, day: u64) -> String {
    let title = if plan.title.is_empty() {
        "A plan without a title"
    } else {
        &plan.title
    };
    let mut parts = Table::new(&["part", "name", "state"]);
    for (part, state) in plan.parts.iter().zip(&instant.parts) {
        parts.row([
            part.id.to_string(),
            plan.called(&part.id),
            words(plan, state),
        ]);
    }
    let mut wires = Table::new(&["wire", "take", "offer", "from", "to"]);
    for (wire, flow) in plan.wires.iter().zip(&instant.wires) {
        let end = |e: &crate::plan::End| format!("{} {}", plan.called(&e.part), e.port);
        wires.row([
            wire.id.to_string(),
            flow.take.to_string(),
            flow.offer.to_string(),
            end(&wire.from),
            end(&wire.to),
        ]);
    }
    let title = title.replace(char::is_control, " ");
    let problems = problems_text(plan, &instant.problems);
    format!("{title}, day {day}, {at}\n\n{parts}\n{wires}\n{problems}")
}

/// What a part does, in words.
fn words(plan: &Plan, state: &PartState) -> String {
    let unit = &plan.book.book.unit;
    let power = |steps| unit.say_power(steps);
    match *state {
        PartState::Source { available, taken } => {
            let spilled = available.saturating_sub(taken);
            let (available, taken) = (power(available), power(taken));
            format!("gives {taken} of {available}, spills {}", power(spilled))
        }
        PartState::Load {
            runs: true, draw, ..
        } => format!("runs on {}", power(draw)),
        PartState::Load { offered: 0, .. } => "off".into(),
        PartState::Load { draw, offered, .. } => {
            format!("short by {}", power(draw.saturating_sub(offered)))
        }
        PartState::Battery {
            level,
            capacity,
            output,
            full,
            taking,
            giving,
            ..
        } => {
            let (level, capacity) = (unit.say_energy(level), unit.say_energy(capacity));
            let more = match (full, output) {
                (true, _) => ", full",
                (_, false) => ", output off",
                _ => "",
            };
            let (taking, giving) = (power(taking), power(giving));
            format!("{level} of {capacity}{more}, takes {taking}, gives {giving}")
        }
        PartState::Contact { held: true, .. } => "held open: it chatters".into(),
        PartState::Contact { conducts: true, .. } => "closed".into(),
        PartState::Contact { .. } => "open".into(),
        PartState::Plain => String::new(),
    }
}
