//! What the cards and wires of a board look like over a day, and the drawing that comes of it.

use super::Level;
use super::merge::{Piece, merged};
use super::smil::Film;
use crate::editor::scene::{Detail, NumberPlace, Told, number_figure};
use crate::editor::{Change, Editor};
use crate::picture::board::show;
use crate::picture::markup::{Ink, Leaf, attribute, leaves};
use crate::picture::pen::round;
use crate::plan::{PartId, WireId};
use crate::quantity::Ms;
use crate::sheet::figure::Figure;
use std::collections::{BTreeMap, BTreeSet};

/// A card, a wire or the number on one: its looks, each with the number of the time from which on it has it.
#[derive(Clone, Debug, Default)]
struct Thing {
    looks: Vec<(usize, Vec<Leaf>)>,
}

/// A wire.
#[derive(Clone, Debug)]
struct WireThing {
    id: WireId,
    /// The looks of its line.
    line: Thing,
    /// What is told of it, from which time on.
    told: Vec<(usize, Told)>,
}

/// All that stands on a board, in the order in which it is drawn.
#[derive(Clone, Debug)]
pub(super) struct Things {
    wires: Vec<WireThing>,
    numbers: Vec<Thing>,
    cards: Vec<(PartId, Thing)>,
}

impl Thing {
    fn looks_so(&mut self, time: usize, figure: &Figure) {
        let mut markup = String::new();
        figure.write(&mut markup);
        self.put(time, leaves(&markup));
    }

    fn put(&mut self, time: usize, look: Vec<Leaf>) {
        let look: Vec<Leaf> = look.into_iter().map(of_any_level).collect();
        if self.looks.last().is_none_or(|(_, last)| *last != look) {
            self.looks.push((time, look));
        }
    }

    /// Without the pieces that are so.
    fn without(&mut self, is_so: impl Fn(&Leaf) -> bool) {
        for (time, mut look) in std::mem::take(&mut self.looks) {
            look.retain(|leaf| !is_so(leaf));
            self.put(time, look);
        }
    }
}

/// A gauge is drawn whatever its level: that is a line of its own.
fn of_any_level(mut leaf: Leaf) -> Leaf {
    if is_level(&leaf)
        && let Some(width) = attribute(&leaf.markup, "width")
    {
        leaf.markup = leaf.markup.replace(&format!(" width=\"{width}\""), "");
    }
    leaf
}

fn is_level(leaf: &Leaf) -> bool {
    leaf.markup.contains("class=\"gauge level\"")
}

impl Things {
    /// All looks at these times.
    pub fn seen(editor: &mut Editor, times: &[Ms], detail: Detail) -> Things {
        let board = editor.board().clone();
        let wires = board.wires.iter().map(|wire| WireThing {
            id: wire.id.clone(),
            line: Thing::default(),
            told: Vec::new(),
        });
        let cards = board.parts.iter().map(|p| (p.id.clone(), Thing::default()));
        let mut things = Things {
            wires: wires.collect(),
            numbers: Vec::new(),
            cards: cards.collect(),
        };
        for (number, t) in times.iter().enumerate() {
            let changes = show(editor, *t);
            let (mut parts, mut wires) = (BTreeSet::new(), BTreeSet::new());
            for change in changes {
                match change {
                    Change::Part(id) => drop(parts.insert(id)),
                    Change::Wire(id) => drop(wires.insert(id)),
                    _ => {}
                }
            }
            let all = number == 0;
            for wire in &mut things.wires {
                if (all || wires.contains(&wire.id))
                    && let Some(figure) = editor.wire_figure(&wire.id, detail)
                {
                    wire.line.looks_so(number, &figure);
                    wire.told.push((number, editor.told_of_wire(&wire.id)));
                }
            }
            for (id, thing) in &mut things.cards {
                if (all || parts.contains(id))
                    && let Some(figure) = editor.card_figure(id, detail)
                {
                    thing.looks_so(number, &figure);
                }
            }
        }
        things
    }

    /// The widest that is told of each wire over the day.
    pub fn widest(&self) -> BTreeMap<WireId, Told> {
        let widest = |wire: &WireThing| {
            let told = wire.told.iter().map(|(_, told)| told);
            told.max_by_key(|told| told.carries.len()).cloned()
        };
        let wires = self.wires.iter();
        wires
            .filter_map(|wire| Some((wire.id.clone(), widest(wire)?)))
            .collect()
    }

    /// Puts the numbers of wires at these places.
    pub fn put_numbers(&mut self, places: &BTreeMap<WireId, NumberPlace>, detail: Detail) {
        for wire in &self.wires {
            let Some(place) = places.get(&wire.id) else {
                continue;
            };
            let mut thing = Thing::default();
            for (time, told) in &wire.told {
                thing.looks_so(*time, &number_figure(&wire.id, told, place, detail));
            }
            self.numbers.push(thing);
        }
    }

    fn all(&mut self) -> impl Iterator<Item = &mut Thing> {
        let wires = self.wires.iter_mut().map(|wire| &mut wire.line);
        let cards = self.cards.iter_mut().map(|(_, thing)| thing);
        wires.chain(&mut self.numbers).chain(cards)
    }

