//! Drafting: from an order (what is wanted, with what, under which conditions) to plans that are wired and proven.
//!
//! An order is read by [`read_order`]; [`draft`] answers at one go, [`DraftSearch`] in steps. The search goes over circuits
//! that are joined from pieces: forms of supply (`supplies`), contacts ahead of loads (`gates`) and the lines between
//! (`branching`). It meets them in the order of what they cost (`hunt`), begins at counts that bounds leave (`demand`),
//! and settles each by a check. What is told of a plan comes from runs of it alone (`judge`). Nothing is laid out here, no
//! clock is read, and nothing depends on a hash.
//!
//! NOTES. There: the order and its reader; wants of all conditions, `only`, grace, banks; `may`, materials, stage; the house
//! switch; dull days, hours, losses, reach; the front; why; contradictions with tried changes; JSON and text in the
//! terminal. Next: charge contacts that shed loads; two banks aimed apart; loads served first where supplies are short;
//! three feeds; bounds for changeovers and for two banks; a bound for hours and dull days ahead of the runs; "complete
//! this" from an open plan; a worker's task and the page.

mod allowed;
mod answer;
mod asked;
mod branching;
mod changes;
mod circuit;
mod demand;
mod edit;
mod front;
mod gates;
mod hunt;
mod impossible;
mod judge;
mod of_plan;
mod order;
mod read;
mod search;
mod sources;
mod space;
mod supplies;
mod words;
mod write;

pub use answer::{answer_json, hours, searched_word, spilled};
pub use asked::DraftDemand;
pub use edit::{TypeGroup, put_in};
pub use front::MOST_PLANS;
pub use impossible::{Impossible, OrderChange};
pub use judge::{Drafted, Reason};
pub use of_plan::order_of;
pub use order::{DraftOrder, HouseSwitch, Keeps, Least, Wanted, WantedDuty};
pub use read::{FORMAT, VERSION, read_order};
pub use search::{DraftAnswer, DraftSearch, Searched, draft};
pub use words::{change_said, contradiction_said, demand_said, searched_said, want_called};
