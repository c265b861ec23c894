//! `duskline sizes`: the least sources and batteries that keep the duties, and what each has in reserve.

use super::output::{Keyed, problems};
use super::proof_output::{
    BreakOutput, CarriesOutput, CheaperOutput, MoreCapacityOutput, ReserveOutput, SettingOutput,
    SideOutput, SizeOutput, SizesOutput, TurnedOutput,
};
use super::{Answer, print, problems_text, table::Table};
use crate::net::Problem;
use crate::plan::Plan;
use crate::proof::sizes::{
    Ask, Carries, Cheaper, Grid, Measure, MoreCapacity, Setting, SizedPart, SizedPlan, Sizes,
    Spare, Turned, sizes, spares,
};
use crate::sheet::sizes as words;
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// What is to be least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum By {
    /// The number of sources and batteries, each unit of a bank counted
    Parts,
    /// The sum of the amounts of the book's materials
    Cost,
}

/// The options of `duskline sizes`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// What is to be least; of equal cost, the one with fewer parts is less
    #[arg(long, value_enum, default_value = "parts", value_name = "WHAT")]
    by: By,
    /// What one of a material counts, 1 unless said; may be given again, and implies --by cost
    #[arg(long, value_name = "MATERIAL=N", value_parser = weight)]
    weigh: Vec<(String, u64)>,
    /// Let sun panels be turned: every so many degrees of direction and of tilt, and as they are
    #[arg(long, value_name = "DIRECTION,TILT", num_args = 0..=1, default_missing_value = "45,30", value_parser = grid)]
    turn: Option<Grid>,
    /// Let taps set other amounts aside, in whole steps
    #[arg(long)]
    retap: bool,
    /// Be content with duties kept for 60 days where no midnight repeats
    #[arg(long)]
    sixty: bool,
    /// The most runs the search may take; where it needs more, it says "found so far" instead of "least"
    #[arg(long, value_name = "N", default_value_t = crate::proof::sizes::RUNS)]
    runs: u64,
    /// The most seconds it may take; what is found by then is told
    #[arg(long, value_name = "N")]
    seconds: Option<u64>,
    /// Tell too how much more load each source and battery could carry
    #[arg(long)]
    reserve: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

fn weight(text: &str) -> Result<(String, u64), String> {
    let expected = || "expected MATERIAL=N with a whole number".to_string();
    let (material, amount) = text.rsplit_once('=').ok_or_else(expected)?;
    let amount = amount.parse().map_err(|_| expected())?;
    Ok((material.to_string(), amount))
}

fn grid(text: &str) -> Result<Grid, String> {
    let expected = || "expected DIRECTION,TILT in whole degrees, 1 to 180 and 1 to 90".to_string();
    let (directions, tilts) = text.split_once(',').ok_or_else(expected)?;
    let within = |text: &str, most: u64| {
        let degrees: u64 = text.trim().parse().ok()?;
        (1..=most).contains(&degrees).then_some(degrees)
    };
    match (within(directions, 180), within(tilts, 90)) {
        (Some(directions), Some(tilts)) => Ok(Grid { directions, tilts }),
        _ => Err(expected()),
    }
}

impl Options {
    fn ask(&self) -> Ask {
        let measure = if self.by == By::Cost || !self.weigh.is_empty() {
            Measure::Cost(self.weigh.iter().cloned().collect::<BTreeMap<_, _>>())
        } else {
            Measure::Parts
        };
        Ask {
            measure,
            aims: self.turn,
            taps: self.retap,
            for_ever: !self.sixty,
            runs: self.runs,
        }
    }
}

/// How often progress is told.
const EVERY: Duration = Duration::from_millis(200);

/// The time that is left, and a line of progress where somebody sees it.
struct Bound {
    begun: Instant,
    most: Option<Duration>,
    /// When progress was last told; none where standard error is no terminal.
    told: Option<Instant>,
    /// Whether a line stands there.
    line: bool,
}

