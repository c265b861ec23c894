//! What picture is wanted, as it is chosen in the window; it stays while the window is closed.

use crate::page::store::Store;
use crate::picture::{Picture, Size, Theme, What};
use crate::quantity::Ms;
use leptos::prelude::*;

/// What may be shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The board at the moment shown.
    Board,
    /// The day of the moment shown.
    Day,
    /// What the plan does, in plain words.
    Explanation,
    /// The site at the moment shown.
    Site,
    /// The board over a day.
    Film,
}

impl Shown {
    /// All, each with its name.
    pub const ALL: [(Shown, &'static str); 5] = [
        (Shown::Board, "The board, at the moment shown"),
        (Shown::Day, "The day chart"),
        (Shown::Explanation, "What it does, in plain words"),
        (Shown::Site, "The site"),
        (Shown::Film, "The board over a whole day, moving"),
    ];
}

/// The themes, each with its name.
pub const THEMES: [(Theme, &str); 4] = [
    (Theme::Light, "Light"),
    (Theme::Dark, "Dark"),
    (Theme::ClearDarkInk, "No ground, dark ink"),
    (Theme::ClearLightInk, "No ground, light ink"),
];

/// The sizes, each with its name.
pub const SIZES: [(Size, &str); 3] = [
    (Size::Thumbnail, "Thumbnail, 640 by 360 pixels"),
    (Size::Page, "Page, 1600 pixels wide"),
    (Size::Poster, "Poster, 4000 pixels wide"),
];

/// The choice. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct PictureChoice {
    /// What is shown.
    pub shown: RwSignal<Shown>,
    /// The colours.
    pub theme: RwSignal<Theme>,
    /// How large.
    pub size: RwSignal<Size>,
    /// The title, where another than the plan's is wanted.
    pub title: RwSignal<Option<String>>,
    /// The caption, where another than the plan's notes is wanted.
    pub caption: RwSignal<Option<String>>,
    /// Whether signs are explained.
    pub legend: RwSignal<bool>,
    /// Whether wires have their numbers.
    pub numbers: RwSignal<bool>,
    /// Whether the link is in it.
    pub link: RwSignal<bool>,
    /// How many seconds a day takes in a film.
    pub seconds: RwSignal<u32>,
    /// The moment of the run, in milliseconds since midnight of day 1: the one shown when the window was opened.
    pub moment: RwSignal<Ms>,
}

impl PictureChoice {
    /// The board for a page.
    pub fn new() -> PictureChoice {
        PictureChoice {
            shown: RwSignal::new(Shown::Board),
            theme: RwSignal::new(Theme::Light),
            size: RwSignal::new(Size::Page),
            title: RwSignal::new(None),
            caption: RwSignal::new(None),
            legend: RwSignal::new(true),
            numbers: RwSignal::new(true),
            link: RwSignal::new(true),
            seconds: RwSignal::new(30),
            moment: RwSignal::new(0),
        }
    }

    /// Another plan was opened: what was typed for the one before is not for it.
    pub fn begin_anew(self) {
        self.title.set(None);
        self.caption.set(None);
        if self.shown.get_untracked() == Shown::Site {
            self.shown.set(Shown::Board);
        }
    }

    /// The picture. Tracked.
    pub fn picture(self, store: Store) -> Picture {
        let moment = self.moment.get();
        let day = store.day().with(|day| day.day_ms).max(1);
        let what = match self.shown.get() {
            Shown::Board => What::Board,
            Shown::Day => What::Day,
            Shown::Explanation => What::Explanation,
            Shown::Site => What::Site(None),
            Shown::Film => What::Motion {
                seconds: self.seconds.get(),
            },
        };
        Picture {
            theme: self.theme.get(),
            size: self.size.get(),
            day: moment / day,
            at: match what {
                What::Day | What::Explanation | What::Motion { .. } => 0,
                What::Board | What::Site(_) => moment % day,
            },
            title: self.title.get(),
            caption: self.caption.get(),
            legend: self.legend.get(),
            numbers: self.numbers.get(),
            base: self.link.get().then(crate::page::links::here),
            ..Picture::new(what)
        }
    }
}
