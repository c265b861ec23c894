//! What strangers can put out or cut: the parts within their reach and the wires that they can touch, with the duties that
//! each breaks. Reach follows from the site, or is as set by hand; without a site wires are in nobody's reach.

use super::runs::{SiteRuns, use_site};
use crate::editor::Selection;
use crate::page::jobs::OutOfDate;
use crate::page::losses::use_losses;
use crate::page::store::{Store, use_store};
use crate::plan::{Plan, Reach};
use crate::proof::{Loss, LossReport};
use crate::sheet::losses as words;
use crate::sheet::verdict;
use leptos::prelude::*;

/// What strangers can do, in the plan's order. Tracked.
fn losses_in_reach(store: Store, site: SiteRuns) -> Vec<Loss> {
    store.revision();
    let on_site = site.on_site();
    store.with_plan(|plan| {
        let parts = plan
            .parts
            .iter()
            .filter(|p| plan.reach_of(p) == Some(Reach::Anyone));
        let part = |part: &crate::plan::Part| {
            let is_thrown = plan
                .kind_of(part)
                .is_some_and(|kind| kind.is_hand_operated());
            match is_thrown {
                true => Loss::Switch(part.id.clone()),
                false => Loss::Part(part.id.clone()),
            }
        };
        let is_touched = |wire: &&crate::plan::Wire| {
            let run = on_site
                .as_ref()
                .and_then(|on_site| on_site.run_of(&wire.id));
            run.is_some_and(|run| run.route.is_some() && run.reach == Reach::Anyone)
        };
        let wires = plan
            .wires
            .iter()
            .filter(is_touched)
            .map(|w| Loss::Wire(w.id.clone()));
        parts.map(part).chain(wires).collect()
    })
}

/// Those as a choice, so that board and site show them.
fn chosen(losses: &[Loss]) -> Selection {
    let mut chosen = Selection::default();
    for loss in losses {
        match loss {
            Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => {
                chosen.parts.insert(id.clone());
            }
            Loss::Wire(id) => {
                chosen.wires.insert(id.clone());
            }
        }
    }
    chosen
}

/// The duties that a loss breaks, in words.
fn broken(plan: &Plan, reports: &[LossReport], loss: &Loss) -> Option<Vec<String>> {
    let report = reports.iter().find(|report| report.loss == *loss)?;
    let duty = |at: &usize| plan.duties.get(*at).map(|duty| verdict::duty(plan, duty));
    Some(report.breaks.iter().filter_map(duty).collect())
}

/// The list, while it is asked for.
#[component]
pub fn Strangers() -> impl IntoView {
    let store = use_store();
    let site = use_site();
    let losses = use_losses();
    let is_open = store.strangers();
    let reached = Memo::new(move |_| match is_open.get() {
        true => losses_in_reach(store, site),
        false => Vec::new(),
    });
    // Whoever asks sees them marked, and their losses are tried unless they are known.
    Effect::watch(
        move || is_open.get(),
        move |is_open, _, _| {
            if *is_open {
                store.select(chosen(&reached.get_untracked()));
                if untrack(|| losses.has_duties() && losses.singles().is_blank()) {
                    losses.try_all();
                }
            }
        },
        true,
    );
    let says = move || {
        reached.with(|reached| {
            let wires = reached
                .iter()
                .filter(|l| matches!(l, Loss::Wire(_)))
                .count();
            let parts = reached.len() - wires;
            let counted =
                |n: usize, what: &str| format!("{n} {what}{}", if n == 1 { "" } else { "s" });
            match (parts, wires) {
                (0, 0) => "Strangers can reach no part and touch no wire.".to_string(),
                (parts, wires) => format!(
                    "Strangers can reach {} and touch {}.",
                    counted(parts, "part"),
                    counted(wires, "wire")
                ),
            }
        })
    };
    let can_be_tried = move || {
        let singles = losses.singles();
        let is_old = singles.answer().is_none() || singles.is_out_of_date();
        losses.has_duties() && is_old && !singles.status().is_running()
    };
    let row = |loss: Loss| view! { <Row loss/> };
    let all = move || reached.get().into_iter().map(row).collect_view();
    view! {
        <Show when=move || is_open.get()>
            <section aria-labelledby="strangers-title" class="strangers">
                <h2 id="strangers-title">"What a stranger can put out or cut"</h2>
                <p role="status">{says}</p>
                <ul>{all}</ul>
                <OutOfDate when=Signal::derive(move || losses.singles().is_out_of_date())/>
                <Show when=can_be_tried>
                    <button type="button" on:click=move |_| losses.try_all()>"Try what that breaks"</button>
                </Show>
                <button type="button" on:click=move |_| is_open.set(false)>"Close"</button>
            </section>
        </Show>
    }
}

/// One part or wire within reach, how, and what that breaks.
#[component]
fn Row(
    /// What a stranger does.
    loss: Loss,
) -> impl IntoView {
    let (store, losses) = (use_store(), use_losses());
    let (name, how) = store.with_plan(|plan| {
        let how = match &loss {
            Loss::Switch(_) => "can be thrown",
            Loss::Wire(_) => "can be cut",
            _ => "can be taken or broken",
        };
        match &loss {
            Loss::Switch(id) => (plan.called(id), how),
            loss => (words::lost(plan, loss), how),
        }
    });
    let breaks = {
        let loss = loss.clone();
        move || {
            let answer = losses.singles().answer();
            let found = answer.and_then(|a| broken(&a.plan, &a.value.reports, &loss));
            match found {
                None if !losses.has_duties() => String::new(),
                None if losses.singles().status().is_running() => {
                    "What that breaks is being worked out.".into()
                }
                None => "What that breaks has not been tried yet.".into(),
                Some(duties) if duties.is_empty() => "Breaks no duty.".into(),
                Some(duties) => format!("Breaks {}.", duties.join("; ")),
            }
        }
    };
    let choose = move |_| match &loss {
        Loss::Wire(id) => store.show(&[], std::slice::from_ref(id)),
        Loss::Part(id) | Loss::Switch(id) | Loss::Empty(id) => {
            store.show(std::slice::from_ref(id), &[]);
        }
    };
    view! {
        <li>
            <button type="button" class="quiet" on:click=choose>{name}</button>" "{how}". "
            <span>{breaks}</span>
        </li>
    }
}
