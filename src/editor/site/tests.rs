//! The site by its messages: what drags and keys draw and hang, and that each is one step that can be taken back.

use super::*;
use crate::editor::{Key, Message, Pointer, Selection, SiteAct, SiteTarget, Target};
use crate::plan::{Edit, Part, Plan};
use crate::sheet::site::places::part_place;
use crate::site::{Edge, Fitting, Ground, ready_site};
use proptest::prelude::*;

fn id(name: &str) -> PartId {
    PartId::from(name)
}

/// The hut with a lamp (ceiling or wall by its type), a battery and a sun panel that have no place yet.
fn hut() -> Editor {
    let mut plan = Plan::empty();
    let mut edits = vec![Edit::Site(ready_site("Hut").map(Box::new))];
    for (at, kind) in ["lamp", "battery", "sun-panel"].into_iter().enumerate() {
        let part = Part::new(id(&format!("p{}", at + 1)), kind, (0.0, 100.0 * at as f64));
        edits.push(Edit::AddPart(at, part));
    }
    plan.apply_all(edits).expect("sound edits");
    let mut editor = Editor::new(plan);
    act(&mut editor, SiteAct::Turn(Drawing::Site));
    act(&mut editor, SiteAct::Resize(900.0, 700.0));
    editor
}

fn act(editor: &mut Editor, act: SiteAct) -> Vec<Change> {
    editor.apply(Message::Site(act))
}

fn press(editor: &mut Editor, name: &str, shift: bool) {
    let key = Key {
        key: name.into(),
        shift,
        command: false,
    };
    editor.apply(Message::Key(key, Target::Paper));
}

fn pointer(editor: &Editor, at: Point) -> Pointer {
    Pointer {
        id: 1,
        at: editor.site().view().to_window(at),
        finger: false,
        primary: true,
    }
}

/// Drags from one place of the drawing to another.
fn drag(editor: &mut Editor, on: SiteTarget, from: Point, to: Point) {
    let (a, b) = (pointer(editor, from), pointer(editor, to));
    act(editor, SiteAct::Down(a, on));
    act(editor, SiteAct::Move(b));
    act(editor, SiteAct::Up(b));
}

fn middle(x: u8, y: u8) -> Point {
    let (left, top, wide, high) = cell_rect(x, y);
    (left + wide / 2.0, top + high / 2.0)
}

fn ground(editor: &Editor, x: u8, y: u8) -> Ground {
    let site = editor.plan().site.as_ref().expect("a site");
    site.cell(editor.site().storey(), x, y).ground
}

fn edge(editor: &Editor, x: u8, y: u8, side: Surface) -> Edge {
    let site = editor.plan().site.as_ref().expect("a site");
    site.edge(editor.site().storey(), x, y, side)
}

fn hangs(editor: &Editor, name: &str) -> Option<Face> {
    editor.plan().part(&id(name)).expect("a part").hangs
}

#[test]
fn escape_lets_go_of_a_stretch_and_enter_then_draws_one_cell() {
    let mut editor = hut();
    press(&mut editor, "r", false);
    press(&mut editor, "ArrowRight", false);
    press(&mut editor, "ArrowRight", true);
    press(&mut editor, "ArrowRight", true);
    press(&mut editor, "Escape", false);
    let before = editor.plan().clone();
    press(&mut editor, "Enter", false);
    let (was, is) = (
        before.site.clone().expect("a site"),
        editor.plan().site.clone().expect("a site"),
    );
    let drawn = was
        .cells()
        .filter(|(s, x, y)| was.cell(*s, *x, *y) != is.cell(*s, *x, *y));
    assert!(drawn.count() <= 1, "the stretch is gone");
}

#[test]
fn several_parts_come_off_their_places_as_one_step() {
    let mut editor = hut();
    let faces = [
        Face::new(0, 2, 2, Surface::North),
        Face::new(0, 3, 2, Surface::North),
    ];
    for (name, face) in ["p1", "p2"].into_iter().zip(faces) {
        editor.commit("hang", vec![Edit::Hang(id(name), Some(face))]);
    }
    let before = editor.plan().clone();
    editor.apply(Message::Select(Selection {
        parts: [id("p1"), id("p2")].into(),
        wires: Default::default(),
    }));
    press(&mut editor, "Delete", false);
    assert_eq!((hangs(&editor, "p1"), hangs(&editor, "p2")), (None, None));
    editor.apply(Message::Undo);
    assert_eq!(*editor.plan(), before);
}

