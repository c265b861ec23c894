//! What has changed from one state of a walk to the next, in words: counted in one line, or told in whole sentences without
//! any run.

use crate::net::words::list;
use crate::plan::{Changed, Edit, Part, PartId, Plan, StateEdits, Wire};
use crate::works::SettingWords;
use serde_json::Value;
use std::collections::BTreeSet;

/// So many names are told one by one.
const NAMES: usize = 4;

/// What edits do, counted: `2 parts more, 1 wire less, 1 setting otherwise`; `nothing` where there are none.
pub fn counted_changes(edits: &StateEdits) -> String {
    let count = |is: fn(&Edit) -> bool| edits.as_slice().iter().filter(|edit| is(edit)).count();
    let counts = [
        (
            count(|e| matches!(e, Edit::AddPart(..))),
            "part more",
            "parts more",
        ),
        (
            count(|e| matches!(e, Edit::RemovePart(_))),
            "part less",
            "parts less",
        ),
        (
            count(|e| matches!(e, Edit::AddWire(..))),
            "wire more",
            "wires more",
        ),
        (
            count(|e| matches!(e, Edit::RemoveWire(_))),
            "wire less",
            "wires less",
        ),
        (
            count(|e| matches!(e, Edit::Set(..) | Edit::Count(..) | Edit::Reach(..))),
            "setting otherwise",
            "settings otherwise",
        ),
        (
            count(|e| matches!(e, Edit::Rename(..))),
            "other name",
            "other names",
        ),
        (
            count(|e| matches!(e, Edit::MovePart(..) | Edit::Bend(..))),
            "move on the board",
            "moves on the board",
        ),
        (
            count(|e| matches!(e, Edit::Hang(..) | Edit::Lead(..) | Edit::Site(_))),
            "change of the site",
            "changes of the site",
        ),
    ];
    let all = counts.iter().filter(|(count, ..)| *count > 0);
    let mut said: Vec<String> = all
        .map(|(count, one, more)| format!("{count} {}", if *count == 1 { one } else { more }))
        .collect();
    let has = |is: fn(&Edit) -> bool| edits.as_slice().iter().any(is);
    for (is, word) in [
        (has(|e| matches!(e, Edit::Duties(_))), "other duties"),
        (
            has(|e| matches!(e, Edit::World(_) | Edit::Follow(_))),
            "another world",
        ),
        (has(|e| matches!(e, Edit::Book(_))), "another book"),
        (
            has(|e| matches!(e, Edit::Title(_) | Edit::Notes(_))),
            "other words about the plan",
        ),
    ] {
        if is {
            said.push(word.into());
        }
    }
    match said.is_empty() {
        true => "nothing".into(),
        false => said.join(", "),
    }
}

/// Names as one reads them out: `A, B and C`; of many only the first.
pub(super) fn named(names: &[String]) -> String {
    let told = match names.len() {
        all if all <= NAMES => all,
        _ => NAMES - 1,
    };
    let rest = match names.len() - told {
        0 => None,
        rest => Some(format!("{rest} more")),
    };
    let all: Vec<String> = names[..told].iter().cloned().chain(rest).collect();
    list(&all)
}

