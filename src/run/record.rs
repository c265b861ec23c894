//! What a run leaves behind: events, when loads ran and contacts conducted, levels, energies. All exact; the times in
//! milliseconds, energies in [`Energy`], shown in unit-hours only by the faces.

use super::event::Event;
use crate::net::Problem;
use crate::plan::PartId;
use crate::quantity::{Energy, Ms, STEP_MS};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A load over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct LoadRecord {
    /// When it ran: `[from, to)`.
    pub runs: Vec<(Ms, Ms)>,
    /// What it used while it ran.
    pub energy: Energy,
    /// When it was short, offered something but less than it draws: `[from, to)`.
    pub short: Vec<(Ms, Ms)>,
}

/// A battery over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BatteryRecord {
    /// Its level at t = 0, wherever the slope changes, and at the end.
    pub level: Vec<(Ms, Energy)>,
    /// What it took in.
    pub taken: Energy,
    /// What it gave out.
    pub given: Energy,
    /// In − out − change of level.
    pub lost: Energy,
}

/// A source over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceRecord {
    /// What it could give.
    pub available: Energy,
    /// What was taken of it.
    pub taken: Energy,
    /// What it could give, in steps, from each moment on.
    pub could: Vec<(Ms, u64)>,
    /// What is taken of it, in steps, from each moment on.
    pub gives: Vec<(Ms, u64)>,
}

/// A contact over a run.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ContactRecord {
    /// When it conducted: `[from, to)`.
    pub conducts: Vec<(Ms, Ms)>,
}

/// A run of whole days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Record {
    /// Where the run ends; earlier than asked for where it was stopped.
    pub end: Ms,
    /// Whether it went to the end that was asked for.
    pub complete: bool,
    /// The events, by time, then by part, then in the order of [`What`].
    pub events: Vec<Event>,
    /// The loads, by their parts' places in the plan.
    pub loads: BTreeMap<usize, LoadRecord>,
    /// The batteries.
    pub batteries: BTreeMap<usize, BatteryRecord>,
    /// The sources.
    pub sources: BTreeMap<usize, SourceRecord>,
    /// The contacts.
    pub contacts: BTreeMap<usize, ContactRecord>,
    /// What is wrong, worst first.
    pub problems: Vec<Problem>,
    /// The parts' ids, in the plan's order.
    pub ids: Vec<PartId>,
}

impl LoadRecord {
    /// A load that ran so, drawing so many steps, and was short so.
    pub(super) fn new(runs: Vec<(Ms, Ms)>, draw: u64, short: Vec<(Ms, Ms)>) -> LoadRecord {
        let time: Energy = runs.iter().map(|(from, to)| Energy::from(to - from)).sum();
        LoadRecord {
            runs,
            energy: time * Energy::from(draw) * STEP_MS,
            short,
        }
    }
}
