//! Drafting: from an order (what is wanted, with what, under which conditions) to plans that are wired and proven.
//!
//! An order is read by [`read_order`]; [`draft`] answers at one go, [`DraftSearch`] in steps. The search goes over circuits
//! that are joined from pieces: forms of supply (`supplies`), contacts ahead of loads (`gates`) and the lines between
//! (`branching`). It meets them in the order of what they cost (`hunt`), begins at counts that bounds leave (`demand`),
//! and settles each by a check. What is told of a plan comes from runs of it alone (`judge`). Nothing is laid out here, no
//! clock is read, and nothing depends on a hash.
//!
//! Beside a plan that stands (`standing`), the same search adds what is missing: its free outputs are supplies, its free
//! inputs ends of lines. [`order_of`] makes an order of a plan's duties; [`one_more`] says what one more of a bank would bring.
//! Charge contacts, timers, two banks of one type aimed apart and three feeds are not among the pieces.

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
mod more;
mod of_plan;
mod order;
mod products;
mod read;
mod search;
mod sources;
mod space;
mod standing;
mod supplies;
mod words;
mod write;

pub use answer::{answer_json, hours, searched_word, spilled};
pub use asked::DraftDemand;
pub use edit::{TypeGroup, put_in};
pub use front::MOST_PLANS;
pub use impossible::{Impossible, OrderChange};
pub use judge::{Drafted, LowestLevel, Reason};
pub use more::{OneMore, one_more, one_more_json};
pub use of_plan::order_of;
pub use order::{DraftOrder, HouseSwitch, Keeps, Least, Wanted, WantedDuty};
pub use read::{FORMAT, VERSION, read_order};
pub use search::{DraftAnswer, DraftSearch, Searched, draft};
pub use words::{change_said, contradiction_said, demand_said, searched_said, want_called};
