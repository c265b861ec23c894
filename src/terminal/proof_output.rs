//! What `--json` prints of what is proven, as types: the order of the fields is the order of the keys.
//!
//! Times and lengths of time are milliseconds, powers whole steps, energies unit-hours. Duties are told by their places
//! in the plan's list. Nothing is worked out here.

use super::output::{Keyed, ProblemOutput};
use crate::plan::{PartId, WireId};
use crate::quantity::Ms;
use serde::Serialize;
use std::collections::BTreeMap;

/// `duskline check`: the verdict on every duty.
#[derive(Serialize)]
pub(super) struct CheckOutput<'a> {
    pub(super) for_ever: bool,
    pub(super) days: u64,
    pub(super) duties: Vec<DutyOutput<'a>>,
    pub(super) problems: Vec<ProblemOutput<'a>>,
    /// What differed from midnight to midnight, where none repeated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) differs: Option<&'a [PartId]>,
}

/// A duty with its gaps: from when, to when, and whether the load is wrongly `on` or `off`.
#[derive(Serialize)]
pub(super) struct DutyOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) kept: bool,
    pub(super) gaps: Vec<(Ms, Ms, &'static str)>,
    /// The cause of each gap, where causes were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) causes: Option<Vec<CauseOutput<'a>>>,
}

/// Why there is a gap.
#[derive(Serialize)]
pub(super) struct CauseOutput<'a> {
    pub(super) says: String,
    pub(super) parts: &'a [PartId],
    pub(super) wires: &'a [WireId],
}

/// `duskline losses`: what each loss breaks.
#[derive(Serialize)]
pub(super) struct LossesOutput<'a> {
    pub(super) losses: Vec<LossReportOutput<'a>>,
    pub(super) problems: Vec<ProblemOutput<'a>>,
    #[serde(flatten)]
    pub(super) details: Option<LossesDetails<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) pairs: Option<Vec<PairOutput<'a>>>,
}

/// What is lost.
#[derive(Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum LossOutput<'a> {
    Part(&'a PartId),
    Wire(&'a WireId),
    Switch(&'a PartId),
    Empty(&'a PartId),
}

/// A loss with the duties that it breaks.
#[derive(Serialize)]
pub(super) struct LossReportOutput<'a> {
    pub(super) loss: LossOutput<'a>,
    pub(super) breaks: &'a [usize],
    #[serde(flatten)]
    pub(super) details: Option<LossDetails>,
    /// What becomes of the duties that the whole plan breaks; left out where that is nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) changes: Vec<BrokenChangeOutput>,
}

/// A duty that is broken without the loss: broken so long a day before and after, its first further gap, and whether gaps
/// are gone or all are.
#[derive(Serialize)]
pub(super) struct BrokenChangeOutput {
    pub(super) duty: usize,
    pub(super) before: Ms,
    pub(super) after: Ms,
    pub(super) further: Option<(Ms, Ms, &'static str)>,
    pub(super) mends_some: bool,
    pub(super) mended: bool,
}

/// When a loss breaks something and for how long.
#[derive(Serialize)]
pub(super) struct LossDetails {
    pub(super) days: u64,
    pub(super) loss_of_load: Ms,
    pub(super) unserved: f64,
    pub(super) harms: Vec<HarmOutput>,
}

/// What a loss does to one duty.
#[derive(Serialize)]
pub(super) struct HarmOutput {
    pub(super) duty: usize,
    pub(super) first: Option<Ms>,
    pub(super) lasts: Option<Ms>,
    pub(super) dark: Ms,
    pub(super) needless: Ms,
    pub(super) unserved: f64,
}

/// What all losses come to; places are those in the list of losses.
#[derive(Serialize)]
pub(super) struct LossesDetails<'a> {
    pub(super) survives: usize,
    pub(super) tried: usize,
    pub(super) worst_first: Vec<usize>,
    pub(super) single_points_of_failure: Vec<LossOutput<'a>>,
    pub(super) worst_single_points: Vec<LossOutput<'a>>,
    pub(super) all_power_through: Vec<WeakPointOutput<'a>>,
}

/// What no way of power to some loads leads around.
#[derive(Serialize)]
pub(super) struct WeakPointOutput<'a> {
    pub(super) loss: LossOutput<'a>,
    pub(super) after: Option<usize>,
    pub(super) loads: &'a [PartId],
    pub(super) behind: usize,
}

/// Two losses at once, and what they break more than either alone.
#[derive(Serialize)]
pub(super) struct PairOutput<'a> {
    pub(super) losses: (LossOutput<'a>, LossOutput<'a>),
    pub(super) breaks: &'a [usize],
    pub(super) more: &'a [usize],
}