#[test]
fn a_drag_draws_a_rectangle_as_one_step() {
    let mut editor = hut();
    let before = editor.plan().clone();
    act(&mut editor, SiteAct::Tool(SiteTool::Ground(Ground::Roof)));
    drag(&mut editor, SiteTarget::Paper, middle(0, 0), middle(1, 2));
    for (x, y) in [(0, 0), (1, 0), (0, 2), (1, 2)] {
        assert_eq!(ground(&editor, x, y), Ground::Roof);
    }
    assert_eq!(ground(&editor, 2, 0), Ground::Ground);
    assert!(editor.site().marks().is_empty());
    assert_eq!(editor.steps().0, Some("draw roof"));
    editor.apply(Message::Undo);
    assert_eq!(editor.plan(), &before);
}

#[test]
fn a_drag_that_changes_nothing_leaves_no_step() {
    let mut editor = hut();
    act(&mut editor, SiteAct::Tool(SiteTool::Ground(Ground::Ground)));
    drag(&mut editor, SiteTarget::Paper, middle(0, 0), middle(1, 1));
    assert_eq!(editor.steps().0, None);
}

#[test]
fn a_drag_along_a_side_draws_a_straight_wall_and_the_same_again_takes_it_away() {
    let mut editor = hut();
    act(&mut editor, SiteAct::Tool(SiteTool::Edge(Edge::Wall)));
    let (x, y) = middle(0, 0);
    let from = (x, y + 30.0);
    let to = (middle(2, 0).0, y + 10.0);
    drag(&mut editor, SiteTarget::Paper, from, to);
    for x in 0..3 {
        assert_eq!(edge(&editor, x, 0, Surface::South), Edge::Wall);
        assert_eq!(edge(&editor, x, 1, Surface::North), Edge::Wall);
    }
    assert_eq!(edge(&editor, 3, 0, Surface::South), Edge::Open);
    drag(&mut editor, SiteTarget::Paper, from, to);
    assert_eq!(edge(&editor, 1, 0, Surface::South), Edge::Open);
    assert_eq!(editor.steps().0, Some("take walls away"));
}

#[test]
fn a_hatch_in_air_is_refused_with_a_sentence() {
    let mut editor = hut();
    act(&mut editor, SiteAct::Storey(1));
    act(
        &mut editor,
        SiteAct::Tool(SiteTool::Fitting(Fitting::Hatch)),
    );
    let at = pointer(&editor, middle(0, 0));
    act(&mut editor, SiteAct::Down(at, SiteTarget::Paper));
    let changes = act(&mut editor, SiteAct::Up(at));
    let said = |c: &Change| matches!(c, Change::Notice(text) if text.starts_with("A hatch opens"));
    assert!(changes.iter().any(said), "{changes:?}");
    assert_eq!(editor.steps().0, None);
}

#[test]
fn a_part_hangs_where_its_type_goes_and_nowhere_else() {
    let mut editor = hut();
    let plan = editor.plan().clone();
    let panel = plan.part(&id("p3")).expect("a panel");
    assert_eq!(plan.mount_of(panel), crate::plan::Mount::Roof);
    act(&mut editor, SiteAct::Take(Some(id("p3")), false));
    // Inside there is no roof: it stays in hand, and that is said.
    let inside = pointer(&editor, middle(3, 3));
    act(&mut editor, SiteAct::Down(inside, SiteTarget::Paper));
    let changes = act(&mut editor, SiteAct::Up(inside));
    let why =
        |c: &Change| matches!(c, Change::Notice(text) if text.contains("goes on a flat roof"));
    assert!(changes.iter().any(why), "{changes:?}");
    assert!(editor.site().hand().is_some());
    act(&mut editor, SiteAct::Storey(1));
    act(&mut editor, SiteAct::Move(inside));
    let face = Face::new(1, 3, 3, Surface::Floor);
    assert_eq!(editor.site().hand().and_then(|hand| hand.over), Some(face));
    act(&mut editor, SiteAct::Down(inside, SiteTarget::Paper));
    act(&mut editor, SiteAct::Up(inside));
    assert_eq!(hangs(&editor, "p3"), Some(face));
    assert_eq!(editor.selection(), &Selection::part(&id("p3")));
    assert_eq!(editor.steps().0, Some("hang Sun panel on the roof"),);
}

