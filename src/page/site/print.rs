//! The site on the printed sheet: every storey as a small plan.

use super::runs::use_site;
use crate::page::store::use_store;
use crate::sheet::site::{picture::picture, said};
use leptos::prelude::*;

/// Every storey with something on it, from the lowest; nothing where the plan has no site or no part hangs in it.
#[component]
pub fn PrintedSite() -> impl IntoView {
    let (store, site) = (use_store(), use_site());
    let on_site = untrack(|| site.on_site())?;
    let storeys: Vec<_> = store.with_plan(|plan| {
        let drawn = plan.site.as_deref()?;
        plan.parts.iter().any(|part| part.hangs.is_some()).then_some(())?;
        let one = |at: u8| {
            let markup = picture(plan, &on_site, at)?;
            let name = said::storey(drawn, at);
            Some(view! { <figure class="site-printed"><figcaption>{name}</figcaption><div inner_html=markup></div></figure> })
        };
        Some((0..drawn.storeys.len() as u8).filter_map(one).collect())
    })?;
    Some(view! { <h2>"The site"</h2> <div class="site-print">{storeys}</div> })
}
