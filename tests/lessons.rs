//! The lessons that ship: each is read, led through, failed at its start, solved in three ways and by its hints, and each
//! mistake that a learner is likely to make is told by name.

#![cfg(not(target_arch = "wasm32"))]

use duskline::plan::{Plan, Route, read_plan};
use duskline::proof::check;
use duskline::teach::{Grade, SaidGrade, grade, lessons};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// So many words are read aloud in four minutes.
const WORDS: usize = 520;

/// Each wrong solution, with a phrase that what is said of it must have.
const WRONG: [(&str, &str); 24] = [
    (
        "01-duty-broken",
        "Stair lamp goes dark on day 1 at 05:00: Shelf cell is empty until 07:43.",
    ),
    (
        "01-given-changed",
        "Roof panel was given as 1 and must stay so, but there are 2 of it now.",
    ),
    (
        "01-load-taken-away",
        "Stair lamp was given and must stay, but it is not there.",
    ),
    (
        "01-other-type",
        "Stair lamp was given as a part of type Lamp and must stay one, but it is of type Hand lantern now.",
    ),
    (
        "01-too-many",
        "Of Battery cell at most 4 may be built beside what was given, and 5 were. Take 1 away.",
    ),
    (
        "02-duties-left-out",
        "The plan has other duties. What counts are those of the exercise.",
    ),
    (
        "02-three-ways",
        "Bunk heater ahead of it takes 3 u of the 3 u that come, which leaves nothing.",
    ),
    (
        "03-shares-too-small",
        "Bunk heater ahead of it takes 3 u of the 3 to 4 u that come",
    ),
    (
        "04-not-aimed",
        "Radio does not run from 07:00 to 07:23: Roof panel gives only 1 u until 07:23",
    ),
    (
        "05-type-not-allowed",
        "Twilight switch may not be built here, and one was. Take it away.",
    ),
    (
        "06-relay-ahead-of-both",
        "Bunk heater stops on day 1 at 06:38: Dusk relay is open as its coil is live",
    ),
    (
        "07-reach-changed",
        "Causeway switch was given as a part within reach of anyone and must stay one",
    ),
    (
        "07-switch-in-reach",
        "(a stranger throws the causeway switch): Causeway switch is set open.",
    ),
    (
        "08-wasted-share",
        "Cellar divider gives each of its 3 ways an equal share of the 12 u that come, here 4 u of the 5 u it draws.",
    ),
    (
        "09-wrong-delay",
        "Landing lamp runs from 19:50 to 19:53 though it should be off",
    ),
    (
        "10-button-held",
        "Siren button was given and must stay as it was, but it is set otherwise. Set the time that a press holds to 1 s again.",
    ),
    (
        "10-stop-without-hold",
        "nothing has reset it since, because no wire leads to the reset of Siren latch.",
    ),
    (
        "11-least-too-high",
        "Beam changeover is on its backup, which gives nothing, since its main has 3 u and not 7 u.",
    ),
    (
        "11-main-and-backup-swapped",
        "Beam goes dark on day 2 at 07:00: Gallery turbine gives only 3 u until 10:00",
    ),
    (
        "12-filled-but-small",
        "Bunk heater stops on day 7 at 18:31: Further storage is empty until 08:09 the next day.",
    ),
    (
        "12-not-filled-again",
        "(three dull days after only two clear ones): Further storage is empty",
    ),
    (
        "12-world-changed",
        "The plan has another world. It was tried in that of the exercise.",
    ),
    (
        "13-no-second-supply",
        "Without Roof panels, Bunk heater stops on day 2 at 06:00 (any one part or wire fails)",
    ),
    ("13-one-loop", "Without Supply busbar, Beam is dark"),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/lessons")
}

fn fixture(name: &str) -> Plan {
    let path = folder().join(format!("{name}.json"));
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"));
    read_plan(&text).unwrap_or_else(|faults| panic!("{name}: {faults:#?}"))
}

fn graded(lesson: &Plan, solution: &Plan) -> (Grade, SaidGrade) {
    let grade = grade(lesson, solution).expect("a lesson has an exercise");
    let said = SaidGrade::of(lesson, solution, &grade).expect("a lesson has an exercise");
    (grade, said)
}

/// A plan's types with their counts, and which types its wires join at which ports: what is left of it without numbers.
fn shape(plan: &Plan) -> (Vec<(String, u64)>, Vec<[String; 4]>) {
    let mut parts: Vec<(String, u64)> = plan
        .parts
        .iter()
        .map(|p| (p.kind.clone(), p.count))
        .collect();
    let kind = |id| {
        plan.part(id)
            .map(|part| part.kind.clone())
            .unwrap_or_default()
    };
    let wires = plan.wires.iter().map(|wire| {
        let (from, to) = (&wire.from, &wire.to);
        [
            kind(&from.part),
            from.port.clone(),
            kind(&to.part),
            to.port.clone(),
        ]
    });
    let mut wires: Vec<[String; 4]> = wires.collect();
    parts.sort();
    wires.sort();
    (parts, wires)
}

