//! The whole board as one picture, for paper: what stands on it at the moment shown, drawn as from near.

use super::{Detail, WireView};
use crate::editor::Editor;
use crate::editor::view::{around, grown};
use crate::plan::WireId;
use crate::sheet::figure::{Content, Figure, Px};

/// The paper left around what is drawn, in pixels of the board.
const MARGIN: f64 = 24.0;

/// What only somebody at a screen needs: a picture may stand beside the board, and has no second of what is named once.
const OF_THE_SCREEN: [&str; 6] = [
    "id",
    "tabindex",
    "role",
    "aria-label",
    "aria-roledescription",
    "data-throw",
];

impl Editor {
    /// The board as markup of an SVG of its own, none where nothing stands on it. Nothing in it moves. It has the classes of
    /// the board, and so needs its style sheet.
    pub fn picture(&self) -> Option<String> {
        let board = self.board();
        let rects = board.parts.iter().filter_map(|part| {
            let card = self.card_from(&part.id, Detail::NEAR)?;
            Some((card.at.0, card.at.1, crate::sheet::card::WIDTH, card.height))
        });
        let courses = self.geometry.courses();
        let bends = board
            .wires
            .iter()
            .filter_map(|wire| courses.course(&wire.id));
        let bends = bends.flatten().map(|(x, y)| (*x, *y, 0.0, 0.0));
        let (x, y, wide, high) = grown(around(rects.chain(bends))?, (MARGIN, MARGIN));
        let wires = self.wires_in_picture();
        let cards = board.parts.iter();
        let cards = cards.filter_map(|p| Some(self.card_from(&p.id, Detail::NEAR)?.figure(&p.id)));
        let figures = (wires.iter().map(|(id, wire)| wire.line(id)))
            .chain(wires.iter().map(|(id, wire)| wire.label(id)))
            .chain(cards);
        let svg = Figure::new("svg")
            .set(
                "viewBox",
                format!("{} {} {} {}", Px(x), Px(y), Px(wide), Px(high)),
            )
            .set("class", "picture")
            .holding(figures.map(plain).collect());
        let mut markup = String::new();
        svg.write(&mut markup);
        Some(markup)
    }

    /// All wires as from near, with the numbers that have a clear place.
    fn wires_in_picture(&self) -> Vec<(&WireId, WireView)> {
        let wires = || self.board().wires.iter().map(|wire| &wire.id);
        let mut courses = self.geometry.courses().clone();
        for id in wires() {
            courses.put_number(id, Some(self.number_size(id, Detail::NEAR)));
        }
        courses.settle_numbers();
        let view = |id| self.wire_in_picture(id, courses.number(id));
        wires().filter_map(|id| Some((id, view(id)?))).collect()
    }
}

/// Without what only somebody at a screen needs.
fn plain(mut figure: Figure) -> Figure {
    figure
        .attributes
        .retain(|(name, _)| !OF_THE_SCREEN.contains(name));
    if let Content::Figures(figures) = figure.content {
        figure.content = Content::Figures(figures.into_iter().map(plain).collect());
    }
    figure
}

#[cfg(test)]
mod tests {
    use crate::editor::view::meet;
    use crate::editor::{Editor, Message};
    use crate::plan::{examples, read_plan};

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
                near.matches("class=\"wire-hit\"").count(),
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
            let editor = Editor::new(read_plan(text).expect("an example reads"));
            let wires = editor.wires_in_picture();
            let told: Vec<_> = (wires.iter())
                .filter_map(|(id, wire)| Some((*id, wire.label.as_ref()?)))
                .map(|(id, label)| {
                    let (w, h) = (label.width, label.size * 4.0 / 3.0);
                    (id, (label.at.0 - w / 2.0, label.at.1 - h / 2.0, w, h))
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
                for (other, _) in wires.iter().filter(|(other, _)| other != id) {
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
