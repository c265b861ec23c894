//! The plan that is looked at: a small picture, what it takes, why each part is there, and what can be done with it.

use super::desk::Desk;
use crate::page::compare::use_variants;
use crate::page::keeping::use_keeper;
use crate::page::store::{LogPage, Pane};
use crate::page::windows::use_windows;
use crate::plan::{Plan, read_plan};
use crate::sheet::draft_said::SaidPlan;
use crate::sheet::thumbnail;
use crate::shelf::Origin;
use crate::works::materials_said;
use leptos::prelude::*;

/// The plan of this number, from 1.
#[component]
pub(super) fn Chosen(desk: Desk, plan: SaidPlan, number: usize) -> impl IntoView {
    let drafted = read_plan(&plan.text).ok();
    let picture = drafted.as_ref().and_then(thumbnail::picture);
    let materials = materials_said(&plan.materials);
    let rows = plan.why.iter().map(|(_, name, count, without)| {
        let name = match count {
            1 => name.clone(),
            count => format!("{count} × {name}"),
        };
        view! { <tr><th scope="row">{name}</th><td>{without.clone()}</td></tr> }
    });
    let rows: Vec<_> = rows.collect();
    view! {
        <section class="draft-chosen" aria-labelledby="draft-chosen">
            <h4 id="draft-chosen">{format!("Plan {number}")}</h4>
            <div class="draft-picture" aria-hidden="true" inner_html=picture></div>
            <p>{format!("It takes {materials}.")}</p>
            {drafted.map(|plan| view! { <Acts desk plan number/> })}
            <table class="draft-why">
                <caption>"Why each part is there: what happens to the duties without it"</caption>
                <tbody>{rows}</tbody>
            </table>
        </section>
    }
}

/// What can be done with the plan.
#[component]
fn Acts(desk: Desk, plan: Plan, number: usize) -> impl IntoView {
    let (keeper, windows, variants) = (use_keeper(), use_windows(), use_variants());
    let store = desk.store;
    let plan = StoredValue::new(plan);
    let open = move |_| {
        windows.close();
        keeper.open_other(plan.get_value(), Origin::Own);
    };
    let show = move |_| {
        let says = format!("Draft {number}");
        let edits = plan.with_value(|plan| store.with_plan(|now| now.edits_to(plan)));
        if store.preview_change(&says, &format!("take draft {number}"), edits) {
            windows.close();
        }
    };
    let compare = move |_| {
        let name = format!("Draft {number}");
        variants.keep_plan(&name, plan.get_value());
        variants.first.set(String::new());
        variants.compare();
        store.log().set(LogPage::Compare);
        store.pane().set(Some(Pane::Log));
        windows.close();
    };
    view! {
        <p class="draft-acts">
            <button type="button" class="main-act" on:click=open>"Open as another plan"</button>
            <button type="button" title="In place of the open plan, which you can take or leave" on:click=show>"Try it on the board"</button>
            <button type="button" title="Kept as a variant of the open plan, beside which it is set" on:click=compare>"Compare with the open plan"</button>
        </p>
    }
}
