//! Cards and wires as figures: the one drawing of a [`CardView`] and a [`WireView`].
//!
//! What a pointer or the keyboard may rest on (a card, a port, a handle) is a figure of its own and keeps its identity; the
//! rest is shapes. Nothing has a transform of its own: a browser keeps books on each, and with thousands of them every
//! move of the view would cost a frame. Pixels of the board.

use super::{Arrow, CardView, Detail, Gauge, Handles, LabelView, Level, PortView, TEXT, WireView};
use crate::book::Side;
use crate::editor::view::Point;
use crate::plan::{End, PartId, WireId};
use crate::sheet::card;
use crate::sheet::figure::{Figure, Px, Shapes};
use crate::sheet::path_data::{placed, shifted};
use crate::sheet::state_line::name_lines;
use std::fmt::Display;

/// The side of a symbol as it is drawn in the book.
const SYMBOL: f64 = 40.0;
/// About how wide a letter of a name and of a state is, in sizes of the name's text.
const NAME_SIGN: f64 = 0.575;
const STATE_SIGN: f64 = 0.46;
/// From this size of names on, cards tell no state in words.
const MOST_WITH_STATE: f64 = 24.0;
/// How long a battery's gauge is.
const GAUGE: f64 = 90.0;

/// The id of a part's card in the page.
pub fn card_id(part: &PartId) -> String {
    format!("part:{part}")
}

/// The id of a port in the page.
pub fn port_id(end: &End) -> String {
    format!("port:{end}")
}

/// How symbol and words share a card: the farther away, the smaller the symbol beside its larger name, until there is
/// nothing but the symbol.
#[derive(Clone, Copy)]
struct Measures {
    /// The size of the name.
    text: f64,
    /// That size over the size at life size.
    scale: f64,
    /// The symbol's side.
    symbol: f64,
    /// The room left and right of the symbol's square.
    room: f64,
    /// Where words begin, and how much room they have.
    text_x: f64,
    wide: f64,
}

impl Measures {
    fn of(detail: Detail) -> Measures {
        let (symbol, room) = match (detail.level, detail.text) {
            (Level::Field | Level::Symbol, _) => (52.0, 4.0),
            (_, TEXT) => (SYMBOL, 10.0),
            (_, ..24) => (36.0, 6.0),
            (_, _) => (26.0, 4.0),
        };
        let text = f64::from(detail.text);
        let text_x = symbol * 1.2 + 2.0 * room;
        Measures {
            text,
            scale: detail.scale(),
            symbol,
            room,
            text_x,
            wide: card::WIDTH - text_x - 4.0,
        }
    }
}

impl CardView {
    /// The card of the part `id`.
    pub fn figure(&self, id: &PartId) -> Figure {
        let ports = self.ports.iter();
        let scale = self.detail.scale();
        let ports = ports.map(|port| port.figure(id, self.at, scale)).collect();
        Figure::new("g")
            .set("class", self.class.clone())
            .set("id", card_id(id))
            .set("data-part", id.to_string())
            .set("role", "group")
            .set("aria-roledescription", "part")
            .set("aria-label", self.spoken.clone())
            .set("tabindex", if self.tab_stop { "0" } else { "-1" })
            .holding(vec![
                Figure::new("g").drawing(self.face()),
                self.handle(id),
                self.verdict_flag(),
                Figure::new("g").holding(ports),
            ])
    }

