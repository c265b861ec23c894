//! One load that is wanted: what it is called, how many, when it must run, and what it must stand.

use super::desk::{ADD_LOAD, Desk};
use crate::draft::{DraftOrder, Wanted, WantedDuty, put_in, want_called};
use crate::limits::{COUNT, Field, Kind};
use crate::page::details::{DutyConditions, Entry, GRACE, GRACE_S};
use crate::plan::Conditions;
use crate::quantity::Short;
use crate::sheet::entry;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

const HOW_MANY: Field = Field {
    key: "count",
    label: "How many",
    unit: "",
    kind: Kind::Whole(1, COUNT),
    optional: false,
};

/// The longest name.
const NAME: usize = 80;

/// The want of this number, from 0.
#[component]
pub(super) fn Want(desk: Desk, want: usize) -> impl IntoView {
    let called = desk.of(move |order| match want < order.wants.len() {
        true => want_called(order, want),
        false => String::new(),
    });
    let name = Signal::derive({
        let name = desk.of(move |order| order.wants.get(want).map(|w| w.name.clone()));
        move || name.get().unwrap_or_default()
    });
    let count = Signal::derive({
        let count = desk.of(move |order| order.wants.get(want).map(|w| w.count));
        move || count.get().unwrap_or(1).to_string()
    });
    let set_name = move |text: String| {
        let name: String = text.trim().chars().take(NAME).collect();
        change(desk, want, |want| want.name = name);
        Ok(())
    };
    let set_count = move |text: String| {
        let count = entry::read(&HOW_MANY, &text)?.as_u64().unwrap_or(1);
        change(desk, want, |want| want.count = count);
        Ok(())
    };
    let remove = move |_| {
        desk.take_away(|order| order.remove_want(want));
        // The button is gone; what is next is to add another.
        if let Some(next) = document().get_element_by_id(ADD_LOAD) {
            // Focus may be refused, which harms nothing.
            let _ = next.unchecked_into::<web_sys::HtmlElement>().focus();
        }
    };
    view! {
        <li><div class="draft-want fields-of" role="group" aria-label=move || called.get()>
            <p class="draft-want-head">
                <strong>{move || called.get()}</strong>
                <button type="button" class="quiet" aria-label=move || format!("Remove {}", called.get()) on:click=remove>"Remove"</button>
            </p>
            <Entry id=format!("want-{want}-name") label="Name" value=name read=set_name/>
            <Entry id=format!("want-{want}-count") label=HOW_MANY.label value=count read=set_count numeric=true/>
            <When desk want/>
            <Stands desk want/>
        </div></li>
    }
}

/// When it must run.
#[component]
fn When(desk: Desk, want: usize) -> impl IntoView {
    let duty = desk.of(move |order| order.wants.get(want).and_then(|want| want.duty));
    let set = move |act: &dyn Fn(&mut WantedDuty)| {
        change(desk, want, |want| {
            want.duty.iter_mut().for_each(act);
        });
    };
    let when = Signal::derive(move || duty.get().map(|duty| duty.when));
    let put = move |when: Conditions| set(&|duty| duty.when = when);
    let grace = Signal::derive(move || {
        let grace = duty.get().map_or(GRACE_S, |duty| duty.grace_s);
        Short(grace).to_string()
    });
    let set_grace = move |text: String| {
        let seconds = entry::read(&GRACE, &text)?.as_f64().unwrap_or(GRACE_S);
        set(&|duty| duty.grace_s = seconds);
        Ok(())
    };
    let only = Signal::derive(move || duty.get().is_some_and(|duty| duty.only));
    let is_empty_home = desk.of(|order| order.world.home.is_empty());
    let never = move || {
        let asks = duty.get().is_some_and(|duty| duty.when.has("home"));
        (asks && is_empty_home.get()).then(|| view! {
            <p class="wrong">"In this world nobody is ever home, so it never has to run. Say when somebody is home in the world of the open plan, in its details, and take that world here."</p>
        })
    };
    view! {
        <DutyConditions id=format!("want-{want}") when put/>
        {never}
        <Tick id=format!("want-{want}-only") says="Only then" on=only turn=move |on| set(&|duty| duty.only = on)/>
        <Entry id=format!("want-{want}-grace") label=GRACE.label unit="s" value=grace read=set_grace numeric=true/>
    }
}

/// What it must stand, and which switch turns it off.
#[component]
fn Stands(desk: Desk, want: usize) -> impl IntoView {
    let is_in = move |list: fn(&DraftOrder) -> &[usize]| {
        let is_in = desk.of(move |order| list(order).contains(&want));
        Signal::derive(move || is_in.get())
    };
    let losses = is_in(|order| &order.keeps.losses);
    let reach = is_in(|order| &order.keeps.reach);
    let switch = is_in(|order| {
        order
            .switch
            .as_ref()
            .map_or(&[][..], |switch| &switch.wants)
    });
    view! {
        <Tick id=format!("want-{want}-losses") says="Must stand the loss of any one part or wire" on=losses
            turn=move |on| desk.change(|order| put_in(&mut order.keeps.losses, want, on))/>
        <Tick id=format!("want-{want}-reach") says="No stranger may turn it on or off" on=reach
            turn=move |on| desk.change(|order| put_in(&mut order.keeps.reach, want, on))/>
        <Tick id=format!("want-{want}-switch") says="One switch turns it off, with all others ticked here" on=switch
            turn=move |on| desk.change(|order| order.put_behind_switch(want, on))/>
    }
}

/// A box to tick, as a row among entries.
#[component]
fn Tick(
    /// The box's id, for its label.
    id: String,
    /// What it says.
    says: &'static str,
    /// Whether it is ticked.
    #[prop(into)]
    on: Signal<bool>,
    /// Ticks it or not.
    turn: impl Fn(bool) + Send + Sync + 'static,
) -> impl IntoView {
    view! {
        <div class="field">
            <label for=id.clone()>{says}</label>
            <span class="value">
                <input id=id type="checkbox" prop:checked=move || on.get() on:change=move |ev| turn(event_target_checked(&ev))/>
            </span>
        </div>
    }
}

/// Does something to one want.
fn change(desk: Desk, want: usize, act: impl FnOnce(&mut Wanted)) {
    desk.change(|order| {
        if let Some(want) = order.wants.get_mut(want) {
            act(want);
        }
    });
}