#[test]
fn a_part_is_dragged_from_its_face_to_another_and_no_two_share_one() {
    let mut editor = hut();
    let (a, b) = (
        Face::new(0, 3, 3, Surface::Floor),
        Face::new(0, 4, 3, Surface::Floor),
    );
    act(&mut editor, SiteAct::Hang(id("p2"), Some(a)));
    if hangs(&editor, "p2").is_none() {
        // The book puts batteries on furniture alone.
        let top = Face::new(0, 5, 2, Surface::Furniture);
        act(&mut editor, SiteAct::Hang(id("p2"), Some(top)));
        assert_eq!(hangs(&editor, "p2"), Some(top));
        return;
    }
    let on = SiteTarget::Part(id("p2"));
    drag(
        &mut editor,
        on.clone(),
        part_place(a, false),
        part_place(b, false),
    );
    assert_eq!(hangs(&editor, "p2"), Some(b));
    // Beside the site it finds nothing, and stays where it is.
    drag(&mut editor, on, part_place(b, false), (-300.0, -300.0));
    assert_eq!(hangs(&editor, "p2"), Some(b));
    assert!(editor.site().hand().is_none());
}

#[test]
fn the_keyboard_alone_draws_and_hangs() {
    let mut editor = hut();
    press(&mut editor, "r", false);
    assert_eq!(editor.site().tool(), SiteTool::Ground(Ground::Roof));
    press(&mut editor, "ArrowRight", false);
    assert_eq!(editor.site().cursor().map(|c| (c.x, c.y)), Some((0, 0)));
    press(&mut editor, "ArrowRight", true);
    press(&mut editor, "ArrowDown", true);
    assert_eq!(editor.site().marks().len(), 4);
    press(&mut editor, "Enter", false);
    assert_eq!(ground(&editor, 1, 1), Ground::Roof);
    press(&mut editor, "w", false);
    press(&mut editor, " ", false);
    press(&mut editor, "Enter", false);
    assert_eq!(edge(&editor, 1, 1, Surface::East), Edge::Wall);
    act(&mut editor, SiteAct::Take(Some(id("p3")), false));
    press(&mut editor, "PageUp", false);
    assert_eq!(editor.site().storey(), 1);
    for _ in 0..2 {
        press(&mut editor, "ArrowRight", false);
        press(&mut editor, "ArrowDown", false);
    }
    assert!(
        editor
            .cursor_said()
            .expect("a cursor")
            .contains("Enter hangs")
    );
    press(&mut editor, "Enter", false);
    assert_eq!(
        hangs(&editor, "p3"),
        Some(Face::new(1, 3, 3, Surface::Floor))
    );
    // Enter chooses what hangs there, and Delete takes it off.
    press(&mut editor, "Escape", false);
    press(&mut editor, "Escape", false);
    assert!(editor.selection().is_empty());
    press(&mut editor, "Enter", false);
    assert_eq!(editor.selection(), &Selection::part(&id("p3")));
    press(&mut editor, "Delete", false);
    assert_eq!(hangs(&editor, "p3"), None);
}

#[test]
fn the_same_key_turns_to_and_fro_and_what_is_chosen_stays() {
    let mut editor = hut();
    act(
        &mut editor,
        SiteAct::Hang(id("p3"), Some(Face::new(1, 3, 3, Surface::Floor))),
    );
    press(&mut editor, "s", false);
    assert_eq!(editor.site().drawing(), Drawing::Board);
    editor.apply(Message::Select(Selection::part(&id("p3"))));
    press(&mut editor, "s", false);
    assert_eq!(editor.site().drawing(), Drawing::Site);
    assert_eq!(editor.site().storey(), 1, "where the chosen part hangs");
    assert_eq!(editor.selection(), &Selection::part(&id("p3")));
}

#[test]
fn who_is_led_to_a_part_sees_it_on_the_site_or_else_on_the_board() {
    let mut editor = hut();
    act(
        &mut editor,
        SiteAct::Hang(id("p3"), Some(Face::new(1, 3, 3, Surface::Floor))),
    );
    act(&mut editor, SiteAct::Storey(0));
    editor.apply(Message::Show(vec![id("p3")], Vec::new()));
    assert_eq!(editor.site().storey(), 1);
    editor.apply(Message::Show(vec![id("p1")], Vec::new()));
    assert_eq!(editor.site().drawing(), Drawing::Board);
}

