//! Switches thrown and buttons pressed by hand, at the moment shown: a trial that goes on from there as it would, and that
//! can be taken into the daily schedules.

use super::Editor;
use crate::book::PartType;
use crate::plan::{Clock, Function, PartId, Plan, Spec, Throw};
use crate::quantity::Ms;
use crate::run::Clockwork;

impl Editor {
    /// Whether the part is a switch or a button of the document.
    pub fn can_be_thrown(&self, id: &PartId) -> bool {
        let is_tried = self.preview().is_some_and(|p| p.plan.by_hand.is_empty());
        let is_other = is_tried || self.walk_place().is_some();
        let part = self.plan().part(id).filter(|_| !is_other);
        let kind = part.and_then(|part| self.plan().kind_of(part));
        kind.is_some_and(PartType::is_hand_operated)
    }

    /// Throws a switch or presses a button at the moment shown, on the begun minute of the dial. What was thrown at that
    /// minute before is put back.
    pub(super) fn throw(&mut self, id: &PartId) {
        if self.refuses_in_walk() {
            return;
        }
        let Some((function, breaks)) = hand(self.plan(), id) else {
            return;
        };
        let day = self.plan().world.day_ms();
        let (midnight, into) = (self.moment() / day * day, self.moment() % day);
        let at = midnight + Clock::at(into, day).ms(day);
        let mut throws = self.board().by_hand.clone();
        let count = throws.len();
        throws.retain(|throw| throw.part != *id || throw.at != at);
        if throws.len() == count {
            let closed = match function {
                Function::Button { .. } => true,
                _ => !self.is_closed(id, &function, &throws, at),
            };
            let place = throws.partition_point(|throw| throw.at <= at);
            let part = id.clone();
            throws.insert(place, Throw { at, part, closed });
        }
        if throws.is_empty() {
            self.end_preview();
            return self.say("Put back.".into());
        }
        let says = said(self.plan(), &throws);
        let edits = self.plan().taken_by_hand(&throws);
        let mut plan = Plan::clone(self.plan());
        plan.by_hand = throws;
        let does = does(
            &function,
            breaks,
            plan.by_hand.iter().rfind(|t| t.part == *id),
        );
        self.say(format!("{}: {does}.", self.plan().called(id)));
        self.begin_preview(&says, plan, Some(("throw by hand every day".into(), edits)));
    }

    /// Whether a switch is closed at a moment, after these throws.
    fn is_closed(&self, id: &PartId, function: &Function, throws: &[Throw], at: Ms) -> bool {
        let world = &self.plan().world;
        let own = throws.iter().filter(|throw| throw.part == *id);
        let own = own.map(|throw| (throw.at, throw.closed)).collect();
        let clockwork = Clockwork::of(function, world, &world.sky());
        clockwork.is_some_and(|clockwork| clockwork.by_hand(own).truth(at))
    }
}

/// The function of a switch or a button, and whether it is a break contact; none for any other part.
fn hand(plan: &Plan, id: &PartId) -> Option<(Function, bool)> {
    match plan.spec(plan.part(id)?)? {
        Spec::Contact {
            function, breaks, ..
        } if matches!(function, Function::Manual { .. } | Function::Button { .. }) => {
            Some((function, breaks))
        }
        _ => None,
    }
}

/// What a throw does to the contact.
fn does(function: &Function, breaks: bool, throw: Option<&Throw>) -> &'static str {
    match throw {
        None => "put back",
        Some(_) if matches!(function, Function::Button { .. }) => "pressed",
        Some(throw) if throw.closed != breaks => "closed",
        Some(_) => "opened",
    }
}