/// `duskline sizes`: the least sizes that keep the duties.
#[derive(Serialize)]
pub(super) struct SizesOutput<'a> {
    pub(super) ended: &'static str,
    pub(super) exact: bool,
    pub(super) present: SideOutput,
    pub(super) least: Option<SideOutput>,
    pub(super) sizes: Vec<SizeOutput<'a>>,
    pub(super) turned: Vec<TurnedOutput<'a>>,
    pub(super) cheaper: Option<CheaperOutput<'a>>,
    pub(super) runs: u64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) reserve: Option<Vec<ReserveOutput<'a>>>,
    pub(super) problems: Vec<ProblemOutput<'a>>,
}

/// What a choice of sizes is worth, and what it breaks.
#[derive(Serialize)]
pub(super) struct SideOutput {
    pub(super) cost: u64,
    pub(super) parts: u64,
    pub(super) breaks: Vec<BreakOutput>,
    pub(super) for_ever: bool,
    pub(super) days: u64,
}

/// The first gap of a duty.
#[derive(Serialize)]
pub(super) struct BreakOutput {
    pub(super) duty: usize,
    pub(super) from: Ms,
    pub(super) to: Ms,
}

/// A source or battery: how many there are, and the least.
#[derive(Serialize)]
pub(super) struct SizeOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) present: u64,
    pub(super) least: Option<u64>,
    pub(super) one_fewer: Option<SideOutput>,
}

/// A part with another setting.
#[derive(Serialize)]
pub(super) struct TurnedOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) present: SettingOutput,
    pub(super) least: SettingOutput,
}

/// An aim in degrees, or what a tap sets aside.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum SettingOutput {
    Aim { azimuth: f64, tilt: f64 },
    Amount { amount: u64 },
}

/// The next cheaper choice, which fails.
#[derive(Serialize)]
pub(super) struct CheaperOutput<'a> {
    pub(super) counts: Keyed<'a, u64>,
    pub(super) side: SideOutput,
}

/// How much more load a source or battery could carry, and whether more capacity would be of use.
#[derive(Serialize)]
pub(super) struct ReserveOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) always: CarriesOutput,
    pub(super) dark: CarriesOutput,
    pub(super) for_ever: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) holds: Option<MoreCapacityOutput>,
}

/// Steps that could be drawn more: a number, a bound, two numbers, or nothing where a duty is broken already.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum CarriesOutput {
    Exactly(u64),
    AtLeast { at_least: u64 },
    ForAWhile { for_ever: u64, kept: u64 },
    Broken(()),
}

/// What more capacity would do.
#[derive(Serialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum MoreCapacityOutput {
    NeverFlat { spare: f64 },
    NeverFull,
    Units(u64),
    NotWith(u64),
    Unsettled,
}

/// `duskline findings`.
#[derive(Serialize)]
pub(super) struct FindingsOutput<'a> {
    pub(super) findings: Vec<FindingOutput<'a>>,
}

/// A finding with the change that was tried, if one is known.
#[derive(Serialize)]
pub(super) struct FindingOutput<'a> {
    pub(super) kind: &'static str,
    pub(super) weight: &'static str,
    pub(super) parts: &'a [PartId],
    pub(super) wires: &'a [WireId],
    pub(super) says: &'a str,
    pub(super) change: Option<RemedyOutput<'a>>,
    /// Whether the plan says that it is meant so; written only where it does.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub(super) meant: bool,
}

