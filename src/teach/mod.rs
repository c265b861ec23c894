//! Teaching: what a learner's plan is worth against an exercise, what a walk's step could say, and the lessons that ship.
//!
//! Walks and exercises are part of a plan's document (`src/plan/walk.rs`, `src/plan/exercise.rs`). Here is what follows
//! from runs: nothing that a document says of itself is trusted, every grade is worked out anew. Times in milliseconds.
