//! What is drawn of a part: its card, its ports, and what they say to who can't see them.

use super::wire::MANY;
use super::{Detail, IN_LIGHT, Level};
use crate::book::Side;
use crate::editor::view::Point;
use crate::editor::{Editor, Mark};
use crate::plan::{End, PartId};
use crate::run::PartState;
use crate::sheet::card::PortPlace;
use crate::sheet::state_line::{StateLine, state_line};
use crate::sheet::symbol;
use crate::sheet::verdict::Standing;

/// A battery's level and the levels at which its output goes off and on again, as shares of its capacity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// What it holds.
    pub level: f64,
    /// Where its output goes off.
    pub cut_out: f64,
    /// Where its output goes on again.
    pub cut_in: f64,
}

/// One port of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct PortView {
    /// Its name.
    pub name: String,
    /// Its side.
    pub side: Side,
    /// Its place, from the card's top left corner.
    pub at: Point,
    /// Its classes.
    pub class: String,
    /// What it says to who can't see it.
    pub spoken: String,
}

/// One card.
#[derive(Clone, Debug, PartialEq)]
pub struct CardView {
    /// Where its top left corner stands.
    pub at: Point,
    /// How tall it is.
    pub height: f64,
    /// How near it is drawn.
    pub detail: Detail,
    /// Its classes.
    pub class: String,
    /// What it says to who can't see it.
    pub spoken: String,
    /// Whether it holds the board's one place in the order of Tab.
    pub tab_stop: bool,
    /// The strokes of its symbol as SVG path data: those to draw and those to fill.
    pub symbol: (String, String),
    /// The strokes that show that a load runs; empty for what does not.
    pub running: &'static str,
    /// The name of its symbol, for the style sheet.
    pub drawing: String,
    /// Its name, led by how many equal ones it stands for; none from very far.
    pub name: String,
    /// What it does.
    pub state: StateLine,
    /// Whether a click on its symbol throws it.
    pub is_switch: bool,
    /// A battery's level.
    pub gauge: Option<Gauge>,
    /// How its duties stand, and whether that is of an earlier plan.
    pub verdict: Option<(Standing, bool)>,
    /// Whether it is gone from what is tried.
    pub gone: bool,
    /// Whether the step of a walk lights it up.
    pub in_light: bool,
    /// Its ports; none from afar.
    pub ports: Vec<PortView>,
}

impl Editor {
    /// The card of the part `id`, as it is drawn now.
    pub fn card(&self, id: &PartId) -> Option<CardView> {
        self.card_from(id, self.drawn.detail)
    }

    /// The card of the part `id`, as it is drawn from so near.
    pub(super) fn card_from(&self, id: &PartId, detail: Detail) -> Option<CardView> {
        let at = *self.part_at.get(id)?;
        let board = self.board();
        let part = board.parts.get(at)?;
        let shape = self.geometry.shape(id)?;
        let kind = board.kind_of(part);
        let label = kind.map_or(part.kind.as_str(), |t| t.label.as_str());
        let name = if part.name.is_empty() {
            label
        } else {
            part.name.as_str()
        };
        let symbol = kind.map_or("", |t| t.symbol.as_str());
        let state = self.state(id);
        let line = state_line(&state, &board.book.book.unit);
        let mark = self.mark_of_part(id);
        let chosen = self.selection.parts.contains(id);
        let verdict = self.verdicts.get(id).map(|v| (*v, self.verdicts_are_old));
        let in_light = self.is_part_lit(id);
        let tab_stop = match &self.focus {
            Some(focus) => focus == id,
            None => at == 0,
        };
        let can_be_thrown = self.can_be_thrown(id);
        Some(CardView {
            at: self.geometry.place(id)?,
            height: shape.height,
            detail,
            class: self.card_class(id, &line, mark, chosen),
            spoken: spoken(name, label, &line, verdict, mark, chosen)
                + if can_be_thrown {
                    ", Enter throws it"
                } else {
                    ""
                }
                + if in_light { IN_LIGHT } else { "" },
            tab_stop,
            running: match state {
                PartState::Load { runs: true, .. } if detail.level > Level::Field => {
                    symbol::running(symbol)
                }
                _ => "",
            },
            drawing: match self.board().parts.len() {
                ..=MANY => symbol.to_string(),
                // With so many, nothing turns.
                _ => String::new(),
            },
            symbol: if detail.level == Level::Field {
                Default::default()
            } else {
                drawing(symbol, &state)
            },
            name: match part.count {
                _ if detail.level < Level::Name => String::new(),
                1 => name.to_string(),
                count => format!("{count}\u{a0}× {name}"),
            },
            is_switch: detail.level >= Level::Name && can_be_thrown,
            gauge: gauge(&state),
            state: line,
            verdict,
            gone: mark == Mark::Gone,
            in_light,
            ports: if detail.level == Level::All {
                let ports = shape.ports.iter();
                ports.map(|place| self.port_view(id, name, place)).collect()
            } else {
                Vec::new()
            },
        })
    }

