//! Pairs of losses, on request: those that break more together than either alone.

use super::broken;
use super::job::use_losses;
use super::table::Choose;
use crate::page::jobs::{OutOfDate, UnderWay};
use crate::proof::PairReport;
use crate::sheet::losses as words;
use leptos::prelude::*;

/// The table of pairs and the button that asks for it.
#[component]
pub(super) fn PairTable() -> impl IntoView {
    let losses = use_losses();
    let (singles, pairs) = (losses.singles(), losses.pairs());
    let status = pairs.status();
    // Pairs are of the single losses that stand above, all of them.
    let is_there = move || {
        let known = pairs.answer().filter(|answer| answer.complete);
        known.is_some() && !pairs.is_out_of_date()
    };
    let can = Memo::new(move |_| {
        let is_ready = singles.answer().is_some_and(|answer| answer.complete);
        is_ready && losses.has_duties() && !status.is_running() && !is_there()
    });
    let rows = move || {
        let answer = pairs.answer()?;
        if answer.value.is_empty() {
            return answer.complete.then(|| {
                view! { <p class="aside">"No pair of losses breaks more than the two alone."</p> }.into_any()
            });
        }
        let plan = answer.plan.clone();
        let row = |pair: &PairReport| {
            let (a, b) = pair.losses.clone();
            let name = format!("{} and {}", words::lost(&plan, &a), words::lost(&plan, &b));
            let more = broken(&plan, &pair.report, &pair.more).join("; ");
            view! {
                <tr>
                    <th scope="row"><Choose name losses=vec![a, b]/></th>
                    <td>{more}</td>
                </tr>
            }
        };
        let rows: Vec<_> = answer.value.iter().map(row).collect();
        Some(
            view! {
                <table class="proof-table pairs">
                    <caption>"Pairs that break more together than either alone"</caption>
                    <thead><tr>
                        <th scope="col">"Lost together"</th>
                        <th scope="col">"Breaks besides"</th>
                    </tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            }
            .into_any(),
        )
    };
    view! {
        <div class="proof-more">
            {move || can.get().then(|| view! {
                <button type="button" on:click=move |_| losses.try_pairs()>"Try pairs of losses"</button>
            })}
            <UnderWay status doing="Trying pairs" counts="pairs" stop=Callback::new(move |()| pairs.stop())/>
            <OutOfDate when=Signal::derive(move || pairs.is_out_of_date())/>
            {rows}
        </div>
    }
}
