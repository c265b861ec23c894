//! What hands are doing on the board just now: joining a wire, drawing a marquee, renaming. Nothing of it is in the plan.

use crate::book::Side;
use crate::editor::layout::{self, Rect};
use crate::net::Weight;
use crate::page::store::Store;
use crate::plan::{Edit, End, PartId, Plan, Wire, WireId};
use crate::sheet::card;
use crate::sheet::route;
use leptos::prelude::*;
use leptos::svg::Svg;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// A wire in the making.
#[derive(Clone, Debug, PartialEq)]
pub struct Joining {
    /// Where it begins.
    pub from: End,
    /// The place of its beginning.
    pub at: (f64, f64),
    /// Every port that can take it, with its place and whether it has a wire already.
    pub takes: BTreeMap<End, ((f64, f64), bool)>,
}

/// The question whether a new wire may take the place of others.
#[derive(Clone, Debug, PartialEq)]
pub struct Asking {
    /// The new wire's output.
    pub from: End,
    /// Its input.
    pub to: End,
    /// The wires it would replace.
    pub wires: Vec<WireId>,
}

/// What is wrong at the moment shown, for marks on the board.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wrong {
    /// The parts concerned.
    pub parts: BTreeSet<PartId>,
    /// The wires concerned.
    pub wires: BTreeSet<WireId>,
}

/// A place of the board.
pub type Point = (f64, f64);
/// The corners of a wire's course.
pub type Points = Vec<Point>;
/// The cards' rectangles, by part.
pub type Boxes = Arc<Vec<(PartId, route::Box)>>;

/// The board's own state. Cheap to copy; provided by the board's context.
#[derive(Clone, Copy)]
pub struct Hands {
    /// The page's state.
    pub store: Store,
    /// The drawing itself.
    pub svg: NodeRef<Svg>,
    /// The wire in the making.
    pub joining: RwSignal<Option<Joining>>,
    /// Its loose end.
    pub loose: RwSignal<(f64, f64)>,
    /// The port that would take it now.
    pub target: RwSignal<Option<End>>,
    /// The question that stands.
    pub asking: RwSignal<Option<Asking>>,
    /// The marquee.
    pub marquee: RwSignal<Option<Rect>>,
    /// Whether a drag on empty paper draws a marquee rather than move the paper.
    pub marquee_mode: RwSignal<bool>,
    /// The part whose name is being written.
    pub renaming: RwSignal<Option<PartId>>,
    /// Whether the keys are being explained.
    pub help: RwSignal<bool>,
    /// The cards' rectangles at the last commit.
    pub boxes: Memo<Boxes>,
    /// What is wrong.
    pub wrong: Memo<Wrong>,
    /// The wires' courses, for whoever draws something along them.
    pub courses: StoredValue<BTreeMap<WireId, ArcMemo<Points>>>,
    /// The ports that have a wire.
    pub wired: Memo<Arc<BTreeSet<End>>>,
}

impl Hands {
    /// Idle hands. Call it in the board's component.
    pub fn new(store: Store) -> Hands {
        let problems = store.problems();
        Hands {
            store,
            svg: NodeRef::new(),
            joining: RwSignal::new(None),
            loose: RwSignal::new((0.0, 0.0)),
            target: RwSignal::new(None),
            asking: RwSignal::new(None),
            marquee: RwSignal::new(None),
            marquee_mode: RwSignal::new(false),
            renaming: RwSignal::new(None),
            help: RwSignal::new(false),
            boxes: Memo::new(move |_| {
                store.shown();
                store.with_board(boxes)
            }),
            wrong: Memo::new(move |_| {
                let mut wrong = Wrong::default();
                problems.with(|all| {
                    for p in all.iter().filter(|p| p.weight != Weight::Hint) {
                        wrong.parts.extend(p.parts.iter().cloned());
                        wrong.wires.extend(p.wires.iter().cloned());
                    }
                });
                wrong
            }),
            courses: StoredValue::new(BTreeMap::new()),
            wired: Memo::new(move |_| {
                store.revision();
                store.with_plan(|plan| {
                    let ends = plan.wires.iter().flat_map(|w| [&w.from, &w.to]);
                    Arc::new(ends.cloned().collect())
                })
            }),
        }
    }

    /// Begins a wire at `from`.
    pub fn begin(self, from: &End) {
        let begun = self.store.with_plan(|plan| joining(plan, from));
        if let Some(joining) = begun {
            self.loose.set(joining.at);
            self.target.set(None);
            if joining.takes.is_empty() {
                self.store
                    .notice("No port on the board can take this wire.".into());
            }
            self.joining.set(Some(joining));
        }
    }

    /// Lets go of the wire in the making, and of the question.
    pub fn let_go(self) {
        self.joining.set(None);
        self.target.set(None);
        self.asking.set(None);
    }

