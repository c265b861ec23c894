//! Sheets: what is drawn or listed of a plan, without the page.

pub mod aims;
mod area;
pub mod book_error;
pub mod card;
pub mod chart;
pub mod courses;
pub mod day_picture;
pub mod dial;
pub mod dome;
pub mod entry;
pub mod figure;
mod grid;
pub mod losses;
pub mod numbers;
pub mod numbers_changed;
pub mod path_data;
pub mod route;
pub mod search;
pub mod sizes;
pub mod spatial;
pub mod state_line;
pub mod symbol;
pub mod thumbnail;
pub mod tidy;
pub mod verdict;
pub mod words;
pub mod world;
