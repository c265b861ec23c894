//! `duskline gather`: what is to be gathered for a plan, and what of it is missing.

use super::table::Table;
use super::{Answer, lines, print, text_of};
use crate::plan::Plan;
use crate::quantity::Short;
use crate::works::{Bill, Missing, OnSite, Stock, csv::bill_table};
use clap::Args;
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write;

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
    let on_site = OnSite::of(plan);
    let text = if options.json {
        print(&as_json(&bill, missing.as_ref(), on_site.as_ref()))
    } else if options.csv {
        bill_table(&bill, missing.as_ref())
    } else {
        as_text(&bill, missing.as_ref(), on_site.as_ref())
    };
    Ok(Answer::new(text, &[]))
}

fn as_json<'a>(
    bill: &'a Bill,
    missing: Option<&'a Missing>,
    on_site: Option<&OnSite>,
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
        metres: on_site.map(metres),
        missing: missing.map(|missing| MissingOutput {
            parts: &missing.parts,
            materials: &missing.materials,
        }),
    }
}

/// The metres of all wires that have a run.
fn metres(on_site: &OnSite) -> f64 {
    on_site.length_mm() as f64 / 1000.0
}

fn as_text(bill: &Bill, missing: Option<&Missing>, on_site: Option<&OnSite>) -> String {
    let lack = |of: Option<&BTreeMap<String, u64>>, name: &str| match of {
        Some(of) => of.get(name).copied().unwrap_or(0).to_string(),
        None => String::new(),
    };
    let mut text = String::new();
    let last = if missing.is_some() { "missing" } else { "" };
    let mut parts = Table::new(&["part", "count", last]);
    for line in &bill.parts {
        let lack = lack(missing.map(|m| &m.parts), &line.kind);
        parts.row([line.label.clone(), line.count.to_string(), lack]);
    }
    let mut materials = Table::new(&["material", "amount", last]);
    for (name, amount) in &bill.materials {
        let lack = lack(missing.map(|m| &m.materials), name);
        materials.row([name.clone(), amount.to_string(), lack]);
    }
    for table in [parts, materials] {
        if !table.is_empty() {
            let _ = writeln!(text, "{table}");
        }
    }
    let metres = on_site.map_or_else(String::new, |on_site| {
        let metres = Short(metres(on_site));
        match on_site.without_run() {
            0 => format!(" of {metres} m in all"),
            without => format!(" ({metres} m in all, not counting {without} without a run)"),
        }
    });
    let _ = writeln!(
        text,
        "{} parts in all, {} wires{metres}, stage {}.",
        bill.part_count(),
        bill.wires,
        bill.stage
    );
    text
}