    /// All of the card but its ports.
    fn face(&self) -> Shapes {
        let mut face = Shapes::default();
        let (x, y) = self.at;
        face.shape(
            "rect",
            &[
                ("class", &"ring"),
                ("x", &Px(x - 5.0)),
                ("y", &Px(y - 5.0)),
                ("width", &Px(card::WIDTH + 10.0)),
                ("height", &Px(self.height + 10.0)),
                ("rx", &6),
            ],
        );
        face.shape(
            "rect",
            &[
                ("class", &"ground"),
                ("x", &Px(x)),
                ("y", &Px(y)),
                ("width", &Px(card::WIDTH)),
                ("height", &Px(self.height)),
                ("rx", &3),
            ],
        );
        if self.in_light {
            self.light(&mut face);
        }
        let measures = Measures::of(self.detail);
        if self.detail.level > Level::Field {
            self.symbol(&mut face, measures);
        }
        if self.detail.level >= Level::Name {
            self.words(&mut face, measures);
        }
        if self.gone {
            let (wide, high) = (card::WIDTH, self.height);
            let cross = format!("M{x} {y}l{wide} {high}M{x} {}l{wide} -{high}", y + high);
            path(&mut face, "cross", &cross);
        }
        face
    }

    /// What shows that the step of a walk lights it up: a ring around it, and a mark on its upper edge.
    fn light(&self, face: &mut Shapes) {
        let (x, y) = self.at;
        let scale = self.detail.scale();
        let out = 5.0 * scale;
        let (wide, high) = (card::WIDTH + 2.0 * out, self.height + 2.0 * out);
        let ring = format!("M{} {}h{wide}v{high}h-{wide}z", Px(x - out), Px(y - out));
        path(face, "light-ring", &ring);
        let (side, top) = (9.0 * scale, y - out);
        let mark = format!(
            "M{} {}h{}l-{side} {side}z",
            Px(x),
            Px(top - side),
            2.0 * side
        );
        path(face, "light-mark", &mark);
    }

    fn symbol(&self, face: &mut Shapes, m: Measures) {
        let scale = m.symbol / SYMBOL;
        let left = self.at.0 + m.room + 4.0 * scale;
        let corner = (left, self.at.1 + (self.height - m.symbol) / 2.0);
        let square = (corner.0 - 4.0 * scale, corner.1 - 4.0 * scale);
        let works = if self.running.is_empty() {
            ""
        } else {
            " works"
        };
        let class = format!("symbol{works} of-{}", self.drawing);
        face.group(&[("class", &class)], |symbol| {
            if self.detail.level >= Level::Name {
                symbol.shape(
                    "rect",
                    &[
                        ("class", &"symbol-ground"),
                        ("x", &Px(square.0)),
                        ("y", &Px(square.1)),
                        ("width", &Px(48.0 * scale)),
                        ("height", &Px(48.0 * scale)),
                        ("rx", &2),
                    ],
                );
            }
            if !self.running.is_empty() {
                path(symbol, "mark", &placed(self.running, scale, corner));
            }
            path(symbol, "stroke", &placed(&self.symbol.0, scale, corner));
            if !self.symbol.1.is_empty() {
                path(symbol, "area", &placed(&self.symbol.1, scale, corner));
            }
        });
    }

    /// Name, then state and level where they have room.
    fn words(&self, face: &mut Shapes, m: Measures) {
        let room = self.height - 4.0;
        let signs = |sign: f64, wide: f64| (wide / (sign * m.text)).max(1.0) as usize;
        let most = (room / m.text) as usize;
        let mut name = name_lines(&self.name, signs(NAME_SIGN, m.wide), most.clamp(1, 2));
        // Where the name takes all the height, the mark of duties stands at its end.
        if let Some(last) = name.pop_if(|_| self.verdict.is_some() && most <= 2) {
            let beside = signs(NAME_SIGN, m.wide - 15.0 * m.scale);
            name.extend(name_lines(&last, beside, 1));
        }
        let mut high = m.text * name.len() as f64;
        let mut takes = |more: f64| {
            let fits = high + more <= room;
            high += if fits { more } else { 0.0 };
            fits
        };
        let state = self.state.text.chars().count();
        let has_state = m.text < MOST_WITH_STATE
            && (1..=signs(STATE_SIGN, m.wide - 12.0 * m.scale)).contains(&state)
            && takes(16.0 * m.scale);
        let gauge = self.gauge.filter(|_| takes(10.0));
        let left = self.at.0 + m.text_x;
        let mut y = self.at.1 + ((self.height - high) / 2.0).round();
        for line in &name {
            let base = Px(y + (0.86 * m.text).round());
            face.line(&[("class", &"name"), ("x", &Px(left)), ("y", &base)], line);
            y += m.text;
        }
        if has_state {
            self.state(face, m, (left, y));
            y += 16.0 * m.scale;
        }
        if let Some(gauge) = gauge {
            gauge.draw(face, (left, y + 3.0));
        }
    }

