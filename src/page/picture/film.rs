//! The day as a film: the board drawn again and again as the dial goes on, and what the canvas shows recorded by the browser
//! as WebM while it plays.

use super::choice::PictureChoice;
use super::pixels;
use crate::page::download;
use crate::page::jobs::{Jobs, Reply, priority};
use crate::page::store::{Store, whole_fingerprint};
use crate::picture::{Picture, What};
use crate::plan::Plan;
use crate::worker::{Answer, PictureFile, Task};
use js_sys::{Array, Promise};
use leptos::prelude::*;
use std::cell::Cell;
use std::sync::Arc;
use tokio::sync::oneshot;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Blob, BlobEvent, BlobPropertyBag, MediaRecorder, MediaRecorderOptions, MediaStreamTrack,
};

/// How many times a second it is drawn, at most.
const FRAMES: f64 = 12.0;
/// The format of the file.
const MEDIA: &str = "video/webm";
/// Recorders take no more pixels across.
const WIDEST: u32 = 1920;

/// How a film stands.
#[derive(Clone, Debug, PartialEq)]
enum State {
    /// None is made.
    Still,
    /// One is recorded: so many seconds of it are.
    Records(u32),
    /// None could be made, for this reason.
    Failed(String),
}

/// What makes films. Cheap to copy; provided by context.
#[derive(Clone, Copy)]
pub struct FilmMaker {
    jobs: Jobs,
    choice: PictureChoice,
    state: RwSignal<State>,
    /// Counts the films begun and stopped: one of an earlier count does not go on.
    turn: StoredValue<u64>,
}

impl FilmMaker {
    /// None is made yet.
    pub fn start(jobs: Jobs, choice: PictureChoice) -> FilmMaker {
        FilmMaker {
            jobs,
            choice,
            state: RwSignal::new(State::Still),
            turn: StoredValue::new(0),
        }
    }

    fn store(self) -> Store {
        self.jobs.store()
    }

    fn next_turn(self) -> u64 {
        self.turn
            .try_update_value(|turn| {
                *turn += 1;
                *turn
            })
            .unwrap_or(0)
    }

    /// Whether one is recorded. Tracked.
    pub fn records(self) -> bool {
        matches!(self.state.get(), State::Records(_))
    }

    /// Stops it; nothing is kept of it.
    fn stop(self) {
        self.next_turn();
        self.state.set(State::Still);
    }

    /// Records one, and hands it over as a file.
    fn record(self) {
        let turn = self.next_turn();
        self.state.set(State::Records(0));
        let picture = untrack(|| self.choice.picture(self.store()));
        let picture = Picture {
            what: What::Board,
            ..picture
        };
        let seconds = self.choice.seconds.get_untracked();
        spawn_local(async move {
            let made = self.make(turn, picture, seconds).await;
            if self.turn.try_get_value() != Some(turn) {
                return;
            }
            self.state.set(match made {
                Ok(()) => State::Still,
                Err(why) => State::Failed(why),
            });
        });
    }

    async fn make(self, turn: u64, picture: Picture, seconds: u32) -> Result<(), String> {
        let said = |_: JsValue| "this browser records no film of a page".to_string();
        let plan = self.store().document();
        let first = self.frame(&plan, &picture, 0).await?;
        let canvas = pixels::canvas(even(first.size)).map_err(said)?;
        pixels::paint(&canvas, &first.svg).await.map_err(said)?;
        let recorder = Recorder::start(&canvas).map_err(said)?;
        let film = (&plan, &picture, seconds);
        let played = self.play(turn, film, &canvas, first.svg).await;
        let blob = recorder.finish().await.map_err(said)?;
        played?;
        if self.turn.try_get_value() != Some(turn) {
            return Ok(());
        }
        let name = download::named(&plan.title, "plan", "film.webm");
        download::hand_over_blob(&blob, &name).map_err(str::to_string)
    }

    /// Paints the day on the canvas as it goes by; until its end, or until another film is wanted.
    async fn play(
        self,
        turn: u64,
        (plan, picture, seconds): (&Arc<Plan>, &Picture, u32),
        canvas: &web_sys::HtmlCanvasElement,
        mut shown: String,
    ) -> Result<(), String> {
        let said = |_: JsValue| "this browser paints no picture of a page".to_string();
        let day = plan.world.day_ms();
        let begun = now();
        loop {
            let passed = now() - begun;
            if passed >= f64::from(seconds) || self.turn.try_get_value() != Some(turn) {
                return Ok(());
            }
            self.state.set(State::Records(passed as u32));
            let at = (day as f64 * passed / f64::from(seconds)) as u64;
            let at = at.min(day.saturating_sub(1));
            let frame = self.frame(plan, picture, at).await?;
            if frame.svg != shown {
                pixels::paint(canvas, &frame.svg).await.map_err(said)?;
                shown = frame.svg;
            }
            let next = ((passed * FRAMES).floor() + 1.0) / FRAMES;
            sleep(begun + next - now()).await;
        }
    }

