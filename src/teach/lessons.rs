//! The lessons that ship: plans of one station, each with a walk and an exercise, as files that any reader of plans reads.

use crate::plan::{Plan, read_plan};

/// The files' texts of the lessons, in their order.
const TEXTS: [&str; 13] = [
    include_str!("../../assets/lessons/01-one-lamp.json"),
    include_str!("../../assets/lessons/02-what-is-left.json"),
    include_str!("../../assets/lessons/03-order.json"),
    include_str!("../../assets/lessons/04-aim-a-panel.json"),
    include_str!("../../assets/lessons/05-dusk-lamp.json"),
    include_str!("../../assets/lessons/06-heater-and-lamp.json"),
    include_str!("../../assets/lessons/07-who-is-home.json"),
    include_str!("../../assets/lessons/08-dividers.json"),
    include_str!("../../assets/lessons/09-timers.json"),
    include_str!("../../assets/lessons/10-memory.json"),
    include_str!("../../assets/lessons/11-changeover.json"),
    include_str!("../../assets/lessons/12-dull-days.json"),
    include_str!("../../assets/lessons/13-any-single-loss.json"),
];

/// How many lessons there are.
pub const LESSONS: usize = TEXTS.len();

/// The file's text of a lesson, by its place from 0.
pub fn lesson_text(at: usize) -> Option<&'static str> {
    TEXTS.get(at).copied()
}

/// Every lesson as it is set. A test reads all of them; one that could not be read would be left out.
pub fn lessons() -> Vec<Plan> {
    TEXTS
        .iter()
        .filter_map(|text| read_plan(text).ok())
        .collect()
}

/// Which of these lessons a plan's exercise is, by its place: whoever has changed what on the board since.
pub fn lesson_of(plan: &Plan, lessons: &[Plan]) -> Option<usize> {
    let own = plan.exercise.as_deref()?.as_set();
    let is_own = |lesson: &Plan| lesson.exercise.as_deref() == Some(&own);
    lessons.iter().position(is_own)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_lesson_is_read_and_known_again() {
        let all = lessons();
        assert_eq!(all.len(), LESSONS);
        for (at, lesson) in all.iter().enumerate() {
            assert!(lesson.walk.is_some(), "{at}");
            let mut begun = lesson.clone().begun();
            assert_eq!(lesson_of(&begun, &all), Some(at));
            begun.title = "Mine".into();
            assert_eq!(begun.as_set().as_ref(), Some(lesson));
            assert_eq!(lesson_text(at).map(read_plan), Some(Ok(lesson.clone())));
        }
        assert_eq!(lesson_text(LESSONS), None);
    }
}
