//! What learners sent back: a list of links, graded at one go, as a table and as a file for a spreadsheet.

use super::answer_row::AnswerRow;
use crate::page::download;
use crate::page::jobs::{Job, Jobs, OutOfDate, Subject, UnderWay, priority};
use crate::page::store::use_store;
use crate::teach::{GradeRow, grade_table, solution_texts};
use crate::worker::{Answer, Task};
use leptos::prelude::*;

/// What was pasted and what came of it. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct SolutionsJob {
    pasted: RwSignal<String>,
    job: Job<Vec<Result<GradeRow, String>>>,
}

impl SolutionsJob {
    /// Nothing was pasted yet.
    pub fn start(jobs: Jobs) -> SolutionsJob {
        SolutionsJob {
            pasted: RwSignal::new(String::new()),
            job: Job::new(jobs, Subject::Whole, |rows, piece, _| {
                let rows: &mut Vec<_> = rows.get_or_insert_default();
                if let Answer::GradedNext(row) = piece {
                    rows.push(*row);
                }
                false
            }),
        }
    }

    fn check(self) {
        let texts = solution_texts(&self.pasted.get_untracked());
        self.job
            .ask_anew(vec![Task::GradeAll(texts)], priority::AWAITED);
    }
}

/// The list and its table.
#[component]
pub fn Solutions() -> impl IntoView {
    let store = use_store();
    let solutions: SolutionsJob = expect_context();
    let SolutionsJob { pasted, job } = solutions;
    let status = job.status();
    let check = Callback::new(move |()| solutions.check());
    let stop = Callback::new(move |()| job.stop());
    let nothing = Memo::new(move |_| pasted.with(|text| solution_texts(text).is_empty()));
    let rows = Memo::new(move |_| {
        let answer = job.answer()?;
        let texts = match answer.tasks.first() {
            Some(Task::GradeAll(texts)) => texts.clone(),
            _ => Vec::new(),
        };
        Some((answer.value.clone(), texts))
    });
    let save = move |_| {
        let Some((rows, _)) = rows.get_untracked() else {
            return;
        };
        let rows: Vec<GradeRow> = rows.into_iter().filter_map(Result::ok).collect();
        let title = store.with_plan(|plan| plan.title.clone());
        let name = download::named(&format!("{title} solutions"), "solutions", "csv");
        download::save(store, &grade_table(&rows), &name, "text/csv");
    };
    view! {
        <p>"Paste the links that learners sent you, one a line. A name may stand before each: Tern: https://…"</p>
        <textarea class="solutions-links" rows="5" aria-label="Links to solutions, one a line" spellcheck="false"
            prop:value=pasted on:input=move |event| pasted.set(event_target_value(&event))></textarea>
        <p class="exercise-buttons">
            <button type="button" class="main-act" disabled=move || nothing.get() on:click=move |_| check.run(())>"Check them"</button>
            <UnderWay status doing="Checking" stop again=("Check them", check) counts="solutions"/>
            {move || rows.get().is_some_and(|(rows, _)| !rows.is_empty()).then(|| view! {
                <button type="button" on:click=save>"Save as a table (CSV)"</button>
            })}
        </p>
        <OutOfDate when=Signal::derive(move || job.is_out_of_date() && !status.is_running())/>
        {move || {
            let (rows, texts) = rows.get().filter(|(rows, _)| !rows.is_empty())?;
            Some(view! { <Table rows texts/> })
        }}
    }
}

#[component]
fn Table(
    /// A row each.
    rows: Vec<Result<GradeRow, String>>,
    /// The texts that they were read from.
    texts: Vec<String>,
) -> impl IntoView {
    let kept = |row: &&Result<GradeRow, String>| {
        let graded = row.as_ref().ok().and_then(|row| row.graded.as_ref().ok());
        graded.is_some_and(|graded| graded.kept)
    };
    let summary = format!(
        "{} of {} keep the exercise.",
        rows.iter().filter(kept).count(),
        rows.len()
    );
    let body = rows.into_iter().zip(texts).map(|(row, text)| match row {
        Ok(row) => view! { <AnswerRow row text/> }.into_any(),
        Err(why) => view! { <tr><td colspan="8">{why}</td></tr> }.into_any(),
    });
    let body: Vec<_> = body.collect();
    view! {
        <p role="status">{summary}</p>
        <div class="solutions-table">
            <table>
                <thead>
                    <tr>
                        <th scope="col">"Who"</th><th scope="col">"Kept"</th><th scope="col">"Stars"</th>
                        <th scope="col">"Materials"</th><th scope="col">"Parts"</th><th scope="col">"Fails since"</th>
                        <th scope="col">"What fails"</th><th scope="col">"Plan"</th>
                    </tr>
                </thead>
                <tbody>{body}</tbody>
            </table>
        </div>
    }
}