    /// The board at a moment of the picture's day.
    async fn frame(
        self,
        plan: &Arc<Plan>,
        picture: &Picture,
        at: u64,
    ) -> Result<PictureFile, String> {
        let (tell, told) = oneshot::channel();
        let tell = Cell::new(Some(tell));
        let task = Task::Picture(Box::new(Picture {
            at,
            ..picture.clone()
        }));
        let hear = move |reply: Reply| {
            let answer = match reply {
                Reply::Piece(Answer::Pictured(drawn)) => *drawn,
                Reply::Piece(_) | Reply::Anew => return,
                Reply::Failed(why) => Err(why),
            };
            if let Some(tell) = tell.take() {
                // Nobody may wait for it any more.
                let _ = tell.send(answer);
            }
        };
        let about = (plan, whole_fingerprint(plan));
        self.jobs.ask(task, about, priority::AWAITED, hear);
        let answer = told.await;
        answer.unwrap_or_else(|_| Err("the worker that draws it was ended".into()))
    }
}

/// What records a canvas.
struct Recorder {
    recorder: MediaRecorder,
    pieces: Array,
    _hears: Closure<dyn FnMut(BlobEvent)>,
}

impl Recorder {
    fn start(canvas: &web_sys::HtmlCanvasElement) -> Result<Recorder, JsValue> {
        let stream = canvas.capture_stream()?;
        let options = MediaRecorderOptions::new();
        options.set_mime_type(MEDIA);
        let recorder =
            MediaRecorder::new_with_media_stream_and_media_recorder_options(&stream, &options)?;
        let pieces = Array::new();
        let put = pieces.clone();
        let hears = Closure::<dyn FnMut(BlobEvent)>::new(move |event: BlobEvent| {
            if let Some(piece) = event.data() {
                put.push(&piece);
            }
        });
        recorder.set_ondataavailable(Some(hears.as_ref().unchecked_ref()));
        recorder.start()?;
        Ok(Recorder {
            recorder,
            pieces,
            _hears: hears,
        })
    }

    /// Ends it; what was recorded. Nothing goes on recording, whatever comes of it.
    async fn finish(self) -> Result<Blob, JsValue> {
        let recorder = self.recorder.clone();
        let ended = Promise::new(&mut |resolve, reject| {
            recorder.set_onstop(Some(&resolve));
            if let Err(why) = recorder.stop() {
                // It is told by the promise.
                let _ = reject.call1(&JsValue::NULL, &why);
            }
        });
        let ended = JsFuture::from(ended).await;
        self.recorder.set_ondataavailable(None);
        for track in self.recorder.stream().get_tracks() {
            track.unchecked_into::<MediaStreamTrack>().stop();
        }
        ended?;
        let options = BlobPropertyBag::new();
        options.set_type(MEDIA);
        Blob::new_with_blob_sequence_and_options(&self.pieces, &options)
    }
}

/// Seconds of any steady clock.
fn now() -> f64 {
    window()
        .performance()
        .map_or(0.0, |clock| clock.now() / 1000.0)
}

async fn sleep(seconds: f64) {
    let rest = std::time::Duration::from_secs_f64(seconds.clamp(0.0, 1.0));
    let passed = Promise::new(&mut |resolve, _| {
        set_timeout(
            move || {
                // A promise is resolved without fail.
                let _ = resolve.call0(&JsValue::NULL);
            },
            rest,
        );
    });
    // It is never rejected.
    let _ = JsFuture::from(passed).await;
}

/// A size of even numbers, as films have, no wider than recorders take.
fn even((wide, high): (u32, u32)) -> (u32, u32) {
    let scale = f64::from(WIDEST.min(wide)) / f64::from(wide.max(1));
    let even = |n: u32| ((f64::from(n) * scale) as u32).max(2) / 2 * 2;
    (even(wide), even(high))
}

/// The buttons of a film.
#[component]
pub fn FilmActs(
    /// What makes it.
    film: FilmMaker,
) -> impl IntoView {
    on_cleanup(move || film.stop());
    move || {
        match film.state.get() {
        State::Records(done) => view! {
            <progress aria-label="Recording" max=film.choice.seconds.get().to_string() value=done.to_string()/>
            <span role="status">{format!("{done} of {} seconds are recorded.", film.choice.seconds.get())}</span>
            <button type="button" on:click=move |_| film.stop()>"Stop"</button>
        }
        .into_any(),
        State::Still => record_button(film).into_any(),
        State::Failed(why) => view! {
            <span role="status">{format!("No film was made: {why}.")}</span>
            {record_button(film)}
        }
        .into_any(),
    }
    }
}

fn record_button(film: FilmMaker) -> impl IntoView {
    view! { <button type="button" on:click=move |_| film.record()>"Record as WebM"</button> }
}
