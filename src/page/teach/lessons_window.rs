//! The lessons: a list from which each is begun, with how it went.

use super::drawn_stars;
use super::progress::use_progress;
use crate::page::caution::Caution;
use crate::page::keeping::{Keeper, use_keeper};
use crate::page::windows::use_windows;
use crate::plan::read_plan;
use crate::shelf::Origin;
use crate::teach::{LESSONS, lesson_text};
use leptos::prelude::*;

/// Begins a lesson, by its place from 0, as another plan.
pub fn open_lesson(keeper: Keeper, at: usize) {
    // A test reads every lesson.
    if let Some(Ok(plan)) = lesson_text(at).map(read_plan) {
        keeper.open_other(plan.begun(), Origin::Example);
    }
}

/// The window.
#[component]
pub fn LessonsPage() -> impl IntoView {
    let (keeper, windows) = (use_keeper(), use_windows());
    let progress = use_progress();
    let lessons = progress.lessons();
    let rows = lessons.iter().enumerate().map(|(at, lesson)| {
        let (title, notes) = (lesson.title.clone(), lesson.notes.clone());
        let most = 2 + u8::from(
            lesson
                .exercise
                .as_ref()
                .is_some_and(|e| e.materials.is_some()),
        );
        let begin = move |_| {
            windows.close();
            open_lesson(keeper, at);
        };
        let standing = move || match progress.stars(at) {
            0 => "Not done yet".to_string(),
            stars => format!("Done, {stars} of {most} stars"),
        };
        let marks = move || drawn_stars(progress.stars(at), most);
        let is_done = move || progress.stars(at) > 0;
        view! {
            <li class="lesson">
                <div>
                    <h3>{title.clone()}</h3>
                    <p>{notes}</p>
                    <p class="aside"><span aria-hidden="true">{marks}" "</span>{standing}</p>
                </div>
                <button type="button" aria-label=format!("Begin {title}") on:click=begin>
                    {move || if is_done() { "Do it again" } else { "Begin" }}
                </button>
            </li>
        }
    });
    let rows: Vec<_> = rows.collect();
    let done = move || (0..LESSONS).filter(|at| progress.stars(*at) > 0).count();
    view! {
        <p>"Each lesson is a walk of a few minutes and an exercise. Nothing has to be known beforehand. Your own plans stay as they are."</p>
        <p role="status">{move || format!("{} of {LESSONS} done.", done())}</p>
        <ol class="lessons">{rows}</ol>
        <Caution/>
    }
}
