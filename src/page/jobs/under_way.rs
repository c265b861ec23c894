//! What all pages say of long work: how far it is with a way to stop it, why it did not come to its end, and that an
//! answer is of an earlier plan.

use super::Status;
use leptos::prelude::*;

/// How far a job is, or why it has not come to its end.
#[component]
pub fn UnderWay(
    /// The job.
    status: Status,
    /// What is being done, as "Trying losses".
    doing: &'static str,
    /// What is counted, as "losses"; nothing where the steps have no name.
    #[prop(optional)]
    counts: &'static str,
    /// Stops it.
    stop: Callback<()>,
    /// Asks again, and what its button says.
    #[prop(optional)]
    again: Option<(&'static str, Callback<()>)>,
) -> impl IntoView {
    let progress = move || {
        let (done, of) = status.progress();
        let says = match (of, counts) {
            (0, _) | (_, "") => String::new(),
            _ => format!("{done} of {of} {counts}"),
        };
        (done, of, says)
    };
    move || {
        if status.is_running() {
            return view! {
                <p class="under-way">
                    <progress aria-label=doing max=move || progress().1.max(1).to_string() value=move || progress().0.to_string()/>
                    <span>{doing}"… "</span>
                    <span>{move || progress().2}</span>
                    <button type="button" class="quiet" on:click=move |_| stop.run(())>"Stop"</button>
                </p>
            }
            .into_any();
        }
        let Some(why) = status.says() else {
            return ().into_any();
        };
        let again = again.map(|(says, again)| {
            view! { <button type="button" class="quiet" on:click=move |_| again.run(())>{says}</button> }
        });
        view! { <p class="under-way" role="status">{why}" "{again}</p> }.into_any()
    }
}

/// Says that what stands below is of an earlier plan, where it is.
#[component]
pub fn OutOfDate(
    /// Whether it is.
    #[prop(into)]
    when: Signal<bool>,
) -> impl IntoView {
    move || {
        when.get().then(|| view! { <p class="as-of" role="status">"As of the plan before your last edits."</p> })
    }
}
