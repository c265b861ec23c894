//! The keys of the board, explained in a dialog.

use crate::editor::{Drawing, Message};
use crate::page::store::use_store;
use leptos::html::{Dialog, H2};
use leptos::prelude::*;

const KEYS: &[(&str, &str)] = &[
    ("Tab", "to the board, and on to the panes"),
    (
        "Arrow keys",
        "to the part in that direction; move a chosen part by one square",
    ),
    (
        "Ctrl and arrow keys",
        "to the part in that direction, also from a chosen one",
    ),
    (
        "Shift and arrow keys",
        "move what is chosen by five squares",
    ),
    (
        "Space",
        "choose the part, or let go of it; on a port, choose its wire",
    ),
    (
        "W or Enter",
        "on a part: to its ports; arrow keys go from port to port",
    ),
    (
        "Enter",
        "on a switch or a button: throw it at the moment shown, and see what happens",
    ),
    (
        "Enter",
        "on a port: begin a wire; arrow keys go through the ports that can take it, Enter joins",
    ),
    ("Escape", "back: from the wire, the port, the choice"),
    ("F2", "rename the part"),
    ("Delete", "remove what is chosen, or the wire at a port"),
    ("Ctrl A", "choose everything"),
    ("Ctrl C, Ctrl X", "copy what is chosen, or cut it out"),
    ("Ctrl V", "paste parts, a plan or a link"),
    ("Ctrl D", "duplicate what is chosen"),
    (
        "T",
        "tidy: lay out the chosen parts anew, or the whole plan where fewer than two are chosen",
    ),
    ("Ctrl Z", "undo"),
    ("Ctrl Y or Ctrl Shift Z", "redo"),
    ("S", "to and fro between board and site"),
    ("F", "show the whole plan"),
    ("B", "what is to be built, and gathered for it"),
    (
        "R",
        "on the board: enter a reading of the chosen part, where the built one does not do what it should",
    ),
    (
        "P",
        "a picture of the plan, for a file; or its day as a film",
    ),
    (
        "V",
        "on and off: board and day chart alone, in large type, for a recording",
    ),
    ("[ and ]", "fold or unfold the shelf, the details"),
    ("+ and −", "larger, smaller"),
    ("?", "this help"),
];

const SITE: &[(&str, &str)] = &[
    ("Arrow keys", "from cell to cell"),
    ("Page up, page down", "to the storey above, below"),
    (
        "C L G R A W D H I U",
        "draw with: choose, floor, ground, roof, air, wall, door, hatch, stairs, furniture",
    ),
    (
        "Enter",
        "draw in the cell, hang the part in hand there, or choose the next part that hangs there",
    ),
    ("Shift and arrow keys", "stretch what Enter draws"),
    (
        "Space",
        "to the next side of the cell, or the next place for a part",
    ),
    ("Delete", "take the chosen part off its place"),
    (
        "Tab, Enter",
        "in the list of runs: choose a wire; its details have “Lead it over a place” and “Hide it”",
    ),
    (
        "Escape",
        "back: from the part in hand, from drawing, from the choice",
    ),
];

const MOUSE: &[(&str, &str)] = &[
    (
        "Drag on the paper",
        "move the paper; with Shift: choose several",
    ),
    ("Wheel, two fingers", "larger, smaller, at that place"),
    (
        "Drag a port",
        "draw a wire; or click or tap one port, then another",
    ),
    (
        "Click or tap a wire",
        "choose it; drag its handles to bend it, double click a bend to take it out",
    ),
    (
        "Click or tap a switch's or a button's symbol",
        "throw it at the moment shown, and see what happens",
    ),
    ("Double click a part", "rename it"),
    (
        "Drag on the site",
        "a part to another face; a run, to lead it over there; with a tool, to draw",
    ),
];

const WALK: &[(&str, &str)] = &[
    (
        "Right and left, or page down and up",
        "while the keyboard is in the walk's bar: the next step, the step before",
    ),
    ("Home and End", "the first step, the last"),
    (
        "A swipe on the bar",
        "to the left: the next step; to the right: the step before",
    ),
];

const RECORDING: &[(&str, &str)] = &[
    ("Space", "play, stop"),
    (
        "Left and right",
        "to the event before, to the next one; while a walk is followed, to its steps",
    ),
    ("Up and down", "play faster, slower"),
    ("Home", "to the beginning"),
    ("+ and −, F", "larger, smaller, the whole plan"),
    (
        "P",
        "a small window that stays on top, where the browser has such",
    ),
    ("Escape or V", "back to the page"),
];

/// The dialog.
#[component]
pub fn Help() -> impl IntoView {
    let store = use_store();
    let help = store.help();
    let (dialog, heading) = (NodeRef::<Dialog>::new(), NodeRef::<H2>::new());
    Effect::new(move |_| {
        let Some(dialog) = dialog.get() else { return };
        if help.get() && !dialog.open() {
            // Fails only where the dialog is open already.
            let _ = dialog.show_modal();
            // By itself a dialog goes to its first button, which stands at its end.
            if let Some(heading) = heading.get_untracked() {
                // Focus may be refused, which harms nothing.
                let _ = heading.focus();
            }
            dialog.set_scroll_top(0);
        } else if !help.get() && dialog.open() {
            dialog.close();
        }
    });
    let is_site = move || store.drawing().get() == Drawing::Site;
    let rows = move |all: &'static [(&'static str, &'static str)]| {
        let row = |(key, does): &(&'static str, &'static str)| {
            view! { <div><dt>{*key}</dt><dd>{*does}</dd></div> }
        };
        all.iter().map(row).collect_view()
    };
    view! {
        <dialog class="help" node_ref=dialog aria-labelledby="help-title" on:close=move |_| { store.dispatch(Message::Help(false)); }>
            <h2 id="help-title" tabindex="-1" node_ref=heading>"Keys and gestures"</h2>
            {move || is_site().then(|| view! { <h3>"On the site"</h3> <dl>{rows(SITE)}</dl> })}
            <h3>"Keyboard"</h3>
            <dl>{rows(KEYS)}</dl>
            {move || (!is_site()).then(|| view! { <h3>"On the site"</h3> <dl>{rows(SITE)}</dl> })}
            <h3>"While a walk is followed"</h3>
            <dl>{rows(WALK)}</dl>
            <h3>"In the view for a recording"</h3>
            <dl>{rows(RECORDING)}</dl>
            <h3>"Mouse and fingers"</h3>
            <dl>{rows(MOUSE)}</dl>
            <form method="dialog"><button type="submit">"Close"</button></form>
        </dialog>
    }
}
