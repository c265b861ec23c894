//! What lies over a storey: rings around what is chosen, faces that take the part in hand, what a drag would
//! draw, where the keyboard is.

use super::runs::SiteRuns;
use crate::editor::{Drawing, Editor, SiteTool};
use crate::page::store::Store;
use crate::plan::Plan;
use crate::sheet::figure::{Px, Shapes};
use crate::sheet::site::parts::hung;
use crate::sheet::site::places::{BOX, Point, cell_rect, part_place, side_line};
use crate::site::{Edge, Face, Mark, Patch, Site, Surface};
use leptos::prelude::*;
use std::collections::BTreeSet;

/// What lies over the storey that is shown. Tracked.
pub fn over(store: Store, site: SiteRuns) -> Shapes {
    store.revision();
    store.site_changes();
    let (chosen, focus) = (store.selection().get(), store.hover().get());
    let mut shapes = Shapes::default();
    let Some(drawn) = site.drawn().get() else {
        return shapes;
    };
    store.with(|editor| {
        let state = editor.site();
        if state.drawing() != Drawing::Site {
            return;
        }
        if let SiteTool::Room(at) = state.tool() {
            room_cells(&mut shapes, &drawn, state.storey(), at);
        }
        if let Some(hand) = state.hand() {
            takers(&mut shapes, editor.plan(), &drawn, state.storey(), editor);
            if let Some(face) = hand.over {
                ring(&mut shapes, part_place(face, false), "site-ring over");
            }
        }
        if let Some(face) = state.leading().and_then(|leading| leading.over) {
            ring(&mut shapes, part_place(face, false), "site-ring over");
        }
        for part in hung(editor.plan(), state.storey()) {
            if chosen.parts.contains(&part.id) {
                ring(&mut shapes, part.at, "site-ring");
            } else if focus.as_ref() == Some(&part.id) {
                ring(&mut shapes, part.at, "site-ring hovered");
            }
        }
        state
            .marks()
            .iter()
            .for_each(|patch| mark(&mut shapes, *patch));
        cursor(&mut shapes, editor);
    });
    shapes
}

fn ring(shapes: &mut Shapes, (x, y): Point, class: &'static str) {
    let half = BOX / 2.0 + 3.0;
    shapes.shape(
        "rect",
        &[
            ("class", &class),
            ("x", &Px(x - half)),
            ("y", &Px(y - half)),
            ("width", &Px(2.0 * half)),
            ("height", &Px(2.0 * half)),
            ("rx", &4),
        ],
    );
}

/// Marks every face of the storey that takes the part in hand.
fn takers(shapes: &mut Shapes, plan: &Plan, site: &Site, storey: u8, editor: &Editor) {
    let part = editor.site().hand().and_then(|hand| plan.part(&hand.part));
    let Some(part) = part else { return };
    let others = plan.parts.iter().filter(|other| other.id != part.id);
    let taken: BTreeSet<Face> = others.filter_map(|other| other.hangs).collect();
    let cells = site.cells().filter(|(s, ..)| *s == storey);
    for (s, x, y) in cells {
        for surface in Surface::ALL {
            let face = Face::new(s, x, y, surface);
            if plan.unfit(part, face).is_none() && !taken.contains(&face) {
                let (px, py) = part_place(face, false);
                shapes.shape(
                    "rect",
                    &[
                        ("class", &"site-takes"),
                        ("x", &Px(px - BOX / 2.0)),
                        ("y", &Px(py - BOX / 2.0)),
                        ("width", &Px(BOX)),
                        ("height", &Px(BOX)),
                        ("rx", &3),
                    ],
                );
            }
        }
    }
}

fn room_cells(shapes: &mut Shapes, site: &Site, storey: u8, at: u8) {
    let cells = site
        .cells()
        .filter(|(s, x, y)| *s == storey && site.cell(*s, *x, *y).room == Some(at));
    cells.for_each(|(_, x, y)| cell(shapes, (x, y), "site-of-room"));
}

fn cell(shapes: &mut Shapes, (x, y): (u8, u8), class: &'static str) {
    let (left, top, wide, high) = cell_rect(x, y);
    shapes.shape(
        "rect",
        &[
            ("class", &class),
            ("x", &Px(left)),
            ("y", &Px(top)),
            ("width", &Px(wide)),
            ("height", &Px(high)),
        ],
    );
}

/// A mark that a drag would draw.
fn mark(shapes: &mut Shapes, patch: Patch) {
    match patch.mark {
        Mark::Edge(side, edge) => {
            let (a, b) = side_line(patch.x, patch.y, side);
            let class = match edge {
                Edge::Open => "site-mark line away",
                _ => "site-mark line",
            };
            let d = format!("M{} {}L{} {}", Px(a.0), Px(a.1), Px(b.0), Px(b.1));
            shapes.shape("path", &[("class", &class), ("d", &d)]);
        }
        Mark::Ground(..) | Mark::Room(_) => cell(shapes, (patch.x, patch.y), "site-mark"),
    }
}

/// Where the keyboard is.
fn cursor(shapes: &mut Shapes, editor: &Editor) {
    let state = editor.site();
    let Some(at) = state.cursor() else { return };
    cell(shapes, (at.x, at.y), "site-cursor");
    if state.tool().is_of_sides() && at.surface.is_wall() {
        let (a, b) = side_line(at.x, at.y, at.surface);
        let d = format!("M{} {}L{} {}", Px(a.0), Px(a.1), Px(b.0), Px(b.1));
        shapes.shape("path", &[("class", &"site-cursor side"), ("d", &d)]);
    }
}