/// A change: its name, what it does, and of how many edits it consists.
#[derive(Serialize)]
pub(super) struct RemedyOutput<'a> {
    pub(super) name: &'a str,
    pub(super) says: &'a str,
    pub(super) edits: usize,
}

/// `duskline start`: offers, the cheapest first; times in milliseconds of the day.
#[derive(Serialize)]
pub(super) struct StartOutput<'a> {
    pub(super) now_ms: Ms,
    pub(super) already: bool,
    pub(super) tried: usize,
    pub(super) offers: Vec<StartOfferOutput<'a>>,
    pub(super) nearest: Option<StartOfferOutput<'a>>,
    pub(super) says: Option<&'a str>,
}

/// A load that starts at other times with a change: the times on the dial that are no more, and those that are new.
#[derive(Serialize)]
pub(super) struct MovedOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) gone: Vec<String>,
    pub(super) new: Vec<String>,
}

/// A change that starts a load at another time: when, how far from the wanted time, what it costs, and what moves along.
#[derive(Serialize)]
pub(super) struct StartOfferOutput<'a> {
    pub(super) kind: &'static str,
    pub(super) reached_ms: Ms,
    pub(super) off_ms: i64,
    pub(super) parts: i64,
    pub(super) materials: BTreeMap<String, i64>,
    pub(super) along: Vec<MovedOutput<'a>>,
    pub(super) change: RemedyOutput<'a>,
}

/// `duskline compare`: figures side by side, and what differs.
#[derive(Serialize)]
pub(super) struct CompareOutput<'a> {
    pub(super) rows: Vec<PairOfTexts<'a>>,
    pub(super) parts: Vec<ChangedPart<'a>>,
    pub(super) wires: Vec<ChangedWire<'a>>,
    pub(super) rest: Vec<PairOfTexts<'a>>,
}

/// Something as it is in the first plan and in the second.
#[derive(Serialize)]
pub(super) struct PairOfTexts<'a> {
    pub(super) what: &'a str,
    pub(super) first: &'a str,
    pub(super) second: &'a str,
}

/// A part that differs.
#[derive(Serialize)]
pub(super) struct ChangedPart<'a> {
    pub(super) part: &'a PartId,
    pub(super) change: ChangeOutput<'a>,
}

/// A wire that differs.
#[derive(Serialize)]
pub(super) struct ChangedWire<'a> {
    pub(super) wire: &'a WireId,
    pub(super) change: ChangeOutput<'a>,
}

/// `added`, `gone`, or a list of what changed.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum ChangeOutput<'a> {
    Whole(&'static str),
    Changed(Vec<PairOfTexts<'a>>),
}

/// `duskline autonomy`: from an instant, or from the worst ones with what bad weather does.
#[derive(Serialize)]
pub(super) struct AutonomyOutput<'a> {
    pub(super) from: Option<FromOutput<'a>>,
    pub(super) worst: Option<WorstOutput<'a>>,
    pub(super) bad_weather: Option<BadWeatherOutput<'a>>,
}

/// How long each duty holds from an instant on.
#[derive(Serialize)]
pub(super) struct FromOutput<'a> {
    pub(super) t: Ms,
    pub(super) duties: Vec<HoldsOutput<'a>>,
}

/// How long each duty holds from its worst moment on; `days` from the first to the last that was tried, from 1.
#[derive(Serialize)]
pub(super) struct WorstOutput<'a> {
    pub(super) days: (u64, u64),
    pub(super) for_ever: bool,
    pub(super) tried: u64,
    pub(super) apart: Ms,
    pub(super) more: bool,
    pub(super) stopped: bool,
    pub(super) duties: Vec<WorstStartOutput<'a>>,
    pub(super) first_days: Option<FirstDaysOutput<'a>>,
}

/// The starts of the days before those: how many days, and each duty's worst start where it is worse, in the plan's order.
#[derive(Serialize)]
pub(super) struct FirstDaysOutput<'a> {
    pub(super) days: u64,
    pub(super) tried: u64,
    pub(super) apart: Ms,
    pub(super) more: bool,
    pub(super) duties: Vec<Option<WorstStartOutput<'a>>>,
}

