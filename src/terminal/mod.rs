//! The command line: reads plans, asks the core, and lays the answer out for reading or as JSON.
//!
//! Exit code 0: fine; 1: a problem of weight error stands; 2: what was given can't be read, with every fault on the
//! standard error stream. It works out nothing itself.

mod autonomy;
mod book;
mod cables;
mod check;
mod compare;
mod day;
mod diagnose;
mod draft;
mod explain;
mod findings;
mod fit;
mod gather;
mod grade;
mod grade_output;
mod link;
mod logic;
mod losses;
mod output;
mod picture;
mod proof_output;
mod recheck;
mod recheck_output;
mod sizes;
mod solve;
mod start;
mod steps;
mod table;
mod walk;

use crate::net::{Problem, Weight};
use crate::plan::{Clock, PartId, Plan, read_plan};
use clap::{Parser, Subcommand};
use serde::Serialize;
use serde_json::Value;
use std::io::{Read, Write};
use std::process::ExitCode;

/// Plans the power of a base in an invented world and says, exactly, what every wire carries.
#[derive(Parser)]
#[command(name = "duskline", version, after_help = AFTER, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

const AFTER: &str = "\
PLAN is a plan's file, or - for the standard input. Times are on the day's dial, HH:MM from 00:00 to
24:00, whatever the length of the world's day.

Examples:
  duskline solve kittiwake-light.json --at 21:30        what every wire carries at half past nine
  duskline day kittiwake-light.json --days 3            three days: events, and totals of each part
  duskline link kittiwake-light.json --base https://example.org/duskline/
  duskline findings kittiwake-light.json                what a builder would say, worst first, and what to change
  duskline compare old.json new.json                    two variants side by side
  duskline check kittiwake-light.json                   is every duty kept, for how long, and why not
  duskline autonomy kittiwake-light.json --at 18:00     how long it lasts without sun and wind
  duskline losses kittiwake-light.json                  what breaks when one thing is lost
  duskline logic kittiwake-light.json --at 21:30        what switches and sensors can do
  duskline sizes kittiwake-light.json --reserve         the least that would do, and what is to spare
  duskline start kittiwake-light.json --load 'Dusk lamp' --at 17:40    what starts a load by then
  duskline recheck plans --book outpost-2.json          which duties change with a new book, and why
  duskline gather kittiwake-light.json                  parts and materials
  duskline cables kittiwake-light.json                  every wire, and the most that it carries
  duskline steps kittiwake-light.json --at 10:00        in which order to build it, and what checks show
  duskline diagnose plan.json --read 'p9=off@21:00'     what is built wrong, from what one reads
  duskline picture kittiwake-light.json -o light.svg     the board as a picture
  duskline explain kittiwake-light.json                 what it does, and why each part is there
  duskline walk assets/lessons/05-dusk-lamp.json        a walk step by step: texts, moments, what is on the board
  duskline grade exercise.json solved.json              is an exercise solved, what fails, when, and why
  duskline book parts.csv --file > parts.json           a book from a spreadsheet
  duskline draft order.json --plan 1 > plan.json        plans made from what is wanted, wired and proven
  duskline fit readings.json                            the world that readings come to, and how sure
  duskline open 'https://example.org/duskline/#d1.…' > plan.json
  duskline solve plan.json --at 12:00 --json | jq .problems

Exit codes:
  0  fine
  1  a duty is broken, or a problem of weight error stands, such as a closed loop
  2  what was given can't be read; each fault is named with its place and what was expected

Duskline plans power for invented worlds. Real installations follow local codes and licensed
practice; nothing here is advice on them.";

