//! `duskline diagnose`: from readings to the single faults that explain them all, and the reading to take next.

use super::table::Table;
use super::{Answer, print};
use crate::diagnosis::{
    BaseReading, Diagnosis, FaultSearch, FaultShare, Readable, SingleFault, next_says,
    outcome_says, read_what, reading_of_text, shown, when,
};
use crate::plan::{PartId, Plan, WireId};
use crate::quantity::number;
use crate::read::Fault;
use serde::Serialize;
use serde_json::Value;
use std::fmt::Write;

#[derive(Serialize)]
struct DiagnosisOutput<'a> {
    faults: Vec<FaultOutput<'a>>,
    next: Option<NextOutput<'a>>,
    sound: bool,
}

#[derive(Serialize)]
struct FaultOutput<'a> {
    #[serde(flatten)]
    fault: SingleFaultOutput<'a>,
    says: String,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
enum SingleFaultOutput<'a> {
    Missing {
        wire: &'a WireId,
    },
    Exchanged {
        wires: &'a [WireId; 2],
    },
    Port {
        wire: &'a WireId,
        port: String,
    },
    Reversed {
        part: &'a PartId,
    },
    Contact {
        part: &'a PartId,
    },
    Setting {
        part: &'a PartId,
        name: &'a str,
        value: Value,
    },
    Dead {
        part: &'a PartId,
    },
}

#[derive(Serialize)]
struct NextOutput<'a> {
    read: &'a str,
    at: String,
    /// How many faults are left at the most.
    left: usize,
}

/// The faults that explain the readings, as JSON or for reading.
pub(super) fn answer(plan: &Plan, readings: &[String], json: bool) -> Result<Answer, String> {
    let (mut read, mut faults) = (Vec::new(), String::new());
    for text in readings {
        match reading_of_text(plan, text) {
            Ok(reading) => read.push(reading),
            Err(wrong) => {
                let lines = wrong.iter().map(|fault| format!("--read {fault}\n"));
                faults.extend(lines);
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let lines = |faults: Vec<Fault>| super::lines("--read", &faults);
    let found = all_hands(plan, &read).map_err(lines)?;
    let text = if json {
        print(&as_json(plan, &found))
    } else {
        as_text(plan, &read, &found)
    };
    Ok(Answer::new(text, &[]))
}

/// The faults shared out to as many hands as the machine has, which makes no other answer.
fn all_hands(plan: &Plan, readings: &[BaseReading]) -> Result<Diagnosis, Vec<Fault>> {
    let hands = std::thread::available_parallelism().map_or(1, usize::from);
    let one = |hand: usize| -> Result<FaultShare, Vec<Fault>> {
        let mut search = FaultSearch::new(plan, readings)?.share(hand, hands);
        while !search.go(u64::MAX) {}
        Ok(search.finish())
    };
    let shares: Result<Vec<FaultShare>, Vec<Fault>> = std::thread::scope(|scope| {
        let one = &one;
        let others: Vec<_> = (1..hands)
            .map(|hand| scope.spawn(move || one(hand)))
            .collect();
        let join = |other: std::thread::ScopedJoinHandle<'_, _>| {
            other
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
        };
        let first = one(0);
        std::iter::once(first)
            .chain(others.into_iter().map(join))
            .collect()
    });
    Ok(Diagnosis::of(plan, shares?))
}

fn fault(fault: &SingleFault) -> SingleFaultOutput<'_> {
    match fault {
        SingleFault::Missing { wire } => SingleFaultOutput::Missing { wire },
        SingleFault::Exchanged { wires } => SingleFaultOutput::Exchanged { wires },
        SingleFault::Port { wire, port } => SingleFaultOutput::Port {
            wire,
            port: port.to_string(),
        },
        SingleFault::Reversed { part } => SingleFaultOutput::Reversed { part },
        SingleFault::Contact { part } => SingleFaultOutput::Contact { part },
        SingleFault::Setting { part, name, value } => SingleFaultOutput::Setting {
            part,
            name,
            value: number(*value),
        },
        SingleFault::Dead { part } => SingleFaultOutput::Dead { part },
    }
}

fn as_json<'a>(plan: &Plan, found: &'a Diagnosis) -> DiagnosisOutput<'a> {
    let faults = found.faults.iter().map(|single| FaultOutput {
        fault: fault(single),
        says: single.says(plan),
    });
    DiagnosisOutput {
        faults: faults.collect(),
        next: found.next.as_ref().map(|next| NextOutput {
            read: next.of.id(),
            at: next.at.to_string(),
            left: next.left,
        }),
        sound: found.sound,
    }
}

fn as_text(plan: &Plan, readings: &[BaseReading], found: &Diagnosis) -> String {
    let plain = |text: String| text.replace(char::is_control, " ");
    let mut text = String::new();
    let mut table = Table::new(&["read", "when", "shows", "by the plan"]);
    for (reading, drawn) in readings.iter().zip(&found.drawn) {
        let what = match &reading.of {
            Readable::Part(_) => read_what(plan, &reading.of),
            Readable::Wire(id) => format!("{id}: {}", read_what(plan, &reading.of)),
        };
        let (shows, drawn) = (shown(plan, reading.shows), shown(plan, *drawn));
        table.row([what, when(plan, reading.at), shows, drawn]);
    }
    if !table.is_empty() {
        let _ = writeln!(text, "{table}");
    }
    let _ = writeln!(text, "{}", outcome_says(found));
    for (at, fault) in found.faults.iter().enumerate() {
        let _ = writeln!(text, "{}. {}", at + 1, plain(fault.says(plan)));
    }
    if let Some(next) = next_says(plan, found) {
        let _ = writeln!(text, "\n{}", plain(next));
    }
    text
}
