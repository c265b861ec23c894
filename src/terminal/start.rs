//! `duskline start`: what lets a load start at another time of the day and keeps every duty that is kept, each change
//! tried; and the changed plan on request.

use super::{Answer, print};
use crate::plan::{Clock, PartId, Plan, Spec};
use crate::proof::start_by::{Found, Offer, Search, Side, Wanted, second};
use crate::quantity::Ms;
use crate::works::change_said;
use clap::Args;
use serde::Serialize;
use std::collections::BTreeMap;

/// The options of `duskline start`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// The load, by its id or its name
    #[arg(long, value_name = "LOAD")]
    load: String,
    /// It is to start at this time at the latest
    #[arg(long, value_name = "HH:MM", value_parser = super::clock, required_unless_present = "not_before", conflicts_with = "not_before")]
    by: Option<Clock>,
    /// It is to start at this time or later
    #[arg(long, value_name = "HH:MM", value_parser = super::clock)]
    not_before: Option<Clock>,
    /// Which of its starts is meant: the one nearest to this time; the one nearest to the wanted time if not said
    #[arg(long, value_name = "HH:MM", value_parser = super::clock)]
    of: Option<Clock>,
    /// Make change N (from 1) and print the changed plan instead
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    take: Option<u64>,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// `duskline start --json`: times are milliseconds after midnight, duties their places in the plan's list.
#[derive(Serialize)]
struct StartOutput<'a> {
    load: &'a PartId,
    present: Option<Ms>,
    met: bool,
    offers: Vec<OfferOutput<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    nearest: Option<OfferOutput<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<AgainstOutput<'a>>,
    tried: u64,
    complete: bool,
}

/// A change that was tried, and of how many edits it consists.
#[derive(Serialize)]
struct OfferOutput<'a> {
    name: &'a str,
    says: &'a str,
    reached: Ms,
    materials: &'a BTreeMap<String, i128>,
    parts: i128,
    newly_kept: &'a [usize],
    edits: usize,
}

/// A change that meets the time and breaks duties.
#[derive(Serialize)]
struct AgainstOutput<'a> {
    name: &'a str,
    reached: Ms,
    breaks: &'a [usize],
}

/// The changes, as JSON or for reading; or the plan with one of them, numbered from 1.
pub(super) fn answer(mut plan: Plan, options: &Options) -> Result<Answer, String> {
    let load = load_of(&plan, &options.load)?;
    let (at, side) = match (options.by, options.not_before) {
        (Some(at), _) => (at, Side::AtTheLatest),
        (None, Some(at)) => (at, Side::NotBefore),
        (None, None) => return Err("expected --by HH:MM or --not-before HH:MM\n".into()),
    };
    let wanted = Wanted {
        load,
        start: options.of,
        at,
        side,
    };
    let name = plan.called(&wanted.load);
    let mut search = Search::new(&plan, &wanted)
        .map_err(|none| format!("--load {}: {name} {}\n", options.load, none.words()))?;
    while search.next().is_some() {}
    let found = search.found();
    let failed = !found.met && found.offers.is_empty();
    let text = match options.take {
        Some(number) => {
            let place = usize::try_from(number - 1).ok();
            let offer = place.and_then(|at| found.offers.get(at)).ok_or_else(|| {
                format!("--take {number}: found {} changes\n", found.offers.len())
            })?;
            plan.apply_all(offer.remedy.edits.clone())
                .map_err(|error| format!("--take {number}: {error}\n"))?;
            plan.print()
        }
        None if options.json => print(&as_json(&wanted.load, found)),
        None => as_text(&plan, &wanted, found),
    };
    Ok(Answer { text, failed })
}