#[test]
fn a_run_is_bent_by_dragging_it_and_a_double_click_takes_the_bend_off() {
    let (mut editor, wire) = led();
    let over = middle(4, 4);
    drag(
        &mut editor,
        SiteTarget::Run(wire.clone(), 0),
        middle(3, 3),
        over,
    );
    let via = &editor.plan().wire(&wire).expect("a wire").via;
    assert_eq!(via[..], [Face::new(0, 4, 4, Surface::Floor)]);
    drag(
        &mut editor,
        SiteTarget::Bend(wire.clone(), 0),
        over,
        middle(3, 4),
    );
    assert_eq!(
        editor.plan().wire(&wire).expect("a wire").via[..],
        [Face::new(0, 3, 4, Surface::Floor)]
    );
    act(
        &mut editor,
        SiteAct::DoubleClick(SiteTarget::Bend(wire.clone(), 0)),
    );
    assert!(editor.plan().wire(&wire).expect("a wire").via.is_empty());
    assert_eq!(editor.steps().0, Some("take bends off a wire"));
}

/// The hut with its panel wired to its battery.
fn led() -> (Editor, WireId) {
    let mut editor = hut();
    let ends = (
        crate::plan::End::new(&id("p3"), "out"),
        crate::plan::End::new(&id("p2"), "in"),
    );
    editor.apply(Message::Join(ends.0, ends.1));
    let wire = editor.plan().wires[0].id.clone();
    (editor, wire)
}

#[test]
fn a_bend_is_put_in_by_keyboard_and_by_a_press_where_it_is_the_least_detour() {
    let (mut editor, wire) = led();
    act(&mut editor, SiteAct::Turn(Drawing::Board));
    let hang = |name: &str, face| (id(name), Some(face));
    for (part, face) in [
        hang("p3", Face::new(1, 1, 2, Surface::Floor)),
        hang("p2", Face::new(0, 5, 2, Surface::Floor)),
    ] {
        editor.apply(Message::Commit {
            says: "hang".into(),
            edits: vec![Edit::Hang(part, face)],
        });
    }
    let told = act(&mut editor, SiteAct::TakeBend(wire.clone()));
    assert!(told.contains(&Change::FocusOn(crate::editor::FocusOn::Site)));
    assert_eq!(editor.site().drawing(), Drawing::Site);
    act(&mut editor, SiteAct::Storey(0));
    // The first arrow only shows where the keyboard is.
    for key in [
        "ArrowRight",
        "ArrowRight",
        "ArrowRight",
        "ArrowDown",
        "ArrowDown",
    ] {
        press(&mut editor, key, false);
    }
    let over = editor.site().leading().expect("a bend in hand").over;
    let over = over.expect("a face of the hut");
    assert_eq!(over.cell(), (0, 2, 2));
    press(&mut editor, " ", false);
    let turned = editor.site().leading().expect("still in hand").over;
    assert_ne!(turned, Some(over));
    assert!(
        editor
            .cursor_said()
            .expect("a place")
            .contains("Enter leads the wire")
    );
    press(&mut editor, "Enter", false);
    let first = turned.expect("a face");
    let via = |editor: &Editor| editor.plan().wire(&wire).expect("a wire").via.clone();
    assert_eq!(via(&editor), [first]);
    assert!(editor.site().leading().is_none());
    // Another, by a press, nearer to the battery: it comes after the first; one nearer to the panel comes before it.
    for (at, expected) in [(middle(4, 2), 1), (middle(1, 2), 0)] {
        act(&mut editor, SiteAct::TakeBend(wire.clone()));
        let point = pointer(&editor, at);
        act(&mut editor, SiteAct::Down(point, SiteTarget::Paper));
        act(&mut editor, SiteAct::Up(point));
        let now = via(&editor);
        let is_new = |face: &Face| face.cell() == (0, (at.0 / 64.0) as u8, 2);
        assert_eq!(now.iter().position(is_new), Some(expected), "{now:?}");
    }
    act(&mut editor, SiteAct::TakeBend(wire.clone()));
    press(&mut editor, "Escape", false);
    assert!(editor.site().leading().is_none());
    assert_eq!(via(&editor).len(), 3);
}