    fn card_class(&self, id: &PartId, line: &StateLine, mark: Mark, chosen: bool) -> String {
        let wrong = self.wrong_parts.contains(id);
        let lit = self.hover.as_ref() == Some(id);
        format!(
            "card {}{}{}{}{}{}",
            line.class,
            if chosen { " chosen" } else { "" },
            if wrong { " wrong" } else { "" },
            mark.class(),
            if lit { " lit" } else { "" },
            if self.is_part_lit(id) {
                " in-light"
            } else {
                ""
            },
        )
    }

    fn port_view(&self, id: &PartId, part: &str, place: &PortPlace) -> PortView {
        let end = End::new(id, &place.name);
        let wired = self.wired.contains(&end);
        let joining = self.joining.as_ref();
        let takes = joining.and_then(|j| j.takers.get(&end));
        let (class, more) = match takes {
            _ if joining.is_some_and(|j| j.from == end) => ("origin", "the wire begins here"),
            Some(taker) if taker.wired => ("can-replace", "has a wire, which it would replace"),
            Some(_) => ("can-take", "can take the wire"),
            None if wired => ("", "wired"),
            None => ("", "free"),
        };
        let aimed = joining.is_some_and(|j| j.target.as_ref() == Some(&end));
        PortView {
            class: format!(
                "port {class}{}{}",
                if wired { " wired" } else { "" },
                if aimed { " aimed" } else { "" }
            ),
            spoken: format!("{part} {} {}, {more}", side_word(place.side), place.name),
            name: place.name.clone(),
            side: place.side,
            at: (place.x, place.y),
        }
    }
}

/// The name of a port's side.
fn side_word(side: Side) -> &'static str {
    match side {
        Side::In => "input",
        Side::Out => "output",
        Side::Signal => "signal",
    }
}

fn spoken(
    name: &str,
    label: &str,
    line: &StateLine,
    verdict: Option<(Standing, bool)>,
    mark: Mark,
    chosen: bool,
) -> String {
    let mut says = name.to_string();
    if name != label {
        says += ", ";
        says += label;
    }
    if !line.text.is_empty() {
        says += ": ";
        says += &line.text;
    }
    if let Some((standing, _)) = verdict {
        says += ", duties ";
        says += standing.word();
    }
    says += mark.said();
    if chosen {
        says += ", chosen";
    }
    says
}

/// The symbol's strokes joined: those to draw, those to fill. A contact is drawn as it stands now.
fn drawing(symbol: &str, state: &PartState) -> (String, String) {
    let conducts = match state {
        PartState::Contact { conducts, .. } => Some(*conducts),
        _ => None,
    };
    let mut joined = (String::new(), String::new());
    for stroke in symbol::paths(symbol, conducts) {
        let to = if stroke.filled {
            &mut joined.1
        } else {
            &mut joined.0
        };
        to.push_str(&stroke.d);
    }
    joined
}

fn gauge(state: &PartState) -> Option<Gauge> {
    let PartState::Battery {
        level,
        capacity,
        cut_out,
        cut_in,
        ..
    } = *state
    else {
        return None;
    };
    let share = |energy: i128| (energy as f64 / capacity.max(1) as f64).clamp(0.0, 1.0);
    Some(Gauge {
        level: share(level),
        cut_out: share(cut_out),
        cut_in: share(cut_in),
    })
}
