//! From the plan to the hands: what is to be gathered for it, which cables are to be laid, and in which order it is built.
//!
//! Plain data and plain functions of a plan, which can go over to a worker and back. Nothing fails on a sound plan. What
//! is said with numbers of a run comes from run and proof; nothing is drawn here.

mod bill;
mod bill_comparison;
mod cables;
pub mod csv;
mod entries;
mod gather_list;
mod hidden_run;
mod on_site;
mod order;
mod setting_words;
mod site_problem;
mod site_run;
mod site_search;
mod step_key;
mod stock;
mod ticks;
pub mod tour;
mod view_of_sun;
mod walks;

pub use bill::{Bill, BillLine, change_said, materials_said};
pub use bill_comparison::{BillComparison, ComparedAmount};
pub use cables::{Cable, CableSchedule};
pub use entries::{StockEntries, StockItem};
pub use gather_list::{GatherList, GatherRow};
pub use hidden_run::HiddenRun;
pub use on_site::{OnSite, WireLength};
pub use order::words::StepWords;
pub use order::{Distance, Reads, Shows, Work, WorkOrder, WorkStep};
pub use setting_words::SettingWords;
pub use site_problem::SiteProblem;
pub use site_run::{FoundOnSite, SiteRun};
pub use site_search::SiteSearch;
pub use step_key::StepKey;
pub use stock::{Missing, Stock};
pub use ticks::StepTicks;
pub use walks::Walks;
