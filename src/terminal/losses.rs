//! `duskline losses`: what each single loss breaks, when and for how long; on request batteries found empty and pairs.

use super::output::problems;
use super::proof_output::{
    BrokenChangeOutput, HarmOutput, LossDetails, LossOutput, LossReportOutput, LossesDetails,
    LossesOutput, PairOutput, WeakPointOutput,
};
use super::{Answer, print, problems_text, table::Table};
use crate::plan::Plan;
use crate::proof::{self, BrokenChange, Check, Harm, Loss, LossReport, PairReport, WeakPoint};
use crate::sheet::{losses as words, verdict};

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
    let changes: Vec<Vec<BrokenChange>> = proof::broken_changes(plan, &whole, &all).collect();
    let reports = Reports {
        reports: &reports,
        changes: &changes,
    };
    let text = if json {
        let points = asked.details.then(|| proof::weak_points(plan));
        print(&as_json(
            plan,
            reports,
            pairs.as_deref(),
            points.as_deref(),
            &whole,
        ))
    } else {
        as_text(plan, reports, pairs.as_deref(), &whole)
    };
    Answer {
        text,
        failed: !whole.is_fine(),
    }
}

/// What each loss breaks, and what it changes of the duties that are broken without it; as many of either.
#[derive(Clone, Copy)]
struct Reports<'a> {
    reports: &'a [LossReport],
    changes: &'a [Vec<BrokenChange>],
}

pub(super) fn lost(loss: &Loss) -> LossOutput<'_> {
    match loss {
        Loss::Part(id) => LossOutput::Part(id),
        Loss::Wire(id) => LossOutput::Wire(id),
        Loss::Switch(id) => LossOutput::Switch(id),
        Loss::Empty(id) => LossOutput::Empty(id),
    }
}

fn loss_details(plan: &Plan, report: &LossReport) -> LossDetails {
    let hours = |energy| plan.book.book.unit.hours(energy);
    let harm = |harm: &Harm| HarmOutput {
        duty: harm.duty,
        first: harm.first,
        lasts: harm.lasts,
        dark: harm.dark,
        needless: harm.needless,
        unserved: hours(harm.unserved),
    };
    LossDetails {
        days: report.days,
        loss_of_load: report.loss_of_load,
        unserved: hours(report.unserved()),
        harms: report.harms.iter().map(harm).collect(),
    }
}

fn details<'a>(reports: &'a [LossReport], points: &'a [WeakPoint]) -> LossesDetails<'a> {
    let survival = proof::survival(reports);
    let at = |at: &usize| lost(&reports[*at].loss);
    let point = |point: &'a WeakPoint| WeakPointOutput {
        loss: lost(&point.loss),
        after: point.after,
        loads: &point.loads,
        behind: point.behind,
    };
    LossesDetails {
        survives: survival.survived,
        tried: survival.tried,
        worst_first: proof::ranked(reports),
        single_points_of_failure: survival.single_points.iter().map(at).collect(),
        worst_single_points: survival.worst.iter().map(at).collect(),
        all_power_through: points.iter().map(point).collect(),
    }
}

/// `points` only where details were asked for.
fn as_json<'a>(
    plan: &Plan,
    Reports { reports, changes }: Reports<'a>,
    pairs: Option<&'a [PairReport]>,
    points: Option<&'a [WeakPoint]>,
    whole: &'a Check,
) -> LossesOutput<'a> {
    let change = |change: &BrokenChange| BrokenChangeOutput {
        duty: change.duty,
        before: change.before,
        after: change.after,
        further: (change.further).map(|g| (g.from, g.to, if g.on { "on" } else { "off" })),
        mends_some: change.mends_some,
        mended: change.mended,
    };
    let report = |(report, changes): (&'a LossReport, &Vec<BrokenChange>)| LossReportOutput {
        loss: lost(&report.loss),
        breaks: &report.breaks,
        details: points.map(|_| loss_details(plan, report)),
        changes: changes.iter().map(change).collect(),
    };
    let pair = |pair: &'a PairReport| PairOutput {
        losses: (lost(&pair.losses.0), lost(&pair.losses.1)),
        breaks: &pair.report.breaks,
        more: &pair.more,
    };
    LossesOutput {
        losses: reports.iter().zip(changes).map(report).collect(),
        problems: problems(plan, &whole.problems),
        details: points.map(|points| details(reports, points)),
        pairs: pairs.map(|pairs| pairs.iter().map(pair).collect()),
    }
}

fn as_text(
    plan: &Plan,
    all @ Reports { reports, changes }: Reports,
    pairs: Option<&[PairReport]>,
    whole: &Check,
) -> String {
    let survival = proof::survival(reports);
    let kept = whole.duties.iter().filter(|d| d.kept).count();
    let mut text = format!("{}\n", words::survives(&survival, Some(kept)));
    if let Some(says) = words::broken_changes(changes.iter().map(Vec::as_slice)) {
        text.push_str(&format!("{says}\n"));
    }
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
    text.push_str(&changes_text(plan, all, &said));
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
    format!("{text}{}", problems_text(plan, &whole.problems))
}

/// What losses change of the duties that are broken without them, in the losses' order; `said` are the duties in words.
fn changes_text(plan: &Plan, all: Reports, said: &[String]) -> String {
    let mut table = Table::new(&[
        "lost",
        "broken a day",
        "instead of",
        "change",
        "duty broken anyway",
    ]);
    for (report, changes) in all.reports.iter().zip(all.changes) {
        for change in changes {
            table.row([
                words::lost(plan, &report.loss),
                words::a_day(change.after, 1),
                words::a_day(change.before, 1),
                words::broken_change(plan, change),
                said.get(change.duty).cloned().unwrap_or_default(),
            ]);
        }
    }
    match table.is_empty() {
        true => String::new(),
        false => format!("{table}\n"),
    }
}
