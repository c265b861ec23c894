//! Why something that somebody wished can't be, a sentence each.

use leptos::prelude::*;

/// The reasons, read out as they come; nothing where there are none.
#[component]
pub fn Refused(
    /// The reasons.
    #[prop(into)]
    reasons: Signal<Vec<String>>,
    /// What stands before them.
    #[prop(default = "That can't be:")]
    head: &'static str,
) -> impl IntoView {
    let list = move || {
        let one = |said: String| view! { <li>{said}</li> };
        reasons.get().into_iter().map(one).collect_view()
    };
    view! {
        <Show when=move || reasons.with(|r| !r.is_empty())>
            <div class="refused" role="alert">
                {(!head.is_empty()).then(|| view! { <p>{head}</p> })}
                <ul>{list}</ul>
            </div>
        </Show>
    }
}
