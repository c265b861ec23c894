//! Parts as they hang in a storey: the symbol in a box at its place, and its name where one is near enough.

use super::places::{BOX, Point, part_place};
use crate::plan::{Part, PartId, Plan};
use crate::sheet::figure::{Px, Shapes};
use crate::sheet::path_data::placed;
use crate::sheet::symbol;
use crate::site::{Face, Surface};
use std::collections::BTreeSet;

/// A part at its place in the drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct HungPart {
    /// The part.
    pub id: PartId,
    /// Its face.
    pub face: Face,
    /// The middle of its box.
    pub at: Point,
}

/// The parts that hang in a storey, in the plan's order.
pub fn hung(plan: &Plan, storey: u8) -> Vec<HungPart> {
    let here: Vec<(&Part, Face)> = plan
        .parts
        .iter()
        .filter_map(|part| Some((part, part.hangs?)))
        .filter(|(_, face)| face.storey == storey)
        .collect();
    let in_middle: BTreeSet<(u8, u8, u8)> = here
        .iter()
        .filter(|(_, face)| matches!(face.surface, Surface::Floor | Surface::Furniture))
        .map(|(_, face)| face.cell())
        .collect();
    here.into_iter()
        .map(|(part, face)| HungPart {
            id: part.id.clone(),
            face,
            at: part_place(face, in_middle.contains(&face.cell())),
        })
        .collect()
}

/// Adds one part. `conducts`: how its contact stands; `state`: a class for what it does.
pub fn draw(
    shapes: &mut Shapes,
    plan: &Plan,
    part: &HungPart,
    conducts: Option<bool>,
    state: &str,
) {
    let kind = plan.part(&part.id).and_then(|p| plan.kind_of(p));
    let symbol_name = kind.map_or("", |kind| kind.symbol.as_str());
    let (x, y) = part.at;
    let (left, top) = (x - BOX / 2.0, y - BOX / 2.0);
    let place = match part.face.surface {
        Surface::Ceiling => " ceiling",
        Surface::Floor | Surface::Furniture => " standing",
        _ => "",
    };
    let class = format!("site-part{place} {state} of-{symbol_name}");
    shapes.group(&[("class", &class), ("data-part", &part.id)], |group| {
        group.shape(
            "circle",
            &[("class", &"site-hit"), ("cx", &Px(x)), ("cy", &Px(y))],
        );
        group.shape(
            "rect",
            &[
                ("class", &"site-box"),
                ("x", &Px(left)),
                ("y", &Px(top)),
                ("width", &Px(BOX)),
                ("height", &Px(BOX)),
                ("rx", &2),
            ],
        );
        group.group(&[("class", &"symbol")], |symbols| {
            // A drawing is 40 by 40; a pixel is left free around it.
            let scale = (BOX - 3.0) / 40.0;
            for stroke in symbol::paths(symbol_name, conducts) {
                let d = placed(&stroke.d, scale, (left + 1.5, top + 1.5));
                let class = if stroke.filled { "area" } else { "stroke" };
                symbols.shape("path", &[("class", &class), ("d", &d)]);
            }
        });
        let name = plan.called(&part.id);
        let text = [
            ("class", &"site-name" as &dyn std::fmt::Display),
            ("x", &Px(x)),
            ("y", &Px(top + BOX + 3.0)),
        ];
        group.line(&text, &name);
    });
}