#[test]
fn a_part_in_hand_is_held_over_the_storey_that_one_turns_to() {
    let mut editor = hut();
    act(&mut editor, SiteAct::Take(Some(id("p3")), false));
    let says = editor.hand_said().expect("in hand");
    assert!(says.contains("turn to the storey Roof"), "{says}");
    // On the ground the keyboard finds nothing that takes it, and what is said there still leads to the roof.
    press(&mut editor, "ArrowRight", false);
    let says = editor.hand_said().expect("in hand");
    assert!(
        says.contains("can't hang here") && says.contains("Roof"),
        "{says}"
    );
    let told = act(&mut editor, SiteAct::Storey(1));
    assert!(told.contains(&Change::FocusOn(crate::editor::FocusOn::Site)));
    let says = editor.hand_said().expect("in hand");
    assert!(!says.contains("can't hang here"), "{says}");
    // The keyboard stands on a face that takes it: Enter hangs it after one step to and fro.
    press(&mut editor, "ArrowRight", false);
    press(&mut editor, "ArrowLeft", false);
    press(&mut editor, "Enter", false);
    assert_eq!(hangs(&editor, "p3").map(|face| face.storey), Some(1));
}

#[test]
fn a_lost_pointer_and_a_second_finger_take_back_what_was_under_way() {
    let mut editor = hut();
    act(&mut editor, SiteAct::Tool(SiteTool::Ground(Ground::Roof)));
    let (a, b) = (
        pointer(&editor, middle(0, 0)),
        pointer(&editor, middle(2, 2)),
    );
    act(&mut editor, SiteAct::Down(a, SiteTarget::Paper));
    act(&mut editor, SiteAct::Move(b));
    assert!(!editor.site().marks().is_empty());
    act(&mut editor, SiteAct::Lost(1));
    assert!(editor.site().marks().is_empty());
    act(&mut editor, SiteAct::Up(b));
    assert_eq!(editor.steps().0, None);
    act(&mut editor, SiteAct::Down(a, SiteTarget::Paper));
    act(&mut editor, SiteAct::Move(b));
    let second = Pointer {
        id: 2,
        primary: false,
        ..a
    };
    act(&mut editor, SiteAct::Down(second, SiteTarget::Paper));
    let zoom = editor.site().view().zoom;
    act(
        &mut editor,
        SiteAct::Move(Pointer {
            at: (a.at.0 - 90.0, a.at.1 - 90.0),
            ..second
        }),
    );
    assert!(editor.site().view().zoom > zoom);
    act(&mut editor, SiteAct::Up(second));
    act(&mut editor, SiteAct::Up(b));
    assert_eq!(editor.steps().0, None);
}

/// Something that a hand does.
fn deeds() -> impl Strategy<Value = Vec<(u8, u8, u8, u8, u8)>> {
    proptest::collection::vec((0u8..8, 0u8..8, 0u8..7, 0u8..8, 0u8..7), 1..30)
}

proptest! {
    #[test]
    fn undo_takes_everything_back(deeds in deeds()) {
        let mut editor = hut();
        let before = editor.plan().clone();
        let tools = super::keys::TOOLS;
        for (what, ax, ay, bx, by) in deeds {
            match what {
                0 => drop(act(&mut editor, SiteAct::Storey(ax % 2))),
                1 => {
                    let part = id(&format!("p{}", ax % 3 + 1));
                    act(&mut editor, SiteAct::Take(Some(part), false));
                    drag(&mut editor, SiteTarget::Paper, middle(bx, by), middle(bx, by));
                }
                2 => {
                    let on = SiteTarget::Part(id(&format!("p{}", ax % 3 + 1)));
                    drag(&mut editor, on, middle(ax, ay), middle(bx, by));
                }
                _ => {
                    let (_, tool) = tools[usize::from(what * 7 + ax) % tools.len()];
                    act(&mut editor, SiteAct::Tool(tool));
                    drag(&mut editor, SiteTarget::Paper, middle(ax, ay), middle(bx, by));
                }
            }
        }
        while editor.steps().0.is_some() {
            editor.apply(Message::Undo);
        }
        prop_assert_eq!(editor.plan(), &before);
    }
}
