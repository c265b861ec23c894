//! What comes in from outside, by a link, a file or the clipboard, and where it goes. Plans are opened at once; everything
//! else is read by the page's second part.

use super::keeping::{Keeper, Message, use_keeper};
use super::windows::{WindowKind, Windows, use_windows};
use crate::plan::link::{LinkError, world_from_link};
use crate::plan::{NamedWorld, WORLD_FORMAT, world_of_value};
use crate::read::{self, Faults, format_of};
use crate::shelf::SHELF_FORMAT;
use leptos::prelude::Set;

/// Where it goes. Cheap to copy.
#[derive(Clone, Copy)]
pub struct Incoming {
    /// Who keeps it.
    pub keeper: Keeper,
    /// The windows in which it is shown.
    pub windows: Windows,
}

impl Incoming {
    /// That of this page. Call it where the contexts of the page's root are at hand.
    pub fn here() -> Incoming {
        Incoming {
            keeper: use_keeper(),
            windows: use_windows(),
        }
    }

    /// Says why a link can't be opened.
    pub fn refuse_link(self, error: &LinkError, says: &impl std::fmt::Display) {
        let faults = match error {
            LinkError::NoPlan(faults) => faults.clone(),
            _ => Vec::new(),
        };
        let said = format!("{says} Your own plans are as they were.");
        self.keeper.message().set(Some(
            Message::new("This link can't be opened", said).with_faults(&faults),
        ));
    }

    fn take_world(self, world: NamedWorld) {
        self.keeper.take_world(world);
        self.windows.open(WindowKind::Worlds);
    }
}

/// Takes in the world of a link and shows the worlds. In the second part.
pub fn take_link(incoming: Incoming, text: &str) {
    match world_from_link(text) {
        Ok(world) => incoming.take_world(world),
        Err(error) => incoming.refuse_link(&error.0, &error),
    }
}

/// Takes in a text that is no plan: a world, or the plans of a whole shelf. In the second part.
pub fn take_other(incoming: Incoming, text: &str, name: &str, faults: &Faults) {
    let keeper = incoming.keeper;
    let refuse = |title: &str, what: &str, faults: &Faults| {
        let said = format!("{name} can't be read as a {what}. Nothing was changed.");
        let message = Message::new(title, said).with_faults(faults);
        keeper.message().set(Some(message));
    };
    let value = read::json(text.trim_start_matches('\u{feff}')).ok();
    match value.as_ref().and_then(format_of) {
        Some(WORLD_FORMAT) => match value.as_ref().map(world_of_value) {
            Some(Ok(world)) => incoming.take_world(world),
            Some(Err(faults)) => refuse("No world", "world", &faults),
            None => {}
        },
        Some(SHELF_FORMAT) => keeper.take_whole(text.into(), name.into()),
        _ => refuse("No plan", "plan", faults),
    }
}
