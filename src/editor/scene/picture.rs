//! The whole board as one picture, for paper: what stands on it at the moment shown, drawn as from near.

use super::wire::NUMBERS;
use super::{Detail, LabelView, Level, Told};
use crate::editor::Editor;
use crate::editor::view::{Point, Rect, around, grown};
use crate::plan::{PartId, WireId};
use crate::sheet::figure::{Content, Figure, Px, Shapes};
use std::collections::BTreeMap;

/// The paper left around what is drawn, in pixels of the board.
const MARGIN: f64 = 24.0;

/// What only somebody at a screen needs: a picture may stand beside the board, and has no second of what is named once.
const OF_THE_SCREEN: [&str; 8] = [
    "id",
    "tabindex",
    "role",
    "aria-label",
    "aria-roledescription",
    "data-throw",
    "data-port",
    "data-end",
];

/// The classes of what only a pointer meets or asks for.
const FOR_A_POINTER: [&str; 5] = ["wire-hit", "wire-halo", "port-hit", "port-name", "throw"];

/// How what is told of a wire stands in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NumberForm {
    /// The cable's number and what it carries in one line.
    OneLine,
    /// The one over the other.
    TwoLines,
    /// What it carries alone.
    Carries,
    /// The cable's number alone.
    Cable,
}

impl NumberForm {
    /// All forms, the best first.
    const ALL: [NumberForm; 4] = [
        NumberForm::OneLine,
        NumberForm::TwoLines,
        NumberForm::Carries,
        NumberForm::Cable,
    ];

    /// What is written, in lines; nothing where that is no form of its own.
    fn text(self, told: &Told) -> Option<String> {
        let has_both = told.cable.is_some() && !told.carries.is_empty();
        let cable = told.cable.as_deref().filter(|_| has_both);
        match self {
            NumberForm::OneLine => Some(told.in_one()),
            NumberForm::TwoLines => Some(format!("{}\n{}", cable?, told.carries)),
            NumberForm::Carries => cable.map(|_| told.carries.clone()),
            NumberForm::Cable => cable.map(str::to_string),
        }
    }
}

/// Where the number of a wire stands in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NumberPlace {
    /// Its middle.
    pub at: Point,
    /// The room that it has across.
    pub width: f64,
    /// How it is written.
    pub form: NumberForm,
}

/// Width and height of a number in a picture, nearer to what it takes than the board has time for: signs are counted by how
/// wide they are in a wide sans serif, with room to spare in ours.
fn size(text: &str, detail: Detail) -> (f64, f64) {
    let sign = |c: char| match c {
        '#' => 8.5,
        '0'..='9' => 7.4,
        _ => 4.4,
    };
    let wide = |line: &str| line.chars().map(sign).sum::<f64>() + 6.0;
    let width = text.lines().map(wide).fold(8.0, f64::max);
    let lines = text.lines().count().max(1);
    let height = NUMBERS * (1.0 / 3.0 + lines as f64);
    (width * detail.scale(), height * detail.scale())
}

impl Editor {
    /// The board as markup of an SVG of its own, none where nothing stands on it. Nothing in it moves. It has the classes of
    /// the board, and so needs its style sheet.
    pub fn picture(&self) -> Option<String> {
        let (x, y, wide, high) = self.picture_area()?;
        let svg = Figure::new("svg")
            .set(
                "viewBox",
                format!("{} {} {} {}", Px(x), Px(y), Px(wide), Px(high)),
            )
            .set("class", "picture")
            .holding(self.picture_figures(Detail::NEAR));
        let mut markup = String::new();
        svg.write(&mut markup);
        Some(markup)
    }

    /// Left, top, width and height of a picture of the board; none where nothing stands on it.
    pub fn picture_area(&self) -> Option<Rect> {
        let parts = self.board().parts.iter();
        let rects = parts.filter_map(|part| self.geometry.rect(&part.id));
        let courses = self.geometry.courses();
        let wires = self.board().wires.iter();
        let bends = wires.filter_map(|wire| courses.course(&wire.id)).flatten();
        let bends = bends.map(|(x, y)| (*x, *y, 0.0, 0.0));
        Some(grown(around(rects.chain(bends))?, (MARGIN, MARGIN)))
    }

    /// All that stands on the board, as from so near: wires, their numbers, cards over both.
    pub fn picture_figures(&self, detail: Detail) -> Vec<Figure> {
        let places = self.number_places(detail, &BTreeMap::new());
        let ids = || self.board().wires.iter().map(|wire| &wire.id);
        let lines = ids().filter_map(|id| self.wire_figure(id, detail));
        let labels = ids().filter_map(|id| {
            let place = places.get(id)?;
            Some(number_figure(id, &self.told_of_wire(id), place, detail))
        });
        let parts = self.board().parts.iter();
        let cards = parts.filter_map(|part| self.card_figure(&part.id, detail));
        lines.chain(labels).chain(cards).collect()
    }

    /// A part's card in a picture.
    pub fn card_figure(&self, id: &PartId, detail: Detail) -> Option<Figure> {
        Some(plain(self.card_from(id, detail)?.figure(id)))
    }

    /// A wire in a picture, without its number.
    pub fn wire_figure(&self, id: &WireId, detail: Detail) -> Option<Figure> {
        Some(plain(self.wire_in_picture(id, detail)?.line(id)))
    }

