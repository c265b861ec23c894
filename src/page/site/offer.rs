//! What stands in the site's place where the plan has none: five ready sites, and an empty one.

use crate::page::store::use_store;
use crate::plan::Edit;
use crate::sheet::site::{Underlay, places, storey};
use crate::site::{READY, Site, ready_site};
use leptos::prelude::*;

/// How many cells an empty site has to begin with.
const EMPTY: (u8, u8) = (10, 8);

/// A site of bare ground.
pub fn bare() -> Site {
    let mut site = Site::empty(EMPTY.0, EMPTY.1);
    let cells: Vec<_> = site.cells().collect();
    for (storey, x, y) in cells {
        use crate::site::{Fitting, Ground, Mark, Patch};
        let mark = Mark::Ground(Ground::Ground, Fitting::None);
        site.paint(Patch { storey, x, y, mark });
    }
    site.storeys[0].name = "Ground".into();
    site
}

/// The offer.
#[component]
pub fn Offer() -> impl IntoView {
    view! {
        <section class="welcome site-offer" aria-labelledby="site-offer-title">
            <h2 id="site-offer-title">"This plan has no site yet"</h2>
            <p>"A site is the place in which the plan is built: where its parts hang, which way its wires run, and who can come where. Begin with one of these and change it as you like."</p>
            <Ready/>
        </section>
    }
}

/// A button for each ready site, and one for an empty one.
#[component]
pub fn Ready() -> impl IntoView {
    let store = use_store();
    let take = move |name: &str, site: Option<Site>| {
        let says = format!("take the site {name}");
        if let Some(site) = site {
            store.commit(&says, vec![Edit::Site(Some(Box::new(site)))]);
            super::act(store, crate::editor::SiteAct::Begin);
        }
    };
    let one = move |(name, _): (&'static str, &'static str)| {
        let picture = ready_site(name).map(|site| thumbnail(&site));
        view! {
            <li><button type="button" on:click=move |_| take(name, ready_site(name))>
                <svg class="site-thumbnail" aria-hidden="true" viewBox=picture.as_ref().map(|p| p.0.clone())
                    inner_html=picture.map(|p| p.1).unwrap_or_default()></svg>
                {name}
            </button></li>
        }
    };
    view! {
        <ul class="site-ready">
            {READY.map(one).into_iter().collect_view()}
            <li><button type="button" on:click=move |_| take("Bare ground", Some(bare()))>
                <svg class="site-thumbnail" aria-hidden="true" viewBox="0 0 64 64" width=64></svg>
                "Bare ground"
            </button></li>
        </ul>
    }
}

/// A site's lowest storey in small: the box that it is seen in, and its markup.
fn thumbnail(site: &Site) -> (String, String) {
    let (x, y, w, h) = places::site_rect(site);
    let markup = super::paper::markup(storey(site, 0, Underlay::None));
    (format!("{x} {y} {w} {h}"), markup)
}
