//! Teaching: what a learner's plan is worth against an exercise, what a walk's step could say, and the lessons that ship.
//!
//! Walks and exercises are part of a plan's document (`src/plan/edit/walk.rs`, `src/plan/edit/exercise.rs`). Here is what follows
//! from runs: nothing that a document says of itself is trusted, every grade is worked out anew. Times in milliseconds.

mod allowance;
mod breach_words;
mod changed;
mod grade;
mod lessons;
mod phrases;
mod proposal;
mod rules;
mod search;
mod sentence;
mod table;
mod trial_plan;
mod tried;
mod words;

pub use allowance::{Allowance, allowances, built_materials};
pub use changed::counted_changes;
pub use grade::{
    Breach, BreakingLoss, BrokenDuty, Grade, GradeError, LossesTried, LostDuty, Overruled, Since,
    TrialOutcome,
};
pub use lessons::{LESSONS, lesson_of, lesson_text, lessons};
pub use proposal::{has_new_parts, proposal_of, proposed_text, quick_text};
pub use search::{GradeSearch, grade};
pub use sentence::GradeSentence;
pub use table::{
    GradeRow, GradedRow, Solution, grade_row, grade_rows, grade_table, solution_texts,
};
pub use tried::{tried, tried_without};
pub use words::{SaidGrade, SaidStar, SaidTrial, trial_name};
