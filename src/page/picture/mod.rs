//! A picture of the plan for others: chosen, looked at and saved in a window of its own. It is drawn by the core, in a
//! worker; here it becomes a file.

mod choice;
mod film;
mod form;
mod pixels;

use super::caution::Caution;
use super::day::use_run;
use super::download;
use super::jobs::{Job, Jobs, Large, Rule, Subject, UnderWay, follow, priority, use_jobs};
use super::store::use_store;
use super::windows::{WindowKind, use_windows};
use crate::worker::{Answer, PictureFile, Task};
use choice::{PictureChoice, Shown};
use film::FilmMaker;
use form::Form;
use leptos::prelude::*;
pub use pixels::address;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::spawn_local;

/// A picture that was asked for: it, or why there is none.
type Pictured = Result<PictureFile, String>;

/// Provides what the window needs. Call it in the page's root.
pub fn start(jobs: Jobs) {
    let choice = PictureChoice::new();
    provide_context(choice);
    provide_context(FilmMaker::start(jobs, choice));
    let store = jobs.store();
    Effect::watch(
        move || store.opened(),
        move |_, _, _| choice.begin_anew(),
        false,
    );
}

/// The window.
#[component]
pub fn PicturePage() -> impl IntoView {
    let (store, jobs, windows) = (use_store(), use_jobs(), use_windows());
    let choice: PictureChoice = expect_context();
    // A picture is of one moment: a day that plays stops there.
    use_run().plays().set(false);
    choice.moment.set(store.moment().get_untracked());
    let job: Job<Pictured> = Job::new(jobs, Subject::Whole, |picture, piece, _| {
        if let Answer::Pictured(drawn) = piece {
            *picture = Some(*drawn);
        }
        true
    });
    let rule = Rule {
        is_open: Signal::derive(move || windows.is_open(WindowKind::Picture)),
        small: usize::MAX,
        large: Large::Always,
        later: priority::AWAITED,
    };
    let wanted = Memo::new(move |_| vec![Task::Picture(Box::new(choice.picture(store)))]);
    follow(job, rule, move || wanted.get());
    let drawn = Memo::new(move |_| job.answer().map(|answer| answer.value.clone()));
    // What is shown is of an earlier choice while another is drawn: it is not saved then.
    let is_current = Memo::new(move |_| {
        let is_of = |tasks: &Vec<Task>| wanted.with(|wanted| wanted == tasks);
        job.answer().is_some_and(|answer| is_of(&answer.tasks)) && !job.is_out_of_date()
    });
    let status = job.status();
    let again = Callback::new(move |()| job.ask_anew(untrack(|| wanted.get()), priority::AWAITED));
    let stop = Callback::new(move |()| job.stop());
    view! {
        <div class="picture-page">
            <Form/>
            <section class="picture-preview" aria-label="The picture">
                {move || (!is_current.get()).then(|| view! {
                    <UnderWay status doing="Drawing the picture" stop again=("Draw it", again)/>
                })}
                {move || match drawn.get() {
                    Some(Ok(file)) => view! { <Preview file is_current/> }.into_any(),
                    Some(Err(why)) => view! { <p role="status">{format!("There is no such picture: {why}.")}</p> }.into_any(),
                    None => ().into_any(),
                }}
            </section>
        </div>
        <Caution/>
    }
}

/// The picture as it will be, what could not be put into it, and what it is saved as.
#[component]
fn Preview(
    /// The picture.
    file: PictureFile,
    /// Whether it is the one that is chosen now.
    is_current: Memo<bool>,
) -> impl IntoView {
    let store = use_store();
    let choice: PictureChoice = expect_context();
    let film: FilmMaker = expect_context();
    let address = pixels::address(&file.svg);
    if let Some(address) = address.clone() {
        on_cleanup(move || {
            // Where it is gone already nothing is held.
            let _ = web_sys::Url::revoke_object_url(&address);
        });
    }
    let title = store.with_plan(|plan| plan.title.clone());
    // Pictures of several kinds of one plan have names of their own.
    let of = match choice.shown.get_untracked() {
        Shown::Board => "",
        Shown::Day => "day.",
        Shown::Explanation => "explained.",
        Shown::Site => "site.",
        Shown::Film => "film.",
    };
    let named = move |ending: &str| download::named(&title, "plan", &format!("{of}{ending}"));
    let alt = format!("The picture, {} by {} pixels", file.size.0, file.size.1);
    let class = format!(
        "picture-shown{}",
        match choice.theme.get_untracked() {
            crate::picture::Theme::ClearLightInk => " on-dark",
            crate::picture::Theme::ClearDarkInk => " on-light",
            _ => "",
        }
    );
    let left_out = file.left_out.clone();
    let (svg, size) = (StoredValue::new(file.svg), file.size);
    let name = StoredValue::new(named("svg"));
    let save_svg = move |_| {
        svg.with_value(|svg| {
            name.with_value(|name| download::save(store, svg, name, "image/svg+xml"))
        });
    };
    let png_name = named("png");
    let save_png = move |_| {
        let (svg, name) = (svg.get_value(), png_name.clone());
        spawn_local(async move {
            if let Err(why) = png(&svg, size, &name).await {
                store.notice(why.into());
            }
        });
    };
    let is_film = choice.shown.get_untracked() == Shown::Film;
    view! {
        <img class=class src=address alt=alt width=size.0 height=size.1/>
        <p class="aside">{format!("{} by {} pixels.", size.0, size.1)}</p>
        <ul class="picture-left-out">{left_out.into_iter().map(|says| view! { <li>{says}</li> }).collect_view()}</ul>
        <p class="ends">
            <button type="button" disabled=move || !is_current.get() on:click=save_svg>"Save as SVG"</button>
            {(!is_film).then(|| view! {
                <button type="button" disabled=move || !is_current.get() on:click=save_png>"Save as PNG"</button>
            })}
            {is_film.then(|| view! { <film::FilmActs film/> })}
        </p>
        {is_film.then(|| view! {
            <p class="aside">"The SVG moves by itself in any browser. The WebM shows the board alone, moment after moment, and is recorded while it plays: keep this window open so long."</p>
        })}
    }
}

/// Saves a picture as PNG.
///
/// # Errors
/// Where the browser does not make or take it: the sentence that says so.
async fn png(svg: &str, size: (u32, u32), name: &str) -> Result<(), &'static str> {
    const NOT_MADE: &str =
        "The browser made no PNG of it: choose a smaller size, or save it as SVG.";
    let no = |_: JsValue| NOT_MADE;
    let canvas = pixels::canvas(size).map_err(no)?;
    pixels::paint(&canvas, svg).await.map_err(no)?;
    let blob = pixels::as_png(&canvas).await.map_err(no)?;
    download::hand_over_blob(&blob, name)
}
