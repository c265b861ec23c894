//! A row of tabs, of which one is open, by the ARIA Authoring Practices Guide, W3C: Tab reaches the open one alone, arrow
//! keys, Home and End open another.

use leptos::ev;
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// The id of a tab, by which its panel is labelled.
pub fn tab_id(prefix: &str, name: &str) -> String {
    format!("{prefix}-{name}").replace(' ', "-")
}

/// The tabs. Where a narrow screen has no room for all, the row scrolls to the open one.
#[component]
pub fn TabRow<T: Copy + PartialEq + Send + Sync + 'static>(
    /// What the row is called.
    label: &'static str,
    /// What the tabs' ids begin with.
    prefix: &'static str,
    /// The id of the panel that shows what is open.
    panel: &'static str,
    /// The tabs with their names.
    tabs: Vec<(T, &'static str)>,
    /// Which is open.
    #[prop(into)]
    open: Signal<T>,
    /// Opens another.
    turn: impl Fn(T) + Copy + 'static,
) -> impl IntoView {
    let all = StoredValue::new(tabs.clone());
    let place = move |of: T| all.with_value(|all| all.iter().position(|(one, _)| *one == of));
    let tab = move |(one, name): (T, &'static str)| {
        let is_open = Memo::new(move |_| open.get() == one);
        view! {
            <button type="button" class="row-tab" role="tab" id=tab_id(prefix, name) aria-controls=panel
                aria-selected=move || is_open.get().to_string()
                tabindex=move || if is_open.get() { "0" } else { "-1" }
                on:click=move |_| turn(one)>
                {name}
            </button>
        }
    };
    let step = move |ev: ev::KeyboardEvent| {
        let all = all.get_value();
        let (at, last) = (place(open.get_untracked()).unwrap_or(0), all.len() - 1);
        let to = match ev.key().as_str() {
            "ArrowRight" => (at + 1) % all.len(),
            "ArrowLeft" => (at + last) % all.len(),
            "Home" => 0,
            "End" => last,
            _ => return,
        };
        ev.prevent_default();
        let (one, name) = all[to];
        turn(one);
        if let Some(tab) = element(&tab_id(prefix, name)) {
            // Focus may be refused, which harms nothing.
            let _ = tab.focus();
        }
    };
    Effect::watch(
        move || open.get(),
        move |one, _, _| {
            if let Some(at) = place(*one) {
                bring_in(&all.with_value(|all| tab_id(prefix, all[at].1)));
            }
        },
        false,
    );
    view! {
        <div class="tab-row" role="tablist" aria-label=label on:keydown=step>
            {tabs.into_iter().map(tab).collect_view()}
        </div>
    }
}

fn element(id: &str) -> Option<HtmlElement> {
    document().get_element_by_id(id)?.dyn_into().ok()
}

/// Shows the tab of this id, once its row stands on a screen.
pub fn show_tab(id: String) {
    request_animation_frame(move || bring_in(&id));
}

/// Scrolls the row, which may be longer than a narrow screen is wide, as little as shows this tab.
fn bring_in(tab: &str) {
    let Some(tab) = element(tab) else {
        return;
    };
    let Some(row) = tab.parent_element() else {
        return;
    };
    let (all, one) = (
        row.get_bounding_client_rect(),
        tab.get_bounding_client_rect(),
    );
    let by = (one.left() - all.left()).min(0.0) + (one.right() - all.right()).max(0.0);
    row.set_scroll_left(row.scroll_left() + by.round() as i32);
}
