//! Pairs of losses, on request: those that break more together than either alone.

use super::book::{Under, use_losses};
use super::table::Choose;
use super::{Under as UnderView, broken};
use crate::sheet::losses as words;
use leptos::prelude::*;

/// The table of pairs and the button that asks for it.
#[component]
pub(super) fn PairTable() -> impl IntoView {
    let book = use_losses();
    let told = book.told();
    let can = move || {
        let ready = told.with(|t| {
            t.as_ref()
                .is_some_and(|t| t.complete.is_some() && !t.plan.duties.is_empty() && !t.all_pairs)
        });
        (ready && book.under().is_none()).then(|| view! {
            <button type="button" on:click=move |_| book.try_pairs()>"Try pairs of losses"</button>
        })
    };
    let rows = move || {
        told.with(|t| {
            let told = t.as_ref()?;
            let pairs = told.pairs.as_ref()?;
            if pairs.is_empty() {
                return told.all_pairs.then(|| {
                    view! { <p class="aside">"No pair of losses breaks more than the two alone."</p> }.into_any()
                });
            }
            let row = |pair: &crate::proof::PairReport| {
                let (a, b) = pair.losses.clone();
                let name = format!(
                    "{} and {}",
                    words::lost(&told.plan, &a),
                    words::lost(&told.plan, &b)
                );
                let more = broken(told, &pair.report, &pair.more).join("; ");
                view! {
                    <tr>
                        <th scope="row"><Choose name losses=vec![a, b]/></th>
                        <td>{more}</td>
                    </tr>
                }
            };
            let rows: Vec<_> = pairs.iter().map(row).collect();
            Some(view! {
                <table class="proof-table pairs">
                    <caption>"Pairs that break more together than either alone"</caption>
                    <thead><tr>
                        <th scope="col">"Lost together"</th>
                        <th scope="col">"Breaks besides"</th>
                    </tr></thead>
                    <tbody>{rows}</tbody>
                </table>
            }.into_any())
        })
    };
    view! {
        <div class="proof-more">
            {can}
            <UnderView on=Under::Pairs/>
            {rows}
        </div>
    }
}
