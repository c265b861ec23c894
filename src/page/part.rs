//! What the page's second part has: whatever is reached from here alone is fetched once the first board stands.

use super::jobs::Jobs;
use super::keeping::use_keeper;
use super::later::Part;
use super::store::{LogPage, Store};
use super::windows::{WindowKind, use_windows};
use super::{
    book, build, cables, clipboard, compare, day, details, draft, duties, explain, findings,
    incoming, later, launched, links, logic,
};
use super::{
    losses, measure, picture, plans, print, recheck, recording, site, sizes, teach, tidying, walk,
    worlds,
};
use leptos::prelude::*;

impl Part {
    /// The second part. To be called in nothing but the function that the page's program is split at.
    pub fn whole() -> Part {
        Part {
            start,
            verdict: || view! { <duties::VerdictLine/> }.into_any(),
            board_note: || view! { <build::BoardNoteBanner/> }.into_any(),
            details: || {
                view! { <site::Strangers/> <details::Details on_site=site::on_site/> }.into_any()
            },
            log_page,
            play: || view! { <day::Play/> }.into_any(),
            window,
            take_link: incoming::take_link,
            take_other: incoming::take_other,
            recheck_line: || view! { <recheck::RecheckLine/> }.into_any(),
            site: || view! { <site::SitePage/> }.into_any(),
            site_problems: || view! { <site::SiteProblems/> }.into_any(),
            site_shelf: || view! { <site::SiteShelf/> }.into_any(),
            open_lesson: teach::open_lesson,
            walk_bar: || view! { <walk::WalkBar/> }.into_any(),
            begin_walk: walk::begin,
            stage: || view! { <recording::Stage/> }.into_any(),
            sheet: || view! { <print::Sheet/> }.into_any(),
            copy_link: links::copy,
            copy: clipboard::copy,
            paste: clipboard::paste,
        }
    }
}

fn start(store: Store) {
    let jobs = Jobs::new(store);
    provide_context(jobs);
    launched::listen(incoming::Incoming::here(), later::use_later());
    tidying::start(jobs);
    day::start(jobs);
    let duties = duties::DutiesJob::start(jobs);
    provide_context(duties);
    let rechecks = recheck::Rechecks::start(jobs);
    provide_context(rechecks);
    provide_context(worlds::Worlds::start(store, use_keeper(), rechecks));
    plans::note_verdicts(store, use_keeper(), duties);
    site::start(jobs);
    provide_context(losses::LossesJob::start(jobs));
    provide_context(logic::LogicJob::start(jobs));
    provide_context(findings::FindingsJob::start(jobs));
    provide_context(explain::ExplainJob::start(jobs));
    provide_context(walk::Walks::start(store, use_keeper()));
    provide_context(walk::StepTextJob::start(jobs));
    picture::start(jobs);
    provide_context(details::StartByJob::start(jobs));
    provide_context(compare::Variants::start(jobs));
    provide_context(sizes::SizesJob::start(jobs));
    provide_context(cables::CablesJob::start(jobs));
    build::start(jobs);
    draft::start(jobs);
    teach::start(jobs);
}

fn window(kind: WindowKind) -> AnyView {
    match kind {
        WindowKind::Plans => view! { <plans::Plans/> }.into_any(),
        WindowKind::Book => view! { <book::BookPage/> }.into_any(),
        WindowKind::Worlds => view! { <worlds::WorldsPage/> }.into_any(),
        WindowKind::Picture => view! { <picture::PicturePage/> }.into_any(),
        WindowKind::Build => view! { <build::BuildPage/> }.into_any(),
        WindowKind::Draft => view! { <draft::DraftPage/> }.into_any(),
        WindowKind::Lessons => view! { <teach::LessonsPage/> }.into_any(),
        WindowKind::Exercise => view! { <teach::ExerciseWindow/> }.into_any(),
        WindowKind::Measure => measuring(),
        WindowKind::Report => view! { <recheck::RecheckReport/> }.into_any(),
    }
}

fn measuring() -> AnyView {
    let (keeper, windows) = (use_keeper(), use_windows());
    let keep = Callback::new(move |numbers| {
        let world = keeper.keep_new_world("Measured world", numbers);
        keeper.say(&format!("{} is kept among your worlds now.", world.name));
        windows.open(WindowKind::Worlds);
    });
    view! { <measure::Measure keep/> }.into_any()
}

fn log_page(page: LogPage) -> AnyView {
    match page {
        LogPage::Day => view! { <day::DayChart/> }.into_any(),
        LogPage::Duties => view! { <duties::DutiesPage/> }.into_any(),
        LogPage::Sizes => view! { <sizes::SizesPage/> }.into_any(),
        LogPage::Losses => view! { <losses::LossPage/> }.into_any(),
        LogPage::Logic => view! { <logic::LogicPage/> }.into_any(),
        LogPage::Findings => view! { <findings::FindingsPage/> }.into_any(),
        LogPage::Walk => view! { <walk::WalkPage/> }.into_any(),
        LogPage::Explain => view! { <explain::ExplainPage/> }.into_any(),
        LogPage::Exercise => view! { <teach::ExercisePage/> }.into_any(),
        LogPage::Compare => view! { <compare::ComparePage/> }.into_any(),
    }
}
