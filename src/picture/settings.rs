//! What a picture is to be: plain data that a face fills in, and in words what could not be put into one.
//!
//! Sizes are pixels of the picture. Nothing here draws.

use super::qr::MOST_BYTES;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum What {
    /// The board at a moment.
    Board,
    /// A whole day in lanes.
    Day,
    /// What the plan does, in plain words.
    Explanation,
    /// The site at a moment: one storey, counted from 0, or every one on which something hangs.
    Site(Option<u8>),
    /// The board over a whole day, as a moving picture.
    Motion {
        /// How many seconds the day takes.
        seconds: u32,
    },
}

/// The colours of a picture, and the ground under it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Theme {
    /// Ink on paper.
    Light,
    /// The night watch.
    Dark,
    /// No ground, dark ink: to be laid over a recording that is light.
    ClearDarkInk,
    /// No ground, light ink: to be laid over a recording that is dark.
    ClearLightInk,
}

impl Theme {
    /// All themes.
    pub const ALL: [Theme; 4] = [
        Theme::Light,
        Theme::Dark,
        Theme::ClearDarkInk,
        Theme::ClearLightInk,
    ];

    /// Whether what lies behind the picture is seen through it.
    pub fn is_clear(self) -> bool {
        matches!(self, Theme::ClearDarkInk | Theme::ClearLightInk)
    }

    /// Its classes in a picture.
    pub(super) fn class(self) -> &'static str {
        match self {
            Theme::Light => "light",
            Theme::Dark => "dark",
            Theme::ClearDarkInk => "clear dark-ink",
            Theme::ClearLightInk => "clear light-ink",
        }
    }
}

/// How large a picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Size {
    /// 640 by 360, for a list of plans or a film's first frame; what could not be read is left out.
    Thumbnail,
    /// 1600 wide and as high as it takes, for a page.
    Page,
    /// 4000 wide and as high as it takes, for a wall.
    Poster,
}

impl Size {
    /// All sizes.
    pub const ALL: [Size; 3] = [Size::Thumbnail, Size::Page, Size::Poster];
}

/// What a picture is to be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// What it shows.
    pub what: What,
    /// Its colours.
    pub theme: Theme,
    /// How large it is.
    pub size: Size,
    /// The day of the run, counted from 0.
    pub day: u64,
    /// The moment of that day, in milliseconds since its midnight.
    pub at: u64,
    /// The title; the plan's where none is given. An empty one is left out.
    pub title: Option<String>,
    /// The caption; the plan's notes where none is given. An empty one is left out.
    pub caption: Option<String>,
    /// Whether the signs that occur are explained.
    pub legend: bool,
    /// Whether wires have the numbers of the cable schedule.
    pub numbers: bool,
    /// The address of a Duskline page, for the link as a QR code; without one there is none.
    pub base: Option<String>,
}

impl Picture {
    /// The first moment of day 1, light, for a page.
    pub fn new(what: What) -> Picture {
        Picture {
            what,
            theme: Theme::Light,
            size: Size::Page,
            day: 0,
            at: 0,
            title: None,
            caption: None,
            legend: true,
            numbers: true,
            base: None,
        }
    }
}

/// Why there is no picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureError {
    /// Nothing stands on the board.
    EmptyBoard,
    /// No part has a lane.
    NoLanes,
    /// The plan has no site.
    NoSite,
    /// The site has no such storey.
    NoStorey {
        /// The one asked for, counted from 0.
        asked: u8,
        /// How many it has.
        has: usize,
    },
    /// No part hangs in the site.
    EmptySite,
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PictureError::EmptyBoard => {
                write!(f, "found no part on the board, expected at least one")
            }
            PictureError::NoLanes => write!(
                f,
                "found no source, battery, load or contact, whose day could be drawn, expected at least one"
            ),
            PictureError::NoSite => {
                write!(f, "found a plan without a site, expected one with a site")
            }
            PictureError::NoStorey { asked, has } => write!(
                f,
                "found storey {}, expected one from 1 to {has}, the lowest first",
                u32::from(*asked) + 1
            ),
            PictureError::EmptySite => write!(
                f,
                "found no part that hangs in the site, expected at least one, or a storey by its number"
            ),
        }
    }
}

