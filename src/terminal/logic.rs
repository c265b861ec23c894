//! `duskline logic`: a table of every combination of a plan's inputs, and what can come of changing them in turn.

use super::proof_output::{
    ChatterOutput, LogicOutput, LogicRowOutput, OrderOutput, RestOutput, SequencesOutput,
    TrapOutput, WayOutput,
};
use super::{Answer, print, table::Table};
use crate::plan::{Clock, PartId, Plan};
use crate::proof::{Exploration, Explorer, LogicRow, LogicTable, Rest, Rows, Way};
use crate::sheet::losses as words;

/// The table at `at` of day `day` and the findings, as JSON or for reading.
pub(super) fn answer(plan: &Plan, at: Clock, day: u64, json: bool) -> Answer {
    let day_ms = plan.world.day_ms();
    let t = (day - 1)
        .saturating_mul(day_ms)
        .saturating_add(at.ms(day_ms));
    let rows = Rows::new(plan, t);
    let table = rows.table().clone();
    let rows: Vec<LogicRow> = rows.collect();
    let mut explorer = Explorer::new(plan, t);
    while explorer.step() {}
    let found = explorer.findings();
    let text = if json {
        print(&as_json(&table, &rows, &found))
    } else {
        as_text(plan, &table, &rows, &found)
    };
    Answer::new(text, &[])
}

fn changes(ways: &[Way]) -> Vec<WayOutput<'_>> {
    ways.iter().map(change).collect()
}

fn change(way: &Way) -> WayOutput<'_> {
    match way {
        Way::Input(input, truth) => {
            let truth = *truth;
            WayOutput::Input { input, truth }
        }
        Way::Dark => WayOutput::Sky { sky: "dark" },
        Way::Bright => WayOutput::Sky { sky: "bright" },
        Way::AsNow => WayOutput::Sky { sky: "now" },
    }
}

fn as_json<'a>(
    table: &'a LogicTable,
    rows: &'a [LogicRow],
    found: &'a Exploration,
) -> LogicOutput<'a> {
    let rest = |rest: &'a Rest| match rest {
        Rest::Settled => RestOutput::Settled,
        Rest::Chatters(contacts) => RestOutput::Chatters(contacts),
        Rest::Restless => RestOutput::Restless,
    };
    let row = |row: &'a LogicRow| LogicRowOutput {
        inputs: &row.inputs,
        runs: &row.runs,
        conducts: &row.conducts,
        rest: rest(&row.rest),
    };
    LogicOutput {
        t: table.t,
        inputs: table.inputs.iter().map(|input| &input.part).collect(),
        left_out: &table.left_out,
        loads: &table.loads,
        contacts: &table.contacts,
        now: table.now,
        rows: rows.iter().map(row).collect(),
        sequences: sequences_json(found),
    }
}

fn sequences_json(found: &Exploration) -> SequencesOutput<'_> {
    let traps = found.traps.iter().map(|trap| TrapOutput {
        way: changes(&trap.way),
        contacts: &trap.stay,
        loads: &trap.loads,
    });
    let chatters = found.chatters.iter().map(|chatter| ChatterOutput {
        way: changes(&chatter.way),
        contacts: &chatter.contacts,
    });
    let order = found.order.iter().map(|order| OrderOutput {
        load: &order.load,
        runs: changes(&order.runs),
        rests: changes(&order.rests),
    });
    SequencesOutput {
        states: found.states,
        complete: found.complete,
        traps: traps.collect(),
        never_run: &found.never_run,
        never_close: &found.never_close,
        chatters: chatters.collect(),
        order_matters: order.collect(),
    }
}

fn as_text(plan: &Plan, table: &LogicTable, rows: &[LogicRow], found: &Exploration) -> String {
    let names = |list: &[PartId]| list.iter().map(|id| plan.called(id)).collect::<Vec<_>>();
    let joined = |list: Vec<String>, none: &str| match list.is_empty() {
        true => none.to_string(),
        false => list.join(", "),
    };
    let inputs: Vec<PartId> = table.inputs.iter().map(|i| i.part.clone()).collect();
    let mut text = format!("Inputs: {}\n", joined(names(&inputs), "none"));
    if !table.left_out.is_empty() {
        text.push_str(&format!(
            "Left as they are: {}\n",
            joined(names(&table.left_out), "")
        ));
    }
    let mut lines = Table::new(&[
        "",
        "true",
        "loads that run",
        "contacts that conduct",
        "comes to rest",
    ]);
    for (at, row) in rows.iter().enumerate() {
        let those = |list: &[PartId], which: &[bool]| {
            let chosen = list.iter().zip(which).filter(|(_, is)| **is);
            joined(chosen.map(|(id, _)| plan.called(id)).collect(), "-")
        };
        let rest = match &row.rest {
            Rest::Settled => "yes".to_string(),
            Rest::Chatters(contacts) => format!("no: {} chatters", joined(names(contacts), "")),
            Rest::Restless => "no: timers go on".into(),
        };
        let now = if at == table.now { "now" } else { "" };
        lines.row([
            now.to_string(),
            those(&inputs, &row.inputs),
            those(&table.loads, &row.runs),
            those(&table.contacts, &row.conducts),
            rest,
        ]);
    }
    text.push_str(&format!("\n{lines}\n{}", sequences(plan, found)));
    text
}

fn sequences(plan: &Plan, found: &Exploration) -> String {
    let all = match found.complete {
        true => "all there are",
        false => "there are more",
    };
    let mut text = format!(
        "Changing one input after the other comes to {} settled {}, {all}.\n",
        found.states,
        if found.states == 1 { "state" } else { "states" }
    );
    let said = (found.traps.iter().map(|t| words::trap(plan, t)))
        .chain(found.chatters.iter().map(|c| words::chatter(plan, c)))
        .chain(found.order.iter().map(|o| words::order(plan, o)));
    said.for_each(|line| text.push_str(&format!("{line}\n")));
    let mut never = |list: &[PartId], does: &str| {
        for id in list {
            text.push_str(&format!("{} never {does}.\n", plan.called(id)));
        }
    };
    never(&found.never_run, "runs");
    never(&found.never_close, "closes");
    text
}
