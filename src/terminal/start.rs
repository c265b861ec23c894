//! `duskline start`: another time for a load's start, the changes that do it, each tried, and the changed plan on request.

use super::proof_output::{MovedOutput, RemedyOutput, StartOfferOutput, StartOutput};
use super::{Answer, clock, part_named, print};
use crate::plan::{Clock, Plan};
use crate::proof::start_by::{Bound, MovedStart, Offer, StartOutcome, StartWish, start_by};
use crate::works::{Bill, change_said};
use clap::Args;

/// The options of `duskline start`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// The load: its id, or its name where no other part has it
    #[arg(long, value_name = "PART")]
    load: String,
    /// The wanted time on the day's dial: at the latest, unless --not-before is given
    #[arg(long, value_name = "HH:MM", value_parser = clock)]
    at: Clock,
    /// The load is to start at that time or later
    #[arg(long)]
    not_before: bool,
    /// Near which time the start lies that is meant; near the wanted one unless given
    #[arg(long, value_name = "HH:MM", value_parser = clock)]
    near: Option<Clock>,
    /// Make the change of offer N (from 1) and print the changed plan instead
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    take: Option<u64>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// The offers, as JSON or for reading; or the plan with the change of one of them.
pub(super) fn answer(mut plan: Plan, options: &Options) -> Result<Answer, String> {
    let part = part_named(&plan, ("--load", "load"), &options.load)?;
    let wish = StartWish {
        part,
        at: options.at,
        bound: match options.not_before {
            true => Bound::NotBefore,
            false => Bound::AtLatest,
        },
        near: options.near,
    };
    let (offers, outcome) = start_by(&plan, &wish).map_err(|why| {
        let name = plan.called(&wish.part);
        format!("--load {}: {}\n", options.load, why.says(&name))
    })?;
    let text = match options.take {
        Some(number) => {
            let place = usize::try_from(number - 1).ok();
            let offer = place.and_then(|at| offers.get(at)).ok_or_else(|| {
                format!(
                    "--take {number}: found {} offers, expected one of them\n",
                    offers.len()
                )
            })?;
            plan.apply_all(offer.remedy.edits.clone())
                .map_err(|error| format!("--take {number}: {error}\n"))?;
            plan.print()
        }
        None if options.json => print(&as_json(&plan, &offers, &outcome)),
        None => as_text(&plan, &wish, &offers, &outcome),
    };
    Ok(Answer {
        text,
        failed: options.take.is_none() && offers.is_empty() && !outcome.already,
    })
}

fn as_json<'a>(plan: &Plan, offers: &'a [Offer], outcome: &'a StartOutcome) -> StartOutput<'a> {
    let times = |all: &[Clock]| all.iter().map(Clock::to_string).collect();
    let moved = |moved: &'a MovedStart| MovedOutput {
        part: &moved.part,
        gone: times(&moved.gone),
        new: times(&moved.new),
    };
    let output = |offer: &'a Offer| StartOfferOutput {
        kind: offer.kind.word(),
        reached_ms: offer.reached,
        off_ms: offer.off,
        parts: offer.parts,
        materials: Bill::change(plan, &offer.remedy.edits)
            .unwrap_or_default()
            .into_iter()
            .map(|(name, n)| (name, i64::try_from(n).unwrap_or(i64::MAX)))
            .collect(),
        along: offer.along.iter().map(moved).collect(),
        change: RemedyOutput {
            name: &offer.remedy.name,
            says: &offer.remedy.says,
            edits: offer.remedy.edits.len(),
        },
    };
    StartOutput {
        now_ms: outcome.now,
        already: outcome.already,
        tried: outcome.tried,
        offers: offers.iter().map(output).collect(),
        nearest: outcome.nearest.as_ref().map(output),
        says: outcome.says.as_deref(),
    }
}

fn as_text(plan: &Plan, wish: &StartWish, offers: &[Offer], outcome: &StartOutcome) -> String {
    let plain = |text: &str| text.replace(char::is_control, " ");
    let said = |offer: &Offer| {
        let change = Bill::change(plan, &offer.remedy.edits).and_then(|c| change_said(&c));
        let materials = change.map_or(String::new(), |said| format!(" {said}"));
        format!("{}{materials}", plain(&offer.remedy.says))
    };
    let now = Clock::at(outcome.now, plan.world.day_ms());
    let name = plain(&plan.called(&wish.part));
    let mut out = format!(
        "{name} starts at {now}, wanted {}. Changes tried: {}.\n",
        wish.bound.said(wish.at),
        outcome.tried
    );
    for (at, offer) in offers.iter().enumerate() {
        out += &format!("{}. {}: {}\n", at + 1, offer.kind.word(), said(offer));
    }
    if let Some(says) = &outcome.says {
        out += &format!("{}\n", plain(says));
    }
    if let Some(nearest) = &outcome.nearest {
        out += &format!("Nearest: {}\n", said(nearest));
    }
    out
}
