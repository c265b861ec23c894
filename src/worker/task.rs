//! The questions that a worker answers, and the answers. A question is about a plan; an answer may come in several pieces,
//! the last of which ends it.

use crate::diagnosis::{BaseReading, Diagnosis};
use crate::explain::SaidExplanation;
use crate::fit::Fit;
use crate::picture::Picture;
use crate::plan::{Clock, PartId, Throw, WireId};
use crate::proof::compare;
use crate::proof::findings::Finding;
use crate::proof::recheck::Side;
use crate::proof::sizes::{self, Ask, Sizes};
use crate::proof::start_by::{NoStart, Offer, StartOutcome, StartWish};
use crate::proof::{Autonomy, BrokenChange, Cause, Check, WorstStarts};
use crate::proof::{Exploration, LogicRow, LogicTable, LossReport, PairReport};
use crate::quantity::Ms;
use crate::run::{Extent, Journey, Reserve};
use crate::sheet::draft_said::SaidDraft;
use crate::sheet::recheck_report::PlanReport;
use crate::sheet::step_list::StepList;
use crate::sheet::tidy::{LaidOut, Screen};
use crate::sky::AimReport;
use crate::teach::{Grade, GradeRow, SaidGrade};
use crate::works::{CableSchedule, FoundOnSite, HiddenRun, SiteRun};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// A question.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Task {
    /// Run the plan, with this thrown by hand.
    Day(Extent, Vec<Throw>),
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
    /// Lay these parts out anew for a screen.
    Tidy(BTreeSet<PartId>, Screen),
    /// What lets a load start at another time.
    StartBy(StartWish),
    /// The plan beside a variant of it.
    Compare {
        /// The variant's file.
        other: String,
        /// Whether single losses are tried too.
        losses: bool,
    },
    /// The world that a table of readings comes to, the table as its file's text. It has nothing to do with the plan.
    Fit(String),
    /// The cable schedule.
    Cables,
    /// The run of every wire in the plan's site; these are known from before.
    OnSite(BTreeMap<WireId, SiteRun>),
    /// The run of a wire that shows least.
    Hide(WireId),
    /// The order of work, with checks for this time of day 1.
    Steps(Clock),
    /// The single faults that explain these readings off the base as it was built.
    Diagnose(Vec<BaseReading>),
    /// What the plan does, and why each part is there.
    Explain,
    /// What a step of a walk that leads to the plan could say; the state before it as its file's text.
    StepText(String),
    /// The plan as a picture.
    Picture(Box<Picture>),
    /// What the plan is worth against the exercise that it carries.
    Grade,
    /// What these solutions of the plan's exercise are worth, each a plan's file or a link, with a name before it or not.
    GradeAll(Vec<String>),
    /// Plans from what is wanted.
    Draft {
        /// The order as its file's text.
        order: String,
        /// Whether the plan is to be completed; else the order has nothing to do with it.
        completes: bool,
    },
    /// The plan on its own numbers and on these.
    Recheck {
        /// The other numbers.
        given: GivenNumbers,
        /// Whether they are those of before or the new ones.
        side: Side,
    },
}

/// The numbers that a plan is proven on beside its own, as a file's text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum GivenNumbers {
    /// A world, with its book.
    World(String),
    /// A book; the plan's world stays.
    Book(String),
}

/// A finished picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PictureFile {
    /// A whole SVG document.
    pub svg: String,
    /// Its width and height, in pixels.
    pub size: (u32, u32),
    /// What was asked for and is not in it, a sentence each.
    pub left_out: Vec<String>,
}

/// What a search for another time of a load's start has found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StartFound {
    /// The changes that do it, the cheapest first.
    pub offers: Vec<Offer>,
    /// What else is known.
    pub outcome: StartOutcome,
}

/// How a question is worked out, which decides how it shares a worker with others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// In one go, soon over.
    Quick,
    /// In short steps: between two of them it can be stopped, or wait while something more urgent is worked out.
    Stepwise,
    /// In one go that may take long: it is stopped by ending its worker, and never takes all workers.
    Long,
}

impl Task {
    /// How it is worked out.
    pub fn manner(&self) -> Manner {
        match self {
            Task::Aims { .. } | Task::Duties | Task::Holds(_) | Task::Reserve(_) => Manner::Quick,
            Task::Tidy(..) | Task::Cables => Manner::Quick,
            Task::Day(..) | Task::Losses { .. } | Task::Pairs(_) => Manner::Stepwise,
            Task::Diagnose(_) | Task::OnSite(_) => Manner::Stepwise,
            Task::Explain | Task::StepText(_) => Manner::Stepwise,
            Task::Grade | Task::GradeAll(_) | Task::Draft { .. } => Manner::Stepwise,
            Task::Logic(_) | Task::Findings | Task::StartBy(_) => Manner::Stepwise,
            Task::Autonomy | Task::Sizes(_) | Task::Spare | Task::Fit(_) => Manner::Long,
            Task::Compare { .. } | Task::Recheck { .. } | Task::Steps(_) => Manner::Long,
            Task::Hide(_) | Task::Picture(_) => Manner::Long,
        }
    }
}

