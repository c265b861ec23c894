//! The kinds of readings, and the columns that each has in the table.

use serde::{Deserialize, Serialize};

/// A kind of reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum ReadingKind {
    /// What a panel shows.
    Panel,
    /// When the sun comes up.
    Rises,
    /// When it goes down.
    Sets,
    /// How far the dial goes while a watch goes on.
    Watch,
    /// How a battery's level falls.
    Falls,
    /// How it rises.
    Charges,
}

/// Readings that stand in one table, since they have the same columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReadingGroup {
    /// Panels.
    Panels,
    /// The sun on the horizon.
    Horizon,
    /// A watch beside the dial.
    Watch,
    /// A battery's level.
    Battery,
}

/// A column of a table of readings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// The field's name in a file.
    pub key: &'static str,
    /// The heading.
    pub head: &'static str,
    /// What is expected there, as words that follow "expected".
    pub expects: &'static str,
    /// Whether it may be left empty.
    pub optional: bool,
}

impl Column {
    /// Whether a time of the dial is entered there.
    pub fn is_time(&self) -> bool {
        matches!(self.key, "at" | "rises" | "sets" | "dial")
    }
}

const fn column(key: &'static str, head: &'static str, expects: &'static str) -> Column {
    Column {
        key,
        head,
        expects,
        optional: false,
    }
}

const PANEL: &[Column] = &[
    column("at", "At", TIME),
    column(
        "azimuth",
        "Faces",
        "a way from north in degrees, −360 to 720, or one of N, NE, E, SE, S, SW, W, NW",
    ),
    column(
        "tilt",
        "Tilt",
        "degrees from flat, 0 to 180, or one of flat, upright",
    ),
    column("gives", "Shows", "whole steps, 0 to 1000000"),
];
const RISES: &[Column] = &[
    column("rises", "At", TIME),
    Column {
        optional: true,
        ..column(
            "azimuth",
            "Over",
            "nothing, or a way from north in degrees, 0 to 180, or one of N, NE, E, SE, S",
        )
    },
];
const SETS: &[Column] = &[
    column("sets", "At", TIME),
    Column {
        optional: true,
        ..column(
            "azimuth",
            "Over",
            "nothing, or a way from north in degrees, 180 to 360, or one of S, SW, W, NW, N",
        )
    },
];
const WATCH: &[Column] = &[
    column(
        "clock_s",
        "The watch goes",
        "seconds, or a time such as 48 min, 1.5 h or 2:05 for minutes and seconds",
    ),
    column(
        "dial",
        "The dial goes",
        "how far the dial went, from 00:01 to 24:00, HH:MM or HH:MM:SS",
    ),
];
const FALLS: &[Column] = &[
    column("from", "From", LEVEL),
    column("to", "To", LEVEL),
    column("hours", "In", HOURS),
    column("draw", "Drawing", STEPS),
];
const CHARGES: &[Column] = &[
    column("from", "From", LEVEL),
    column("to", "To", LEVEL),
    column("hours", "In", HOURS),
    column("draw", "Taking", STEPS),
];
const TIME: &str = "a time of the dial from 00:00 to 24:00, HH:MM or HH:MM:SS";
const LEVEL: &str = "a level in per cent, 0 to 100, or a share such as 1/3";
const HOURS: &str = "hours, 0.0001 to 100000, or a time such as 2:30 or 40 min";
const STEPS: &str = "whole steps, 1 to 1000000000";

impl ReadingKind {
    /// All kinds, in the order of their tables.
    pub const ALL: [ReadingKind; 6] = [
        ReadingKind::Panel,
        ReadingKind::Rises,
        ReadingKind::Sets,
        ReadingKind::Watch,
        ReadingKind::Falls,
        ReadingKind::Charges,
    ];

    /// Its columns.
    pub fn columns(self) -> &'static [Column] {
        match self {
            ReadingKind::Panel => PANEL,
            ReadingKind::Rises => RISES,
            ReadingKind::Sets => SETS,
            ReadingKind::Watch => WATCH,
            ReadingKind::Falls => FALLS,
            ReadingKind::Charges => CHARGES,
        }
    }

    /// What such a reading is of.
    pub fn label(self) -> &'static str {
        match self {
            ReadingKind::Panel => "panel",
            ReadingKind::Rises => "sun rises",
            ReadingKind::Sets => "sun sets",
            ReadingKind::Watch => "watch and dial",
            ReadingKind::Falls => "battery falls",
            ReadingKind::Charges => "battery rises",
        }
    }

    /// What the button says that adds one.
    pub fn add(self) -> &'static str {
        match self {
            ReadingKind::Panel => "Add a panel",
            ReadingKind::Rises => "Add a sunrise",
            ReadingKind::Sets => "Add a sunset",
            ReadingKind::Watch => "Add a watch and dial",
            ReadingKind::Falls => "Add a battery that falls",
            ReadingKind::Charges => "Add a battery that rises",
        }
    }

    /// The table that it stands in.
    pub fn group(self) -> ReadingGroup {
        match self {
            ReadingKind::Panel => ReadingGroup::Panels,
            ReadingKind::Rises | ReadingKind::Sets => ReadingGroup::Horizon,
            ReadingKind::Watch => ReadingGroup::Watch,
            ReadingKind::Falls | ReadingKind::Charges => ReadingGroup::Battery,
        }
    }
}

impl ReadingGroup {
    /// All, in their order.
    pub const ALL: [ReadingGroup; 4] = [
        ReadingGroup::Panels,
        ReadingGroup::Horizon,
        ReadingGroup::Watch,
        ReadingGroup::Battery,
    ];

    /// The kinds that stand in it.
    pub fn kinds(self) -> impl Iterator<Item = ReadingKind> {
        let all = ReadingKind::ALL.into_iter();
        all.filter(move |kind| kind.group() == self)
    }

    /// Its heading.
    pub fn title(self) -> &'static str {
        match self {
            ReadingGroup::Panels => "What panels show",
            ReadingGroup::Horizon => "When the sun rises and sets",
            ReadingGroup::Watch => "A watch beside the dial",
            ReadingGroup::Battery => "How a battery falls and rises",
        }
    }

    /// How such a reading is taken.
    pub fn hint(self) -> &'static str {
        match self {
            ReadingGroup::Panels => {
                "All of one type, on a clear day. Faces: degrees from north clockwise, or E, SW. Tilt: degrees from flat. Shows: whole steps."
            }
            ReadingGroup::Horizon => {
                "By the dial, to the minute or the second. Over: in which direction, in degrees from north, where you know it."
            }
            ReadingGroup::Watch => {
                "How far the dial goes while your watch goes on; a whole day is 24:00. The watch is taken to be right to a second."
            }
            ReadingGroup::Battery => {
                "Levels in per cent, right to the tenth, or a share such as 1/3. Hours by your watch. Power in steps, nothing else at the battery."
            }
        }
    }

    /// The headings of its columns.
    pub fn heads(self) -> Vec<&'static str> {
        let drawn = self == ReadingGroup::Battery;
        let columns = self.kinds().next().map_or(&[][..], ReadingKind::columns);
        let head = |c: &Column| {
            if drawn && c.key == "draw" {
                "Power"
            } else {
                c.head
            }
        };
        columns.iter().map(head).collect()
    }
}