    /// The clear places of the numbers of wires, each in the best form that has one. `widest`: what is to be told of a wire at
    /// the most, where that is more than now.
    pub fn number_places(
        &self,
        detail: Detail,
        widest: &BTreeMap<WireId, Told>,
    ) -> BTreeMap<WireId, NumberPlace> {
        let mut places = BTreeMap::new();
        if detail.level < Level::Name {
            return places;
        }
        let mut courses = self.geometry.courses().clone();
        let ids = || self.board().wires.iter().map(|wire| &wire.id);
        let told = |id| match widest.get(id) {
            Some(told) => told.clone(),
            None => self.told_of_wire(id),
        };
        for form in NumberForm::ALL {
            let left: Vec<&WireId> = ids().filter(|id| !places.contains_key(*id)).collect();
            let size = |id| form.text(&told(id)).map(|text| size(&text, detail));
            for id in &left {
                courses.put_number(id, size(id));
            }
            courses.settle_numbers();
            for id in left {
                if let Some((at, (width, _))) = courses.number(id).zip(size(id)) {
                    places.insert(id.clone(), NumberPlace { at, width, form });
                }
            }
        }
        places
    }
}

/// What is told of a wire at its place in a picture.
pub fn number_figure(id: &WireId, told: &Told, place: &NumberPlace, detail: Detail) -> Figure {
    let text = place.form.text(told).unwrap_or_else(|| told.in_one());
    let label = LabelView {
        text,
        at: place.at,
        width: place.width,
        size: NUMBERS * detail.scale(),
        class: "wire-label",
    };
    plain(label.figure(id))
}

/// Without what only somebody at a screen needs.
fn plain(mut figure: Figure) -> Figure {
    figure
        .attributes
        .retain(|(name, _)| !OF_THE_SCREEN.contains(name));
    if let Content::Figures(figures) = figure.content {
        let figures = figures.into_iter().map(plain);
        let shown = figures.filter(|figure| !is_for_a_pointer(figure) && !is_empty(figure));
        figure.content = Content::Figures(shown.collect());
    }
    figure
}

fn is_for_a_pointer(figure: &Figure) -> bool {
    let class = figure.attributes.iter().find(|(name, _)| *name == "class");
    class.is_some_and(|(_, class)| FOR_A_POINTER.contains(&class.as_ref()))
}

/// Whether nothing of it is seen: a group with nothing in it, or a place kept for a shape.
fn is_empty(figure: &Figure) -> bool {
    let has_nothing = match &figure.content {
        Content::Figures(figures) => figures.is_empty(),
        Content::Shapes(shapes) => *shapes == Shapes::default(),
    };
    has_nothing && (figure.tag == "g" || figure.attributes.is_empty())
}

#[cfg(test)]
mod tests {
    use crate::editor::scene::{Detail, NumberForm};
    use crate::editor::view::meet;
    use crate::editor::{Editor, Message};
    use crate::plan::{examples, read_plan};
    use std::collections::BTreeMap;

    #[test]
    fn a_picture_has_every_part_and_wire_wherever_the_view_is() {
        for (name, text) in examples() {
            let plan = read_plan(text).expect("an example reads");
            let mut editor = Editor::default();
            editor.apply(Message::Open {
                plan: Box::new(plan.clone()),
                keeps_moment: false,
            });
            let near = editor.picture().expect("something stands on the board");
            editor.apply(Message::Zoom(0.01, None));
            assert_eq!(editor.picture().as_deref(), Some(near.as_str()), "{name}");
            assert_eq!(
                near.matches("data-part=").count(),
                plan.parts.len(),
                "{name}"
            );
            assert_eq!(
                near.matches("class=\"wire-group\"").count(),
                plan.wires.len(),
                "{name}"
            );
            for forbidden in [" id=", "tabindex", "offset-path"] {
                assert!(!near.contains(forbidden), "{name}: {forbidden}");
            }
        }
        assert_eq!(Editor::default().picture(), None);
    }

    #[test]
    fn numbers_of_a_picture_cover_no_wire_no_card_and_no_other_number() {
        for (name, text) in examples() {
            let mut editor = Editor::new(read_plan(text).expect("an example reads"));
            editor.apply(Message::NumberCables(true));
            let wires = &editor.plan().wires;
            let places = editor.number_places(Detail::NEAR, &BTreeMap::new());
            let told: Vec<_> = (places.iter())
                .map(|(id, place)| {
                    let lines = if place.form == NumberForm::TwoLines {
                        2.0
                    } else {
                        1.0
                    };
                    let (w, h) = (place.width, 4.0 + 12.0 * lines);
                    (id, (place.at.0 - w / 2.0, place.at.1 - h / 2.0, w, h))
                })
                .collect();
            assert!(told.len() * 4 >= wires.len() * 3, "{name}: {}", told.len());
            for (i, (id, area)) in told.iter().enumerate() {
                for (other, taken) in &told[..i] {
                    assert!(!meet(*area, *taken), "{name}: {id} on {other}");
                }
                for part in &editor.plan().parts {
                    let card = editor.card_rect(&part.id).expect("a card");
                    assert!(!meet(*area, card), "{name}: {id} on {}", part.id);
                }
                for other in wires.iter().map(|w| &w.id).filter(|other| other != id) {
                    let course = editor.geometry.courses().course(other).expect("a course");
                    let on = course.windows(2).any(|p| {
                        let (x, y) = (p[0].0.min(p[1].0), p[0].1.min(p[1].1));
                        meet(
                            *area,
                            (x, y, (p[0].0 - p[1].0).abs(), (p[0].1 - p[1].1).abs()),
                        )
                    });
                    assert!(!on, "{name}: {id} on the wire {other}");
                }
            }
        }
    }
}
