//! The cable schedule in words: what stands in each of its columns, and the schedule as a plain text that can be sent.

use super::text_table::TextTable;
use crate::clock::moment;
use crate::plan::{End, Plan};
use crate::quantity::Short;
use crate::works::{Cable, CableSchedule};

/// One cable, column by column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CableSaid {
    /// The part and the port that it comes from.
    pub from: String,
    /// The part and the port that it goes to.
    pub to: String,
    /// The most that it carries, with the book's unit.
    pub most: String,
    /// When first; `never` where it carries nothing.
    pub at: String,
    /// How many metres long it is; empty where that is not known.
    pub metres: String,
    /// How many of them are exposed; empty where that is not known.
    pub exposed: String,
    /// By which way it goes; empty where that is not known.
    pub run: String,
}

impl CableSaid {
    /// A cable of the plan's schedule.
    pub fn of(plan: &Plan, cable: &Cable) -> CableSaid {
        let end = |end: &End| format!("{} {}", plan.called(&end.part), end.port);
        let metres = |length: Option<f64>| length.map(|m| Short(m).to_string());
        CableSaid {
            from: end(&cable.from),
            to: end(&cable.to),
            most: plan.book.book.unit.say_power(cable.most),
            at: match cable.most {
                0 => "never".into(),
                _ => moment(cable.at, plan.world.day_ms()),
            },
            metres: metres(cable.metres).unwrap_or_default(),
            exposed: metres(cable.exposed).unwrap_or_default(),
            run: cable.run.clone().unwrap_or_default(),
        }
    }
}

/// Whether it is known of any cable how long it is.
pub fn has_lengths(schedule: &CableSchedule) -> bool {
    schedule.cables.iter().any(|cable| cable.metres.is_some())
}

/// How many cables there are, and how long together: `7 cables, 41.5 m in all.`
pub fn cables_sum(schedule: &CableSchedule) -> String {
    let count = schedule.cables.len();
    let cables = if count == 1 { "cable" } else { "cables" };
    let known: Vec<f64> = schedule.cables.iter().filter_map(|c| c.metres).collect();
    // Lengths are whole millimetres.
    let metres = Short((known.iter().sum::<f64>() * 1000.0).round() / 1000.0);
    match (known.len(), count - known.len()) {
        (0, _) => format!("{count} {cables}."),
        (_, 0) => format!("{count} {cables}, {metres} m in all."),
        (_, without) => {
            format!("{count} {cables}, {metres} m in all, not counting {without} without a run.")
        }
    }
}

/// The schedule as plain text, a row each cable; lengths and runs only where any is known.
pub fn cables_text(plan: &Plan, schedule: &CableSchedule) -> String {
    if schedule.cables.is_empty() {
        return "The plan has no wires.\n".into();
    }
    let rows = schedule.cables.iter().map(|cable| {
        let (number, wire) = (cable.number.to_string(), cable.wire.to_string());
        (number, wire, CableSaid::of(plan, cable))
    });
    if !has_lengths(schedule) {
        let mut table = TextTable::new(&["number", "wire", "from", "to", "most", "first at"]);
        for (number, wire, said) in rows {
            table.row([number, wire, said.from, said.to, said.most, said.at]);
        }
        return table.to_string();
    }
    let mut table = TextTable::new(&[
        "number", "wire", "from", "to", "most", "first at", "metres", "exposed", "run",
    ]);
    for (number, wire, said) in rows {
        table.row([
            number,
            wire,
            said.from,
            said.to,
            said.most,
            said.at,
            said.metres,
            said.exposed,
            said.run,
        ]);
    }
    table.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{examples, read_plan};

    fn example(called: &str) -> Plan {
        let (_, text) = examples()
            .iter()
            .find(|(name, _)| name.starts_with(called))
            .expect("the example");
        read_plan(text).expect("an example reads")
    }

    #[test]
    fn a_cable_is_said_by_names_and_ports_and_one_that_never_carries_says_never() {
        let plan = example("Dusk lamp");
        let mut schedule = CableSchedule::of(&plan, &mut |_| {});
        let said = CableSaid::of(&plan, &schedule.cables[0]);
        assert!(
            said.from.ends_with(" out") && said.to.ends_with(" in"),
            "{said:?}"
        );
        assert!(said.most.ends_with(" u") && said.at != "never", "{said:?}");
        schedule.cables[0].most = 0;
        let said = CableSaid::of(&plan, &schedule.cables[0]);
        assert_eq!((said.most.as_str(), said.at.as_str()), ("0 u", "never"));
    }

    #[test]
    fn the_sum_says_what_of_it_is_known() {
        let mut schedule = CableSchedule::of(&example("Dusk lamp"), &mut |_| {});
        for cable in &mut schedule.cables {
            cable.metres = None;
        }
        assert_eq!(cables_sum(&schedule), "6 cables.");
        schedule.cables[0].metres = Some(0.1);
        schedule.cables[1].metres = Some(0.2);
        assert_eq!(
            cables_sum(&schedule),
            "6 cables, 0.3 m in all, not counting 4 without a run."
        );
        schedule.cables.truncate(1);
        assert_eq!(cables_sum(&schedule), "1 cable, 0.1 m in all.");
    }
}
