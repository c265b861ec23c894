//! The questions that the worker answers, and the answers. A question comes with its plan; an answer may come in
//! several pieces, the last of which ends it.

use super::{builder, losses};
use crate::plan::{PartId, Plan};
use crate::proof::compare;
use crate::proof::findings::Finding;
use crate::proof::sizes::{self, Ask, Sizes};
use crate::proof::{self, Autonomy, Cause, Check, WorstStarts};
use crate::proof::{Findings, LogicTable, LossReport, PairReport, Row};
use crate::quantity::Ms;
use crate::run::{Course, Extent, Journey, Reserve, reserve};
use crate::sheet::aims::{self, Found, Panel};
use serde::{Deserialize, Serialize};

/// A question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Run the plan.
    Day(Extent),
    /// Find the best aims of a sun panel.
    Aims {
        /// The panel.
        part: PartId,
        /// The day whose weather counts, from 0.
        day: u64,
        /// Steps of one panel that are useful.
        least: u64,
    },
    /// Check the duties, and find why each that is broken is so.
    Duties,
    /// How long duties hold if neither sun nor wind give anything from this moment on.
    Holds(Ms),
    /// From which start they hold for the least time, and how many days of bad weather are survived.
    Autonomy,
    /// What batteries have in reserve at the last dusk of so many days.
    Reserve(u64),
    /// The least sources and batteries that keep the duties.
    Sizes(Ask),
    /// What each source and battery has in reserve.
    Spare,
    /// Single losses.
    Losses {
        /// Whether batteries found empty are among them.
        empty: bool,
        /// Which share of them, from 0, and of how many.
        share: (usize, usize),
    },
    /// Every pair of the losses reported.
    Pairs(Vec<LossReport>),
    /// What contacts do at an instant.
    Logic(Ms),
    /// What an experienced builder would say of the plan.
    Findings,
    /// The plan beside a variant of it.
    Compare {
        /// The variant's file.
        other: String,
        /// Whether single losses are tried too.
        losses: bool,
    },
}

/// A piece of an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// So many of so many steps are done.
    Progress(u64, u64),
    /// A run that came to its end. The last piece.
    Day(Box<Journey>),
    /// What is found of a panel's aims so far. The last piece is complete.
    Aims(Box<Found>),
    /// The verdict on every duty.
    Checked(Box<Check>),
    /// The cause of every gap, by duty. The last piece.
    Causes(Vec<Vec<Cause>>),
    /// How long duties hold from a moment. The last piece.
    Holds(Autonomy),
    /// The worst starts found so far.
    Worst(Box<WorstStarts>),
    /// The worst starts, and the days of bad weather in words. The last piece.
    Autonomy(Box<(WorstStarts, String)>),
    /// The reserve, where it ever turns dark. The last piece.
    Reserve(Option<Reserve>),
    /// How far the search for the least is, and what it has found.
    Sizing(Box<sizes::Progress>),
    /// The least. The last piece.
    Sized(Box<Sizes>),
    /// The reserves found so far, of so many, and the runs that took. The last piece has all.
    Spare(Vec<sizes::Spare>, usize, u64),
    /// Some more losses, each with its place among all.
    SomeLosses(Vec<(usize, LossReport)>),
    /// All losses of the share were told. The last piece.
    Losses {
        /// Whether the days of the whole plan repeat.
        for_ever: bool,
        /// How many days of it were run.
        days: u64,
        /// How many duties the whole plan keeps.
        kept: usize,
    },
    /// Some more pairs.
    SomePairs(Vec<PairReport>),
    /// All pairs were told. The last piece.
    Pairs,
    /// What the columns of a table of contacts are.
    LogicTable(LogicTable),
    /// Some more of its rows.
    LogicRows(Vec<Row>),
    /// What comes of changing inputs in turn. The last piece.
    Logic(Findings),
    /// One finding.
    Finding(Box<Finding>),
    /// All findings have been told. The last piece.
    NoMoreFindings,
    /// Two variants side by side, and whether that is all; if so the last piece.
    Compared(Vec<compare::Row>, bool),
}

