//! An explanation as data: what is said of groups, parts, one day, a dull day, and what to watch out for. Powers in steps,
//! times in milliseconds since midnight of day 1, energies in [`Energy`], duties by their places in the plan.
//!
//! Every sentence is one value here, with all its amounts, times and causes; [`super::words`] only puts it into words.

use super::turn::{PartTurn, TurnReason};
use crate::net::Problem;
use crate::plan::{PartId, WireId};
use crate::proof::Cause;
use crate::quantity::{Energy, Ms};
use serde::{Deserialize, Serialize};

/// How many stretches of one thing are kept one by one.
pub const MOST_STRETCHES: usize = 4;

/// Everything that is told of a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Explanation {
    /// The day that is told.
    pub shown: ShownDay,
    /// Parts that are understood better together.
    pub groups: Vec<PartGroup>,
    /// Every part once, in the plan's order.
    pub parts: Vec<PartStory>,
    /// What happens on the day, in the order of time.
    pub day: Vec<DayStep>,
    /// What happens where the sun gives nothing.
    pub dull: Vec<DullNews>,
    /// What to watch out for, gravest first.
    pub watch: Vec<Caution>,
}

/// The day that is told: the first of those that go on repeating, else day 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShownDay {
    /// Its number, from 1.
    pub day: u64,
    /// Its first millisecond.
    pub from: Ms,
    /// The first after it, or where the run was stopped.
    pub to: Ms,
    /// The numbers of the first and the last day that go on repeating; none where none does.
    pub repeats: Option<(u64, u64)>,
    /// How many days were run.
    pub days: u64,
    /// Whether the run was stopped at its bound of events.
    pub stopped: bool,
}

/// Stretches of the day, each `[from, to)`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stretches {
    /// The first of them, [`MOST_STRETCHES`] at the most.
    pub first: Vec<(Ms, Ms)>,
    /// How many there are.
    pub count: u64,
    /// How long they are in all.
    pub time: Ms,
}

/// A group of parts, found from how they are wired.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartGroup {
    /// What they are together.
    pub kind: GroupKind,
    /// The parts, the chief one first.
    pub parts: Vec<PartId>,
}

/// What parts are together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum GroupKind {
    /// Sources that all lead into one busbar, which has no other input.
    Bank {
        /// The sources.
        sources: Vec<PartId>,
        /// The busbar.
        busbar: PartId,
        /// The most that it offers on the day, and when first.
        most: (u64, Ms),
    },
    /// A relay whose coil hangs on a tap that nothing but the sun feeds.
    DuskRelay {
        /// The tap.
        tap: PartId,
        /// The relay.
        relay: PartId,
        /// The panels.
        sources: Vec<PartId>,
        /// The battery to which the tap's rest leads.
        battery: Option<PartId>,
        /// What the coil takes.
        coil: u64,
        /// Whether the relay conducts while its coil is dead.
        breaks: bool,
        /// When it conducts on the day.
        conducts: Stretches,
    },
    /// A changeover with what both its inputs come from.
    Switchover {
        /// The changeover.
        changeover: PartId,
        /// What main comes from.
        main: PartId,
        /// What backup comes from.
        backup: PartId,
        /// From so much on it stays on main.
        least: u64,
        /// When it is on its backup on the day.
        on_backup: Stretches,
    },
    /// A divider with what stands at its outputs.
    Shares {
        /// The divider.
        divider: PartId,
        /// What it is fed by.
        from: Option<PartId>,
        /// What it feeds, by its outputs.
        to: Vec<PartId>,
    },
    /// Loads one behind the other, served in this order.
    Line {
        /// The loads, the first served first.
        loads: Vec<PartId>,
        /// Contacts between them, each with the place among the loads of the one behind it.
        contacts: Vec<(usize, PartId)>,
    },
    /// A contact that holds itself: what it lets through comes back to its own signal.
    SealIn {
        /// The contact.
        contact: PartId,
        /// What the way back leads over.
        over: Vec<PartId>,
        /// What starts it.
        starts: Vec<PartId>,
        /// Contacts in its feed: whoever opens one lets it go.
        stops: Vec<PartId>,
    },
    /// A contact with what its signals come from.
    Command {
        /// The contact.
        contact: PartId,
        /// The signals that have a wire: their places among the contact's signals, and what each comes from.
        signals: Vec<(usize, PartId)>,
    },
    /// A contact that follows a battery's charge.
    Float {
        /// The contact.
        contact: PartId,
        /// The battery.
        battery: PartId,
        /// True at or below, in per mille.
        low: u64,
        /// False at or above.
        high: u64,
    },
}

