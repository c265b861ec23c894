//! The closed set of behaviours, with their numbers as read from a book.
//!
//! Powers in steps, shares in per mille. What each behaviour does at an instant is the room `net`'s business.

use crate::quantity::Energy;

/// How a source's power goes through the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// Always its peak.
    Steady,
    /// By the sun on its panel.
    Sun,
    /// By the wind of the hour.
    Wind,
}

/// What a load that can't run does with what it is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Short {
    /// Passes everything on.
    Pass,
    /// Passes nothing on and takes nothing.
    Hold,
    /// Passes nothing on and takes all of it, to no use.
    Waste,
}

impl Short {
    /// The short called `word` in a file.
    pub fn of(word: &str) -> Option<Short> {
        match word {
            "pass" => Some(Short::Pass),
            "hold" => Some(Short::Hold),
            "waste" => Some(Short::Waste),
            _ => None,
        }
    }
}

/// Which function a contact follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)] // the names are the documentation; `limits::FUNCTIONS` has their words
pub enum FunctionName {
    Manual,
    Button,
    Relay,
    And,
    Or,
    Xor,
    OnDelay,
    OffDelay,
    Pulse,
    Latch,
    Impulse,
    Counter,
    Twilight,
    Clock,
    Home,
    Detector,
    Charge,
}

impl FunctionName {
    /// Every function, in the rules' order.
    pub const ALL: [FunctionName; 17] = [
        FunctionName::Manual,
        FunctionName::Button,
        FunctionName::Relay,
        FunctionName::And,
        FunctionName::Or,
        FunctionName::Xor,
        FunctionName::OnDelay,
        FunctionName::OffDelay,
        FunctionName::Pulse,
        FunctionName::Latch,
        FunctionName::Impulse,
        FunctionName::Counter,
        FunctionName::Twilight,
        FunctionName::Clock,
        FunctionName::Home,
        FunctionName::Detector,
        FunctionName::Charge,
    ];

    /// The function's name in a file.
    pub const fn name(self) -> &'static str {
        match self {
            FunctionName::Manual => "manual",
            FunctionName::Button => "button",
            FunctionName::Relay => "relay",
            FunctionName::And => "and",
            FunctionName::Or => "or",
            FunctionName::Xor => "xor",
            FunctionName::OnDelay => "on-delay",
            FunctionName::OffDelay => "off-delay",
            FunctionName::Pulse => "pulse",
            FunctionName::Latch => "latch",
            FunctionName::Impulse => "impulse",
            FunctionName::Counter => "counter",
            FunctionName::Twilight => "twilight",
            FunctionName::Clock => "clock",
            FunctionName::Home => "home",
            FunctionName::Detector => "detector",
            FunctionName::Charge => "charge",
        }
    }

    /// The names of its signal ports, in their order.
    pub const fn signals(self) -> &'static [&'static str] {
        match self {
            FunctionName::Relay => &["coil"],
            FunctionName::And | FunctionName::Or | FunctionName::Xor => &["a", "b"],
            FunctionName::OnDelay
            | FunctionName::OffDelay
            | FunctionName::Pulse
            | FunctionName::Impulse => &["trigger"],
            FunctionName::Latch => &["set", "reset"],
            FunctionName::Counter => &["count", "reset"],
            _ => &[],
        }
    }
}

/// What a part type does, with the numbers that belong to it.
#[derive(Clone, Debug, PartialEq)]
pub enum Behaviour {
    /// Gives power.
    Source {
        /// Steps at the most.
        peak: u64,
        /// How it goes through the day.
        profile: Profile,
    },
    /// Stores power.
    Battery {
        /// What one holds; more than 0.
        capacity: Energy,
        /// Steps it takes at the most.
        max_in: u64,
        /// Steps it gives at the most.
        max_out: u64,
        /// Per mille of what is taken in that is stored.
        efficiency: u64,
        /// Per mille of capacity at which the output goes off.
        cut_out: u64,
        /// Per mille of capacity at which the output goes on again.
        cut_in: u64,
    },
    /// Uses power and carries on what is left.
    Load {
        /// Steps it draws while it runs.
        draw: u64,
        /// What it does when it can't.
        short: Short,
    },
    /// Sets an amount aside.
    Tap,
    /// Shares equally.
    Divider {
        /// Its outputs.
        ways: u64,
    },
    /// Adds up.
    Busbar {
        /// Its inputs.
        ways: u64,
    },
    /// Goes to the backup where main gives too little.
    Changeover,
    /// Carries on what it gets, to be read.
    Meter,
    /// Conducts or not, after a function.
    Contact {
        /// The function it follows.
        function: FunctionName,
        /// Steps a live signal port takes.
        coil: u64,
    },
}

impl Behaviour {
    /// The behaviour's name in a file.
    pub const fn name(&self) -> &'static str {
        match self {
            Behaviour::Source { .. } => "source",
            Behaviour::Battery { .. } => "battery",
            Behaviour::Load { .. } => "load",
            Behaviour::Tap => "tap",
            Behaviour::Divider { .. } => "divider",
            Behaviour::Busbar { .. } => "busbar",
            Behaviour::Changeover => "changeover",
            Behaviour::Meter => "meter",
            Behaviour::Contact { .. } => "contact",
        }
    }
}
