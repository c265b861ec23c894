//! Runs as shapes: their lines, marks where they leave, numbers, and handles on the bends of those that are chosen.

use super::places::Point;
use super::run_numbers::{KeptClear, numbers};
use super::runs::DrawnRun;
use crate::plan::WireId;
use crate::sheet::figure::{Px, Shapes};
use std::fmt::Write;

/// Draws the runs, with numbers that keep `clear` of something. `chosen`: those whose line is marked, with handles on their
/// bends.
pub fn draw_runs(
    shapes: &mut Shapes,
    runs: &[DrawnRun],
    clear: KeptClear,
    chosen: &dyn Fn(&WireId) -> bool,
) {
    for run in runs {
        let class = if chosen(&run.wire) {
            "site-run chosen"
        } else {
            "site-run"
        };
        shapes.group(&[("class", &class), ("data-wire", &run.wire)], |group| {
            for piece in &run.pieces {
                let d = path(&piece.points);
                group.shape("path", &[("class", &"site-run-halo"), ("d", &d)]);
                let class = if piece.exposed {
                    "site-line exposed"
                } else {
                    "site-line"
                };
                group.shape("path", &[("class", &class), ("d", &d)]);
                group.shape(
                    "path",
                    &[
                        ("class", &"site-run-hit"),
                        ("d", &d),
                        ("data-run", &piece.bend),
                    ],
                );
            }
            for leaving in &run.leaves {
                let (x, y) = leaving.at;
                let d = match leaving.up {
                    true => format!("M{} {}l5 9h-10z", Px(x), Px(y - 5.0)),
                    false => format!("M{} {}l5 -9h-10z", Px(x), Px(y + 5.0)),
                };
                let class = if leaving.exposed {
                    "site-leaves exposed"
                } else {
                    "site-leaves"
                };
                group.shape("path", &[("class", &class), ("d", &d)]);
            }
        });
    }
    numbers(shapes, runs, clear);
    bends(shapes, runs, chosen);
}

/// Handles on the bends of the runs that are chosen.
fn bends(shapes: &mut Shapes, runs: &[DrawnRun], chosen: &dyn Fn(&WireId) -> bool) {
    for run in runs.iter().filter(|run| chosen(&run.wire)) {
        for (index, (x, y)) in &run.bends {
            shapes.group(
                &[
                    ("class", &"site-bend"),
                    ("data-bend", index),
                    ("data-wire", &run.wire),
                ],
                |group| {
                    group.shape(
                        "circle",
                        &[("class", &"site-hit"), ("cx", &Px(*x)), ("cy", &Px(*y))],
                    );
                    group.shape(
                        "rect",
                        &[
                            ("class", &"handle"),
                            ("x", &Px(x - 5.0)),
                            ("y", &Px(y - 5.0)),
                            ("width", &10),
                            ("height", &10),
                        ],
                    );
                },
            );
        }
    }
}

fn path(points: &[Point]) -> String {
    let mut d = String::new();
    for (at, (x, y)) in points.iter().enumerate() {
        let command = if at == 0 { 'M' } else { 'L' };
        // Writing to a string does not fail.
        let _ = write!(d, "{command}{} {}", Px(*x), Px(*y));
    }
    d
}
