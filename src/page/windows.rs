//! The large windows over the page, of which one at most is open.

use super::keys;
use crate::plan::PartId;
use leptos::ev;
use leptos::prelude::*;

/// Every large window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WindowKind {
    /// The kept plans.
    Plans,
    /// The book of the open plan.
    Book,
    /// The kept worlds.
    Worlds,
    /// What is to be built.
    Build,
    /// A picture of the plan.
    Picture,
    /// Plans drafted from what is wanted.
    Draft,
    /// The lessons.
    Lessons,
    /// The exercise of the plan, for whoever sets it.
    Exercise,
    /// What measures a world.
    Measure,
    /// What new numbers change about the kept plans.
    Report,
}

impl WindowKind {
    /// All of them.
    pub const ALL: [WindowKind; 10] = [
        WindowKind::Plans,
        WindowKind::Book,
        WindowKind::Worlds,
        WindowKind::Build,
        WindowKind::Picture,
        WindowKind::Draft,
        WindowKind::Lessons,
        WindowKind::Exercise,
        WindowKind::Measure,
        WindowKind::Report,
    ];

    /// The key that opens it from anywhere on the page.
    pub const fn key(self) -> Option<&'static str> {
        match self {
            WindowKind::Build => Some("B"),
            WindowKind::Picture => Some("P"),
            _ => None,
        }
    }

    /// Its heading's id and the heading.
    pub const fn heading(self) -> (&'static str, &'static str) {
        match self {
            WindowKind::Plans => ("plans-title", "Plans kept in this browser"),
            WindowKind::Book => ("book-title", "The book of this plan"),
            WindowKind::Worlds => ("worlds-title", "Worlds kept in this browser"),
            WindowKind::Build => ("build-title", "Build this plan"),
            WindowKind::Picture => ("picture-title", "A picture of this plan"),
            WindowKind::Draft => ("draft-title", "Draft a plan from what is wanted"),
            WindowKind::Lessons => ("lessons-title", "Lessons"),
            WindowKind::Exercise => ("exercise-title", "The exercise of this plan"),
            WindowKind::Measure => ("measure-title", "Measure this world"),
            WindowKind::Report => ("recheck-title", "What new numbers change"),
        }
    }
}

/// Which of them is open. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Windows {
    shown: RwSignal<Option<WindowKind>>,
    /// The part that does not do what it should, until its reading is begun.
    doubted: RwSignal<Option<PartId>>,
    /// What a window showed on the board last.
    note: RwSignal<Option<BoardNote>>,
}

/// What a window showed on the board, and the way back to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardNote {
    /// The sentence.
    pub says: String,
    /// The window.
    pub from: WindowKind,
    /// What stands on the button that leads back.
    pub back: &'static str,
}

impl Windows {
    /// All closed, listening for their keys. Call it in the page's root.
    pub fn start() {
        let windows = Windows {
            shown: RwSignal::new(None),
            doubted: RwSignal::new(None),
            note: RwSignal::new(None),
        };
        provide_context(windows);
        let keys = window_event_listener(ev::keydown, move |ev| {
            if !keys::is_free(&ev) {
                return;
            }
            let opens = |kind: &WindowKind| {
                kind.key()
                    .is_some_and(|key| key.eq_ignore_ascii_case(&ev.key()))
            };
            if let Some(kind) = WindowKind::ALL.into_iter().find(opens) {
                ev.prevent_default();
                windows.open(kind);
            }
        });
        on_cleanup(move || keys.remove());
    }

    /// Opens a window, in the place of the one that is open.
    pub fn open(self, kind: WindowKind) {
        self.shown.set(Some(kind));
        self.set_note(None);
    }

    /// Opens *Build* where faults are found, with a reading of a part that does not do what it should.
    pub fn doubt(self, part: PartId) {
        self.doubted.set(Some(part));
        self.open(WindowKind::Build);
    }

    /// The part that *Build* was opened for, once. Not tracked.
    pub fn take_doubted(self) -> Option<PartId> {
        let part = self.doubted.get_untracked();
        if part.is_some() {
            self.doubted.set(None);
        }
        part
    }

    /// Closes the window that is open.
    pub fn close(self) {
        self.shown.set(None);
    }

    /// Closes the window that is open and says over the board what it shows there.
    pub fn close_to_board(self, note: BoardNote) {
        self.close();
        self.set_note(Some(note));
    }

    /// What a window showed on the board. Tracked.
    pub fn note(self) -> Option<BoardNote> {
        self.note.get()
    }

    /// Says something else over the board, or nothing.
    pub fn set_note(self, note: Option<BoardNote>) {
        if self.note.with_untracked(|now| *now != note) {
            self.note.set(note);
        }
    }

    /// Whether this window is open. Tracked.
    pub fn is_open(self, kind: WindowKind) -> bool {
        self.shown.get() == Some(kind)
    }
}

/// The windows, from the context that the frame provides.
pub fn use_windows() -> Windows {
    expect_context()
}