    /// How many looks all have together beside the first.
    pub fn changes(&mut self) -> usize {
        self.all()
            .map(|thing| thing.looks.len().saturating_sub(1))
            .sum()
    }

    /// Takes away what wires carry in numbers and what cards say in words.
    pub fn leave_out_amounts(&mut self) {
        self.numbers.clear();
        for (_, thing) in &mut self.cards {
            thing.without(|leaf| attribute(&leaf.markup, "class") == Some("state"));
        }
    }

    /// Lets what changes most often stand still until no more than so many changes are left; gives how many that are.
    pub fn keep_to(&mut self, most: usize) -> usize {
        let mut left = self.changes();
        let mut still = 0;
        let mut by_changes: Vec<&mut Thing> = self.all().collect();
        // What changes alike often goes in the order in which it is drawn.
        by_changes.sort_by_key(|thing| std::cmp::Reverse(thing.looks.len()));
        for thing in by_changes {
            if left <= most {
                break;
            }
            left -= thing.looks.len().saturating_sub(1);
            thing.looks.truncate(1);
            still += 1;
        }
        still
    }

    /// Draws everything: wires, their numbers, cards over both.
    pub fn draw(&self, ink: &mut Ink, film: Film, times: &[Ms], levels: &BTreeMap<String, Level>) {
        let wires = self.wires.iter().map(|wire| (&wire.line, None));
        let numbers = self.numbers.iter().map(|thing| (thing, None));
        let cards = self
            .cards
            .iter()
            .map(|(id, thing)| (thing, levels.get(id.as_str())));
        for (thing, level) in wires.chain(numbers).chain(cards) {
            thing.draw(ink, film, times, level);
        }
    }
}

impl Thing {
    fn draw(&self, ink: &mut Ink, film: Film, times: &[Ms], level: Option<&Level>) {
        let at: Vec<Ms> = self
            .looks
            .iter()
            .filter_map(|(time, _)| times.get(*time).copied())
            .collect();
        let looks: Vec<Vec<Leaf>> = self.looks.iter().map(|(_, look)| look.clone()).collect();
        let pieces = merged(&looks);
        let full = pieces.iter().find_map(|piece| full_width(&piece.leaf));
        let mut open: Vec<String> = Vec::new();
        let mut rest = pieces.as_slice();
        while let Some(first) = rest.first() {
            let alike = |piece: &&Piece| {
                piece.shown == first.shown && piece.leaf.within == first.leaf.within
            };
            let count = rest.iter().take_while(alike).count();
            let (now, after) = rest.split_at(count);
            step_into(ink, &mut open, &first.leaf.within);
            let stays = first.shown.iter().all(|shown| *shown);
            if !stays {
                let is_first = first.shown.first() == Some(&true);
                let look = match is_first {
                    true => "<g class=\"first\">",
                    false => "<g class=\"later\" visibility=\"hidden\">",
                };
                ink.raw(look);
                ink.raw(&film.seen(&at, &first.shown));
            }
            for piece in now {
                match (is_level(&piece.leaf), level) {
                    (true, Some(level)) => {
                        gauge(ink, &piece.leaf, film, level, full.unwrap_or(0.0))
                    }
                    _ => ink.raw(&piece.leaf.markup),
                }
            }
            if !stays {
                ink.raw("</g>");
            }
            rest = after;
        }
        step_into(ink, &mut open, &[]);
    }
}

/// The width of a whole gauge, where the piece is one.
fn full_width(leaf: &Leaf) -> Option<f64> {
    let is_whole = attribute(&leaf.markup, "class") == Some("gauge");
    attribute(&leaf.markup, "width")
        .filter(|_| is_whole)?
        .parse()
        .ok()
}

/// A level that moves, and the one at the day's beginning for who wants no motion.
fn gauge(ink: &mut Ink, leaf: &Leaf, film: Film, level: &Level, full: f64) {
    let bare = leaf.markup.trim_end_matches("/>");
    let share = level
        .points
        .first()
        .map_or(0.0, |(_, at)| *at as f64 / level.capacity.max(1) as f64);
    let width = round(share.clamp(0.0, 1.0) * full);
    if level.points.len() < 2 {
        return ink.raw(&format!("{bare} width=\"{width}\"/>"));
    }
    ink.raw(&format!(
        "<g class=\"moves\">{bare} width=\"{width}\">{}</rect></g><g class=\"still\">{bare} width=\"{width}\"/></g>",
        film.width(&level.points, level.capacity, full)
    ));
}

/// Closes and opens groups until those are open that are wanted.
fn step_into(ink: &mut Ink, open: &mut Vec<String>, wanted: &[String]) {
    let shared = open.iter().zip(wanted).take_while(|(a, b)| a == b).count();
    for _ in shared..open.len() {
        ink.raw("</g>");
    }
    open.truncate(shared);
    for tag in &wanted[shared..] {
        ink.raw(tag);
        open.push(tag.clone());
    }
}
