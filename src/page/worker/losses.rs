//! Losses and logic, worked out in the worker: what is found is handed over as it comes, and how far it is.

use super::task::Answer;
use crate::plan::Plan;
use crate::proof::{
    Explorer, LossReport, Pairs, Rows, all_losses, check, empty_batteries, share_of_losses,
};
use crate::quantity::Ms;

/// So many losses or rows go over at once.
const HANDFUL: usize = 32;

/// So many settled states are looked at between two words on how far it is.
const STATES: usize = 64;

/// A share of the single losses; `empty` asks for batteries found empty, too.
pub(super) fn some_losses(
    plan: &Plan,
    empty: bool,
    share: (usize, usize),
    say: &mut dyn FnMut(Answer),
) {
    let whole = check(plan);
    let mut all = all_losses(plan);
    if empty {
        all.extend(empty_batteries(plan));
    }
    let mut found = Vec::new();
    let reports = share_of_losses(plan, &whole, &all, share);
    let of = reports.len() as u64;
    say(Answer::Progress(0, of));
    for (done, report) in (1..).zip(reports) {
        found.push(report);
        if found.len() == HANDFUL {
            say(Answer::SomeLosses(std::mem::take(&mut found)));
            say(Answer::Progress(done, of));
        }
    }
    say(Answer::Progress(of, of));
    say(Answer::SomeLosses(found));
    say(Answer::Losses {
        for_ever: whole.for_ever,
        days: whole.days,
        kept: whole.duties.iter().filter(|d| d.kept).count(),
    });
}

/// Every pair of what `singles` report.
pub(super) fn every_pair(plan: &Plan, singles: &[LossReport], say: &mut dyn FnMut(Answer)) {
    let whole = check(plan);
    let mut pairs = Pairs::new(plan, &whole, singles);
    let mut found = Vec::new();
    while let Some(pair) = pairs.next() {
        found.extend(pair);
        let (done, of) = pairs.progress();
        if done % HANDFUL as u64 == 0 {
            if !found.is_empty() {
                say(Answer::SomePairs(std::mem::take(&mut found)));
            }
            say(Answer::Progress(done, of));
        }
    }
    say(Answer::SomePairs(found));
    say(Answer::Pairs);
}

/// The table at an instant, then what comes of changing inputs in turn.
pub(super) fn contacts(plan: &Plan, t: Ms, say: &mut dyn FnMut(Answer)) {
    let mut rows = Rows::new(plan, t);
    let table = rows.table().clone();
    let of = table.rows as u64;
    say(Answer::LogicTable(table));
    let mut done = 0;
    loop {
        let some: Vec<_> = rows.by_ref().take(HANDFUL * 4).collect();
        if some.is_empty() {
            break;
        }
        done += some.len() as u64;
        say(Answer::LogicRows(some));
        say(Answer::Progress(done, of));
    }
    let mut explorer = Explorer::new(plan, t);
    let mut steps = 0;
    while explorer.step() {
        steps += 1;
        if steps % STATES == 0 {
            let (done, known) = explorer.progress();
            say(Answer::Progress(done as u64, known as u64));
        }
    }
    say(Answer::Logic(explorer.findings()));
}