    /// The nearest port to a place that can take the wire in the making, at most `reach` away.
    pub fn nearest(self, at: (f64, f64), reach: f64) -> Option<End> {
        self.joining.with_untracked(|joining| {
            let far = |p: (f64, f64)| (p.0 - at.0).hypot(p.1 - at.1);
            let takes = &joining.as_ref()?.takes;
            let best = takes
                .iter()
                .min_by(|a, b| far(a.1.0).total_cmp(&far(b.1.0)));
            best.filter(|(_, (p, _))| far(*p) <= reach)
                .map(|(end, _)| end.clone())
        })
    }

    /// Ends the wire in the making at `end`; asks first where a wire would have to go.
    pub fn finish(self, end: &End) {
        let Some(joining) = self.joining.get_untracked() else {
            return;
        };
        let ends = self.store.with_plan(|plan| plan.joins(&joining.from, end));
        let Some((from, to)) = ends.filter(|_| joining.takes.contains_key(end)) else {
            self.store.notice(
                "These two ports do not go together: a wire leads from an output to an input or a signal.".into(),
            );
            return;
        };
        let wires = self.store.with_plan(|plan| taken(plan, &from, &to));
        self.joining.set(None);
        self.target.set(None);
        if wires.is_empty() {
            self.wire(&from, &to, &[]);
        } else {
            self.asking.set(Some(Asking { from, to, wires }));
        }
    }

    /// Draws the wire that was asked about.
    pub fn replace(self) {
        if let Some(Asking { from, to, wires }) = self.asking.get_untracked() {
            self.asking.set(None);
            self.wire(&from, &to, &wires);
        }
    }

    fn wire(self, from: &End, to: &End, instead: &[WireId]) {
        let id = self.store.new_wire_id();
        let edits = self.store.with_plan(|plan| {
            let mut edits = plan.removal(&[], instead);
            let last = plan.wires.len() - instead.len();
            edits.push(Edit::AddWire(last, Wire::new(id, from.clone(), to.clone())));
            edits
        });
        let said = self.store.with_plan(|plan| {
            format!(
                "{} {} to {} {}",
                plan.called(&from.part),
                from.port,
                plan.called(&to.part),
                to.port
            )
        });
        if self.store.commit(&format!("wire {said}"), edits) {
            self.store.notice(format!("Wired {said}."));
        }
    }

    /// Puts the keyboard on the element with this id.
    pub fn focus_on(self, id: String) {
        // After the next drawing, so that what was just added is there.
        request_animation_frame(move || {
            use wasm_bindgen::JsCast;
            if let Some(element) = document().get_element_by_id(&id) {
                let element: web_sys::SvgElement = element.unchecked_into();
                let _ = element.focus();
            }
        });
    }
}

/// The id of a part's card in the page.
pub fn card_id(part: &PartId) -> String {
    format!("part:{part}")
}

/// The id of a port in the page.
pub fn port_id(end: &End) -> String {
    format!("port:{end}")
}

/// The place of a port on the board.
pub fn port_at(plan: &Plan, end: &End) -> Option<((f64, f64), Side)> {
    let part = plan.part(&end.part)?;
    let (x, y) = part.at?;
    let places = card::places(&view::ports(plan, part));
    let place = places.into_iter().find(|p| p.name == end.port)?;
    Some(((x + place.x, y + place.y), place.side))
}

/// The name of a port's side.
pub fn side_word(side: Side) -> &'static str {
    match side {
        Side::In => "input",
        Side::Out => "output",
        Side::Signal => "signal",
    }
}

fn boxes(plan: &Plan) -> Boxes {
    let all = plan.parts.iter().map(|part| {
        let (x, y, w, h) = view::rect(plan, part);
        (part.id.clone(), route::Box { x, y, w, h })
    });
    Arc::new(all.collect())
}

fn joining(plan: &Plan, from: &End) -> Option<Joining> {
    let (at, side) = port_at(plan, from)?;
    let taken: BTreeSet<&End> = plan.wires.iter().flat_map(|w| [&w.from, &w.to]).collect();
    let mut takes = BTreeMap::new();
    for part in &plan.parts {
        let (x, y) = part.at.unwrap_or_default();
        for place in card::places(&view::ports(plan, part)) {
            let goes = match (side, place.side) {
                (Side::Out, Side::In) | (Side::In, Side::Out) => part.id != from.part,
                (Side::Out, Side::Signal) | (Side::Signal, Side::Out) => true,
                _ => false,
            };
            let end = End::new(&part.id, &place.name);
            if goes {
                let has = taken.contains(&end);
                takes.insert(end, ((x + place.x, y + place.y), has));
            }
        }
    }
    let from = from.clone();
    Some(Joining { from, at, takes })
}

fn taken(plan: &Plan, from: &End, to: &End) -> Vec<WireId> {
    let hangs = |w: &&Wire| w.from == *from || w.to == *to;
    plan.wires
        .iter()
        .filter(hangs)
        .map(|w| w.id.clone())
        .collect()
}