impl Bound {
    fn new(seconds: Option<u64>) -> Bound {
        let begun = Instant::now();
        Bound {
            begun,
            most: seconds.map(Duration::from_secs),
            told: std::io::stderr().is_terminal().then_some(begun),
            line: false,
        }
    }

    /// Tells how far all is, and answers whether there is time left.
    fn goes_on(&mut self, says: impl FnOnce() -> String) -> bool {
        if self.told.is_some_and(|told| told.elapsed() >= EVERY) {
            self.told = Some(Instant::now());
            self.line = true;
            // Back to the line's beginning, and the rest of the old line cleared.
            let line = format!("\r{} ({} s)\x1b[K", says(), self.begun.elapsed().as_secs());
            let _ = std::io::stderr().lock().write_all(line.as_bytes());
        }
        self.most.is_none_or(|most| self.begun.elapsed() < most)
    }
}

impl Drop for Bound {
    fn drop(&mut self) {
        if self.line {
            let _ = std::io::stderr().lock().write_all(b"\r\x1b[K");
        }
    }
}

/// The least sizes, as JSON or for reading.
pub(super) fn answer(plan: &Plan, options: &Options) -> Answer {
    let ask = options.ask();
    let mut bound = Bound::new(options.seconds);
    let found = sizes(plan, &ask, &mut |progress| {
        bound.goes_on(|| words::progress(&ask.measure, progress))
    });
    let reserve: Option<Vec<Spare>> = options.reserve.then(|| {
        spares(plan, &mut |found, runs| {
            bound.goes_on(|| format!("Reserves: {} found, {runs} runs", found.len()))
        })
    });
    drop(bound);
    let all = crate::proof::check(plan).problems;
    let text = if options.json {
        print(&as_json(plan, &found, reserve.as_deref(), &all))
    } else {
        let reserve = reserve.map_or(String::new(), |r| reserve_text(plan, &r));
        format!(
            "{}{reserve}\n{}",
            as_text(plan, &ask, &found),
            problems_text(plan, &all)
        )
    };
    let mut answer = Answer::new(text, &all);
    answer.failed |= !found.present.breaks.is_empty();
    answer
}

fn side(side: &SizedPlan) -> SideOutput {
    let breaks = side.breaks.iter().map(|(duty, gap)| BreakOutput {
        duty: *duty,
        from: gap.from,
        to: gap.to,
    });
    SideOutput {
        cost: u64::try_from(side.worth.cost).unwrap_or(u64::MAX),
        parts: u64::try_from(side.worth.parts).unwrap_or(u64::MAX),
        breaks: breaks.collect(),
        for_ever: side.for_ever,
        days: side.days,
    }
}

fn setting(setting: Setting) -> SettingOutput {
    match setting {
        Setting::Aim(azimuth, tilt) => SettingOutput::Aim { azimuth, tilt },
        Setting::Amount(amount) => SettingOutput::Amount { amount },
    }
}

fn as_json<'a>(
    plan: &Plan,
    found: &'a Sizes,
    reserve: Option<&'a [Spare]>,
    all: &'a [Problem],
) -> SizesOutput<'a> {
    let size = |row: &'a SizedPart| SizeOutput {
        part: &row.part,
        present: row.present,
        least: row.least,
        one_fewer: row.fewer.as_ref().map(side),
    };
    let turned = |turned: &'a Turned| TurnedOutput {
        part: &turned.part,
        present: setting(turned.present),
        least: setting(turned.least),
    };
    let cheaper = |cheaper: &'a Cheaper| {
        // By id, as an engineer looks them up.
        let counts = cheaper.counts.iter().map(|(part, n)| (part.as_str(), *n));
        let counts: BTreeMap<&str, u64> = counts.collect();
        CheaperOutput {
            counts: Keyed(counts.into_iter().collect()),
            side: side(&cheaper.side),
        }
    };
    SizesOutput {
        ended: if found.stopped { "stopped" } else { "complete" },
        exact: found.exact,
        present: side(&found.present),
        least: found.least.as_ref().map(side),
        sizes: found.rows.iter().map(size).collect(),
        turned: found.turned.iter().map(turned).collect(),
        cheaper: found.cheaper.as_ref().map(cheaper),
        runs: found.runs,
        reserve: reserve.map(|all| {
            all.iter()
                .map(|spare| reserve_output(plan, spare))
                .collect()
        }),
        problems: problems(plan, all),
    }
}