/// What was done by hand, the first two of it told one by one.
fn said(plan: &Plan, throws: &[Throw]) -> String {
    let day = plan.world.day_ms();
    let told = throws.iter().take(2).map(|throw| {
        let (function, breaks) = hand(plan, &throw.part).unwrap_or((Function::Relay, false));
        let on = match throw.at / day {
            0 => String::new(),
            later => format!("day {}, ", later + 1),
        };
        let does = does(&function, breaks, Some(throw));
        let (name, at) = (plan.called(&throw.part), Clock::at(throw.at % day, day));
        format!("{name} {does} by hand at {on}{at}")
    });
    let told = told.collect::<Vec<_>>().join(", ");
    match throws.len() {
        ..=2 => told,
        count => format!("{told}, and {} more", count - 2),
    }
}

#[cfg(test)]
mod tests {
    use crate::editor::{Editor, Key, Message, Pointer, Target};
    use crate::plan::{PartId, Plan, read_plan};
    use crate::quantity::Ms;
    use crate::run::{Extent, PartState, at, run};
    use serde_json::json;

    const HOUR: Ms = 3_600_000;

    /// A generator, a switch with a schedule, a button, and a lamp behind each.
    fn plan() -> Plan {
        let document = json!({
            "format": "duskline/plan", "version": 1, "book": "outpost",
            "parts": [
                { "id": "p1", "type": "generator" }, { "id": "p2", "type": "divider-2" },
                { "id": "p3", "type": "switch", "set": { "schedule": [["20:00", true]] } },
                { "id": "p4", "type": "button", "set": { "presses": ["18:00"] } },
                { "id": "p5", "type": "lamp" }, { "id": "p6", "type": "lamp" },
            ],
            "wires": [
                { "id": "w1", "from": "p1.out", "to": "p2.in" },
                { "id": "w2", "from": "p2.out1", "to": "p3.feed" }, { "id": "w3", "from": "p2.out2", "to": "p4.feed" },
                { "id": "w4", "from": "p3.out", "to": "p5.in" }, { "id": "w5", "from": "p4.out", "to": "p6.in" },
            ],
        });
        read_plan(&document.to_string()).expect("a sound plan")
    }

    fn opened(plan: Plan) -> Editor {
        let mut editor = Editor::default();
        let plan = Box::new(plan);
        editor.apply(Message::Open {
            plan,
            keeps_moment: false,
        });
        editor
    }

    fn throw(editor: &mut Editor, part: &str, t: Ms) {
        editor.apply(Message::Moment(t));
        editor.apply(Message::Throw(PartId::from(part)));
        editor.apply(Message::Work {
            events: 100_000,
            things: 100,
        });
    }

    fn conducts(editor: &Editor, part: &str) -> bool {
        let state = editor.state(&PartId::from(part));
        let PartState::Contact { conducts, .. } = state else {
            panic!("{state:?}");
        };
        conducts
    }

    fn shows(editor: &mut Editor, part: &str, t: Ms) -> bool {
        editor.apply(Message::Moment(t));
        editor.apply(Message::Work {
            events: 100_000,
            things: 100,
        });
        conducts(editor, part)
    }

    #[test]
    fn a_switch_thrown_stays_so_until_its_schedule_or_another_throw() {
        let mut editor = opened(plan());
        throw(&mut editor, "p3", 12 * HOUR + 30_500);
        assert!(conducts(&editor, "p3"));
        assert!(
            !shows(&mut editor, "p3", 12 * HOUR - 1),
            "before it is as it was"
        );
        throw(&mut editor, "p3", 14 * HOUR);
        assert!(!conducts(&editor, "p3"));
        assert!(shows(&mut editor, "p3", 13 * HOUR));
        assert!(shows(&mut editor, "p3", 20 * HOUR), "the schedule goes on");
        throw(&mut editor, "p3", 40 * HOUR);
        assert!(!shows(&mut editor, "p3", 41 * HOUR));
        assert!(shows(&mut editor, "p3", 44 * HOUR), "and on the day after");
    }