#[derive(Subcommand)]
enum Command {
    /// One instant: what every wire offers and takes, and what each part does
    #[command(after_help = "Example: duskline solve plan.json --at 21:30 --day 2 --json")]
    Solve {
        /// The plan's file, or - for the standard input
        plan: String,
        /// The time on the day's dial; all events of that millisecond are in the answer
        #[arg(long, value_name = "HH:MM", value_parser = clock)]
        at: Clock,
        /// The day of the run, from 1
        #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..=100_000))]
        day: u64,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// Whole days: every event, and what each source, battery, load and contact did
    #[command(after_help = "Example: duskline day plan.json --days 7 --json")]
    Day {
        /// The plan's file, or - for the standard input
        plan: String,
        /// How many days, from the first midnight on
        #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..=100_000))]
        days: u64,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// Every duty proven: to a midnight that repeats an earlier one, or for 60 days
    #[command(
        after_help = "Examples:\n  duskline check plan.json\n  duskline check plan.json --json --causes"
    )]
    Check {
        /// The plan's file, or - for the standard input
        plan: String,
        /// With --json, say why each duty is broken; without it that is always said
        #[arg(long)]
        causes: bool,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// Without sun and wind: how long each duty holds, and how many days of bad weather are survived
    #[command(after_help = "Example: duskline autonomy plan.json --at 18:00 --day 3")]
    Autonomy {
        /// The plan's file, or - for the standard input
        plan: String,
        /// From this time on neither sun nor wind give anything; then nothing but this is answered
        #[arg(long, value_name = "HH:MM", value_parser = clock)]
        at: Option<Clock>,
        /// The day of the run, from 1
        #[arg(long, value_name = "N", default_value_t = 1, requires = "at", value_parser = clap::value_parser!(u64).range(1..=100_000))]
        day: u64,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// Every single part, wire and reachable switch lost in turn, and the duties each breaks
    #[command(
        after_help = "Examples:\n  duskline losses plan.json --pairs\n  duskline losses plan.json --json --details"
    )]
    Losses {
        /// The plan's file, or - for the standard input
        plan: String,
        /// Every battery found empty, too
        #[arg(long)]
        empty: bool,
        /// Pairs of losses that break more than either alone; may take long
        #[arg(long)]
        pairs: bool,
        /// With --json, say when and for how long, and what all power goes through; without it that is always said
        #[arg(long)]
        details: bool,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// What contacts do: a table of every combination of switches and sensors, and what comes of changing them in turn
    #[command(after_help = "Example: duskline logic plan.json --at 21:30 --json")]
    Logic {
        /// The plan's file, or - for the standard input
        plan: String,
        /// The time on the day's dial: what sources give and batteries hold, and what contacts remember
        #[arg(long, value_name = "HH:MM", value_parser = clock)]
        at: Clock,
        /// The day of the run, from 1
        #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..=100_000))]
        day: u64,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// What an experienced builder would say of the plan, worst first, with changes that were tried
    #[command(
        after_help = "Example: duskline findings plan.json\n\nEvery finding has a number from a run. A change is \
                            named only if a run of the changed plan\nshowed that it does what it says and keeps every \
                            duty that was kept."
    )]
    Findings {
        /// The plan's file, or - for the standard input
        plan: String,
        /// Make the change of finding N (from 1) and print the changed plan instead
        #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
        take: Option<u64>,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// Two variants of a plan side by side, and what differs between them
    #[command(after_help = "Example: duskline compare old.json new.json")]
    Compare {
        /// The first variant's file, or - for the standard input
        first: String,
        /// The second variant's file
        second: String,
        /// Leave out the single losses survived, which take longest
        #[arg(long)]
        no_losses: bool,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// The least sources and batteries that keep every duty, and what each has in reserve
    #[command(after_help = SIZES)]
    Sizes {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: sizes::Options,
    },
    /// Another time for a load's start: aims, taps, panels, switches and settings that do it, each tried
    #[command(after_help = START)]
    Start {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: start::Options,
    },
    /// Every plan of a folder on a new book or world: which duties change, from what to what, and why
    #[command(after_help = RECHECK)]
    Recheck {
        /// The folder; its .json files are read in the order of names
        #[arg(value_name = "DIR")]
        folder: String,
        #[command(flatten)]
        options: recheck::Options,
    },
    /// What is to be gathered: parts by type, and the materials that they are built of
    #[command(
        after_help = "Examples:\n  duskline gather plan.json --have stock.json\n  duskline gather plan.json --csv > parts.csv\n\nFILE holds what is there: \
                            {\"parts\": {\"lamp\": 1}, \"materials\": {\"copper\": 4}}"
    )]
    Gather {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: gather::Options,
    },
    /// The cable schedule: every wire with its ends, the most that it carries over the run of a check, and when first
    #[command(
        after_help = "Examples:\n  duskline cables plan.json\n  duskline cables plan.json --csv > cables.csv"
    )]
    Cables {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: cables::Options,
    },
    /// The order of work: in which steps the plan is built, branch by branch, and what each check shows
    #[command(after_help = STEPS)]
    Steps {
        /// The plan's file, or - for the standard input
        plan: String,
        /// The time of day 1 that checks are for
        #[arg(long, value_name = "HH:MM", default_value = "12:00", value_parser = clock)]
        at: Clock,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// What is built otherwise than drawn: every single fault that explains what one reads, and what to read next
    #[command(after_help = DIAGNOSE)]
    Diagnose {
        /// The plan's file, or - for the standard input
        plan: String,
        /// What a load (runs, off), a contact (conducts, open), a battery (rises, falls, still) or a wire (its take in
        /// steps) shows, and when; may be given many times
        #[arg(long = "read", value_name = "ID=VALUE@TIME")]
        readings: Vec<String>,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// What the plan does, part by part and as the story of one day, and why each part is there
    #[command(after_help = EXPLAIN)]
    Explain {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: explain::Options,
    },
    /// The walk that a plan carries: its steps with their moments, what is on the board by then, and questions
    #[command(after_help = WALK)]
    Walk {
        /// The plan's file, a link to it, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: walk::Options,
    },
    /// Learners' plans graded against an exercise: kept or not in every trial, what fails first, stars
    #[command(after_help = GRADE)]
    Grade {
        /// The file of the plan that sets the exercise, a link to it, or - for the standard input
        exercise: String,
        #[command(flatten)]
        options: grade::Options,
    },
    /// Plans from what is wanted: wired, laid out, proven and compared; or which demands contradict each other
    #[command(after_help = DRAFT)]
    Draft {
        /// The order's file, or - for the standard input; a plan's file asks for its loads with their duties
        order: String,
        #[command(flatten)]
        options: draft::Options,
    },
    /// The world that readings come to: sun, air, peak of a panel, length of the day, battery; and how sure each is
    #[command(after_help = FIT)]
    Fit {
        /// The readings' file, or - for the standard input
        readings: String,
        /// Print JSON
        #[arg(long)]
        json: bool,
    },
    /// A picture of the plan as SVG: its board, day or site, what it does in words, or the board over a day in motion
    #[command(after_help = PICTURE)]
    Picture {
        /// The plan's file, or - for the standard input
        plan: String,
        #[command(flatten)]
        options: picture::Options,
    },
    /// The part types of a parts book; a table of a spreadsheet becomes a book, and a book a table
    #[command(after_help = BOOK)]
    Book {
        #[command(flatten)]
        options: book::Options,
    },
    /// A plan or a world as a link: all of it in the part of a URL that no server sees
    #[command(after_help = "Example: duskline link plan.json --base https://example.org/duskline/")]
    Link {
        /// The file of the plan or the world, or - for the standard input
        #[arg(value_name = "PLAN|WORLD")]
        file: String,
        /// The address of a Duskline page, put in front of the link
        #[arg(long, value_name = "URL", default_value = "")]
        base: String,
        /// Of a book of the plan's own, send only the part types that the plan uses
        #[arg(long)]
        used_types: bool,
    },
    /// The plan or the world that a link carries, as its file
    #[command(
        after_help = "Example: duskline open 'https://example.org/duskline/#d1.…' > plan.json"
    )]
    Open {
        /// The link, or what stands behind its #, or - for the standard input
        link: String,
    },
}

