//! The plan itself, where nothing is chosen: its title and notes, what is in it, the world, and the caution.

use super::field::Entry;
use crate::page::caution::Caution;
use crate::page::store::use_store;
use crate::page::world::World;
use crate::plan::Edit;
use crate::works::{Bill, materials_said};
use leptos::prelude::*;

/// The plan.
#[component]
pub(super) fn PlanDetails(
    /// Whether the world's settings are unfolded.
    world_unfolded: RwSignal<bool>,
) -> impl IntoView {
    let store = use_store();
    let title = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.title.clone())
    });
    let notes = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.notes.clone())
    });
    let counts = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| (plan.parts.len(), plan.wires.len(), plan.duties.len()))
    });
    let bill = Memo::new(move |_| {
        store.revision();
        store.with_plan(Bill::of)
    });
    let to_build = move || bill.with(Bill::part_count);
    let is_banked = move || to_build() != counts.get().0 as u64;
    let read = move |text: String| {
        let new = text.trim().to_string();
        if new != title.get_untracked() {
            store.commit("rename the plan", vec![Edit::Title(new)]);
        }
        Ok(())
    };
    let note = move |ev| {
        let new = event_target_value(&ev);
        if new != notes.get_untracked() {
            store.commit("change the notes", vec![Edit::Notes(new)]);
        }
    };
    view! {
        <section aria-labelledby="details-title">
            <h2 id="details-title">"This plan"</h2>
            <Entry id="plan-title".to_string() label="Title" value=title read/>
            <label for="plan-notes">"Notes"</label>
            <textarea id="plan-notes" class="notes" rows="4" prop:value=move || notes.get() on:change=note></textarea>
            <dl class="numbers">
                <dt>"Parts"</dt><dd>{move || counts.get().0}</dd>
                <dt hidden=move || !is_banked()>"To build, each of a bank counted"</dt><dd hidden=move || !is_banked()>{to_build}</dd>
                <dt>"Stage needed"</dt><dd>{move || bill.with(|bill| bill.stage)}</dd>
                <dt>"Wires"</dt><dd>{move || counts.get().1}</dd>
                <dt>"Duties"</dt><dd>{move || counts.get().2}</dd>
            </dl>
            <p class="materials">"Materials: " {move || bill.with(|bill| materials_said(&bill.materials))} "."</p>
            <p class="aside">"Choose a part or a wire on the board to read and set it here."</p>
        </section>
        <super::figures::Figures id=None/>
        <World unfolded=world_unfolded/>
        <section aria-label="Caution">
            <Caution/>
        </section>
    }
}
