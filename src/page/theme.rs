//! The theme: by the system's wish, or light, or dark, kept in the browser and set as `data-theme` on the root.

use super::keeping::browser;
use leptos::prelude::*;

const KEY: &str = "theme";
const CHOICES: [(&str, &str); 3] = [
    ("system", "As the system"),
    ("light", "Light"),
    ("dark", "Dark"),
];

/// The theme that was chosen last, for the page's start.
pub fn start() -> RwSignal<String> {
    let kept = browser::read(KEY).filter(|k| CHOICES.iter().any(|(name, _)| name == k));
    let theme = RwSignal::new(kept.unwrap_or_else(|| "system".into()));
    Effect::new(move || {
        let Some(root) = document().document_element() else {
            return;
        };
        // Outside things may refuse: then the theme is that of the system, and nothing is lost.
        let _ = match theme.get().as_str() {
            "system" => root.remove_attribute("data-theme"),
            chosen => root.set_attribute("data-theme", chosen),
        };
    });
    theme
}

/// The choice of a theme.
#[component]
pub fn Theme(
    /// The theme in use.
    theme: RwSignal<String>,
) -> impl IntoView {
    let choose = move |event| {
        let chosen = event_target_value(&event);
        // Not kept is not worth a word: it can be chosen again.
        let _ = browser::write(KEY, &chosen);
        theme.set(chosen);
    };
    let options = CHOICES.map(|(value, name)| {
        view! { <option value=value selected=move || theme.with(|t| t == value)>{name}</option> }
    });
    view! {
        <label class="theme">
            <span class="theme-word">"Theme"</span>
            <select on:change=choose prop:value=move || theme.get()>{options}</select>
        </label>
    }
}
