//! The one table of limits, with the words for them; used by validation, by error texts, by the page's fields and by
//! the generators of tests.
//!
//! Each [`Field`] is a number of a part type or a setting of a part. Powers are in steps, times in seconds, shares in
//! per mille.

/// The most cells along one side of a site.
pub const SITE_SIDE: u8 = 32;
/// The most storeys of a site.
pub const SITE_STOREYS: u8 = 8;
/// The most rooms of a site; each has a letter in a file.
pub const SITE_ROOMS: usize = 26;
/// The most characters in the name of a room or a storey.
pub const SITE_NAME: usize = 60;
/// How long the edge of a site's cell may be, in centimetres.
pub const SITE_CELL_CM: (u64, u64) = (20, 1000);
/// How high a site's storeys may be, in centimetres.
pub const SITE_STOREY_CM: (u64, u64) = (100, 1000);
/// The most per cent, or centimetres, by which anything may count in the runs of wires.
pub const SITE_PRIORITY: u64 = 10_000;
/// The most faces that a wire may be led over by hand.
pub const SITE_BENDS: usize = 32;

/// What a field may hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A whole number, both limits included.
    Whole(u64, u64),
    /// A number, both limits included.
    Decimal(f64, f64),
    /// Yes or no.
    Flag,
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A place on the dial, `HH:MM`.
    Clock,
    /// Stretches of the dial: `[["HH:MM", "HH:MM"], …]`.
    Spans,
    /// Settings of a switch through the day: `[["HH:MM", true], …]`.
    Schedule,
    /// Places on the dial: `["HH:MM", …]`.
    Presses,
    /// The id of a battery of the plan, or an empty text.
    Battery,
}

/// One number or setting, with its name, words, unit and limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// The field's name in a file.
    pub key: &'static str,
    /// The field's name for people.
    pub label: &'static str,
    /// The unit for people: empty, `steps`, `s`, `‰`, `°`, or `u·h` for the book's unit-hours.
    pub unit: &'static str,
    /// What it may hold.
    pub kind: Kind,
    /// Whether a book need not give it a default.
    pub optional: bool,
}

const fn need(key: &'static str, label: &'static str, unit: &'static str, kind: Kind) -> Field {
    Field {
        key,
        label,
        unit,
        kind,
        optional: false,
    }
}

const fn may(key: &'static str, label: &'static str, unit: &'static str, kind: Kind) -> Field {
    Field {
        key,
        label,
        unit,
        kind,
        optional: true,
    }
}

/// The largest power of one part, in steps.
pub const POWER: u64 = 1_000_000_000;
/// The largest peak of a source, in steps; a sun panel passes each of them twice a day, and every pass is found.
pub const PEAK: u64 = 1_000_000;
/// The most equal units in a bank.
pub const COUNT: u64 = 100_000;
/// The most parts, and the most wires, of a plan. With [`POWER`] and [`COUNT`] every sum of powers fits 64 bits.
pub const PARTS: usize = 100_000;
/// The most ways of a divider or a busbar.
pub const WAYS: u64 = 64;
/// The longest duration, in seconds: some three years.
pub const SECONDS: f64 = 100_000_000.0;
/// From and to how many seconds a day may take in a film.
pub const FILM_SECONDS: (u32, u32) = (5, 3600);
/// The most readings of a table, and of a base in one search for faults in the page.
pub const READINGS: usize = 200;
/// The most wants of an order for a draft.
pub const WANTS: usize = 40;
/// The most steps of a walk, and the most hints of an exercise.
pub const WALK_STEPS: usize = 200;
/// The most edits of all steps of a walk together, or of all hints.
pub const WALK_EDITS: usize = 20_000;
/// The most characters of one text of a walk or an exercise.
pub const WALK_TEXT: usize = 4_000;
/// The last day at which a walk's cursor can stand.
pub const WALK_DAY: u64 = 60;
/// The most answers of a walk's question.
pub const ANSWERS: usize = 8;
/// The largest sum of materials that an exercise may name.
pub const MATERIALS: u64 = 1_000_000_000_000;
/// The most trials of an exercise.
pub const TRIALS: usize = 50;
/// The farthest place on the board, in pixels either way.
pub const BOARD: f64 = 1_000_000.0;

/// The latest stage of a part type.
pub const LAST_STAGE: u64 = 1000;
/// How far along a builder must be to have a part type.
pub const STAGE: Field = may("stage", "Stage", "", Kind::Whole(0, LAST_STAGE));
/// The longest wire that any part type takes, in metres.
pub const RUN: f64 = 1e6;
/// The longest wire that a part type takes.
pub const MAX_RUN: Field = may("max_run", "Longest wire", "m", Kind::Decimal(0.0, RUN));
/// Where part types may be put up.
pub const MOUNTS: &[&str] = &["any", "roof", "wall", "ceiling", "floor", "shelf", "pole"];

