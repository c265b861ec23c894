//! Where an order comes from and goes to: files, the example, the open plan.

use super::desk::Desk;
use crate::draft::{DraftOrder, order_of};
use crate::limits::WANTS;
use crate::page::choose_file::{ChooseFile, read_text};
use crate::page::download;
use crate::page::refused::Refused;
use crate::sheet::world;
use leptos::prelude::*;

/// What was asked for at the station of the examples.
const EXAMPLE: &str = include_str!("../../../assets/orders/tide-house.json");

/// The buttons, what came of them, and for which world plans are drafted.
#[component]
pub(super) fn Exchange(desk: Desk) -> impl IntoView {
    let take_file = move |file: web_sys::File| {
        let called = file.name();
        read_text(&file, move |text| match text {
            Some(text) => desk.take_text(&text, &called),
            None => desk
                .refused
                .set(vec![format!("{called} could not be read.")]),
        });
    };
    let save = move |_| {
        let text = desk.order.with_untracked(DraftOrder::print);
        if let Err(said) = download::hand_over(&text, "order.json", "application/json") {
            desk.refused.set(vec![said.into()]);
        }
    };
    let has_duties = Memo::new(move |_| {
        desk.store.revision();
        desk.store.with_plan(|plan| !plan.duties.is_empty())
    });
    let anew = move |_| {
        let (order, duties) = desk
            .store
            .with_plan(|plan| (order_of(plan), plan.duties.len()));
        if order.wants.is_empty() || order.wants.len() > WANTS {
            let says = format!(
                "An order has 1 to {WANTS} loads; the open plan has duties for {}.",
                order.wants.len()
            );
            return desk.store.notice(says);
        }
        if order.wants.len() < duties {
            let says = "An order has one duty for each load, so only the first of each load's duties was taken.";
            desk.store.notice(says.into());
        }
        desk.replace(order);
    };
    let is_empty = desk.of(|order| order.wants.is_empty());
    view! {
        <div class="draft-acts" role="group" aria-label="Orders to files and back">
            <button type="button" disabled=move || !has_duties.get() title="The loads of the open plan with their duties, in its world"
                on:click=anew>"Take the duties of the open plan"</button>
            <button type="button" on:click=move |_| desk.take_text(EXAMPLE, "The example")>"Load the Kittiwake Light example"</button>
            <ChooseFile name="Load an order…" asks="A file of an order" accept=".json" take=take_file/>
            <button type="button" disabled=move || is_empty.get() on:click=save>"Save the order"</button>
            <button type="button" disabled=move || is_empty.get() on:click=move |_| desk.replace(desk.fresh())>"Begin anew"</button>
        </div>
        <Show when=move || desk.before.with(Option::is_some)>
            <p role="status">
                "The order was another before. "
                <button type="button" class="quiet" on:click=move |_| desk.put_back()>"Put it back"</button>
            </p>
        </Show>
        <Refused reasons=desk.refused head=""/>
        {move || desk.unkept.get().map(|why| view! {
            <p class="refused" role="status">{why}": save the order as a file."</p>
        })}
        <Completes desk/>
        <OfWorld desk/>
    }
}

/// Whether the open plan is completed.
#[component]
fn Completes(desk: Desk) -> impl IntoView {
    let is_empty = move || desk.store.part_ids().with(Vec::is_empty);
    let turn = move |event| {
        let completes = event_target_checked(&event);
        desk.completes.set(completes);
        if completes {
            desk.take_world();
        }
    };
    let title = Memo::new(move |_| {
        desk.store.revision();
        desk.store.with_plan(|plan| plan.title.clone())
    });
    let called = move || match title.get() {
        title if title.is_empty() => String::new(),
        title => format!(" ({title})"),
    };
    view! {
        <label class="draft-completes">
            <input type="checkbox" disabled=move || is_empty() && !desk.completes.get() prop:checked=move || desk.completes.get()
                on:change=turn/>
            " Complete the open plan"{called}": what stands in it stays, and what is missing for the loads above is added"
        </label>
    }
}

/// For which world and book plans are drafted, and how to change that.
#[component]
fn OfWorld(desk: Desk) -> impl IntoView {
    let said = desk.of(world_said);
    let now = Memo::new(move |_| {
        desk.store.revision();
        let fresh = desk.fresh();
        desk.order
            .with(|order| order.world == fresh.world && order.book == fresh.book)
    });
    view! {
        <p class="aside">
            {move || said.get()}
            {move || now.get().then_some(" That is the world of the open plan; change it in the plan's details.")}
        </p>
        {move || (!now.get()).then(|| view! {
            <p class="draft-acts">
                "The open plan has another world or book. "
                <button type="button" on:click=move |_| desk.take_world()>"Take world and book of the open plan"</button>
            </p>
        })}
    }
}

/// The book and the world of an order in words.
fn world_said(order: &DraftOrder) -> String {
    let home: Vec<String> = (order.world.home.iter())
        .map(|span| format!("from {} to {}", span.from, span.to))
        .collect();
    let home = match home.is_empty() {
        true => "Nobody is ever home.".to_string(),
        false => format!("Somebody is home {}.", home.join(" and ")),
    };
    let book = &order.book.book.label;
    format!(
        "{} {home} Parts are those of the book {book}.",
        world::says(&order.world)
    )
}
