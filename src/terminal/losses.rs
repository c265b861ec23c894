//! `duskline losses`: what each single loss breaks, when and for how long; on request batteries found empty and pairs.

use super::{Answer, print, problems_json, problems_text, table::Table};
use crate::plan::Plan;
use crate::proof::{self, Check, Loss, LossReport, PairReport, WeakPoint};
use crate::sheet::{losses as words, verdict};
use serde_json::{Value, json};

/// What was asked for besides the list.
#[derive(Clone, Copy, Default)]
pub(super) struct Asked {
    /// Batteries found empty.
    pub(super) empty: bool,
    /// Pairs that break more than either alone.
    pub(super) pairs: bool,
    /// With JSON: when, for how long, what was not served, and single points of failure.
    pub(super) details: bool,
}

/// What losses break, as JSON or for reading.
pub(super) fn answer(plan: &Plan, asked: Asked, json: bool) -> Answer {
    let whole = proof::check(plan);
    let mut all = proof::all_losses(plan);
    if asked.empty {
        all.extend(proof::empty_batteries(plan));
    }
    let reports: Vec<LossReport> = proof::losses(plan, &whole, &all).collect();
    let pairs = asked.pairs.then(|| {
        let pairs = proof::Pairs::new(plan, &whole, &reports);
        pairs.flatten().collect::<Vec<PairReport>>()
    });
    let text = if json {
        print(&as_json(
            plan,
            &reports,
            pairs.as_deref(),
            asked.details,
            &whole,
        ))
    } else {
        as_text(plan, &reports, pairs.as_deref(), &whole)
    };
    Answer {
        text,
        failed: !whole.is_fine(),
    }
}

fn loss_json(loss: &Loss) -> Value {
    match loss {
        Loss::Part(id) => json!({ "part": id.as_str() }),
        Loss::Wire(id) => json!({ "wire": id.as_str() }),
        Loss::Switch(id) => json!({ "switch": id.as_str() }),
        Loss::Empty(id) => json!({ "empty": id.as_str() }),
    }
}

fn as_json(
    plan: &Plan,
    reports: &[LossReport],
    pairs: Option<&[PairReport]>,
    details: bool,
    whole: &Check,
) -> Value {
    let hours = |energy| plan.book.book.unit.hours(energy);
    let one = |r: &LossReport| {
        let mut value = json!({ "loss": loss_json(&r.loss), "breaks": r.breaks });
        if details {
            let harm = |h: &proof::Harm| {
                json!({
                    "duty": h.duty, "first": h.first, "lasts": h.lasts, "dark": h.dark, "needless": h.needless,
                    "unserved": hours(h.unserved),
                })
            };
            value["days"] = r.days.into();
            value["loss_of_load"] = r.loss_of_load.into();
            value["unserved"] = hours(r.unserved()).into();
            value["harms"] = r.harms.iter().map(harm).collect();
        }
        value
    };
    let mut value = json!({
        "losses": reports.iter().map(one).collect::<Vec<_>>(),
        "problems": problems_json(&whole.problems),
    });
    if details {
        let survival = proof::survival(reports);
        let point = |w: &WeakPoint| {
            let loads: Vec<&str> = w.loads.iter().map(|id| id.as_str()).collect();
            json!({ "loss": loss_json(&w.loss), "after": w.after, "loads": loads, "behind": w.behind })
        };
        let at = |at: &usize| loss_json(&reports[*at].loss);
        value["survives"] = survival.survived.into();
        value["tried"] = survival.tried.into();
        value["worst_first"] = proof::ranked(reports).into();
        value["single_points_of_failure"] = survival.single_points.iter().map(at).collect();
        value["worst_single_points"] = survival.worst.iter().map(at).collect();
        value["all_power_through"] = proof::weak_points(plan).iter().map(point).collect();
    }
    if let Some(pairs) = pairs {
        let pair = |p: &PairReport| {
            json!({
                "losses": [loss_json(&p.losses.0), loss_json(&p.losses.1)],
                "breaks": p.report.breaks, "more": p.more,
            })
        };
        value["pairs"] = pairs.iter().map(pair).collect();
    }
    value
}

fn as_text(
    plan: &Plan,
    reports: &[LossReport],
    pairs: Option<&[PairReport]>,
    whole: &Check,
) -> String {
    let survival = proof::survival(reports);
    let kept = whole.duties.iter().filter(|d| d.kept).count();
    let mut text = format!("{}\n", words::survives(&survival, Some(kept)));
    if let Some((says, names)) = words::single_points(plan, reports, &survival) {
        text.push_str(&format!("{says}: {}.\n", names.join(", ")));
    }
    text.push('\n');
    let said: Vec<String> = (plan.duties.iter())
        .map(|duty| verdict::duty(plan, duty))
        .collect();
    let duties = |places: &[usize]| {
        let one = |at: &usize| said.get(*at).map_or("", String::as_str);
        places.iter().map(one).collect::<Vec<_>>().join("; ")
    };
    let unit = &plan.book.book.unit;
    let mut table = Table::new(&[
        "lost",
        "first broken",
        "for",
        "dark a day",
        "unserved a day",
        "breaks",
    ]);
    for report in proof::ranked(reports).into_iter().map(|at| &reports[at]) {
        if report.breaks.is_empty() {
            continue;
        }
        let first = report.first_harm().and_then(|h| Some((h.first?, h.lasts)));
        table.row([
            words::lost(plan, &report.loss),
            first
                .map(|(t, _)| words::moment(plan, t))
                .unwrap_or_default(),
            first
                .map(|(_, lasts)| words::lasting(lasts))
                .unwrap_or_default(),
            words::a_day(report.loss_of_load, report.days),
            unit.say_energy(report.unserved() / i128::from(report.days.max(1))),
            duties(&report.breaks),
        ]);
    }
    if !table.is_empty() {
        text.push_str(&format!("{table}\n"));
    }
    if let Some(pairs) = pairs {
        let mut table = Table::new(&["lost", "and", "breaks besides what either breaks alone"]);
        for pair in pairs {
            table.row([
                words::lost(plan, &pair.losses.0),
                words::lost(plan, &pair.losses.1),
                duties(&pair.more),
            ]);
        }
        match table.is_empty() {
            true => text.push_str("No pair of losses breaks more than the two alone.\n\n"),
            false => text.push_str(&format!("{table}\n")),
        }
    }
    format!("{text}{}", problems_text(&whole.problems))
}