/// A wire at a part, with the part at its other end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Joined {
    /// The wire.
    pub wire: WireId,
    /// The part's own port.
    pub port: String,
    /// The part at the other end.
    pub other: PartId,
    /// The other part's port.
    pub other_port: String,
}

/// What there is to say of one part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartStory {
    /// The part.
    pub part: PartId,
    /// What feeds it.
    pub fed_by: Vec<Joined>,
    /// What its signals come from.
    pub signals: Vec<Joined>,
    /// What it feeds.
    pub feeds: Vec<Joined>,
    /// What it did on the day.
    pub did: PartDeed,
    /// Its duties, and whether each is kept.
    pub duties: Vec<(usize, bool)>,
    /// What happens without it.
    pub without: WithoutPart,
}

/// What a part did on the day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum PartDeed {
    /// A source.
    Source {
        /// The most that it could give, and when first.
        most: (u64, Ms),
        /// When it could give something.
        gives: Stretches,
        /// What it could give.
        available: Energy,
        /// What was taken of it.
        taken: Energy,
    },
    /// A battery.
    Battery {
        /// What it holds at the most.
        capacity: Energy,
        /// Its lowest level, and the last moment of it.
        lowest: (Energy, Ms),
        /// Its highest level, and the last moment of it.
        highest: (Energy, Ms),
        /// When it is full.
        full: Stretches,
        /// When its output is off.
        off: Stretches,
        /// What it took in.
        taken: Energy,
        /// What it gave.
        given: Energy,
    },
    /// A load.
    Load {
        /// What it draws.
        draw: u64,
        /// When it ran.
        runs: Stretches,
        /// When it was offered something, but less than it draws.
        short: Stretches,
    },
    /// A tap.
    Tap {
        /// What it sets aside at the most.
        amount: u64,
        /// When it set something aside.
        sets: Stretches,
        /// What was taken of that.
        aside: Energy,
        /// What was taken of the rest.
        rest: Energy,
    },
    /// A divider: how many of its ways have a wire, and what went through.
    Divider {
        /// The ways that have a wire.
        ways: usize,
        /// What was taken through it.
        passed: Energy,
    },
    /// A busbar: the most that it offered, when first, and what went through.
    Busbar {
        /// The most, and when first.
        most: (u64, Ms),
        /// What was taken through it.
        passed: Energy,
    },
    /// A changeover.
    Changeover {
        /// From so much on it stays on main.
        least: u64,
        /// When it was on its backup.
        on_backup: Stretches,
        /// What was taken through it.
        passed: Energy,
    },
    /// A meter.
    Meter {
        /// The most that was taken through it, and when first.
        most: (u64, Ms),
        /// What was taken through it.
        passed: Energy,
    },
    /// A contact.
    Contact {
        /// When it conducted.
        conducts: Stretches,
        /// What was taken through it.
        passed: Energy,
    },
    /// A part whose type the book does not have.
    Unknown,
}

/// What happens without a part, as tried by removing it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WithoutPart {
    /// The duties that are then broken and that the whole plan keeps.
    pub breaks: Vec<usize>,
    /// The first of these, other than the part's own, that breaks, and when.
    pub first: Option<(usize, Ms)>,
    /// The other loads that then run for less time a day; none where that is not known.
    pub stops: Vec<PartId>,
    /// Whether days repeat with the part and without it, so that hours a day can be compared.
    pub compared: bool,
}

/// Something that happens on the day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DayStep {
    /// When.
    pub t: Ms,
    /// What.
    pub news: DayNews,
}

