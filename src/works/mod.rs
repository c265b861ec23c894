//! From the plan to the hands: what is to be gathered for it.
//!
//! Plain data and plain functions of a plan; nothing here solves or runs it, and nothing fails on a sound plan.

mod bill;
mod on_site;
mod site_problem;
mod stock;
mod view_of_sun;

pub use bill::{Bill, BillLine, change_said, materials_said};
pub use on_site::{OnSite, SiteRun};
pub use site_problem::SiteProblem;
pub use stock::{Missing, Stock};