fn carries(carries: Carries) -> CarriesOutput {
    match carries {
        Carries::Exactly(steps) => CarriesOutput::Exactly(steps),
        Carries::AtLeast(at_least) => CarriesOutput::AtLeast { at_least },
        Carries::ForAWhile { for_ever, kept } => CarriesOutput::ForAWhile { for_ever, kept },
        Carries::Broken => CarriesOutput::Broken(()),
    }
}

fn reserve_output<'a>(plan: &Plan, reserve: &'a Spare) -> ReserveOutput<'a> {
    let holds = |holds| match holds {
        MoreCapacity::NeverFlat { spare } => MoreCapacityOutput::NeverFlat {
            spare: plan.book.book.unit.hours(spare),
        },
        MoreCapacity::NeverFull => MoreCapacityOutput::NeverFull,
        MoreCapacity::Units(units) => MoreCapacityOutput::Units(units),
        MoreCapacity::NotWith(units) => MoreCapacityOutput::NotWith(units),
        MoreCapacity::Unsettled => MoreCapacityOutput::Unsettled,
    };
    ReserveOutput {
        part: &reserve.part,
        always: carries(reserve.always),
        dark: carries(reserve.dark),
        for_ever: reserve.for_ever,
        holds: reserve.holds.map(holds),
    }
}

fn as_text(plan: &Plan, ask: &Ask, found: &Sizes) -> String {
    let worth = |side: &SizedPlan| words::worth(&ask.measure, side.worth);
    let ended = match found.stopped {
        true => "Stopped before the search was complete.",
        false => "The search is complete.",
    };
    let mut text = format!(
        "{} Runs: {}. {ended}\n",
        words::headline(&ask.measure, found),
        found.runs
    );
    let mut table = Table::new(&["part", "present", "least", "with one fewer"]);
    for row in &found.rows {
        let fewer = words::fewer(plan, row);
        let least = row.least.map_or("-".into(), |n| n.to_string());
        table.row([
            plan.called(&row.part),
            row.present.to_string(),
            least,
            fewer,
        ]);
    }
    for turned in &found.turned {
        let (present, least) = (
            words::setting(plan, turned.present),
            words::setting(plan, turned.least),
        );
        table.row([plan.called(&turned.part), present, least, String::new()]);
    }
    if !table.is_empty() {
        text += &format!("\n{table}");
    }
    if let Some(cheaper) = &found.cheaper {
        let counts: Vec<String> = cheaper
            .counts
            .iter()
            .map(|(part, count)| format!("{} × {count}", plan.called(part)))
            .collect();
        text += &format!(
            "\nNext cheaper ({}): {}: {}.\n",
            worth(&cheaper.side),
            counts.join(", "),
            words::fails(plan, &cheaper.side)
        );
    }
    if found.tried.iter().any(|t| t.settings.len() > 1) {
        let tried: Vec<String> = found
            .tried
            .iter()
            .map(|t| format!("{} {}", plan.called(&t.part), t.settings.len()))
            .collect();
        text += &format!("\nSettings tried: {}.\n", tried.join(", "));
    }
    text
}

fn reserve_text(plan: &Plan, reserves: &[Spare]) -> String {
    let mut table = Table::new(&["part", "more always", "more in the dark", "more capacity"]);
    for reserve in reserves {
        let holds = match reserve.holds {
            None => String::new(),
            Some(holds) => words::holds(plan, holds),
        };
        table.row([
            plan.called(&reserve.part),
            words::carries(plan, reserve.always),
            words::carries(plan, reserve.dark),
            holds,
        ]);
    }
    format!("\n{table}")
}