    /// A shape and words for what it does.
    fn state(&self, face: &mut Shapes, m: Measures, (x, y): Point) {
        let state = &self.state;
        if !state.shape.is_empty() {
            let solid = if state.solid { " solid" } else { "" };
            let shape = placed(state.shape, m.scale, (x, y + 4.0 * m.scale));
            path(face, &format!("state-shape{solid}"), &shape);
        }
        let (x, y) = (x + 12.0 * m.scale, y + (12.0 * m.scale).round());
        face.line(
            &[("class", &"state"), ("x", &Px(x)), ("y", &Px(y))],
            &state.text,
        );
    }

    /// What a pointer meets on the symbol of a switch or a button.
    fn handle(&self, id: &PartId) -> Figure {
        let handle = Figure::new("path");
        if !self.is_switch {
            return handle;
        }
        let m = Measures::of(self.detail);
        let side = m.symbol * 1.2;
        let (x, y) = (self.at.0 + m.room, self.at.1 + (self.height - side) / 2.0);
        handle
            .set("class", "throw")
            .set("data-throw", id.to_string())
            .set("d", format!("M{} {}h{side}v{side}h-{side}z", Px(x), Px(y)))
    }

    /// The mark of how its duties stand; a figure of its own, since it changes more often than the face.
    fn verdict_flag(&self) -> Figure {
        let flag = Figure::new("path");
        let Some((standing, is_old)) = self.verdict.filter(|_| self.detail.level > Level::Field)
        else {
            return flag;
        };
        let old = if is_old { " old" } else { "" };
        // From very far there is nothing beside the symbol, and the mark is all that is told of duties.
        let scale = match self.detail.level {
            Level::Symbol => 3.5,
            _ => self.detail.scale(),
        };
        let (right, low) = (self.at.0 + card::WIDTH, self.at.1 + self.height);
        let corner = (right - 15.0 * scale - 4.0, low - 14.0 * scale - 4.0);
        flag.set("class", format!("verdict-flag {}{old}", standing.word()))
            .set("d", placed(standing.mark(), scale, corner))
    }
}

fn path(to: &mut Shapes, class: &str, d: &str) {
    to.shape("path", &[("class", &class), ("d", &d)]);
}

impl Gauge {
    /// The level, with cut-out and cut-in as ticks.
    fn draw(self, face: &mut Shapes, (x, y): Point) {
        let bar = |face: &mut Shapes, class: &str, width: f64| {
            face.shape(
                "rect",
                &[
                    ("class", &class),
                    ("x", &Px(x)),
                    ("y", &Px(y)),
                    ("width", &Px(width)),
                    ("height", &6),
                ],
            );
        };
        bar(face, "gauge", GAUGE);
        bar(face, "gauge level", self.level * GAUGE);
        let (out, back) = (self.cut_out * GAUGE, self.cut_in * GAUGE);
        let (out, back, top) = (x + out, x + back, y - 1.0);
        path(
            face,
            "gauge tick",
            &format!("M{out} {top}v8M{back} {top}v4"),
        );
    }
}

impl PortView {
    /// Where the port's name begins, or ends where it is on the left: its baseline, from the port. It stands above the wire
    /// and the wire's number, which grow with `scale`.
    pub fn name_at(&self, scale: f64) -> Point {
        match self.side {
            Side::In => (-9.0, -12.0 * scale),
            Side::Out => (9.0, -12.0 * scale),
            Side::Signal => (9.0, 16.0),
        }
    }

