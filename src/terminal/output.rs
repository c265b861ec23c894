//! What `--json` prints, as types: the order of the fields is the order of the keys.
//!
//! Times are milliseconds since midnight of day 1, powers whole steps, energies unit-hours. Nothing is worked out here,
//! and nothing can fail: every key is a text, every number finite.

use crate::net::Problem;
use crate::plan::Plan;
use crate::quantity::Ms;
use serde::{Serialize, Serializer};
use serde_json::{Map, Value};

/// An object with a key for each pair, in the pairs' order. Ids are unique in a plan, so no key stands twice.
pub(super) struct Keyed<'a, T>(pub(super) Vec<(&'a str, T)>);

impl<T: Serialize> Serialize for Keyed<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// A problem of a plan.
#[derive(Serialize)]
pub(super) struct ProblemOutput<'a> {
    kind: &'static str,
    weight: &'static str,
    parts: Vec<&'a str>,
    wires: Vec<&'a str>,
    says: String,
}

impl<'a> ProblemOutput<'a> {
    fn of(plan: &Plan, problem: &'a Problem) -> ProblemOutput<'a> {
        ProblemOutput {
            kind: problem.kind.code(),
            weight: problem.weight.word(),
            parts: problem.parts.iter().map(|id| id.as_str()).collect(),
            wires: problem.wires.iter().map(|id| id.as_str()).collect(),
            says: problem.says(plan),
        }
    }
}

/// Problems as they are printed.
pub(super) fn problems<'a>(plan: &Plan, problems: &'a [Problem]) -> Vec<ProblemOutput<'a>> {
    let of = |problem| ProblemOutput::of(plan, problem);
    problems.iter().map(of).collect()
}

/// `duskline solve`: one instant.
#[derive(Serialize)]
pub(super) struct SolveOutput<'a> {
    pub(super) t: Ms,
    pub(super) wires: Keyed<'a, FlowOutput>,
    /// Loads, batteries and contacts; other parts have no state.
    pub(super) parts: Keyed<'a, StateOutput>,
    pub(super) problems: Vec<ProblemOutput<'a>>,
}

/// What a wire carries.
#[derive(Serialize)]
pub(super) struct FlowOutput {
    pub(super) offer: u64,
    pub(super) take: u64,
}

/// What a part does.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum StateOutput {
    Load {
        runs: bool,
    },
    Battery {
        level: f64,
        output: bool,
        full: bool,
    },
    Contact {
        conducts: bool,
    },
}

/// `duskline day`: a run of whole days.
#[derive(Serialize)]
pub(super) struct DayOutput<'a> {
    pub(super) ended: &'static str,
    pub(super) events: Vec<EventOutput<'a>>,
    pub(super) loads: Keyed<'a, LoadOutput<'a>>,
    pub(super) batteries: Keyed<'a, BatteryOutput>,
    pub(super) sources: Keyed<'a, SourceOutput>,
    pub(super) contacts: Keyed<'a, ContactOutput<'a>>,
    pub(super) problems: Vec<ProblemOutput<'a>>,
}

/// An event of a run.
#[derive(Serialize)]
pub(super) struct EventOutput<'a> {
    pub(super) t: Ms,
    pub(super) part: &'a str,
    pub(super) what: &'static str,
}

/// A load over a run: when it ran, `[from, to)`, and what it used.
#[derive(Serialize)]
pub(super) struct LoadOutput<'a> {
    pub(super) runs: &'a [(Ms, Ms)],
    pub(super) energy: f64,
}

/// A battery over a run: its level wherever the slope changes, and what went in, came out and was lost.
#[derive(Serialize)]
pub(super) struct BatteryOutput {
    pub(super) level: Vec<(Ms, f64)>,
    #[serde(rename = "in")]
    pub(super) taken: f64,
    #[serde(rename = "out")]
    pub(super) given: f64,
    pub(super) lost: f64,
}

/// A source over a run.
#[derive(Serialize)]
pub(super) struct SourceOutput {
    pub(super) available: f64,
    pub(super) taken: f64,
}

/// A contact over a run: when it conducted, `[from, to)`.
#[derive(Serialize)]
pub(super) struct ContactOutput<'a> {
    pub(super) conducts: &'a [(Ms, Ms)],
}

/// `duskline book`: a parts book.
#[derive(Serialize)]
pub(super) struct BookOutput<'a> {
    pub(super) name: &'a str,
    pub(super) unit: &'a str,
    pub(super) step: f64,
    pub(super) lag_ms: Ms,
    pub(super) types: Vec<TypeOutput<'a>>,
}

/// A part type of a book.
#[derive(Serialize)]
pub(super) struct TypeOutput<'a> {
    #[serde(rename = "type")]
    pub(super) name: &'a str,
    pub(super) label: &'a str,
    pub(super) group: &'a str,
    pub(super) behaviour: &'static str,
    pub(super) numbers: NumbersOutput,
    pub(super) set: &'a Map<String, Value>,
    pub(super) ports: Vec<String>,
    pub(super) cost: Keyed<'a, u64>,
    pub(super) stage: u64,
    pub(super) mount: &'a str,
    pub(super) max_run: Option<f64>,
    pub(super) says: &'a str,
}

/// A behaviour's numbers, by the names that they have in a book.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum NumbersOutput {
    Source {
        peak: u64,
        profile: &'static str,
    },
    Battery {
        capacity: f64,
        max_in: u64,
        max_out: u64,
        efficiency: u64,
        cut_out: u64,
        cut_in: u64,
    },
    Load {
        draw: u64,
        short: &'static str,
    },
    Ways {
        ways: u64,
    },
    Contact {
        function: &'static str,
        coil: u64,
    },
    /// A behaviour without numbers: `{}`.
    None {},
}
