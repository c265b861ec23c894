//! The table: every combination of the inputs, and what runs then. Long with many inputs: 2 to the power of their number;
//! rows come one by one.

use super::{Bench, LogicInput, PATIENCE};
use crate::plan::{PartId, Plan};
use crate::quantity::Ms;
use crate::run::Reached;
use serde::{Deserialize, Serialize};

/// How a circuit comes to rest.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Rest {
    /// Nothing more happens.
    Settled,
    /// These contacts open and close without end.
    Chatters(Vec<PartId>),
    /// Timers go on for ever, as in a flasher.
    Restless,
}

/// One combination of the inputs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogicRow {
    /// Whether each input's function is true, in the table's order.
    pub inputs: Vec<bool>,
    /// Whether each load runs, once settled; where it does not settle, as it was last.
    pub runs: Vec<bool>,
    /// Whether each contact that is no input conducts, likewise.
    pub conducts: Vec<bool>,
    /// How it comes to rest.
    pub rest: Rest,
}

/// What the columns of a table are.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LogicTable {
    /// The instant, in milliseconds since midnight of day 1.
    pub t: Ms,
    /// The inputs that are tried; the first one changes slowest from row to row.
    pub inputs: Vec<LogicInput>,
    /// Inputs that are left as they are, because there are too many.
    pub left_out: Vec<PartId>,
    /// The loads.
    pub loads: Vec<PartId>,
    /// The contacts that are no inputs.
    pub contacts: Vec<PartId>,
    /// How many rows there are.
    pub rows: usize,
    /// The row that is so at the instant.
    pub now: usize,
}

/// Works rows out, one at a step.
#[derive(Clone, Debug)]
pub struct Rows {
    bench: Bench,
    ids: Vec<PartId>,
    table: LogicTable,
    next: usize,
}

impl Rows {
    /// The table of `plan` at the instant `t`.
    pub fn new(plan: &Plan, t: Ms) -> Rows {
        let bench = Bench::new(plan, t);
        let ids: Vec<PartId> = plan.parts.iter().map(|p| p.id.clone()).collect();
        let named = |places: &[usize]| places.iter().map(|at| ids[*at].clone()).collect();
        let inputs: Vec<LogicInput> = (bench.inputs.iter())
            .map(|at| LogicInput {
                part: ids[*at].clone(),
                now: bench.now.truth(*at),
            })
            .collect();
        let table = LogicTable {
            t,
            left_out: named(&bench.left_out),
            loads: named(&bench.loads),
            contacts: named(&bench.others),
            rows: 1 << inputs.len(),
            now: inputs.iter().fold(0, |n, i| n * 2 + usize::from(i.now)),
            inputs,
        };
        Rows {
            bench,
            ids,
            table,
            next: 0,
        }
    }

    /// What the columns are.
    pub fn table(&self) -> &LogicTable {
        &self.table
    }
}

impl Iterator for Rows {
    type Item = LogicRow;

    fn next(&mut self) -> Option<LogicRow> {
        if self.next >= self.table.rows {
            return None;
        }
        let count = self.bench.inputs.len();
        let inputs: Vec<bool> = (0..count)
            .map(|at| self.next >> (count - 1 - at) & 1 == 1)
            .collect();
        self.next += 1;
        let truths: Vec<(usize, bool)> = (self.bench.inputs.iter().copied())
            .zip(inputs.iter().copied())
            .collect();
        let mut frozen = self.bench.now.clone();
        frozen.set(&truths, &[]);
        let settled = frozen.settle(PATIENCE, &mut Reached::default());
        let chattered = frozen.chattered();
        let rest = match (settled, chattered.is_empty()) {
            (true, _) => Rest::Settled,
            (false, true) => Rest::Restless,
            (false, false) => {
                let named = chattered.into_iter().map(|at| self.ids[at].clone());
                Rest::Chatters(named.collect())
            }
        };
        let bench = &self.bench;
        Some(LogicRow {
            inputs,
            runs: bench.loads.iter().map(|at| frozen.runs(*at)).collect(),
            conducts: (bench.others.iter())
                .map(|at| frozen.conducts(*at))
                .collect(),
            rest,
        })
    }
}