/// The load of this id, or else of this name, which must be its alone.
fn load_of(plan: &Plan, said: &str) -> Result<PartId, String> {
    let is_load = |id: &PartId| {
        let part = plan.part(id).and_then(|part| plan.spec(part));
        matches!(part, Some(Spec::Load { .. }))
    };
    let loads: Vec<&PartId> = plan
        .parts
        .iter()
        .map(|p| &p.id)
        .filter(|id| is_load(id))
        .collect();
    if let Some(id) = loads.iter().find(|id| id.as_str() == said) {
        return Ok((*id).clone());
    }
    let named: Vec<&&PartId> = loads.iter().filter(|id| plan.called(id) == said).collect();
    let list = |all: &mut dyn Iterator<Item = &PartId>| {
        let all: Vec<String> = all
            .map(|id| format!("{id} ({})", plan.called(id)))
            .collect();
        all.join(", ")
    };
    match named.as_slice() {
        [one] => Ok((**one).clone()),
        [] => Err(format!(
            "--load {said}: found no such load, expected one of {}\n",
            list(&mut loads.iter().copied())
        )),
        several => Err(format!(
            "--load {said}: found several loads of that name, expected an id: {}\n",
            list(&mut several.iter().map(|id| **id))
        )),
    }
}

fn as_json<'a>(load: &'a PartId, found: &'a Found) -> StartOutput<'a> {
    StartOutput {
        load,
        present: found.present,
        met: found.met,
        offers: found.offers.iter().map(output).collect(),
        nearest: found.nearest.as_ref().map(output),
        against: found.against.as_ref().map(|against| AgainstOutput {
            name: &against.name,
            reached: against.reached,
            breaks: &against.breaks,
        }),
        tried: found.tried,
        complete: found.complete,
    }
}

fn output(offer: &Offer) -> OfferOutput<'_> {
    OfferOutput {
        name: &offer.remedy.name,
        says: &offer.remedy.says,
        reached: offer.reached,
        materials: &offer.materials,
        parts: offer.parts,
        newly_kept: &offer.newly_kept,
        edits: offer.remedy.edits.len(),
    }
}

fn as_text(plan: &Plan, wanted: &Wanted, found: &Found) -> String {
    let plain = |text: &str| text.replace(char::is_control, " ");
    let day = plan.world.day_ms();
    let name = plain(&plan.called(&wanted.load));
    let present = found.present.map_or(String::new(), |t| second(t, day));
    if found.met {
        return format!("{name} starts at {present}: nothing is to be changed.\n");
    }
    let mut out = format!(
        "{name} starts at {present}, wanted {} {}.\n",
        wanted.at,
        wanted.side.words()
    );
    for (at, offer) in found.offers.iter().enumerate() {
        let cost = change_said(&offer.materials);
        let cost = cost.map_or(String::new(), |said| format!(" {said}"));
        out += &format!(
            "{}. {}{}\n",
            at + 1,
            plain(&offer.remedy.says),
            plain(&cost)
        );
    }
    if found.offers.is_empty() {
        out += &nothing(plan, found, &plain);
    }
    out += &match found.complete {
        true => format!("{} changes were run.\n", found.tried),
        false => format!(
            "{} changes were run; not all that could be tried.\n",
            found.tried
        ),
    };
    out
}

fn nothing(plan: &Plan, found: &Found, plain: &dyn Fn(&str) -> String) -> String {
    let mut out = String::from("No change of those tried does it and keeps every duty.\n");
    if let Some(nearest) = &found.nearest {
        out += &format!("Nearest: {}\n", plain(&nearest.remedy.says));
    }
    if let Some(against) = &found.against {
        out += &format!("{}\n", plain(&against.says(plan)));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Edit;

    #[test]
    fn a_load_is_found_by_id_and_by_a_name_that_is_its_alone() {
        let mut plan = crate::net::testing::plan(
            r#"{ "parts": { "gen": "generator", "one": "lamp", "two": "lamp" }, "wires": ["gen.out one.in"] }"#,
        );
        assert_eq!(load_of(&plan, "two"), Ok("two".into()));
        let error = load_of(&plan, "gen").unwrap_err();
        assert!(
            error.starts_with("--load gen: found no such load, expected one of one ("),
            "{error}"
        );
        plan.apply(Edit::Rename("one".into(), "Lantern".into()))
            .unwrap();
        assert_eq!(load_of(&plan, "Lantern"), Ok("one".into()));
        plan.apply(Edit::Rename("two".into(), "Lantern".into()))
            .unwrap();
        let error = load_of(&plan, "Lantern").unwrap_err();
        assert!(
            error.contains("several") && error.ends_with("one (Lantern), two (Lantern)\n"),
            "{error}"
        );
    }
}
