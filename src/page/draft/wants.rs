//! The loads that are wanted.

use super::desk::{ADD_LOAD, Desk};
use super::want::Want;
use crate::draft::{DraftOrder, Wanted, WantedDuty};
use crate::limits::WANTS;
use crate::page::add::Add;
use crate::page::details::GRACE_S;
use crate::plan::When;
use leptos::prelude::*;

/// The list, and the choice that adds to it.
#[component]
pub(super) fn Wants(desk: Desk) -> impl IntoView {
    let count = desk.of(|order| order.wants.len());
    let types = desk.of(load_types);
    let add = move |kind: String| {
        if count.get_untracked() >= WANTS {
            return desk
                .store
                .notice(format!("An order has at most {WANTS} loads."));
        }
        desk.change(|order| {
            order.wants.push(Wanted {
                kind,
                name: String::new(),
                count: 1,
                duty: Some(WantedDuty {
                    when: When::Always.into(),
                    only: false,
                    grace_s: GRACE_S,
                }),
            });
        });
    };
    let rows = move || {
        let moves = desk.moves.get();
        (0..count.get()).map(move |want| (moves, want))
    };
    view! {
        {move || (count.get() == 0).then(|| view! {
            <p>"Nothing is wanted yet. Add a load and say when it must run; plans that do it, wired and proven, stand beside it then."</p>
        })}
        <ol class="draft-wants"><For each=rows key=|row| *row let:row><Want desk want=row.1/></For></ol>
        <Add id=ADD_LOAD label="Add a load" options=types add/>
    }
}

/// The loads of the order's book: their names there, and what people call them.
fn load_types(order: &DraftOrder) -> Vec<(String, String)> {
    let types = order.book.book.types.iter();
    let loads = types.filter(|kind| kind.behaviour.name() == "load");
    loads
        .map(|kind| (kind.name.clone(), kind.label.clone()))
        .collect()
}