/// What happens at one moment for one reason.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum DayNews {
    /// How the day begins.
    Begins {
        /// The loads that run.
        running: Vec<PartId>,
        /// Each battery with its level and what it holds at the most.
        levels: Vec<(PartId, Energy, Energy)>,
    },
    /// The sun rises.
    Sunrise,
    /// The sun sets.
    Sunset,
    /// Sources begin to give something.
    Gives(Vec<PartId>),
    /// Sources give nothing any more.
    Ends(Vec<PartId>),
    /// A battery, at its lowest of the day, begins to rise.
    Rises {
        /// The battery.
        battery: PartId,
        /// Its level, and what it holds at the most.
        level: (Energy, Energy),
    },
    /// A battery is full.
    Full(PartId),
    /// A battery, at its highest of the day, begins to fall.
    Falls {
        /// The battery.
        battery: PartId,
        /// Its level, and what it holds at the most.
        level: (Energy, Energy),
    },
    /// Parts turn, all for one reason.
    Turns {
        /// The reason.
        reason: TurnReason<PartId>,
        /// When that was; what turns follows at once, or a lag or several later.
        at: Ms,
        /// What turns, in the order of time.
        turns: Vec<PartTurn<PartId>>,
    },
    /// A part turns so often that its turns are not told one by one.
    Often {
        /// The part.
        part: PartId,
        /// How often.
        times: u64,
        /// The last time.
        last: Ms,
    },
}

/// What happens where the sun gives nothing from a day's first midnight on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum DullNews {
    /// Nothing lives on the sun.
    NoSun,
    /// Loads run on that would be off with the sun.
    RunsOn {
        /// The loads, each with from when.
        loads: Vec<(PartId, Ms)>,
    },
    /// Loads are off that would run with the sun.
    GoesDark {
        /// The loads, each with from when.
        loads: Vec<(PartId, Ms)>,
        /// Batteries ahead of them whose output is off then.
        empty: Vec<PartId>,
        /// Whether they are the first.
        first: bool,
    },
    /// For so many days no load is off that would run with the sun.
    Holds {
        /// How many.
        days: u64,
    },
    /// How many days in a row are survived, wherever they stand.
    Survives {
        /// So many.
        days: u64,
        /// Whether one more was seen to break a duty; else more may be survived.
        exact: bool,
        /// How many duties are meant, those that are kept otherwise, of how many.
        duties: (usize, usize),
    },
    /// What breaks first with one day more.
    Breaks {
        /// The first dull day, from 1.
        day: u64,
        /// How many there are.
        days: u64,
        /// The duty.
        duty: usize,
        /// When the stretch begins that is too long.
        from: Ms,
        /// Whether the load then runs although it should not.
        on: bool,
    },
}

/// Something to watch out for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Caution {
    /// The run was stopped, or no day repeats in so many days.
    NoRepeat {
        /// How many days were run.
        days: u64,
        /// What still differs.
        differs: Vec<PartId>,
    },
    /// A problem of the net or of the run.
    Problem(Problem),
    /// A duty that is broken.
    Broken {
        /// The duty.
        duty: usize,
        /// How many stretches break it in the days run.
        gaps: usize,
        /// Why, for the first of them that lies in the days that go on repeating.
        cause: Option<Cause>,
    },
    /// A battery whose output goes off on the day.
    CutsOut {
        /// The battery.
        battery: PartId,
        /// When its output is off.
        off: Stretches,
    },
    /// A battery that comes near the level at which its output goes off.
    NearCutOut {
        /// The battery.
        battery: PartId,
        /// Its lowest level in the days that go on repeating, and the first moment of it.
        lowest: (Energy, Ms),
        /// Where its output goes off.
        cut_out: Energy,
        /// What it holds at the most.
        capacity: Energy,
    },
    /// A load that is offered something, but less than it draws.
    Short {
        /// The load.
        load: PartId,
        /// What it draws.
        draw: u64,
        /// When.
        short: Stretches,
    },
    /// A switch that people besides the builders reach: thrown, it breaks duties.
    Reachable {
        /// The switch.
        switch: PartId,
        /// Whether anyone reaches it; else friends do.
        anyone: bool,
        /// What it breaks.
        breaks: Vec<usize>,
    },
    /// Parts besides loads whose loss alone breaks a duty.
    SinglePoints {
        /// The parts, each with how many duties it breaks.
        points: Vec<(PartId, usize)>,
        /// How many duties are kept.
        kept: usize,
    },
    /// A single dull day is too much.
    NoReserve {
        /// The duty that breaks first.
        duty: usize,
    },
    /// Power that sources could give on the day and nobody takes.
    Spilled {
        /// Each source with what it spills.
        sources: Vec<(PartId, Energy)>,
        /// What is spilled, and what all sources could give.
        spilled: (Energy, Energy),
    },
}