fn is_or_are(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

/// Sentences on what has changed but for parts and wires that came, and for the duties of `told`; none where nothing else
/// has.
pub(super) fn other_changes(before: &Plan, after: &Plan, told: &BTreeSet<PartId>) -> Vec<String> {
    let mut says = Vec::new();
    let gone = before
        .parts
        .iter()
        .filter(|part| after.part(&part.id).is_none());
    let gone: Vec<String> = gone.map(|part| before.called(&part.id)).collect();
    if !gone.is_empty() {
        says.push(format!(
            "{} {} taken away.",
            named(&gone),
            is_or_are(gone.len())
        ));
    }
    for part in &after.parts {
        if let Some(was) = before.part(&part.id) {
            part_changes(before, after, (was, part), &mut says);
        }
    }
    wire_changes(before, after, &mut says);
    duty_changes(before, after, told, &mut says);
    plan_changes(before, after, &mut says);
    says
}

fn part_changes(before: &Plan, after: &Plan, (was, is): (&Part, &Part), says: &mut Vec<String>) {
    let name = after.called(&is.id);
    if was.name != is.name {
        says.push(format!(
            "{} is called {name} from here on.",
            before.called(&is.id)
        ));
    }
    if was.kind != is.kind {
        let label = after
            .kind_of(is)
            .map_or(is.kind.as_str(), |kind| &kind.label);
        says.push(format!("{name} is of another type now: {label}."));
    }
    if was.count != is.count {
        says.push(format!(
            "{name} stands for {} now, where it stood for {}.",
            is.count, was.count
        ));
    }
    let keys: BTreeSet<&String> = was.set.keys().chain(is.set.keys()).collect();
    for key in keys {
        let value = |plan: &Plan, part: &Part| {
            let book = plan
                .kind_of(part)
                .and_then(|kind| kind.set.get(key).cloned());
            part.set.get(key).cloned().or(book)
        };
        let (from, to) = (value(before, was), value(after, is));
        if from != to {
            says.push(setting_change(after, is, key, (from, to)));
        }
    }
    if was.reach != is.reach {
        says.push(format!("Who can reach {name} is said otherwise now."));
    }
    if was.hangs != is.hangs {
        says.push(match is.hangs {
            Some(_) if was.hangs.is_some() => format!("{name} hangs elsewhere in the site now."),
            Some(_) => format!("{name} has a place in the site now."),
            None => format!("{name} has no place in the site any more."),
        });
    }
}

/// `Dusk tap sets aside 3 u now, where it set aside 1 u.`
fn setting_change(
    plan: &Plan,
    part: &Part,
    key: &str,
    (from, to): (Option<Value>, Option<Value>),
) -> String {
    let name = |id: &PartId| plan.called(id);
    SettingWords::new(plan, &name).changed(&part.id, key, (from.as_ref(), to.as_ref()))
}

fn wire_changes(before: &Plan, after: &Plan, says: &mut Vec<String>) {
    let stays = |wire: &&Wire| {
        let ends = [&wire.from.part, &wire.to.part];
        ends.into_iter()
            .all(|id| before.part(id).is_some() && after.part(id).is_some())
    };
    let other = |wire: &Wire, plan: &Plan| {
        let there = plan.wire(&wire.id);
        there.is_none_or(|there| there.from != wire.from || there.to != wire.to)
    };
    let ends =
        |plan: &Plan, wire: &Wire| (plan.called(&wire.from.part), plan.called(&wire.to.part));
    let cut = before
        .wires
        .iter()
        .filter(stays)
        .filter(|wire| other(wire, after));
    let cut: Vec<_> = cut.map(|wire| ends(before, wire)).collect();
    match &cut[..] {
        [] => {}
        [(from, to)] => says.push(format!("The wire from {from} to {to} is taken away.")),
        more => says.push(format!("{} wires are taken away.", more.len())),
    }
    let new = after
        .wires
        .iter()
        .filter(stays)
        .filter(|wire| other(wire, before));
    let new: Vec<_> = new.map(|wire| ends(after, wire)).collect();
    match new.len() {
        0..=3 => says.extend(
            new.iter()
                .map(|(from, to)| format!("A wire leads from {from} to {to} now.")),
        ),
        more => says.push(format!(
            "{more} wires more join parts that stood here before."
        )),
    }
}

fn duty_changes(before: &Plan, after: &Plan, told: &BTreeSet<PartId>, says: &mut Vec<String>) {
    let there = |part: &PartId, plan: &Plan| plan.part(part).is_some();
    for duty in after
        .duties
        .iter()
        .filter(|duty| !before.duties.contains(duty) && !told.contains(&duty.part))
    {
        let name = after.called(&duty.part);
        let only = if duty.only { " and only then" } else { "" };
        says.push(format!(
            "{name} must run {}{only} from here on.",
            duty.when.said()
        ));
    }
    let is_gone = |part: &PartId| !after.duties.iter().any(|duty| duty.part == *part);
    let gone: BTreeSet<&PartId> = before.duties.iter().map(|duty| &duty.part).collect();
    for part in gone
        .into_iter()
        .filter(|part| is_gone(part) && there(part, after))
    {
        says.push(format!("{} has no duty any more.", after.called(part)));
    }
}

fn plan_changes(before: &Plan, after: &Plan, says: &mut Vec<String>) {
    let changes = before.numbers().changes(&after.numbers());
    let fields = changes.iter().filter_map(|change| match &change.what {
        Changed::World(field) => Some(world_word(field)),
        _ => None,
    });
    let mut seen = BTreeSet::new();
    let fields: Vec<String> = fields
        .filter(|word| seen.insert(*word))
        .map(String::from)
        .collect();
    if !fields.is_empty() {
        let other = match fields.len() {
            1 => "is otherwise",
            _ => "are otherwise",
        };
        let words = named(&fields);
        says.push(format!(
            "The world is another from here on: {words} {other}."
        ));
    }
    if before.book != after.book {
        says.push("The book of part types is another from here on.".into());
    }
    if before.site != after.site {
        says.push("The site is another from here on.".into());
    }
    if before.title != after.title {
        says.push(match after.title.is_empty() {
            true => "The plan has no title any more.".into(),
            false => format!("The plan is called {} from here on.", after.title),
        });
    }
    if before.notes != after.notes {
        says.push("The notes of the plan say something else now.".into());
    }
}

/// A field of a world's file in words.
fn world_word(field: &str) -> &'static str {
    match field {
        "day_s" => "the length of its day",
        "latitude" | "day_of_year" | "rise" | "set" | "rise_azimuth" | "highest" => "its sun",
        "air" => "its air",
        "weather" => "its weather",
        "wind" => "its wind",
        "home" => "the hours at which somebody is home",
        _ => "something else about it",
    }
}
