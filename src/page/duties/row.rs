//! One duty of the list: what it asks, its verdict, and each gap with its cause. A gap leads the cursor to it and chooses
//! the load.

use super::summary::Mark;
use super::use_duties;
use crate::page::store::use_store;
use crate::proof::{Cause, Gap};
use crate::sheet::verdict::{self, Gaps, Standing};
use leptos::prelude::*;

/// So many gaps are listed before one asks for all; those that come again are one.
const FIRST: usize = 8;

/// One duty with its gaps.
#[component]
pub(super) fn DutyItem(
    /// Its place in the plan.
    at: usize,
) -> impl IntoView {
    let (store, duties) = (use_store(), use_duties());
    let duty = Memo::new(move |_| duties.verdicts().and_then(|v| v.duties.get(at).cloned()));
    let verdict = Memo::new(move |_| {
        let verdicts = duties.verdicts()?;
        let verdict = verdicts.verdict(at)?;
        let standing = Standing::of(usize::from(verdict.kept), 1);
        Some((standing, verdict::of_duty(&verdicts.check, verdict)))
    });
    let standing = Signal::derive(move || verdict.get().map_or(Standing::None, |(s, _)| s));
    let said = move || verdict.get().map(|(_, said)| said);
    let name = move || duty.get().map(|(_, name)| name);
    let when = move || duty.get().map(|(duty, _)| verdict::when(&duty));
    let show = move |_| {
        if let Some((duty, _)) = duty.get_untracked() {
            store.show(&[duty.part], &[]);
        }
    };
    view! {
        <li class=move || format!("duty {}", standing.get().word())>
            <button type="button" class="duty-head" on:click=show title="Show the load on the board">
                <Mark of=standing/>
                <span class="duty-name">{name}</span>
                <span class="duty-when">{when}</span>
                <span class="duty-verdict">{said}</span>
            </button>
            <GapList at/>
        </li>
    }
}

/// The gaps of one duty.
#[component]
fn GapList(
    /// The duty's place in the plan.
    at: usize,
) -> impl IntoView {
    let (store, duties) = (use_store(), use_duties());
    let whole = RwSignal::new(false);
    let gaps = Memo::new(move |_| {
        let verdicts = duties.verdicts();
        let verdict = verdicts.as_ref().and_then(|v| v.verdict(at).cloned());
        verdict.map(|v| v.gaps).unwrap_or_default()
    });
    let causes = Memo::new(move |_| {
        let verdicts = duties.verdicts();
        verdicts
            .and_then(|v| v.causes.get(at).cloned())
            .unwrap_or_default()
    });
    let one = move |group: Gaps, all: &[Gap], causes: &[Cause]| {
        let gaps: Vec<Gap> = group
            .places
            .iter()
            .filter_map(|at| all.get(*at))
            .copied()
            .collect();
        let cause = group.places.first().and_then(|at| causes.get(*at)).cloned();
        let (from, within) = (gaps.clone(), gaps);
        // Where the cursor is at one of them already, the next.
        let go = move |_| {
            let now = store.moment().get_untracked();
            let next = from
                .iter()
                .position(|g| g.from == now)
                .map_or(0, |at| at + 1);
            if let Some(gap) = from.get(next).or(from.first()) {
                store.go_to(gap.from);
            }
            let load = duties.untracked(|all| all.verdict(at).map(|v| v.part.clone()));
            if let Some(part) = load {
                store.show(&[part], &[]);
            }
        };
        let here = move || {
            let now = store.moment().get();
            let holds = within.iter().any(|g| g.from <= now && now < g.to);
            holds.then_some("true")
        };
        let says = move || match &cause {
            None => "Looking for the cause…".into(),
            Some(cause) => {
                store.worded();
                store.with_shown(|plan| cause.says(plan))
            }
        };
        view! {
            <li>
                <button type="button" class="duty-gap" aria-current=here on:click=go title="Go there on the chart and show the load">
                    <span class="gap-times">{group.times}</span>
                    <span class="gap-long">{group.long}</span>
                    <span class="gap-cause">{says}</span>
                </button>
            </li>
        }
    };
    move || {
        let (gaps, causes) = (gaps.get(), causes.get());
        if gaps.is_empty() {
            return None;
        }
        let dial = duties.verdicts()?.dial;
        let groups = verdict::gaps(dial, &gaps);
        let all = groups.len();
        let shown = if whole.get() { all } else { all.min(FIRST) };
        let rows = groups.into_iter().take(shown);
        let rows: Vec<_> = rows.map(|group| one(group, &gaps, &causes)).collect();
        let more = (shown < all).then(|| {
            view! {
                <button type="button" class="quiet gaps-more" on:click=move |_| whole.set(true)>
                    "Show all "{all}
                </button>
            }
        });
        Some(view! { <ol class="gap-list" aria-label="When it is broken">{rows}</ol>{more} })
    }
}
