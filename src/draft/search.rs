//! The search for plans, in steps: whoever asks may stop it, look at what is found, and go on. It reads no clock, and going
//! on comes to the same as going through at one go.
//!
//! First comes the least circuit by each measure that is dear. Then others beside the first: of another form, with more in
//! reserve, fed twice. Each is judged anew before it counts. Where there is none at all, it is found out why.

use super::front::{take_in, told};
use super::hunt::{Hunt, Node, Step};
use super::impossible::{Impossible, ImpossibleSearch};
use super::judge::{Drafted, judged, keeps_all, serves};
use super::order::{DraftOrder, Least};
use super::sources::best_aim;
use super::space::Space;
use crate::plan::Plan;
use std::collections::VecDeque;
use std::sync::Arc;

/// How many circuits are met at the most in search of the least by one measure.
const LEAST_STEPS: u64 = 40_000;
/// How many are met for other forms beside the least.
const OTHER_STEPS: u64 = 600;
/// How many other forms are taken.
const OTHERS: usize = 4;
/// How many wants may be fed twice beside what was asked.
const TWICE: usize = 4;

/// How far a search went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Searched {
    /// All of the space was gone through, or cut by bounds.
    Complete,
    /// It was stopped, or came to the end of what it may do.
    Stopped,
}

/// What a search answers.
#[derive(Clone, Debug, PartialEq)]
pub struct DraftAnswer {
    /// The plans, the least first.
    pub plans: Vec<Drafted>,
    /// How far it went.
    pub searched: Searched,
    /// Why there is none, where that was found out.
    pub impossible: Option<Impossible>,
    /// How many circuits were met.
    pub steps: u64,
}

/// What a search is doing.
#[derive(Clone)]
enum Stage {
    /// The least by one measure.
    Least(Box<Hunt>, u64),
    /// Other forms, with the steps that are left and how many were found.
    Others(Box<Hunt>, u64, usize),
    /// Circuits with more in reserve.
    Reserve(Box<Hunt>, VecDeque<Node>),
    /// All wants fed twice.
    Twice(Box<Hunt>, u64),
    /// Why there is none.
    Impossible(Box<ImpossibleSearch>),
    /// All is done.
    Done,
}

/// A search under way.
#[derive(Clone)]
pub struct DraftSearch {
    order: DraftOrder,
    space: Arc<Space>,
    /// What is to be completed.
    standing: Option<Arc<Plan>>,
    stage: Stage,
    /// Measures whose least is still to be found.
    measures: VecDeque<Least>,
    /// The hunt for the first measure, and what it found.
    first: Option<(Box<Hunt>, Option<Node>)>,
    front: Vec<Drafted>,
    impossible: Option<Impossible>,
    /// How often what is told has changed.
    changes: u64,
    is_cut: bool,
    steps: u64,
}

/// Drafts at one go.
pub fn draft(order: &DraftOrder) -> DraftAnswer {
    let mut search = DraftSearch::new(order);
    while !search.go(u64::MAX) {}
    search.finish()
}

impl DraftSearch {
    /// Looks at what there is to search.
    pub fn new(order: &DraftOrder) -> DraftSearch {
        DraftSearch::beside(order, None)
    }

    /// As [`DraftSearch::new`], beside what stands: every part, wire and setting of `plan` stays, and what is missing for the
    /// order is added. The first load of a want's type, name and count is that want's. The plans' first duties are the wants',
    /// in their order, then those of the plan that are of no want; all of them are kept. The plan's book and world count.
    pub fn completing(order: &DraftOrder, plan: &Plan) -> DraftSearch {
        let mut order = order.clone();
        order.book = plan.book.clone();
        order.world = plan.world.clone();
        let mut search = DraftSearch::beside(&order, Some(Arc::new(plan.clone())));
        let standing = search.space.standing.as_ref();
        let as_it_is = standing.map(|standing| standing.plan.clone());
        if as_it_is.is_some_and(|plan| search.take(plan)) {
            // Nothing is missing.
            search.stage = Stage::Done;
        }
        search
    }

    fn beside(order: &DraftOrder, standing: Option<Arc<Plan>>) -> DraftSearch {
        let best = best_aim(&order.book.book, &order.world);
        let space = Arc::new(Space::of(order, best, standing.as_deref()));
        let mut measures: VecDeque<Least> = VecDeque::new();
        for least in &order.least {
            // What is spilled is known only after a run, so it is no measure to go by.
            let least = match least {
                Least::Spilled => Least::Materials,
                other => *other,
            };
            if !measures.contains(&least) {
                measures.push_back(least);
            }
        }
        let first = measures.pop_front().unwrap_or(Least::Materials);
        DraftSearch {
            order: order.clone(),
            stage: Stage::Least(Box::new(Hunt::new(&space, first)), LEAST_STEPS),
            is_cut: space.more,
            space,
            standing,
            measures,
            first: None,
            front: Vec::new(),
            impossible: None,
            changes: 0,
            steps: 0,
        }
    }

    /// Goes on for at most `most` steps, each of about the length of a check. Answers whether all is done.
    pub fn go(&mut self, most: u64) -> bool {
        let mut left = most;
        while left > 0 && !matches!(self.stage, Stage::Done) {
            self.step();
            self.steps += 1;
            left -= 1;
        }
        matches!(self.stage, Stage::Done)
    }

    /// How many circuits were met.
    pub fn steps(&self) -> u64 {
        self.steps
    }