const BOOK: &str = "\
A table has one row a part type under headings in words, such as label, kind, draw (W), capacity (Wh);
commas, semicolons or tabs part its cells. All of it is read or none: each fault is named with its row
and column. What is left out or taken for something goes to the standard error stream.

Examples:
  duskline book harbour
  duskline book harbour --csv > parts.csv               a table to edit in a spreadsheet
  duskline book parts.csv                               what is read of it
  duskline book parts.csv --file > parts.json           the book, to be written into a plan";

const SIZES: &str = "\
The count of every source and battery may change, down to 1; that a part could be left out is not
asked. \"Least\" is said only where everything that is worth less was run or is proven to fail.

Examples:
  duskline sizes plan.json                              fewest sources and batteries
  duskline sizes plan.json --by cost                    least material
  duskline sizes plan.json --weigh resin=5 --weigh copper=1
  duskline sizes plan.json --turn 30,15 --retap         panels may be turned, taps set anew
  duskline sizes plan.json --reserve                    how much more load each could carry";

const START: &str = "\
A change is offered only if a run of the changed plan showed that the load starts so on every day that
repeats and that every duty that was kept is kept. Exit code 1: nothing does it; what comes nearest is
told, and what stands against it.

Examples:
  duskline start plan.json --load 'Dusk lamp' --at 16:45
  duskline start plan.json --load p6 --at 17:45 --not-before --json
  duskline start plan.json --load p6 --at 16:45 --take 1 > changed.json";