/// A piece of an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Answer {
    /// So many of so many steps are done.
    Progress(u64, u64),
    /// A run that came to its end. The last piece.
    Day(Box<Journey>),
    /// What is found of a panel's aims so far. The last piece is complete.
    Aims(Box<AimReport>),
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
    /// What losses change about duties that are broken anyway, each with its place among all; only of those that change
    /// something.
    LossChanges(Vec<(usize, Vec<BrokenChange>)>),
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
    LogicRows(Vec<LogicRow>),
    /// What comes of changing inputs in turn. The last piece.
    Logic(Exploration),
    /// One finding.
    Finding(Box<Finding>),
    /// All findings have been told. The last piece.
    NoMoreFindings,
    /// Places for the parts that were to be laid out. The last piece.
    LaidOut(LaidOut),
    /// The changes found so far that let a load start at another time, or why there is no start to move; and whether that
    /// is all: if so the last piece.
    StartBy(Box<Result<StartFound, NoStart>>, bool),
    /// Two variants side by side, and whether that is all; if so the last piece.
    Compared(Vec<compare::ComparedRow>, bool),
    /// A measured world, or every fault of its table as a line each. The last piece.
    Fitted(Box<Result<Fit, Vec<String>>>),
    /// Every wire with the most that it carries. The last piece.
    Cables(Box<CableSchedule>),
    /// The plan in its site, where it has one. The last piece.
    OnSite(Option<Box<FoundOnSite>>),
    /// The run of a wire that shows least, where it has any. The last piece.
    Hidden(Option<Box<HiddenRun>>),
    /// In which steps the plan is built. The last piece.
    Steps(Box<StepList>),
    /// The faults that explain the readings, or what is wrong with the readings, a line each. The last piece.
    Diagnosed(Box<Result<Diagnosis, Vec<String>>>),
    /// The explanation in words. The last piece.
    Explained(Box<SaidExplanation>),
    /// What a step of a walk could say. The last piece.
    StepText(String),
    /// The picture, or why there is none. The last piece.
    Pictured(Box<Result<PictureFile, String>>),
    /// The grade, also in words; or why there is none. The last piece.
    Graded(Box<Result<(Grade, SaidGrade), String>>),
    /// The next of the solutions, or why none can be graded.
    GradedNext(Box<Result<GradeRow, String>>),
    /// All solutions were told. The last piece.
    GradedAll,
    /// What a search for drafts has found so far.
    Drafting(Box<SaidDraft>),
    /// What came of an order, or what is wrong with it, a line each. The last piece.
    Drafted(Box<Result<SaidDraft, Vec<String>>>),
    /// What other numbers change, in words; or why the plan can't stand on them, a sentence each. The last piece.
    Rechecked(Box<Result<PlanReport, Vec<String>>>),
}

impl Answer {
    /// Whether nothing comes after this piece.
    pub fn is_last(&self) -> bool {
        match self {
            Answer::Progress(..) | Answer::Checked(_) | Answer::Worst(_) => false,
            Answer::SomeLosses(_) | Answer::LossChanges(_) | Answer::SomePairs(_) => false,
            Answer::LogicTable(_) | Answer::LogicRows(_) => false,
            Answer::Finding(_) => false,
            Answer::StartBy(_, complete) | Answer::Compared(_, complete) => *complete,
            Answer::Sizing(_) => false,
            Answer::Spare(found, of, _) => found.len() >= *of,
            Answer::Aims(found) => found.complete,
            Answer::Day(_) | Answer::Causes(_) | Answer::Holds(_) | Answer::Autonomy(_) => true,
            Answer::Reserve(_) | Answer::Sized(_) => true,
            Answer::Losses { .. } | Answer::Pairs | Answer::Logic(_) => true,
            Answer::NoMoreFindings | Answer::LaidOut(_) => true,
            Answer::Fitted(_) | Answer::Rechecked(_) => true,
            Answer::Cables(_) | Answer::Steps(_) | Answer::Diagnosed(_) => true,
            Answer::OnSite(_) | Answer::Hidden(_) => true,
            Answer::Explained(_) | Answer::StepText(_) | Answer::Pictured(_) => true,
            Answer::Graded(_) | Answer::GradedAll => true,
            Answer::Drafted(_) => true,
            Answer::GradedNext(_) | Answer::Drafting(_) => false,
        }
    }
}