    /// How often the plans found have changed: where it is the same as before, they are.
    pub fn changes(&self) -> u64 {
        self.changes
    }

    /// The plans found so far.
    pub fn so_far(&self) -> Vec<Drafted> {
        told(self.front.clone(), &self.order.least)
    }

    /// The answer: of what was gone through, where the search is not done.
    pub fn finish(self) -> DraftAnswer {
        let is_done = matches!(self.stage, Stage::Done);
        DraftAnswer {
            plans: told(self.front, &self.order.least),
            searched: match is_done && !self.is_cut {
                true => Searched::Complete,
                false => Searched::Stopped,
            },
            impossible: self.impossible.filter(|_| is_done),
            steps: self.steps,
        }
    }

    fn step(&mut self) {
        match std::mem::replace(&mut self.stage, Stage::Done) {
            Stage::Least(hunt, left) => self.stage = self.least(hunt, left),
            Stage::Others(hunt, left, found) => self.stage = self.others(hunt, left, found),
            Stage::Reserve(hunt, waiting) => self.stage = self.reserve(hunt, waiting),
            Stage::Twice(hunt, left) => self.stage = self.twice(hunt, left),
            Stage::Impossible(mut search) => match search.step() {
                true => self.impossible = Some(search.found().clone()),
                false => self.stage = Stage::Impossible(search),
            },
            Stage::Done => {}
        }
    }

    fn least(&mut self, mut hunt: Box<Hunt>, left: u64) -> Stage {
        match hunt.step() {
            Step::On if left > 0 => Stage::Least(hunt, left - 1),
            Step::On => {
                self.is_cut = true;
                self.next_measure(hunt, None)
            }
            Step::Over => self.next_measure(hunt, None),
            Step::Found(found) => {
                let (node, plan) = *found;
                self.take(plan);
                hunt.leave(&node);
                self.next_measure(hunt, Some(node))
            }
        }
    }

    fn next_measure(&mut self, hunt: Box<Hunt>, node: Option<Node>) -> Stage {
        let nothing = self.first.is_none() && node.is_none();
        if self.first.is_none() {
            self.first = Some((hunt, node));
        }
        if nothing {
            // What can't be had by one measure can't by another.
            return match self.is_cut {
                true => Stage::Done,
                false => Stage::Impossible(Box::new(ImpossibleSearch::new(
                    &self.order,
                    self.space.best,
                    self.standing.clone(),
                ))),
            };
        }
        match (self.measures.pop_front(), &self.first) {
            (Some(least), _) => Stage::Least(Box::new(Hunt::new(&self.space, least)), LEAST_STEPS),
            (None, Some((hunt, _))) => Stage::Others(hunt.clone(), OTHER_STEPS, 0),
            (None, None) => Stage::Done,
        }
    }

    fn others(&mut self, mut hunt: Box<Hunt>, left: u64, found: usize) -> Stage {
        match hunt.step() {
            _ if left == 0 || found >= OTHERS => self.begin_reserve(hunt),
            Step::On => Stage::Others(hunt, left - 1, found),
            Step::Over => self.begin_reserve(hunt),
            Step::Found(other) => {
                let (node, plan) = *other;
                hunt.leave(&node);
                let is_in = self.take(plan);
                Stage::Others(hunt, left - 1, found + usize::from(is_in))
            }
        }
    }

    fn begin_reserve(&mut self, hunt: Box<Hunt>) -> Stage {
        let node = self.first.as_ref().and_then(|(_, node)| node.clone());
        let more = node.map(|node| hunt.with_more(&node)).unwrap_or_default();
        Stage::Reserve(hunt, more.into())
    }

    fn reserve(&mut self, mut hunt: Box<Hunt>, mut waiting: VecDeque<Node>) -> Stage {
        let Some(node) = waiting.pop_front() else {
            return self.begin_twice();
        };
        if let Some(plan) = hunt.does(&node) {
            self.take(plan);
        }
        Stage::Reserve(hunt, waiting)
    }

    /// Where little is wanted and nothing was asked of losses: all of it fed twice.
    fn begin_twice(&mut self) -> Stage {
        let order = &self.order;
        if self.standing.is_some()
            || order.wants.len() > TWICE
            || !order.keeps.losses.is_empty()
            || order.switch.is_some()
        {
            return Stage::Done;
        }
        let mut twice = order.clone();
        twice.keeps.losses = (0..order.wants.len()).collect();
        let space = Arc::new(Space::of(&twice, self.space.best, None));
        Stage::Twice(Box::new(Hunt::new(&space, Least::Materials)), OTHER_STEPS)
    }

    fn twice(&mut self, mut hunt: Box<Hunt>, left: u64) -> Stage {
        match hunt.step() {
            Step::On if left > 0 => Stage::Twice(hunt, left - 1),
            Step::On | Step::Over => Stage::Done,
            Step::Found(found) => {
                self.take(found.1);
                Stage::Done
            }
        }
    }

    /// Judges a plan anew and takes it in; whether it is in.
    fn take(&mut self, plan: Plan) -> bool {
        let Some(check) = serves(&plan) else {
            return false;
        };
        if !keeps_all(&plan, &check, &self.order) {
            return false;
        }
        let plan = judged(plan);
        let is_in = take_in(&mut self.front, plan, &self.order.least);
        self.changes += u64::from(is_in);
        is_in
    }
}
