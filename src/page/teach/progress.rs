//! Which lessons were done, with how many stars at the best: kept in this browser.

use super::grade_job::GradeJob;
use crate::page::keeping::browser;
use crate::page::store::Store;
use crate::plan::Plan;
use crate::teach::{LESSONS, lesson_of, lessons};
use leptos::prelude::*;
use std::sync::Arc;

/// Under which name the browser keeps it: a digit a lesson.
const KEPT_AS: &str = "lessons/stars";

/// The lessons and how it stands with them. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct Progress {
    lessons: StoredValue<Arc<Vec<Plan>>>,
    /// The most stars of each lesson, 0 where it was not done.
    stars: RwSignal<Vec<u8>>,
}

/// The progress, from the context that the page's second part provides.
pub fn use_progress() -> Progress {
    expect_context()
}

impl Progress {
    /// As it was kept; follows what grades come to.
    pub fn start(store: Store, grade: GradeJob) -> Progress {
        let progress = Progress {
            lessons: StoredValue::new(Arc::default()),
            stars: RwSignal::new(kept()),
        };
        Effect::new(move |_| {
            let Some(answer) = grade.job().answer() else {
                return;
            };
            let Ok((grade, _)) = &answer.value else {
                return;
            };
            let lesson = lesson_of(&answer.plan, &progress.lessons());
            if let Some(at) = lesson.filter(|_| grade.kept) {
                progress.note(store, at, grade.stars());
            }
        });
        progress
    }

    /// The lessons, read when they are first asked for.
    pub fn lessons(self) -> Arc<Vec<Plan>> {
        if self.lessons.with_value(|all| all.is_empty()) {
            self.lessons.set_value(Arc::new(lessons()));
        }
        self.lessons.get_value()
    }

    /// The most stars of a lesson, by its place; 0 where it was not done. Tracked.
    pub fn stars(self, lesson: usize) -> u8 {
        self.stars.with(|all| all.get(lesson).copied().unwrap_or(0))
    }

    fn note(self, store: Store, lesson: usize, stars: u8) {
        if untrack(|| self.stars(lesson)) >= stars {
            return;
        }
        self.stars.update(|all| {
            if let Some(best) = all.get_mut(lesson) {
                *best = stars;
            }
        });
        let digits: String = self
            .stars
            .with_untracked(|all| all.iter().map(u8::to_string).collect());
        if browser::write(KEPT_AS, &digits).is_err() {
            store.notice("The lesson is done, but this browser does not keep that.".into());
        }
    }
}

/// What the browser keeps; lessons that it knows nothing of were not done.
fn kept() -> Vec<u8> {
    let text = browser::read(KEPT_AS).unwrap_or_default();
    let digits = text.chars().map(|c| c.to_digit(10).unwrap_or(0) as u8);
    digits.chain(std::iter::repeat(0)).take(LESSONS).collect()
}
