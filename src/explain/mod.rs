//! Explaining a plan: what it does, part by part and as the story of one day, from runs of it.
//!
//! In: a plan. Out: an [`Explanation`], data first: every amount, time and cause of a sentence is a value that a run
//! showed, and what happens without a part was tried by removing it. [`ExplanationSearch`] works it out in steps that may be
//! stopped; [`ExplainWords`] says it, in [`Passage`]s that know which of their words speak of which part or time. Powers in
//! steps, times in milliseconds since midnight of day 1. Nothing here fails on a sound plan; it changes no plan, gives no
//! advice of its own, and reads no clock.

mod cautions;
mod concerned;
mod day;
mod day_run;
mod dull;
mod explanation;
mod groups;
mod passage;
mod said;
mod search;
mod stories;
mod turn;
mod walk;
mod words;

pub use explanation::{
    Caution, DayNews, DayStep, DullNews, Explanation, GroupKind, Joined, MOST_STRETCHES, PartDeed,
    PartGroup, PartStory, ShownDay, Stretches, WithoutPart,
};
pub use passage::{LinkTarget, Passage, PassagePiece};
pub use said::{SaidExplanation, SaidPassage};
pub use search::{ExplanationSearch, explain};
pub use turn::{PartTurn, TurnKind, TurnReason};
pub use words::ExplainWords;
