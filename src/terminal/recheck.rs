//! `duskline recheck`: every plan of a folder on its own numbers and on new ones.
//!
//! No file stops the rest: one that can't be read is told with its faults, a plan that the numbers do not concern or that
//! can't stand on them with why. Exit code 1 where a duty became worse.

use super::recheck_output::{Outcome, Told, output};
use super::{Answer, lines, print, table::Table, text_of};
use crate::plan::{BookRef, Plan, read_plan, read_world};
use crate::proof::recheck::{Concern, NewNumbers, Recheck, recheck};
use crate::sheet::numbers_changed;
use crate::sheet::recheck_report::{Counts, duty_lines, not_concerned};
use clap::Args;

/// What `recheck` is asked.
#[derive(Args)]
pub(super) struct Options {
    /// The new book: a book's file or a built-in name
    #[arg(long, value_name = "FILE", required_unless_present = "world")]
    book: Option<String>,
    /// The new world: a world's file. Plans that follow it are rechecked, with its book unless --book names another
    #[arg(long, value_name = "FILE")]
    world: Option<String>,
    /// Recheck plans whose book has another name, or that do not follow the world, too
    #[arg(long)]
    all: bool,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

/// Every plan of a folder, as JSON or for reading.
pub(super) fn answer(folder: &str, options: &Options) -> Result<Answer, String> {
    let numbers = new_numbers(options)?;
    let files = plans_in(folder)?;
    let mut told: Vec<Told> = Vec::new();
    for (file, path) in files {
        if let Some(outcome) = outcome(&path, &numbers, options.all) {
            told.push(Told { file, outcome });
        }
    }
    let text = match options.json {
        true => print(&output(&told)),
        false => as_text(&told),
    };
    let is_worse = |t: &Told| matches!(&t.outcome, Outcome::Rechecked(both) if both.1.is_worse());
    Ok(Answer {
        text,
        failed: told.iter().any(is_worse),
    })
}

fn new_numbers(options: &Options) -> Result<NewNumbers, String> {
    let mut numbers = match &options.world {
        None => NewNumbers::default(),
        Some(file) => {
            let world = read_world(&text_of(file)?).map_err(|faults| lines(file, &faults))?;
            NewNumbers::of_world(&world)
        }
    };
    if let Some(name) = &options.book {
        let built_in = BookRef::built_in(name);
        numbers.book = Some(match built_in {
            Some(book) => book,
            None => book_in(name)?,
        });
    }
    Ok(numbers)
}

fn book_in(file: &str) -> Result<BookRef, String> {
    let text = text_of(file)?;
    let value = crate::read::json(&text).map_err(|fault| lines(file, &[fault]))?;
    let book = crate::book::read_book(&value).map_err(|faults| lines(file, &faults))?;
    Ok(BookRef::new(book.into(), crate::book::with_stages(value)))
}

/// The JSON files of a folder, by name, in the order of names: name and path.
fn plans_in(folder: &str) -> Result<Vec<(String, String)>, String> {
    let told = |error: std::io::Error| format!("{folder}: {error}\n");
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(told)? {
        let path = entry.map_err(told)?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if path.extension().is_some_and(|e| e == "json") && path.is_file() {
            files.push((name.to_string(), path.to_string_lossy().to_string()));
        }
    }
    files.sort();
    Ok(files)
}

/// What becomes of the file at `path`; none where it is a document of ours that is no plan, as a book or a world.
fn outcome(path: &str, numbers: &NewNumbers, all: bool) -> Option<Outcome> {
    let text = match text_of(path) {
        Ok(text) => text,
        Err(said) => return Some(Outcome::Unreadable(vec![said.trim_end().into()])),
    };
    let plan = match read_plan(&text) {
        Ok(plan) => plan,
        Err(_) if is_other_document(&text) => return None,
        Err(faults) => {
            let faults = faults.iter().map(|fault| fault.to_string());
            return Some(Outcome::Unreadable(faults.collect()));
        }
    };
    let title = plan.title.clone();
    let concern = numbers.concern(&plan);
    if let Some(why) = not_concerned(&concern).filter(|_| !all) {
        return Some(Outcome::NotConcerned(title, code(&concern), why));
    }
    Some(match recheck(&plan, numbers) {
        Ok(found) => Outcome::Rechecked(Box::new((plan, found))),
        Err(refusals) => {
            let said = refusals.iter().map(|r| numbers_changed::refusal(&plan, r));
            Outcome::Refused(title, said.collect())
        }
    })
}

/// The word for it in JSON.
fn code(concern: &Concern) -> &'static str {
    match concern {
        Concern::Concerned => "concerned",
        Concern::OtherBook(_) => "other-book",
        Concern::OtherWorld(_) => "other-world",
        Concern::FollowsNone => "follows-none",
    }
}

/// Whether a text is a book, a world or another document of ours that is no plan.
fn is_other_document(text: &str) -> bool {
    let Ok(value) = crate::read::json(text.trim_start_matches('\u{feff}')) else {
        return false;
    };
    match crate::read::format_of(&value) {
        Some(format) => format != crate::plan::FORMAT && format.starts_with("duskline/"),
        None => value.get("types").is_some() && crate::book::read_book(&value).is_ok(),
    }
}

fn as_text(told: &[Told]) -> String {
    let mut table = Table::new(&["plan", "duty", "before", "after", "since when", "why"]);
    let (mut plans, mut counts) = (0, Counts::default());
    let mut rest = String::new();
    for Told { file, outcome } in told {
        match outcome {
            Outcome::Rechecked(both) => {
                let (plan, found) = &**both;
                plans += 1;
                counts = counts.and(Counts::of(found));
                rows(&mut table, file, plan, found);
            }
            Outcome::NotConcerned(_, _, why) => rest += &format!("{file}: not concerned. {why}\n"),
            Outcome::Refused(_, why) => {
                rest += &format!(
                    "{file}: can't stand on the new numbers. {}\n",
                    why.join(" ")
                );
            }
            Outcome::Unreadable(faults) => {
                let faults = faults.iter().map(|fault| format!("  {fault}\n"));
                rest += &format!("{file}: can't be read\n{}", faults.collect::<String>());
            }
        }
    }
    let plans = match plans {
        1 => "1 plan".into(),
        plans => format!("{plans} plans"),
    };
    let summary = format!("{plans} rechecked: {}.\n", counts.says());
    let table = match table.is_empty() {
        true => String::new(),
        false => format!("\n{table}"),
    };
    let rest = match rest.is_empty() {
        true => rest,
        false => format!("\n{rest}"),
    };
    format!("{summary}{table}{rest}")
}

/// The duties of a plan whose verdicts differ.
fn rows(table: &mut Table, file: &str, plan: &Plan, found: &Recheck) {
    for line in duty_lines(plan, found) {
        table.row([
            file.to_string(),
            line.duty,
            line.before,
            line.after,
            line.since.unwrap_or_default(),
            line.why.unwrap_or_default(),
        ]);
    }
}