    /// A notch on the card's edge.
    fn figure(&self, part: &PartId, card: Point, scale: f64) -> Figure {
        let (shape, anchor) = match self.side {
            Side::In => ("M0 -5H-5V5H0Z", "end"),
            Side::Out => ("M0 -5L6 0L0 5Z", "start"),
            Side::Signal => ("M-5 0A5 5 0 0 0 5 0Z", "start"),
        };
        let (dx, dy) = self.name_at(scale);
        let (x, y) = (card.0 + self.at.0, card.1 + self.at.1);
        Figure::new("g")
            .set("class", "port-group")
            .set("id", port_id(&End::new(part, &self.name)))
            .set("data-port", self.name.clone())
            .set("data-end", part.to_string())
            .set("role", "button")
            .set("tabindex", "-1")
            .set("aria-label", self.spoken.clone())
            .holding(vec![
                Figure::new("circle")
                    .set("class", "port-hit")
                    .number("cx", x)
                    .number("cy", y)
                    .set("r", "12"),
                Figure::new("path")
                    .set("class", self.class.clone())
                    .set("d", shifted(shape, (x, y))),
                Figure::new("text")
                    .set("class", "port-name")
                    .number("x", x + dx)
                    .number("y", y + dy)
                    .set("text-anchor", anchor)
                    .drawing(Shapes::text(&self.name)),
            ])
    }
}

impl WireView {
    /// The line of the wire `id`.
    pub fn line(&self, id: &WireId) -> Figure {
        let course = |class: &str| {
            Figure::new("path")
                .set("class", class.to_string())
                .set("d", self.d.clone())
        };
        let halo = if self.chosen || self.light.is_some() {
            self.d.clone()
        } else {
            String::new()
        };
        let mut arrows = Shapes::default();
        self.arrows.iter().for_each(|arrow| arrow.draw(&mut arrows));
        if let Some(mark) = &self.light {
            path(&mut arrows, "light-mark", mark);
        }
        let handles = self.handles.as_ref().map(|h| h.figures(id));
        let group = match (self.chosen, &self.light) {
            (true, None) => "wire-group chosen",
            (true, Some(_)) => "wire-group chosen in-light",
            (false, None) => "wire-group",
            (false, Some(_)) => "wire-group in-light",
        };
        let figure = Figure::new("g")
            .set("data-wire", id.to_string())
            .set("class", group);
        let hit = course("wire-hit")
            .set("role", "img")
            .set("aria-label", self.spoken.clone());
        if self.detail.level == Level::Field {
            return figure.holding(vec![course(&self.class), hit]);
        }
        figure.holding(vec![
            course("wire-under"),
            Figure::new("path").set("class", "wire-halo").set("d", halo),
            course(&self.class),
            Figure::new("g").drawing(arrows),
            hit,
            Figure::new("g").holding(handles.unwrap_or_default()),
        ])
    }

    /// What the wire `id` offers and what is taken; on a closed loop a mark. Drawn after all wires and cards, so that
    /// none of them cuts a number. A click on it means the wire.
    pub fn label(&self, id: &WireId) -> Figure {
        match &self.label {
            Some(label) => label.figure(id),
            None => Figure::new("g")
                .set("data-wire", id.to_string())
                .drawing(Shapes::default()),
        }
    }
}

impl LabelView {
    /// The label of the wire `id`.
    pub fn figure(&self, id: &WireId) -> Figure {
        Figure::new("g")
            .set("data-wire", id.to_string())
            .set("class", self.class)
            .drawing(self.shapes())
    }

    fn shapes(&self) -> Shapes {
        let mut shapes = Shapes::default();
        let (x, y) = self.at;
        if self.text.is_empty() {
            path(
                &mut shapes,
                "loop-mark",
                &format!("M{x} {}l7 12h-14z", y - 8.0),
            );
        } else {
            let left = x - self.width / 2.0;
            let lines: Vec<&str> = self.text.lines().collect();
            let high = self.size * (1.0 / 3.0 + lines.len() as f64);
            shapes.shape(
                "rect",
                &[
                    ("x", &Px(left)),
                    ("y", &Px(y - high / 2.0)),
                    ("width", &Px(self.width)),
                    ("height", &Px(high)),
                    ("rx", &2),
                ],
            );
            let mut y = y - self.size * (lines.len() as f64 - 1.0) / 2.0;
            for line in lines {
                shapes.line(&[("x", &Px(x)), ("y", &Px(y))], line);
                y += self.size;
            }
        }
        shapes
    }
}

