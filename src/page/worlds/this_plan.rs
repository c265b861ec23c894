//! What the open plan has to do with the kept worlds: which it follows, what differs, and its numbers kept as a world.

use super::{Differs, Worlds, use_worlds};
use crate::page::windows::{WindowKind, use_windows};
use crate::sheet::followed::Following;
use leptos::prelude::*;

/// Which world the plan follows, what differs from it, and what can be done about that.
#[component]
pub(super) fn ThisPlan(
    /// Why the last act was refused, a sentence each.
    refused: RwSignal<Vec<String>>,
) -> impl IntoView {
    let worlds = use_worlds();
    let following = worlds.following();
    let body = move || match following.get() {
        Following::None => ().into_any(),
        Following::Missing(_) | Following::Same(_) => view! {
            <p class="acts"><Unfollow worlds/></p>
        }
        .into_any(),
        Following::Differs(name, said) => view! {
            <Differs heads=["this plan".into(), name.clone()] said/>
            <p class="acts">
                <TakeNumbers worlds refused/>
                <GiveNumbers worlds name/>
                <Unfollow worlds/>
            </p>
        }
        .into_any(),
    };
    view! {
        <section aria-labelledby="worlds-plan">
            <h3 id="worlds-plan">"This plan"</h3>
            <p role="status">{move || following.with(Following::says)}</p>
            {body}
            <KeepOwn worlds refused/>
        </section>
    }
}

/// Takes the world's numbers over into the plan.
#[component]
fn TakeNumbers(worlds: Worlds, refused: RwSignal<Vec<String>>) -> impl IntoView {
    let take = move |_| {
        if let Some((_, world)) = untrack(|| worlds.followed()) {
            refused.set(worlds.follow(&world).err().unwrap_or_default());
        }
    };
    view! { <button type="button" on:click=take>"Take the world's numbers"</button> }
}

/// Gives the world the plan's numbers, after a question: others may follow it.
#[component]
fn GiveNumbers(worlds: Worlds, name: String) -> impl IntoView {
    let asks = RwSignal::new(false);
    let give = move |_| {
        asks.set(false);
        if let Some((key, world)) = untrack(|| worlds.followed()) {
            worlds.change(&key, &world, worlds.numbers().get_untracked());
        }
    };
    let question = format!("Give {name} the numbers of this plan?");
    view! {
        <Show
            when=move || asks.get()
            fallback=move || view! {
                <button type="button" on:click=move |_| asks.set(true)>"Give the world this plan's numbers…"</button>
            }
        >
            <span class="asks" role="group" aria-label=question.clone()>
                <span>"Plans that follow it stay as they are, and are proven on the new numbers. "</span>
                <button type="button" on:click=give>"Change the world"</button>
                <button type="button" on:click=move |_| asks.set(false)>"Leave it"</button>
            </span>
        </Show>
    }
}

#[component]
fn Unfollow(worlds: Worlds) -> impl IntoView {
    view! { <button type="button" on:click=move |_| worlds.unfollow()>"Follow no world"</button> }
}

/// Keeps the plan's numbers as a world of a name.
#[component]
fn KeepOwn(worlds: Worlds, refused: RwSignal<Vec<String>>) -> impl IntoView {
    let name = RwSignal::new(String::new());
    let keep = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let called = name.get_untracked();
        if !called.trim().is_empty() {
            refused.set(worlds.keep_own(&called).err().unwrap_or_default());
            name.set(String::new());
        }
    };
    view! {
        <form class="fields" on:submit=keep>
            <label>"Keep its numbers as a world called "
                <input type="text" autocomplete="off" maxlength="200" prop:value=move || name.get()
                    on:input=move |e| name.set(event_target_value(&e))/>
            </label>
            <button type="submit" disabled=move || name.with(|n| n.trim().is_empty())>"Keep"</button>
        </form>
    }
}

/// What the heading of the plan's world says where numbers differ from the one that it follows, also when it is folded.
#[component]
pub fn FollowsMark() -> impl IntoView {
    let following = use_worlds().following();
    move || {
        following
            .with(Following::mark)
            .map(|said| view! { <span class="follows-mark">{said}</span> })
    }
}

/// One line for the plan's details: which world it follows, and the way to the worlds.
#[component]
pub fn FollowsLine() -> impl IntoView {
    let (worlds, windows) = (use_worlds(), use_windows());
    let following = worlds.following();
    view! {
        <p class="follows">
            <span>{move || following.with(Following::says)}</span>
            " "
            <button type="button" on:click=move |_| windows.open(WindowKind::Worlds)>"Kept worlds…"</button>
        </p>
    }
}
