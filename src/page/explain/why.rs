//! Why a part is there, among its details: its own story, what it does with others, and what of the day and of the cautions
//! is about it.

use super::said::Said;
use super::use_explanation;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::plan::PartId;
use leptos::html;
use leptos::prelude::*;

/// The section; what it says is asked for while it is unfolded.
#[component]
pub fn WhyHere(
    /// The part.
    id: PartId,
) -> impl IntoView {
    let explanation = use_explanation();
    explanation.show();
    let job = explanation.job();
    let status = job.status();
    let why = explanation.why();
    let fold = NodeRef::<html::Details>::new();
    let turned = move |_| {
        if let Some(fold) = fold.get_untracked() {
            why.set(fold.open());
        }
    };
    let stop = Callback::new(move |()| job.stop());
    let again = Callback::new(move |()| explanation.again());
    let id = StoredValue::new(id);
    let told = move || {
        let answer = job.answer()?;
        let about = id.with_value(|id| answer.value.clone().about(id));
        let day = about.day.into_iter().map(|(_, said)| said);
        let shown = about.parts.into_iter().chain(about.groups).chain(day);
        let shown = shown.chain(about.watch).map(|said| (said.says, true));
        let dull = about.dull.into_iter().map(|said| (said.says, false));
        let all = [(about.heading, true)].into_iter().chain(shown).chain(dull);
        Some(
            all.map(|(says, is_shown)| view! { <li><Said says is_shown/></li> })
                .collect_view(),
        )
    };
    view! {
        <section class="why-here">
            <details node_ref=fold open=move || why.get() on:toggle=turned>
                <summary>"Why is it here?"</summary>
                {move || why.get().then(|| view! {
                    <UnderWay status doing="Explaining" stop again=("Go on", again)/>
                    <OutOfDate when=Signal::derive(move || job.is_out_of_date() && !status.is_running())/>
                    <ul class="explain-list">{told}</ul>
                })}
            </details>
        </section>
    }
}
