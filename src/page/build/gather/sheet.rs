//! The list on paper: a box for every part type and material, how many, and what of it is missing.

use crate::page::caution::Caution;
use crate::page::store::use_store;
use crate::sheet::bill_said::length_said;
use crate::works::{GatherList, GatherRow, WireLength};
use leptos::prelude::*;

/// What stands on the sheet. Boxes are empty on paper, whatever is ticked on the page.
#[component]
pub(super) fn GatherSheet(
    /// The list.
    list: GatherList,
    /// How long all wires are, in a plan with a site.
    length: Option<WireLength>,
    /// Whether something was entered as being there: then what is missing is told.
    has_entries: bool,
) -> impl IntoView {
    let title = use_store().with_plan(|plan| match plan.title.as_str() {
        "" => "What to gather".to_string(),
        title => format!("{title}: what to gather"),
    });
    let table = |heading: &'static str, rows: &[GatherRow]| {
        let row = |row: &GatherRow| {
            let missing = has_entries.then(|| match row.lacks {
                0 => "all there".to_string(),
                lacks => format!("{lacks} missing"),
            });
            view! {
                <tr>
                    <td class="print-box"><span></span></td>
                    <td class="print-number">{row.needed}</td>
                    <td>{row.label.clone()}</td>
                    <td>{missing}</td>
                </tr>
            }
        };
        let rows: Vec<_> = rows.iter().map(row).collect();
        (!rows.is_empty()).then(|| {
            view! {
                <h2>{heading}</h2>
                <table class="print-steps"><tbody>{rows}</tbody></table>
            }
        })
    };
    let wires = length.map_or_else(String::new, length_said);
    let in_all = format!(
        "{} parts in all, {} wires{wires}, stage {}.",
        list.bill.part_count(),
        list.bill.wires,
        list.bill.stage
    );
    view! {
        <h1>{title}</h1>
        {table("Parts", &list.parts)}
        {table("Materials", &list.materials)}
        <p>{in_all}</p>
        <Caution/>
    }
}
