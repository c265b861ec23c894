//! Where nothing does what is asked: which demands stand in the way, and the changes that would make it possible.

use super::desk::Desk;
use crate::sheet::draft_said::SaidContradiction;
use leptos::prelude::*;

/// The demands, and the changes, each of which can be taken.
#[component]
pub(super) fn Nothing(desk: Desk, found: SaidContradiction) -> impl IntoView {
    let because = found
        .because
        .into_iter()
        .map(|said| view! { <li>{said}</li> });
    let instead = found.instead.into_iter().map(|(says, order)| {
        let take = move |_| {
            desk.take_text(&order, "The change");
            desk.search();
        };
        view! { <li>{says}" "<button type="button" on:click=take>"Change the order so"</button></li> }
    });
    let (because, instead) = (because.collect_view(), instead.collect::<Vec<_>>());
    view! {
        <p role="status"><strong>{found.says}</strong></p>
        <ul class="draft-because">{because}</ul>
        {(!instead.is_empty()).then(|| view! {
            <h4>"What would make it possible, each tried"</h4>
            <ul class="draft-instead">{instead}</ul>
        })}
    }
}