    #[test]
    fn a_button_pressed_is_held_as_long_as_by_its_own_presses() {
        let mut editor = opened(plan());
        let is_held = |s: &Ms| {
            let state = at(&plan(), 18 * HOUR + s * 1000).parts[3];
            matches!(state, PartState::Contact { conducts: true, .. })
        };
        let hold = (1..).find(|s| !is_held(s)).expect("a button lets go") * 1000;
        throw(&mut editor, "p4", 12 * HOUR);
        assert!(shows(&mut editor, "p4", 12 * HOUR + hold - 1));
        assert!(!shows(&mut editor, "p4", 12 * HOUR + hold));
        assert!(shows(&mut editor, "p4", 18 * HOUR));
    }

    #[test]
    fn thrown_again_at_its_minute_it_is_put_back_and_the_document_is_as_it_was() {
        let mut editor = opened(plan());
        for part in ["p3", "p4"] {
            throw(&mut editor, part, 12 * HOUR);
            assert!(editor.preview().is_some());
            throw(&mut editor, part, 12 * HOUR + 59_999);
            assert!(editor.preview().is_none());
        }
        assert_eq!(**editor.plan(), **opened(plan()).plan());
        assert!(
            editor
                .apply(Message::Undo)
                .iter()
                .all(|c| *c != crate::editor::Change::History)
        );
    }

    #[test]
    fn what_is_taken_runs_as_what_was_thrown() {
        let mut editor = opened(plan());
        throw(&mut editor, "p3", 9 * HOUR);
        throw(&mut editor, "p4", 10 * HOUR);
        throw(&mut editor, "p3", 11 * HOUR);
        let thrown = editor.preview().expect("a trial").plan.clone();
        assert_ne!(run(&thrown, 1), run(&plan(), 1));
        editor.apply(Message::TakePreview);
        let taken = editor.plan().clone();
        assert_eq!(run(&thrown, 1), run(&taken, 1));
        assert!(taken.by_hand.is_empty());
        let set = |at: usize, name: &str| taken.parts[at].set[name].clone();
        let schedule = json!([["09:00", true], ["11:00", false], ["20:00", true]]);
        assert_eq!(set(2, "schedule"), schedule);
        assert_eq!(set(3, "presses"), json!(["10:00", "18:00"]));
        editor.apply(Message::Undo);
        assert_eq!(editor.plan().parts[2].set, plan().parts[2].set);
    }

    #[test]
    fn no_file_holds_what_is_thrown_and_days_repeat_after_it_only() {
        let mut editor = opened(plan());
        throw(&mut editor, "p3", 60 * HOUR);
        let thrown = editor.preview().expect("a trial").plan.clone();
        assert_eq!(thrown.print(), opened(plan()).plan().print());
        let days = |plan: &Plan| {
            let mut course = crate::run::Course::new(plan, Extent::UntilRepeat);
            while !course.go(u64::MAX) {}
            course.finish(plan).record.end / plan.world.day_ms()
        };
        assert_eq!((days(&plan()), days(&thrown)), (2, 4));
    }

    #[test]
    fn a_click_on_the_symbol_and_enter_on_the_card_throw_and_a_double_click_renames() {
        let mut editor = opened(plan());
        let part = PartId::from("p3");
        let pointer = Pointer {
            id: 1,
            at: (5.0, 5.0),
            finger: false,
            primary: true,
        };
        let click = |editor: &mut Editor| {
            let on = Target::Switch(part.clone());
            editor.apply(Message::PointerDown(pointer, on, false));
            editor.apply(Message::PointerUp(pointer));
        };
        click(&mut editor);
        assert!(editor.preview().is_some());
        click(&mut editor);
        editor.apply(Message::DoubleClick(Target::Switch(PartId::from("p3"))));
        assert!(editor.preview().is_none() && editor.renaming().is_some());
        let enter = Key {
            key: "Enter".into(),
            ..Key::default()
        };
        editor.apply(Message::Key(
            enter.clone(),
            Target::Part(PartId::from("p3")),
        ));
        assert!(editor.preview().is_some());
        // A lamp's card is no switch: Enter leads to its ports.
        editor.apply(Message::EndPreview);
        editor.apply(Message::Key(enter, Target::Part(PartId::from("p5"))));
        assert!(editor.preview().is_none());
    }
}