impl Answer {
    /// Whether nothing comes after this piece.
    pub fn is_last(&self) -> bool {
        match self {
            Answer::Progress(..) | Answer::Checked(_) | Answer::Worst(_) => false,
            Answer::SomeLosses(_) | Answer::SomePairs(_) => false,
            Answer::LogicTable(_) | Answer::LogicRows(_) => false,
            Answer::Finding(_) => false,
            Answer::Compared(_, complete) => *complete,
            Answer::Sizing(_) => false,
            Answer::Spare(found, of, _) => found.len() >= *of,
            Answer::Aims(found) => found.complete,
            Answer::Day(_) | Answer::Causes(_) | Answer::Holds(_) | Answer::Autonomy(_) => true,
            Answer::Reserve(_) | Answer::Sized(_) => true,
            Answer::Losses { .. } | Answer::Pairs | Answer::Logic(_) => true,
            Answer::NoMoreFindings => true,
        }
    }
}

/// How many events are gone through before progress is told.
const PIECE: u64 = 20_000;

/// Works a question out; `say` is told every piece as it comes.
pub fn answer(task: Task, plan: &Plan, say: &mut dyn FnMut(Answer)) {
    match task {
        Task::Day(extent) => {
            let mut course = Course::new(plan, extent);
            while !course.go(PIECE) {
                let (done, of) = course.days();
                say(Answer::Progress(done, of));
            }
            say(Answer::Day(Box::new(course.finish(plan))));
        }
        Task::Aims { part, day, least } => {
            let mut tell = |found: &Found| say(Answer::Aims(Box::new(found.clone())));
            match Panel::of(plan, &part, day) {
                Some(panel) => aims::find(&panel, least, &mut tell),
                None => tell(&Found {
                    complete: true,
                    ..Found::default()
                }),
            }
        }
        Task::Duties => {
            let check =
                proof::check_watched(plan, &mut |day| say(Answer::Progress(day, proof::DAYS)));
            say(Answer::Checked(Box::new(check.clone())));
            say(Answer::Causes(proof::causes(plan, &check, &mut |_, _| {})));
        }
        Task::Holds(from) => say(Answer::Holds(proof::autonomy(plan, from))),
        Task::Autonomy => autonomy(plan, say),
        Task::Reserve(days) => say(Answer::Reserve(reserve(plan, days))),
        Task::Sizes(ask) => {
            let mut told: Option<sizes::Progress> = None;
            let found = sizes::sizes(plan, &ask, &mut |progress| {
                let is_news = told.as_ref().is_none_or(|t| {
                    progress.worth != t.worth || progress.runs.0 >= t.runs.0 + RUNS
                });
                if is_news {
                    told = Some(progress.clone());
                    say(Answer::Sizing(Box::new(progress.clone())));
                }
                true
            });
            say(Answer::Sized(Box::new(found)));
        }
        Task::Spare => {
            let of = sizes::banks(plan);
            let (mut told, mut all) = ((0, 0), 0);
            let found = sizes::spares(plan, &mut |found, runs| {
                all = runs;
                if found.len() > told.0 || runs >= told.1 + RUNS {
                    told = (found.len(), runs);
                    say(Answer::Spare(found.to_vec(), of, runs));
                }
                true
            });
            say(Answer::Spare(found, of, all));
        }
        Task::Losses { empty, share } => losses::some_losses(plan, empty, share, say),
        Task::Pairs(singles) => losses::every_pair(plan, &singles, say),
        Task::Logic(t) => losses::contacts(plan, t, say),
        Task::Findings => builder::findings(plan, say),
        Task::Compare { other, losses } => builder::compare(plan, &other, losses, say),
    }
}

/// After how many runs a search is heard of, if it finds nothing.
const RUNS: u64 = 25;

/// How many starts are tried before what was found is told.
const STARTS: u64 = 200;

/// The worst starts, then the weather; each is half of the way.
fn autonomy(plan: &Plan, say: &mut dyn FnMut(Answer)) {
    let check = proof::check(plan);
    let mut told = 0;
    let starts = proof::worst_starts(plan, &check, &mut |done, of, found| {
        if found.tried >= told + STARTS {
            told = found.tried;
            say(Answer::Progress(done, of.saturating_mul(2)));
            say(Answer::Worst(Box::new(found.clone())));
        }
        true
    });
    say(Answer::Worst(Box::new(starts.clone())));
    let weather = proof::bad_weather(plan, &check, &mut |done, of, _| {
        say(Answer::Progress(of + done, of * 2));
        true
    });
    let weather = proof::bad_weather_says(plan, &check, &weather, &mut |_, _, _| true);
    say(Answer::Autonomy(Box::new((starts, weather))));
}