const RECHECK: &str = "\
Each plan is proven on its own numbers and on the new ones. A book concerns plans with a book of its
name, a world those that follow it; the others are listed. Exit code 1: a duty became worse.

Examples:
  duskline recheck plans --book outpost-2.json
  duskline recheck plans --world sands.json --json";

const STEPS: &str = "\
A branch is what a tap, a divider, a busbar, a changeover or a battery separates. Its parts are placed
and set, its wires laid from the far end to the supply, sources and batteries last, and then it is
checked. A branch comes after those that its power and its signals come from.

Examples:
  duskline steps plan.json
  duskline steps plan.json --at 21:00 --json";
const DIAGNOSE: &str = "\
The plan is what should be there, the readings what is. A time is HH:MM or HH:MM:SS of the dial after all was
started at midnight of day 1, on a later day with its number ahead. Without a reading, every fault that there
can be is told.

Examples:
  duskline diagnose plan.json --read 'p9=off@21:00' --read 'p5=falls@12:00'
  duskline diagnose plan.json --read 'w3=5@d2 12:00:30' --read 'p8=conducts@12:00' --json";

const PICTURE: &str = "\
The picture is one SVG file that needs no other: any browser and any program that reads SVG shows it. A
theme without a ground is to be laid over a recording: clear-light-ink over a dark one, clear-dark-ink over
a light one. What was asked for and has no room is told on the standard error stream.

Examples:
  duskline picture plan.json -o plan.svg
  duskline picture plan.json --at 21:30 --theme dark --size poster -o wall.svg
  duskline picture plan.json --what day --day 2 -o day.svg
  duskline picture plan.json --what explanation -o in-words.svg
  duskline picture plan.json --what site --storey 1 -o ground-floor.svg
  duskline picture plan.json --what motion --seconds 30 -o film.svg
  duskline picture plan.json --base https://example.org/duskline/ -o with-link.svg";

const EXPLAIN: &str = "\
All of it comes from runs: the day that is told is the first of those that go on repeating, and what happens
without a part was tried by removing it.

Examples:
  duskline explain plan.json
  duskline explain plan.json --part 'Dusk tap'
  duskline explain plan.json --json";

const WALK: &str = "\
Examples:
  duskline walk lesson.json
  duskline walk lesson.json --step 3 --as-plan > step-3.json
  duskline walk lesson.json --json";

const GRADE: &str = "\
Nothing of a solution is trusted: it is tried in the world of the exercise, with the exercise's book, duties
and given parts, on plain days and in every trial. A file with a link a line, and a name before each link
where that is known, makes a table. Exit code 1: one of them is not kept.

Examples:
  duskline grade exercise.json solved.json
  duskline grade exercise.json 'https://example.org/duskline/#d1.…' --json
  duskline grade exercise.json class.txt --csv > class.csv";

