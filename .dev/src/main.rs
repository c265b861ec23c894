//! `cargo dev`: builds, serves and tests Duskline, and installs what these need and the machine lacks.
//!
//! Every command ends with exit code 0 when all went well, 1 when a step failed, 2 when it was called wrongly. Progress
//! goes to standard error; standard output carries the address, the folder, or the test runners' own reports.
//! Nothing is installed outside rustup's and cargo's own folders and `tests/browser/node_modules`, but for Chromium, which
//! on Debian comes from its packages.

mod bytes;
mod cli;
mod files;
mod http;
mod policy;
mod program;
mod serve;
mod shell;
mod site;
mod sizes;
mod suite;
mod tools;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};
use cli::{Arguments, Command};

fn main() -> ExitCode {
    let done = match Arguments::parse().command {
        None => Arguments::command()
            .print_help()
            .map_err(|error| error.to_string()),
        Some(Command::Serve { port }) => site::build().and_then(|folder| serve::run(&folder, port)),
        Some(Command::Build { out }) => site::build().and_then(|folder| {
            site::publish(&folder, &out).map(|()| println!("{}", out.display()))
        }),
        Some(Command::Sizes) => site::sizes().map(|table| println!("{table}")),
        Some(Command::Test { only }) => suite::run(only),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("error: {message}");
            ExitCode::FAILURE
        }
    }
}
