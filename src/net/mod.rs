//! A plan compiled to a graph, one instant's offers and takes, and the problems found on the way.

mod problem;

pub use problem::{Problem, ProblemKind, Weight};
