//! The line of state on a card: one or two words and a shape, so that no state is told by colour alone.

use crate::quantity::Unit;
use crate::run::PartState;

/// The line of state on a card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StateLine {
    /// The words.
    pub text: String,
    /// The shape before them, as path data in a box of 8 by 8.
    pub shape: &'static str,
    /// Whether the shape is filled.
    pub solid: bool,
    /// The class of the card.
    pub class: &'static str,
}

const DISC: &str = "M7.5 4A3.5 3.5 0 1 1 .5 4A3.5 3.5 0 1 1 7.5 4Z";
const WEDGE: &str = "M4 .5L7.5 7.5H.5Z";
const BAR: &str = "M0 4H8";
const OPEN: &str = "M0 5H2.5L7 1M5.5 5H8";
const STOP: &str = "M1 1L7 7M7 1L1 7";

/// The line for a part that is in this state.
pub fn state_line(state: &PartState, unit: &Unit) -> StateLine {
    let number = |steps: u64| crate::quantity::Short(unit.power(steps)).to_string();
    let say = |text: String, shape, solid, class| StateLine {
        text,
        shape,
        solid,
        class,
    };
    match *state {
        PartState::Source { available: 0, .. } => say("gives nothing".into(), DISC, false, "off"),
        PartState::Source { available, taken } => say(
            format!("gives {} of {}", number(taken), number(available)),
            DISC,
            taken > 0,
            "runs",
        ),
        PartState::Load { runs: true, .. } => say("runs".into(), DISC, true, "runs"),
        PartState::Load { offered: 0, .. } => say("off".into(), DISC, false, "off"),
        PartState::Load { draw, offered, .. } => say(
            format!("short by {}", number(draw.saturating_sub(offered))),
            WEDGE,
            true,
            "short",
        ),
        PartState::Battery {
            level,
            capacity,
            output,
            full,
            ..
        } => {
            let share = (level.max(0) * 100 / capacity.max(1)).min(100);
            let more = match (full, output) {
                (_, false) => ", output off",
                (true, true) => ", full",
                _ => "",
            };
            let class = if output { "store" } else { "off" };
            say(format!("{share} %{more}"), DISC, output, class)
        }
        PartState::Contact { held: true, .. } => say("held open".into(), STOP, false, "short"),
        PartState::Contact { conducts: true, .. } => say("closed".into(), BAR, false, "runs"),
        PartState::Contact { .. } => say("open".into(), OPEN, false, "off"),
        PartState::Plain => say(String::new(), "", false, "plain"),
    }
}

/// A name in at most `most` lines of `width` characters; what does not fit ends in an ellipsis.
pub fn name_lines(name: &str, width: usize, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // A no-break space holds a count to its name.
    for word in name.split([' ', '\t', '\n']).filter(|w| !w.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    if lines.len() > most {
        let rest = lines.split_off(most.saturating_sub(1)).join(" ");
        lines.push(rest);
    }
    for line in &mut lines {
        if line.chars().count() > width {
            *line = line.chars().take(width - 1).chain(['…']).collect();
        }
    }
    lines
}
