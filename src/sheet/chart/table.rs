//! What a lane draws, as a table of words for who can't see it: times on the dial, powers and levels in the book's unit.
//! It computes no power.

use crate::quantity::{Energy, Ms, Unit};
use crate::run::Record;
use crate::sheet::words::precise;

/// So many rows are written; a switch that flickers has more than anybody reads.
const MOST: usize = 200;

/// A table of one part's lane.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LaneTable {
    /// What the columns hold.
    pub heads: &'static [&'static str],
    /// The rows, in the order of time; each has as many cells as there are heads.
    pub rows: Vec<Vec<String>>,
    /// How many rows more there are.
    pub more: usize,
}

impl LaneTable {
    /// The lane of the part at `place` of the record; nothing where that has no lane.
    pub fn of(record: &Record, place: usize, day_ms: Ms, unit: &Unit) -> Option<LaneTable> {
        let moment = |t: Ms| format!("Day {}, {}", t / day_ms.max(1) + 1, precise(t, day_ms));
        if let Some(load) = record.loads.get(&place) {
            let runs = load.runs.iter().map(|at| (*at, "runs"));
            let mut all: Vec<_> = runs
                .chain(load.short.iter().map(|at| (*at, "short")))
                .collect();
            all.sort_unstable();
            let row = |((from, to), what): &((Ms, Ms), &str)| {
                vec![moment(*from), moment(*to), what.to_string()]
            };
            return Some(LaneTable::new(&["From", "To", "Load"], &all, row));
        }
        if let Some(contact) = record.contacts.get(&place) {
            let row = |(from, to): &(Ms, Ms)| vec![moment(*from), moment(*to)];
            return Some(LaneTable::new(
                &["Closed from", "To"],
                &contact.conducts,
                row,
            ));
        }
        if let Some(battery) = record.batteries.get(&place) {
            let row = |(t, level): &(Ms, Energy)| vec![moment(*t), unit.say_energy(*level)];
            return Some(LaneTable::new(&["At", "Level"], &battery.level, row));
        }
        let source = record.sources.get(&place)?;
        let all = both(&source.could, &source.gives);
        let row = |(t, could, gives): &(Ms, u64, u64)| {
            vec![moment(*t), unit.say_power(*could), unit.say_power(*gives)]
        };
        Some(LaneTable::new(&["From", "Could give", "Taken"], &all, row))
    }

    fn new<T>(
        heads: &'static [&'static str],
        all: &[T],
        row: impl Fn(&T) -> Vec<String>,
    ) -> LaneTable {
        LaneTable {
            heads,
            rows: all.iter().take(MOST).map(row).collect(),
            more: all.len().saturating_sub(MOST),
        }
    }
}

/// Both values at each moment at which one of them changes.
fn both(could: &[(Ms, u64)], gives: &[(Ms, u64)]) -> Vec<(Ms, u64, u64)> {
    let mut all: Vec<(Ms, u64, u64)> = Vec::new();
    let (mut a, mut b) = (could.iter().peekable(), gives.iter().peekable());
    let mut now = (0, 0);
    while let Some(t) = [a.peek(), b.peek()]
        .into_iter()
        .flatten()
        .map(|(t, _)| *t)
        .min()
    {
        // The last of several at one moment is what holds from then on.
        while let Some((_, value)) = a.next_if(|(at, _)| *at == t) {
            now.0 = *value;
        }
        while let Some((_, value)) = b.next_if(|(at, _)| *at == t) {
            now.1 = *value;
        }
        all.push((t, now.0, now.1));
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::net::testing::plan;
    use crate::run::run;

    fn table(parts: &str, wires: &str, id: &str) -> LaneTable {
        let plan = plan(&format!(
            r#"{{ "parts": {{ {parts} }}, "wires": [{wires}] }}"#
        ));
        let record = run(&plan, 1);
        let place = record.ids.iter().position(|own| own.to_string() == id);
        let unit = plan.book.book.unit.clone();
        let day = plan.world.day_ms();
        place
            .and_then(|place| LaneTable::of(&record, place, day, &unit))
            .expect("it has a lane")
    }

    #[test]
    fn a_load_that_always_runs_is_one_row() {
        let table = table(
            r#""gen": "generator", "lamp": "lamp""#,
            r#""gen.out lamp.in""#,
            "lamp",
        );
        assert_eq!(table.heads, ["From", "To", "Load"]);
        assert_eq!(table.rows, [["Day 1, 00:00", "Day 2, 00:00", "runs"]]);
        assert_eq!(table.more, 0);
    }

    #[test]
    fn values_of_one_moment_are_one_row_and_the_last_holds() {
        let could = [(0, 5), (10, 6), (10, 7)];
        let gives = [(0, 1), (20, 2)];
        assert_eq!(both(&could, &gives), [(0, 5, 1), (10, 7, 1), (20, 7, 2)]);
    }

    #[test]
    fn a_flasher_is_cut_and_says_how_many_rows_more_there_are() {
        let table = table(
            r#""gen": "generator", "f": ["on-delay", { "contact": "break", "delay_s": 1 }],
               "two": "divider-2", "lamp": "lamp""#,
            r#""gen.out f.feed", "f.out two.in", "two.out1 lamp.in", "two.out2 f.trigger""#,
            "f",
        );
        assert_eq!(table.rows.len(), MOST);
        assert!(table.more > 1000, "{}", table.more);
    }
}
