//! `duskline gather`: what is to be gathered for a plan, and what of it is missing.

use super::{Answer, lines, print, text_of};
use crate::plan::Plan;
use crate::sheet::bill_said::gather_text;
use crate::works::{Bill, Missing, OnSite, Stock, WireLength, csv::bill_table};
use clap::Args;
use serde::Serialize;
use std::collections::BTreeMap;

/// What is there already, and in which form the answer is printed.
#[derive(Args)]
pub(super) struct Options {
    /// What is there already; says what is missing
    #[arg(long, value_name = "FILE")]
    have: Option<String>,
    /// Print JSON
    #[arg(long, group = "form")]
    json: bool,
    /// Print a table for a spreadsheet, comma-separated: one row a part type or material
    #[arg(long, group = "form")]
    csv: bool,
}

#[derive(Serialize)]
struct GatherOutput<'a> {
    parts: Vec<LineOutput<'a>>,
    materials: &'a BTreeMap<String, u64>,
    stage: u64,
    wires: usize,
    /// None of a plan without a site.
    metres: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    missing: Option<MissingOutput<'a>>,
}

#[derive(Serialize)]
struct LineOutput<'a> {
    r#type: &'a str,
    label: &'a str,
    count: u64,
}

#[derive(Serialize)]
struct MissingOutput<'a> {
    parts: &'a BTreeMap<String, u64>,
    materials: &'a BTreeMap<String, u64>,
}

/// What the plan needs, and beside it what is missing where a file says what is there.
pub(super) fn answer(plan: &Plan, options: &Options) -> Result<Answer, String> {
    let have = options.have.as_deref();
    let stock =
        have.map(|file| Stock::read(&text_of(file)?).map_err(|faults| lines(file, &faults)));
    let missing = stock.transpose()?.map(|stock| stock.missing(plan));
    let bill = Bill::of(plan);
    let length = OnSite::of(plan).map(|on_site| on_site.length());
    let text = if options.json {
        print(&as_json(&bill, missing.as_ref(), length))
    } else if options.csv {
        bill_table(&bill, missing.as_ref())
    } else {
        gather_text(&bill, missing.as_ref(), length)
    };
    Ok(Answer::new(text, &[]))
}

fn as_json<'a>(
    bill: &'a Bill,
    missing: Option<&'a Missing>,
    length: Option<WireLength>,
) -> GatherOutput<'a> {
    let parts = bill.parts.iter().map(|line| LineOutput {
        r#type: &line.kind,
        label: &line.label,
        count: line.count,
    });
    GatherOutput {
        parts: parts.collect(),
        materials: &bill.materials,
        stage: bill.stage,
        wires: bill.wires,
        metres: length.map(WireLength::metres),
        missing: missing.map(|missing| MissingOutput {
            parts: &missing.parts,
            materials: &missing.materials,
        }),
    }
}
