//! What comes in from outside, by a link, a file or the clipboard, and where it goes.

use super::keeping::{Keeper, use_keeper};
use super::windows::{Windows, use_windows};
use crate::plan::NamedWorld;
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

    /// Takes a world in, and shows the worlds.
    pub fn take_world(self, world: NamedWorld) {
        self.keeper.take_world(world);
        self.windows.worlds.set(true);
    }
}