/// What was asked for and is not in the picture.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftOut {
    /// The link, since no page's address is given.
    NoBase,
    /// The link, since it is longer than a QR code holds.
    LinkTooLong {
        /// How many bytes it has.
        bytes: usize,
    },
    /// The link, since its squares would be too small in so small a picture.
    LinkTooSmall,
    /// The end of the title.
    EndOfTitle,
    /// The end of the caption.
    EndOfCaption,
    /// The numbers of so many wires, which have no clear place.
    Numbers(usize),
    /// The names of so many parts of the site, which have no clear place.
    Names(usize),
    /// Ports and the ways of power, or all words on cards, since the board is drawn from so far.
    Details,
    /// The words of the day chart.
    WordsOfDay,
    /// The lanes of so many parts, the last ones, since there are too many.
    Lanes(usize),
    /// So many passages of the explanation, the last ones of their columns, since there are too many.
    Passages(usize),
    /// In a moving picture: events nearer together than this many milliseconds are shown as one.
    Between(u64),
    /// In a moving picture: amounts on wires and the words of cards.
    Amounts,
    /// In a moving picture: what so many parts and wires do, which is drawn as at the day's beginning.
    Still(usize),
    /// In a moving picture: what happens from this millisecond of the run on, where the run was stopped.
    Stopped(u64),
}

impl LeftOut {
    /// It as a sentence.
    pub fn says(&self) -> String {
        match self {
            LeftOut::NoBase => "The plan's link is not in the picture: it takes the address of a page that opens it.".into(),
            LeftOut::LinkTooLong { bytes } => format!(
                "The link has {bytes} bytes, and a QR code holds {MOST_BYTES} at most: it is left out."
            ),
            LeftOut::LinkTooSmall => {
                "The QR code of the link could not be read in so small a picture: it is left out. Choose a larger size.".into()
            }
            LeftOut::EndOfTitle => "The title is too long and is cut.".into(),
            LeftOut::EndOfCaption => "The caption is too long and is cut.".into(),
            LeftOut::Numbers(1) => "The number of one wire has no clear place and is left out.".into(),
            LeftOut::Numbers(n) => {
                format!("The numbers of {n} wires have no clear place and are left out.")
            }
            LeftOut::Names(1) => "The name of one part has no clear place and is left out.".into(),
            LeftOut::Names(n) => {
                format!("The names of {n} parts have no clear place and are left out.")
            }
            LeftOut::Details => {
                "The board is large for this size: what could not be read of cards and wires is left out. Choose a larger size.".into()
            }
            LeftOut::WordsOfDay => {
                "Names and times of the day could not be read in so small a picture: they are left out. Choose a larger size.".into()
            }
            LeftOut::Lanes(1) => "There are too many lanes for a picture: the last one is left out.".into(),
            LeftOut::Lanes(n) => {
                format!("There are too many lanes for a picture: the last {n} are left out.")
            }
            LeftOut::Passages(1) => "There is no room for the last passage of the explanation: it is left out.".into(),
            LeftOut::Passages(n) => {
                format!("There is no room for {n} passages of the explanation: they are left out.")
            }
            LeftOut::Between(ms) => format!(
                "So much happens that what lies less than {ms} ms of the run apart is shown as one change."
            ),
            LeftOut::Amounts => {
                "So much changes that amounts on wires and the words of cards are left out.".into()
            }
            LeftOut::Still(1) => {
                "One part or wire changes too often for a moving picture and is drawn as at the day's beginning.".into()
            }
            LeftOut::Still(n) => format!(
                "{n} parts and wires change too often for a moving picture and are drawn as at the day's beginning."
            ),
            LeftOut::Stopped(_) => {
                "The run was stopped at its bound of events within the day; from there on nothing changes in the picture.".into()
            }
        }
    }
}

/// A picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// A whole SVG document.
    pub svg: String,
    /// Its width, in pixels.
    pub wide: u32,
    /// Its height.
    pub high: u32,
    /// What was asked for and is not in it.
    pub left_out: Vec<LeftOut>,
}
