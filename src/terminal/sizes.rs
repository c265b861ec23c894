//! `duskline sizes`: the least sources and batteries that keep the duties, and what each has in reserve.

use super::{Answer, print, problems_json, problems_text, table::Table};
use crate::plan::Plan;
use crate::proof::sizes::{
    Ask, Carries, Grid, Measure, MoreCapacity, Setting, SizedPlan, Sizes, Spare, sizes, spares,
};
use crate::sheet::sizes as words;
use clap::{Args, ValueEnum};
use serde_json::{Value, json};
use std::collections::BTreeMap;

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

/// The least sizes, as JSON or for reading.
pub(super) fn answer(plan: &Plan, options: &Options) -> Answer {
    let ask = options.ask();
    let found = sizes(plan, &ask, &mut |_| true);
    let reserve: Option<Vec<Spare>> = options.reserve.then(|| spares(plan, &mut |_, _| true));
    let problems = crate::proof::check(plan).problems;
    let text = if options.json {
        let mut value = as_json(&found);
        if let Some(reserve) = &reserve {
            value["reserve"] = reserve.iter().map(|r| reserve_json(plan, r)).collect();
        }
        value["problems"] = problems_json(&problems);
        print(&value)
    } else {
        let reserve = reserve.map_or(String::new(), |r| reserve_text(plan, &r));
        format!(
            "{}{reserve}\n{}",
            as_text(plan, &ask, &found),
            problems_text(&problems)
        )
    };
    let mut answer = Answer::new(text, &problems);
    answer.failed |= !found.present.breaks.is_empty();
    answer
}

fn side_json(side: &SizedPlan) -> Value {
    json!({
        "cost": u64::try_from(side.worth.cost).unwrap_or(u64::MAX),
        "parts": u64::try_from(side.worth.parts).unwrap_or(u64::MAX),
        "breaks": side.breaks.iter().map(|(duty, gap)| json!({ "duty": duty, "from": gap.from, "to": gap.to })).collect::<Vec<_>>(),
        "for_ever": side.for_ever,
        "days": side.days,
    })
}

fn setting_json(setting: Setting) -> Value {
    match setting {
        Setting::Aim(azimuth, tilt) => json!({ "azimuth": azimuth, "tilt": tilt }),
        Setting::Amount(amount) => json!({ "amount": amount }),
    }
}

fn as_json(found: &Sizes) -> Value {
    let rows: Vec<Value> = found
        .rows
        .iter()
        .map(|row| {
            json!({
                "part": row.part.as_str(),
                "present": row.present,
                "least": row.least,
                "one_fewer": row.fewer.as_ref().map(side_json),
            })
        })
        .collect();
    let turned: Vec<Value> = found
        .turned
        .iter()
        .map(|t| {
            json!({ "part": t.part.as_str(), "present": setting_json(t.present), "least": setting_json(t.least) })
        })
        .collect();
    let cheaper = found.cheaper.as_ref().map(|c| {
        let counts: BTreeMap<&str, u64> = c.counts.iter().map(|(p, n)| (p.as_str(), *n)).collect();
        json!({ "counts": counts, "side": side_json(&c.side) })
    });
    json!({
        "exact": found.exact,
        "present": side_json(&found.present),
        "least": found.least.as_ref().map(side_json),
        "sizes": rows,
        "turned": turned,
        "cheaper": cheaper,
        "runs": found.runs,
    })
}

fn carries_json(carries: Carries) -> Value {
    match carries {
        Carries::Exactly(steps) => json!(steps),
        Carries::AtLeast(steps) => json!({ "at_least": steps }),
        Carries::ForAWhile { for_ever, kept } => json!({ "for_ever": for_ever, "kept": kept }),
        Carries::Broken => Value::Null,
    }
}

fn reserve_json(plan: &Plan, reserve: &Spare) -> Value {
    let unit = &plan.book.book.unit;
    let mut value = json!({
        "part": reserve.part.as_str(),
        "always": carries_json(reserve.always),
        "dark": carries_json(reserve.dark),
        "for_ever": reserve.for_ever,
    });
    if let Some(holds) = reserve.holds {
        value["holds"] = match holds {
            MoreCapacity::NeverFlat { spare } => {
                json!({ "never_flat": { "spare": unit.hours(spare) } })
            }
            MoreCapacity::NeverFull => json!("never_full"),
            MoreCapacity::Units(units) => json!({ "units": units }),
            MoreCapacity::NotWith(units) => json!({ "not_with": units }),
            MoreCapacity::Unsettled => json!("unsettled"),
        };
    }
    value
}

fn as_text(plan: &Plan, ask: &Ask, found: &Sizes) -> String {
    let worth = |side: &SizedPlan| words::worth(&ask.measure, side.worth);
    let mut text = format!(
        "{} Runs: {}.\n",
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
