//! `duskline logic`: a table of every combination of a plan's inputs, and what can come of changing them in turn.

use super::{Answer, print, table::Table};
use crate::plan::{Clock, PartId, Plan};
use crate::proof::{Exploration, Explorer, LogicRow, LogicTable, Rest, Rows, Way};
use crate::sheet::losses as words;
use serde_json::{Value, json};

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

fn ids(list: &[PartId]) -> Vec<&str> {
    list.iter().map(|id| id.as_str()).collect()
}

fn way_json(ways: &[Way]) -> Value {
    let one = |way: &Way| match way {
        Way::Input(id, truth) => json!({ "input": id.as_str(), "true": truth }),
        Way::Dark => json!({ "sky": "dark" }),
        Way::Bright => json!({ "sky": "bright" }),
        Way::AsNow => json!({ "sky": "now" }),
    };
    ways.iter().map(one).collect()
}

fn as_json(table: &LogicTable, rows: &[LogicRow], found: &Exploration) -> Value {
    let rest = |rest: &Rest| match rest {
        Rest::Settled => json!("settled"),
        Rest::Chatters(contacts) => json!({ "chatters": ids(contacts) }),
        Rest::Restless => json!("restless"),
    };
    let row = |r: &LogicRow| json!({ "inputs": r.inputs, "runs": r.runs, "conducts": r.conducts, "rest": rest(&r.rest) });
    let stay = |list: &[(PartId, bool)]| -> Value {
        list.iter()
            .map(|(id, does)| json!([id.as_str(), does]))
            .collect()
    };
    let traps = found.traps.iter().map(
        |t| json!({ "way": way_json(&t.way), "contacts": stay(&t.stay), "loads": stay(&t.loads) }),
    );
    let chatters = found.chatters.iter();
    let chatters =
        chatters.map(|c| json!({ "way": way_json(&c.way), "contacts": ids(&c.contacts) }));
    let order = found.order.iter().map(
        |o| json!({ "load": o.load.as_str(), "runs": way_json(&o.runs), "rests": way_json(&o.rests) }),
    );
    let inputs = table.inputs.iter().map(|i| i.part.as_str());
    json!({
        "t": table.t,
        "inputs": inputs.collect::<Vec<_>>(),
        "left_out": ids(&table.left_out),
        "loads": ids(&table.loads),
        "contacts": ids(&table.contacts),
        "now": table.now,
        "rows": rows.iter().map(row).collect::<Vec<_>>(),
        "sequences": {
            "states": found.states,
            "complete": found.complete,
            "traps": traps.collect::<Vec<_>>(),
            "never_run": ids(&found.never_run),
            "never_close": ids(&found.never_close),
            "chatters": chatters.collect::<Vec<_>>(),
            "order_matters": order.collect::<Vec<_>>(),
        },
    })
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
