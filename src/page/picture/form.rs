//! The choice of a picture as a form.

use super::choice::{PictureChoice, SIZES, Shown, THEMES};
use super::film::FilmMaker;
use crate::limits::FILM_SECONDS;
use crate::page::store::use_store;
use leptos::prelude::*;

/// The form.
#[component]
pub fn Form() -> impl IntoView {
    let store = use_store();
    let choice: PictureChoice = expect_context();
    // Another choice would end the film that is recorded.
    let film: FilmMaker = expect_context();
    let has_site = Memo::new(move |_| {
        store.revision();
        store.with_plan(|plan| plan.site.is_some())
    });
    let shown = move || {
        let known = |(shown, _): &(Shown, &str)| *shown != Shown::Site || has_site.get();
        let option = |(shown, name): (Shown, &'static str)| {
            view! {
                <label class="picture-choice">
                    <input type="radio" name="picture-shown" prop:checked=move || choice.shown.get() == shown
                        on:change=move |_| choice.shown.set(shown)/>
                    {name}
                </label>
            }
        };
        let all = Shown::ALL.into_iter().filter(known);
        all.map(option).collect_view()
    };
    let box_for = |name: &'static str, on: RwSignal<bool>| {
        view! {
            <label class="picture-choice">
                <input type="checkbox" prop:checked=move || on.get() on:change=move |ev| on.set(event_target_checked(&ev))/>
                {name}
            </label>
        }
    };
    let title = move || {
        store.revision();
        let own = choice.title.get();
        own.unwrap_or_else(|| store.with_plan(|plan| plan.title.clone()))
    };
    let caption = move || {
        store.revision();
        let own = choice.caption.get();
        own.unwrap_or_else(|| store.with_plan(|plan| plan.notes.clone()))
    };
    view! {
        <form class="picture-form" inert=move || film.records() on:submit=|ev| ev.prevent_default()>
            <fieldset>
                <legend>"What is shown"</legend>
                {shown}
            </fieldset>
            <Select name="Colours" all=THEMES.to_vec() chosen=choice.theme/>
            <Select name="Size" all=SIZES.to_vec() chosen=choice.size/>
            {move || (choice.shown.get() == Shown::Film).then(|| view! { <Seconds/> })}
            <label class="picture-field"><span>"Title"</span>
                <input type="text" maxlength="200" prop:value=title
                    on:change=move |ev| choice.title.set(Some(event_target_value(&ev)))/>
            </label>
            <label class="picture-field"><span>"Caption"</span>
                <textarea rows="3" maxlength="2000" prop:value=caption
                    on:change=move |ev| choice.caption.set(Some(event_target_value(&ev)))></textarea>
            </label>
            {box_for("Say what the signs mean", choice.legend)}
            {box_for("Numbers of the cables on wires", choice.numbers)}
            {box_for("The plan’s link as a QR code", choice.link)}
        </form>
    }
}

/// A choice of one among several.
#[component]
fn Select<T: Copy + PartialEq + Send + Sync + 'static>(
    /// What is chosen.
    name: &'static str,
    /// What may be chosen, each with its name.
    all: Vec<(T, &'static str)>,
    /// What is.
    chosen: RwSignal<T>,
) -> impl IntoView {
    let values: Vec<T> = all.iter().map(|(value, _)| *value).collect();
    let choose = move |ev| {
        let at: usize = event_target_value(&ev).parse().unwrap_or(0);
        if let Some(value) = values.get(at) {
            chosen.set(*value);
        }
    };
    let options = all.into_iter().enumerate().map(|(at, (value, name))| {
        view! { <option value=at.to_string() selected=move || chosen.get() == value>{name}</option> }
    });
    let options: Vec<_> = options.collect();
    view! { <label class="picture-field"><span>{name}</span><select on:change=choose>{options}</select></label> }
}

/// How many seconds the day takes in a film.
#[component]
fn Seconds() -> impl IntoView {
    let store = use_store();
    let choice: PictureChoice = expect_context();
    let (least, most) = FILM_SECONDS;
    let set = move |ev| match event_target_value(&ev).trim().parse::<u32>() {
        Ok(seconds) if (least..=most).contains(&seconds) => choice.seconds.set(seconds),
        _ => {
            store.notice(format!(
                "Seconds: expected a whole number from {least} to {most}."
            ));
            choice.seconds.notify();
        }
    };
    view! {
        <label class="picture-field"><span>"Seconds for the day"</span>
            <input type="number" inputmode="numeric" min=least.to_string() max=most.to_string() step="1"
                prop:value=move || choice.seconds.get().to_string() on:change=set/>
        </label>
    }
}