/// A duty's worst moment.
#[derive(Serialize)]
pub(super) struct WorstStartOutput<'a> {
    #[serde(flatten)]
    pub(super) holds: HoldsOutput<'a>,
    pub(super) t: Ms,
}

/// How long a duty holds without sun and wind.
#[derive(Serialize)]
pub(super) struct HoldsOutput<'a> {
    pub(super) part: &'a PartId,
    pub(super) holds: Option<Ms>,
    pub(super) for_ever: bool,
    pub(super) at_least: Option<Ms>,
    pub(super) stopped: bool,
    pub(super) then: Option<&'static str>,
}

/// How many bad days in a row are survived.
#[derive(Serialize)]
pub(super) struct BadWeatherOutput<'a> {
    pub(super) days: u64,
    pub(super) most: u64,
    pub(super) sun: bool,
    pub(super) for_ever: bool,
    pub(super) kept: &'a [usize],
    pub(super) breaks: Option<BadBreakOutput>,
    pub(super) stopped: bool,
    pub(super) open: bool,
}

/// What one more bad day breaks, from day `day` on, from 1.
#[derive(Serialize)]
pub(super) struct BadBreakOutput {
    pub(super) day: u64,
    pub(super) duty: usize,
    pub(super) from: Ms,
    pub(super) then: &'static str,
}

/// `duskline logic`: the table of all combinations of inputs, and what comes of changing them in turn.
#[derive(Serialize)]
pub(super) struct LogicOutput<'a> {
    pub(super) t: Ms,
    pub(super) inputs: Vec<&'a PartId>,
    pub(super) left_out: &'a [PartId],
    pub(super) loads: &'a [PartId],
    pub(super) contacts: &'a [PartId],
    /// The row of the present combination.
    pub(super) now: usize,
    pub(super) rows: Vec<LogicRowOutput<'a>>,
    pub(super) sequences: SequencesOutput<'a>,
}

/// One combination: inputs, loads and contacts in the lists' order.
#[derive(Serialize)]
pub(super) struct LogicRowOutput<'a> {
    pub(super) inputs: &'a [bool],
    pub(super) runs: &'a [bool],
    pub(super) conducts: &'a [bool],
    pub(super) rest: RestOutput<'a>,
}

/// Whether all comes to rest.
#[derive(Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum RestOutput<'a> {
    Settled,
    Chatters(&'a [PartId]),
    Restless,
}

/// What comes of changing one input after the other.
#[derive(Serialize)]
pub(super) struct SequencesOutput<'a> {
    pub(super) states: usize,
    pub(super) complete: bool,
    pub(super) traps: Vec<TrapOutput<'a>>,
    pub(super) never_run: &'a [PartId],
    pub(super) never_close: &'a [PartId],
    pub(super) chatters: Vec<ChatterOutput<'a>>,
    pub(super) order_matters: Vec<OrderOutput<'a>>,
}

/// A state that nothing leads out of.
#[derive(Serialize)]
pub(super) struct TrapOutput<'a> {
    pub(super) way: Vec<WayOutput<'a>>,
    pub(super) contacts: &'a [(PartId, bool)],
    pub(super) loads: &'a [(PartId, bool)],
}

/// Contacts that chatter after these changes.
#[derive(Serialize)]
pub(super) struct ChatterOutput<'a> {
    pub(super) way: Vec<WayOutput<'a>>,
    pub(super) contacts: &'a [PartId],
}

/// A load that runs after one order of changes and not after another.
#[derive(Serialize)]
pub(super) struct OrderOutput<'a> {
    pub(super) load: &'a PartId,
    pub(super) runs: Vec<WayOutput<'a>>,
    pub(super) rests: Vec<WayOutput<'a>>,
}

/// A change of one input, or of the sky.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum WayOutput<'a> {
    Input {
        input: &'a PartId,
        #[serde(rename = "true")]
        truth: bool,
    },
    Sky {
        sky: &'static str,
    },
}