impl Arrow {
    fn draw(&self, to: &mut Shapes) {
        let mut attributes: Vec<(&str, &dyn Display)> =
            vec![("class", &self.class), ("d", &self.d)];
        if let Some(style) = &self.style {
            attributes.push(("style", style));
        }
        to.shape("path", &attributes);
    }
}

impl Handles {
    fn figures(&self, id: &WireId) -> Vec<Figure> {
        let handle = |class: &'static str, (x, y): Point, circle: &'static str, r: &'static str| {
            let round = |class: &'static str, r: &'static str| {
                Figure::new("circle")
                    .set("class", class)
                    .number("cx", x)
                    .number("cy", y)
                    .set("r", r)
            };
            Figure::new("g")
                .set("class", class)
                .set("data-wire", id.to_string())
                .holding(vec![round("port-hit", "12"), round(circle, r)])
        };
        let bends = self.bends.iter().enumerate().map(|(i, at)| {
            handle("bend", *at, "handle", "5")
                .set("data-bend", i.to_string())
                .set("role", "button")
                .set("tabindex", "0")
                .set("aria-label", format!("Bend {}", i + 1))
        });
        let new = (self.new.iter()).map(|(i, at)| {
            handle("bend new", *at, "handle new", "3.5").set("data-new", i.to_string())
        });
        bends.chain(new).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::editor::{Editor, Message};
    use crate::plan::{Edit, examples, read_plan};

    /// All numbers of the attributes `names` in markup, in its order.
    fn numbers(markup: &str, names: &[&str]) -> Vec<f64> {
        let attributes = markup.split([' ', '<', '>']);
        let values = attributes.filter_map(|a| a.strip_suffix('"')?.split_once("=\""));
        let wanted = values.filter(|(name, _)| names.contains(name));
        wanted.map(|(_, value)| value.parse().unwrap()).collect()
    }

    #[test]
    fn all_of_a_card_and_nothing_but_places_moves_with_it() {
        let plan = read_plan(examples()[0].1).unwrap();
        let mut editor = Editor::default();
        editor.apply(Message::Resize(1200.0, 800.0));
        editor.apply(Message::Open {
            plan: Box::new(plan.clone()),
            keeps_moment: false,
        });
        // Near enough for ports.
        editor.apply(Message::Zoom(3.0, None));
        let by = (-40.0, 1600.0);
        for part in &plan.parts {
            let id = &part.id;
            let written = |editor: &Editor| {
                let mut markup = String::new();
                let card = editor.card(id).unwrap();
                card.figure(id).write(&mut markup);
                (card.at, markup)
            };
            let ((x, y), before) = written(&editor);
            let edits = vec![Edit::MovePart(id.clone(), Some((x + by.0, y + by.1)))];
            let says = "move".into();
            editor.apply(Message::Commit { says, edits });
            let (_, after) = written(&editor);
            for (names, by) in [(["x", "cx"], by.0), (["y", "cy"], by.1)] {
                let (before, after) = (numbers(&before, &names), numbers(&after, &names));
                assert!(before.len() >= 8, "{before:?}");
                let moved: Vec<f64> = before.iter().map(|v| v + by).collect();
                assert_eq!(after, moved, "{id} {names:?}");
            }
            for tag in ["<circle", "<rect", "<text"] {
                for shape in before.split(tag).skip(1) {
                    let shape = shape.split('>').next().unwrap();
                    assert_eq!(numbers(shape, &["x", "cx"]).len(), 1, "{tag}{shape}");
                    assert_eq!(numbers(shape, &["y", "cy"]).len(), 1, "{tag}{shape}");
                }
            }
        }
    }
}
