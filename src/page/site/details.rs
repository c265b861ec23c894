//! What the details say of the site: of a part where it hangs and who can reach it, of a wire its run, and where nothing
//! is chosen the site's own numbers, rooms and wires.

use super::ground::GroundDetails;
use super::part::PartOnSite;
use super::wire::RunOfWire;
use crate::editor::Selection;
use leptos::prelude::*;

/// What the details say of the site about what is chosen.
pub fn on_site(chosen: Selection) -> AnyView {
    let (part, wire) = (chosen.parts.first(), chosen.wires.first());
    match (part, wire) {
        (Some(id), _) => view! { <PartOnSite id=id.clone()/> }.into_any(),
        (None, Some(id)) => view! { <RunOfWire id=id.clone()/> }.into_any(),
        (None, None) => view! { <GroundDetails/> }.into_any(),
    }
}