const DRAFT: &str = "\
ORDER says what is wanted, with what, and what is dear:

  { \"format\": \"duskline/order\", \"version\": 1, \"book\": \"outpost\", \"world\": {},
    \"wants\": [ { \"type\": \"lamp\", \"name\": \"Stair lamp\", \"duty\": { \"when\": [\"dark\", \"home\"], \"only\": true } } ],
    \"may\": { \"sun-panel\": 2, \"battery\": null, \"twilight\": null }, \"stage\": 2, \"materials\": { \"copper\": 30 },
    \"keeps\": { \"dull_days\": 1, \"hours\": 12, \"losses\": [0], \"reach\": [0] },
    \"switch\": { \"name\": \"House switch\", \"wants\": [0] }, \"least\": [\"materials\", \"parts\"] }

Only \"wants\" and \"book\" must be there. Types that \"may\" does not name are not used; without it, the whole book
may be. Exit code 1: no plan does it; which demands contradict each other is told, and what would do.

Examples:
  duskline draft assets/orders/tide-house.json
  duskline draft order.json --json
  duskline draft order.json --plan 2 > plan.json
  duskline draft half-built.json --complete half-built.json";

const FIT: &str = "\
READINGS holds what was read in the world, as much as there is:

  { \"format\": \"duskline/readings\", \"version\": 1, \"readings\": [
    { \"at\": \"09:00\", \"azimuth\": 90, \"tilt\": 30, \"gives\": 7 },
    { \"rises\": \"05:40\", \"azimuth\": 80 }, { \"sets\": \"18:20\" },
    { \"clock_s\": 120, \"dial\": \"01:00\" },
    { \"battery\": \"falls\", \"from\": 500, \"to\": 333, \"hours\": 2, \"draw\": 4 } ] }

Beside \"readings\" there may be \"day_s\" and \"air\" (\"none\" or \"clear\"), where they are known. Readings are
numbered from 0.

Example: duskline fit readings.json --json";

fn clock(text: &str) -> Result<Clock, String> {
    Clock::parse(text).ok_or_else(|| "expected HH:MM from 00:00 to 24:00".into())
}

/// What a command has to say.
struct Answer {
    /// For the standard output.
    text: String,
    /// Whether a problem of weight error stands.
    failed: bool,
}

impl Answer {
    fn new(text: String, problems: &[Problem]) -> Answer {
        Answer {
            text,
            failed: problems.iter().any(|p| p.weight == Weight::Error),
        }
    }
}

/// Runs the program on this process's arguments.
pub fn main() -> ExitCode {
    let answer = match Arguments::parse().command {
        Command::Solve {
            plan,
            at,
            day,
            json,
        } => plan_of(&plan).map(|plan| solve::answer(&plan, at, day, json)),
        Command::Day { plan, days, json } => {
            plan_of(&plan).map(|plan| day::answer(&plan, days, json))
        }
        Command::Check { plan, causes, json } => {
            plan_of(&plan).map(|plan| check::answer(&plan, json, causes))
        }
        Command::Autonomy {
            plan,
            at,
            day,
            json,
        } => {
            let from = at.map(|at| (at, day));
            plan_of(&plan).map(|plan| autonomy::answer(&plan, from, json))
        }
        Command::Findings { plan, take, json } => {
            plan_of(&plan).and_then(|plan| findings::answer(plan, take, json))
        }
        Command::Compare {
            first,
            second,
            no_losses,
            json,
        } => plan_of(&first).and_then(|first| {
            let second = plan_of(&second)?;
            Ok(compare::answer(&first, &second, !no_losses, json))
        }),
        Command::Losses {
            plan,
            empty,
            pairs,
            details,
            json,
        } => {
            let asked = losses::Asked {
                empty,
                pairs,
                details,
            };
            plan_of(&plan).map(|plan| losses::answer(&plan, asked, json))
        }
        Command::Logic {
            plan,
            at,
            day,
            json,
        } => plan_of(&plan).map(|plan| logic::answer(&plan, at, day, json)),
        Command::Sizes { plan, options } => {
            plan_of(&plan).map(|plan| sizes::answer(&plan, &options))
        }
        Command::Start { plan, options } => {
            plan_of(&plan).and_then(|plan| start::answer(plan, &options))
        }
        Command::Recheck { folder, options } => recheck::answer(&folder, &options),
        Command::Gather { plan, options } => {
            plan_of(&plan).and_then(|plan| gather::answer(&plan, &options))
        }
        Command::Steps { plan, at, json } => {
            plan_of(&plan).map(|plan| steps::answer(&plan, at, json))
        }
        Command::Cables { plan, options } => {
            plan_of(&plan).map(|plan| cables::answer(&plan, &options))
        }
        Command::Diagnose {
            plan,
            readings,
            json,
        } => plan_of(&plan).and_then(|plan| diagnose::answer(&plan, &readings, json)),
        Command::Explain { plan, options } => {
            plan_of(&plan).and_then(|plan| explain::answer(&plan, &options))
        }
        Command::Walk { plan, options } => {
            plan_or_link(&plan).and_then(|found| walk::answer(&plan, &found, &options))
        }
        Command::Grade { exercise, options } => grade::answer(&exercise, &options),
        Command::Draft { order, options } => draft::answer(&order, &options),
        Command::Fit { readings, json } => fit::answer(&readings, json),
        Command::Picture { plan, options } => {
            plan_of(&plan).and_then(|found| picture::answer(&plan, &found, options))
        }
        Command::Book { options } => book::answer(&options),
        Command::Link {
            file,
            base,
            used_types,
        } => link::of_file(&file, &base, used_types),
        Command::Open { link } => link::open(&link),
    };
    match answer {
        Ok(answer) => {
            // A reader that has gone away (`| head`) is no fault of the plan's.
            let _ = std::io::stdout().lock().write_all(answer.text.as_bytes());
            ExitCode::from(u8::from(answer.failed))
        }
        Err(faults) => {
            let _ = std::io::stderr().lock().write_all(faults.as_bytes());
            ExitCode::from(2)
        }
    }
}

/// The text of a file, or of the standard input for `-`.
fn text_of(file: &str) -> Result<String, String> {
    let mut bytes = Vec::new();
    let read = match file {
        "-" => std::io::stdin().lock().read_to_end(&mut bytes).map(|_| ()),
        _ => std::fs::read(file).map(|found| bytes = found),
    };
    read.map_err(|error| format!("{file}: {error}\n"))?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        format!("{file}: byte {at}: found no UTF-8, expected a text\n")
    })
}

/// The plan in a file. What its book warns of is remarked.
fn plan_of(file: &str) -> Result<Plan, String> {
    read_named(file, &text_of(file)?)
}

/// The plan that a text is which was read from `file`. What its book warns of is remarked.
fn read_named(file: &str, text: &str) -> Result<Plan, String> {
    let plan = read_plan(text).map_err(|faults| lines(file, &faults))?;
    if !plan.book.book.caution.is_empty() {
        remark(&plan.book.book.caution);
    }
    Ok(plan)
}

/// The plan in a file or in a link.
fn plan_or_link(file: &str) -> Result<Plan, String> {
    match link::carried_plan(file) {
        true => link::plan_in(file),
        false => plan_of(file),
    }
}

/// The part of this id, or the only one of this name.
fn part_named(plan: &Plan, (option, what): (&str, &str), part: &str) -> Result<PartId, String> {
    let by_id = plan.parts.iter().find(|p| p.id.as_str() == part);
    let mut named = plan.parts.iter().filter(|p| plan.called(&p.id) == part);
    match (by_id, named.next(), named.next()) {
        (Some(part), ..) | (None, Some(part), None) => Ok(part.id.clone()),
        (None, None, _) => Err(format!(
            "{option} {part}: found no such part, expected a {what}'s id or name\n"
        )),
        (None, Some(_), Some(_)) => Err(format!(
            "{option} {part}: found several parts of this name, expected an id\n"
        )),
    }
}

/// Says something beside the answer, on the standard error stream.
fn remark(said: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{said}");
}

/// Faults for the standard error stream, one a line.
fn lines(file: &str, faults: &[crate::read::Fault]) -> String {
    faults.iter().map(|f| format!("{file}: {f}\n")).collect()
}

/// Problems for reading.
fn problems_text(plan: &Plan, problems: &[Problem]) -> String {
    if problems.is_empty() {
        return "No problems.\n".into();
    }
    let mut rows = table::Table::new(&["weight", "kind", "problem"]);
    for p in problems {
        rows.row([p.weight.word(), p.kind.code(), &p.says(plan)]);
    }
    rows.to_string()
}

/// An output as a JSON value.
fn value_of(output: &impl Serialize) -> Value {
    serde_json::to_value(output).expect("an output has only texts as keys")
}

/// JSON for the standard output.
fn print(output: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(output).expect("an output has only texts as keys");
    text + "\n"
}