#[test]
fn every_lesson_is_read_without_a_fault_and_fails_at_its_start() {
    let all = lessons();
    assert_eq!(all.len(), 13);
    for (at, lesson) in all.iter().enumerate() {
        assert!(
            lesson.title.starts_with(&format!("Lesson {}: ", at + 1)),
            "{}",
            lesson.title
        );
        assert!(
            !check(lesson).duties.iter().all(|duty| duty.kept),
            "{}",
            lesson.title
        );
        let (grade, said) = graded(lesson, lesson);
        assert!(!grade.kept && grade.breaches.is_empty(), "{}", lesson.title);
        // The duties fail, not the wiring, and the learner is told why.
        assert!(
            said.first.is_some() && grade.since.is_some(),
            "{}",
            lesson.title
        );
    }
}

#[test]
fn every_lesson_has_three_solutions_that_are_kept_and_differ_in_more_than_numbers() {
    for (at, lesson) in lessons().iter().enumerate() {
        let mut shapes = BTreeSet::new();
        let mut stars = BTreeSet::new();
        for which in 1..=3 {
            let name = format!("{:02}-{which}", at + 1);
            let solution = fixture(&name);
            let (grade, said) = graded(lesson, &solution);
            assert!(grade.kept, "{name}: {}", said.text());
            assert!(grade.overruled.is_empty(), "{name}: {:?}", grade.overruled);
            assert!(grade.trials.iter().all(|trial| trial.for_ever), "{name}");
            shapes.insert(shape(&solution));
            stars.insert(grade.cheap);
        }
        assert_eq!(
            shapes.len(),
            3,
            "{}: two differ in numbers alone",
            lesson.title
        );
        // One of the solutions is cheap, and one is not.
        assert_eq!(
            stars,
            BTreeSet::from([Some(false), Some(true)]),
            "{}",
            lesson.title
        );
    }
}

#[test]
fn hints_lead_step_by_step_from_the_start_to_a_solution() {
    for lesson in lessons() {
        let mut route = lesson.hints().expect("a lesson has an exercise");
        let start = route.plan().clone();
        assert!((2..=5).contains(&route.steps().len()), "{}", lesson.title);
        while route
            .forward()
            .unwrap_or_else(|error| panic!("{}: {error}", lesson.title))
        {
            let step = route.step().expect("one is done");
            let is_last = route.done() == route.steps().len();
            // A hint may only say where to look; the last one does what is left.
            assert!(!step.says.is_empty(), "{}", lesson.title);
            assert!(!is_last || !step.edits.is_empty(), "{}", lesson.title);
            let (grade, said) = graded(&lesson, route.plan());
            // The last hint solves it, and none before it.
            assert_eq!(grade.kept, is_last, "{}: {}", lesson.title, said.text());
            assert!(grade.breaches.is_empty(), "{}", lesson.title);
        }
        while route.backward() {}
        assert_eq!(
            *route.plan(),
            Plan {
                next: route.plan().next,
                ..start
            }
        );
    }
}

#[test]
fn every_walk_is_led_to_its_end_and_back_and_is_read_aloud_in_four_minutes() {
    for lesson in lessons() {
        let walk = lesson.walk.as_ref().expect("a lesson has a walk");
        let mut route = Route::of(walk);
        let bare = route.plan().clone();
        while route
            .forward()
            .unwrap_or_else(|error| panic!("{}: {error}", lesson.title))
        {}
        assert_eq!(route.done(), walk.steps.len());
        assert!((6..=10).contains(&walk.steps.len()), "{}", lesson.title);
        // The last step shows what the exercise starts from.
        let (end, start) = (
            route.plan().clone(),
            lesson.exercise_start().expect("an exercise"),
        );
        assert_eq!(
            (&end.parts, &end.wires),
            (&start.parts, &start.wires),
            "{}",
            lesson.title
        );
        assert_eq!(
            (&end.duties, &end.world),
            (&start.duties, &start.world),
            "{}",
            lesson.title
        );
        while route.backward() {}
        assert_eq!(
            *route.plan(),
            Plan {
                next: route.plan().next,
                ..bare
            }
        );
        let mut words = 0;
        let mut questions = 0;
        for step in &walk.steps {
            let asked = step.question.iter().flat_map(|question| {
                let said = [&question.asks, &question.because];
                said.into_iter().chain(&question.answers)
            });
            let said = std::iter::once(&step.says).chain(asked);
            words += said
                .map(|text| text.split_whitespace().count())
                .sum::<usize>();
            questions += usize::from(step.question.is_some());
        }
        assert!(words <= WORDS, "{}: {words} words", lesson.title);
        assert!(questions >= 2, "{}", lesson.title);
    }
}

#[test]
fn each_mistake_is_told_by_name() {
    let all = lessons();
    let mut told = BTreeSet::new();
    for (name, phrase) in WRONG {
        let lesson: usize = name[..2].parse().expect("a lesson's number");
        let (grade, said) = graded(&all[lesson - 1], &fixture(&format!("wrong-{name}")));
        assert!(!grade.kept, "{name}");
        let trials = said.trials.iter().flat_map(|trial| &trial.sentences);
        let mut all = said.breaches.iter().chain(&said.overruled).chain(trials);
        assert!(
            all.any(|sentence| sentence.says.contains(phrase)),
            "{name}: {}",
            said.text()
        );
        told.insert(format!("wrong-{name}.json"));
    }
    let files = fs::read_dir(folder()).expect("the folder is there");
    let names = files.map(|file| {
        file.expect("a file")
            .file_name()
            .into_string()
            .expect("a name")
    });
    let wrong: BTreeSet<String> = names.filter(|name| name.starts_with("wrong-")).collect();
    assert_eq!(told, wrong);
}
