//! The link form of a plan.

use super::{Plan, Salvage};

/// Why a link can't be opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LinkError(pub String);

/// The plan as the text of a URL's fragment, without the `#`.
pub fn to_fragment(plan: &Plan) -> String {
    let _ = plan;
    String::new()
}

/// The plan that a link, a fragment or its bare text carries.
pub fn from_link(link: &str) -> Result<Salvage, LinkError> {
    Err(LinkError(link.to_string()))
}