/// The numbers of a source.
pub const SOURCE: &[Field] = &[
    need("peak", "Peak", "steps", Kind::Whole(0, PEAK)),
    need(
        "profile",
        "Profile",
        "",
        Kind::Choice(&["steady", "sun", "wind"]),
    ),
];
/// The settings of a source whose profile is `sun`.
pub const SUN: &[Field] = &[
    need(
        "azimuth",
        "Faces",
        "° from north",
        Kind::Decimal(-360.0, 720.0),
    ),
    need("tilt", "Tilt", "° from flat", Kind::Decimal(0.0, 180.0)),
];
/// The numbers of a battery.
pub const BATTERY: &[Field] = &[
    need("capacity", "Capacity", "u·h", Kind::Decimal(0.0, 1e12)),
    need("max_in", "Takes at most", "steps", Kind::Whole(1, POWER)),
    need("max_out", "Gives at most", "steps", Kind::Whole(1, POWER)),
    need(
        "efficiency",
        "Stores of what it takes",
        "‰",
        Kind::Whole(1, 1000),
    ),
    need("cut_out", "Output off at", "‰", Kind::Whole(0, 1000)),
    need("cut_in", "Output on again at", "‰", Kind::Whole(0, 1000)),
];
/// The settings of a battery.
pub const CHARGE: &[Field] = &[need(
    "start",
    "Level at the start",
    "‰",
    Kind::Whole(0, 1000),
)];
/// The numbers of a load.
pub const LOAD: &[Field] = &[
    need("draw", "Draws", "steps", Kind::Whole(1, POWER)),
    SHORT[0],
];
/// The settings of a load; a book may give it on the type too.
pub const SHORT: &[Field] = &[may(
    "short",
    "When offered too little",
    "",
    Kind::Choice(&["pass", "hold", "waste"]),
)];
/// The settings of a tap.
pub const TAP: &[Field] = &[need("amount", "Sets aside", "steps", Kind::Whole(0, POWER))];
/// The numbers of a divider or a busbar.
pub const WAY: &[Field] = &[need("ways", "Ways", "", Kind::Whole(1, WAYS))];
/// The settings of a changeover.
pub const CHANGEOVER: &[Field] = &[may(
    "least",
    "Stays on main from",
    "steps",
    Kind::Whole(0, POWER),
)];
/// The numbers of a contact.
pub const CONTACT: &[Field] = &[need(
    "coil",
    "A live signal takes",
    "steps",
    Kind::Whole(1, POWER),
)];
/// The setting that every contact has.
pub const FORM: Field = may("contact", "Contact", "", Kind::Choice(&["make", "break"]));

/// Settings of the functions of a contact, by the function's name in a file.
pub const FUNCTIONS: &[(&str, &[Field])] = &[
    (
        "manual",
        &[
            FORM,
            may("closed", "Closed at the start", "", Kind::Flag),
            may("schedule", "Thrown daily at", "", Kind::Schedule),
        ],
    ),
    (
        "button",
        &[
            FORM,
            need("hold_s", "Held for", "s", Kind::Decimal(0.0, SECONDS)),
            may("presses", "Pressed daily at", "", Kind::Presses),
        ],
    ),
    ("relay", &[FORM]),
    ("and", &[FORM]),
    ("or", &[FORM]),
    ("xor", &[FORM]),
    (
        "on-delay",
        &[
            FORM,
            need("delay_s", "Delay", "s", Kind::Decimal(0.0, SECONDS)),
        ],
    ),
    (
        "off-delay",
        &[
            FORM,
            need("delay_s", "Delay", "s", Kind::Decimal(0.0, SECONDS)),
        ],
    ),
    (
        "pulse",
        &[
            FORM,
            need(
                "delay_s",
                "Length of the pulse",
                "s",
                Kind::Decimal(0.0, SECONDS),
            ),
        ],
    ),
    (
        "latch",
        &[
            FORM,
            may(
                "dominant",
                "Where both are live",
                "",
                Kind::Choice(&["set", "reset"]),
            ),
        ],
    ),
    ("impulse", &[FORM]),
    (
        "counter",
        &[FORM, need("target", "Counts to", "", Kind::Whole(0, POWER))],
    ),
    (
        "twilight",
        &[
            FORM,
            need("below", "Light below", "of 1", Kind::Decimal(-1.0, 2.0)),
        ],
    ),
    (
        "clock",
        &[
            FORM,
            need("from", "From", "", Kind::Clock),
            need("to", "To", "", Kind::Clock),
        ],
    ),
    ("home", &[FORM]),
    (
        "detector",
        &[FORM, may("times", "Sees somebody daily", "", Kind::Spans)],
    ),
    (
        "charge",
        &[
            FORM,
            need("watches", "Watches", "", Kind::Battery),
            need("low", "True at or below", "‰", Kind::Whole(0, 1000)),
            need("high", "False at or above", "‰", Kind::Whole(0, 1000)),
        ],
    ),
];

/// The settings of the contact function `name`; empty for a name that is none.
pub fn of_function(name: &str) -> &'static [Field] {
    FUNCTIONS
        .iter()
        .find(|(n, _)| *n == name)
        .map_or(&[], |(_, fields)| fields)
}
