//! The log's page of findings: what an experienced builder would say of the plan, worst first. A click shows the parts; a
//! change can be tried on the board, the plan beside it, and taken; or the finding is meant so. Nothing is judged here.

mod job;

pub(super) use job::{FindingsJob, use_findings};

use super::compare::ComparisonTable;
use super::jobs::{OutOfDate, UnderWay};
use super::store::use_store;
use crate::plan::{Edit, Meant};
use crate::proof::findings::{Finding, Remedy};
use crate::sheet::words::weight_mark;
use crate::works::{Bill, change_said};
use leptos::prelude::*;

/// The page.
#[component]
pub fn FindingsPage() -> impl IntoView {
    let (store, findings) = (use_store(), use_findings());
    let job = findings.job();
    let status = job.status();
    let meant = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.meant.clone())
    });
    let rows = move || {
        let all = job.answer().map(|answer| answer.value.clone());
        let all = all.unwrap_or_default().into_iter();
        meant.with(|meant| {
            all.filter(|finding| !finding.is_meant(meant))
                .map(|finding| view! { <Item finding/> })
                .collect::<Vec<_>>()
        })
    };
    let none = move || {
        let nothing = match job.answer() {
            Some(answer) => {
                let open = meant.with(|meant| answer.value.iter().any(|f| !f.is_meant(meant)));
                answer.complete && !open
            }
            None => store.part_ids().with(Vec::is_empty),
        };
        nothing
            .then(|| view! { <p class="aside findings-line">{nothing_said(meant.with(Vec::is_empty))}</p> })
    };
    let look = Callback::new(move |()| findings.look());
    let again = move || {
        let is_needed = job.is_out_of_date() && !status.is_running() && status.says().is_none();
        is_needed.then(|| {
            view! {
                <p class="under-way">
                    <button type="button" class="quiet" on:click=move |_| look.run(())>"Look again"</button>
                </p>
            }
        })
    };
    let beside = move || {
        findings.tried().map(|name| {
            view! {
                <section class="findings-beside" tabindex="0" aria-label="The plan beside the change">
                    <h3>"Now, and with the change: " {name}</h3>
                    <ComparisonTable of=findings.beside() first=Signal::stored("Now".to_string())
                        second=Signal::stored("With it".to_string()) only_changed=true/>
                </section>
            }
        })
    };
    view! {
        <div class="findings-page" class:trying=move || findings.tried().is_some()>
            <div class="findings-main">
                <OutOfDate when=Signal::derive(move || job.is_out_of_date())/>
                <UnderWay status doing="Looking" counts="looked at" stop=Callback::new(move |()| job.stop()) again=("Look again", look)/>
                {again}
                {none}
                <ol class="finding-list" aria-label="Findings" class:old=move || job.is_out_of_date()>{rows}</ol>
                <MeantList meant/>
            </div>
            {beside}
        </div>
    }
}

/// That there is no finding; where some are `meant` so, no other one.
const fn nothing_said(none_meant: bool) -> &'static str {
    match none_meant {
        true => "Nothing to say about this plan.",
        false => "Nothing else to say about this plan.",
    }
}

/// What the plan says is meant so, with a button that takes each answer back.
#[component]
fn MeantList(
    /// The answers.
    meant: Memo<Vec<Meant>>,
) -> impl IntoView {
    let store = use_store();
    let line = move |answer: &Meant| {
        let about = store.with_plan(|plan| plan.called(&answer.part));
        let (part, of) = (vec![answer.part.clone()], answer.clone());
        let take_back = move |_| {
            let mut rest = meant.get_untracked();
            rest.retain(|m| *m != of);
            store.commit("take \"meant so\" back", vec![Edit::Meant(rest)]);
        };
        view! {
            <li>
                <button type="button" class="proof-line" on:click=move |_| store.show(&part, &[])>
                    {answer.finding.label()}": "{about}
                </button>
                <button type="button" class="quiet" on:click=take_back>"Not meant so"</button>
            </li>
        }
    };
    let all = move || meant.with(|all| all.iter().map(line).collect::<Vec<_>>());
    let count = move || match meant.with(Vec::len) {
        1 => "1 finding is meant so".to_string(),
        n => format!("{n} findings are meant so"),
    };
    // One list for all that comes and goes, so that it stays unfolded.
    view! {
        <details class="findings-meant" hidden=move || meant.with(Vec::is_empty)>
            <summary>{count}</summary>
            <ul>{all}</ul>
        </details>
    }
}

/// One finding.
#[component]
fn Item(
    /// The finding.
    finding: Finding,
) -> impl IntoView {
    let store = use_store();
    let weight = finding.weight;
    let (parts, wires) = (finding.parts.clone(), finding.wires.clone());
    let meant_so = finding.as_meant().map(|answer| {
        let say = move |_| {
            let mut all = store.with_plan(|plan| plan.meant.clone());
            all.push(answer.clone());
            if store.commit("mark as meant so", vec![Edit::Meant(all)]) {
                store.notice("Meant so: it is listed below the findings. Undo takes it back.".into());
            }
        };
        view! {
            <button type="button" class="quiet meant-so" title="Keep the plan as it is, and list this finding below"
                on:click=say>"Meant so"</button>
        }
    });
    view! {
        <li class=format!("finding {}", weight.word())>
            <button type="button" class="finding-says" data-kind=finding.kind.code()
                title="Show the parts on the board" on:click=move |_| store.show(&parts, &wires)>
                <svg class="mark" viewBox="0 0 12 12" aria-hidden="true"><path d=weight_mark(weight)/></svg>
                <span><strong>{finding.kind.label()}</strong>" ("{weight.label()}"): "{finding.says.clone()}</span>
            </button>
            {finding.remedy.clone().map(|remedy| view! { <Change remedy/> })}
            {meant_so}
        </li>
    }
}

/// The change of a finding: try, put back, take.
#[component]
pub(in crate::page) fn Change(
    /// The change.
    remedy: Remedy,
) -> impl IntoView {
    let (store, findings) = (use_store(), use_findings());
    let remedy = StoredValue::new(remedy);
    let materials = remedy.with_value(|r| {
        store.with_plan(|plan| {
            change_said(&Bill::change(plan, &r.edits)?).map(|said| format!(" {said}"))
        })
    });
    let name = remedy.with_value(|r| r.name.clone());
    let is_tried = Memo::new(move |_| findings.tried().as_ref() == Some(&name));
    let turn = move |_| {
        if is_tried.get_untracked() {
            store.end_preview();
        } else {
            remedy.with_value(|r| findings.try_it(r));
        }
    };
    view! {
        <div class="remedy" class:tried=move || is_tried.get()>
            <span class="remedy-says">{remedy.with_value(|r| r.says.clone())}{materials}</span>
            <button type="button" aria-pressed=move || is_tried.get().to_string() on:click=turn>
                {move || if is_tried.get() { "Put back" } else { "Try" }}
            </button>
            <button type="button" on:click=move |_| remedy.with_value(|r| findings.take(r))>"Take"</button>
        </div>
    }
}
