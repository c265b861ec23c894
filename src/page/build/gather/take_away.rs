//! The list to take away. Where nothing was entered it is what the plan needs, else with what is missing.

use super::sheet::GatherSheet;
use crate::page::build::take_away;
use crate::page::paper::use_paper;
use crate::sheet::bill_said::gather_text;
use crate::works::csv::bill_table;
use crate::works::{Bill, GatherList, Missing};
use leptos::prelude::*;

use super::entries::use_gathering;

/// The buttons.
#[component]
pub(super) fn TakeAway(list: Memo<GatherList>) -> impl IntoView {
    let gathering = use_gathering();
    let with_list = move |make: fn(&Bill, Option<&Missing>) -> String| {
        let is_plain = gathering.stock.now().with_untracked(|e| e.is_empty());
        list.with_untracked(|list| make(&list.bill, (!is_plain).then_some(&list.missing)))
    };
    let paper = use_paper();
    let print = move |_| {
        let (list, length) = (list.get_untracked(), untrack(super::wire_length));
        let has_entries = gathering.stock.now().with_untracked(|e| !e.is_empty());
        paper.print(move || view! { <GatherSheet list=list.clone() length has_entries/> });
    };
    view! {
        <p class="build-acts"><button type="button" on:click=print>"Print the list"</button></p>
        <take_away::TakeAway ending="gather" called="list" table=move || with_list(bill_table)
            text=move || with_list(|bill, missing| gather_text(bill, missing, untrack(super::wire_length)))/>
    }
}
