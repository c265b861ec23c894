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
mod serve;
mod shell;
mod site;
mod sizes;
mod suite;
mod tools;

use std::process::ExitCode;

use cli::Command;

fn main() -> ExitCode {
    let command = match cli::parse(std::env::args().skip(1)) {
        Ok(command) => command,
        Err(message) => {
            eprintln!("error: {message}\n\n{}", cli::USAGE);
            return ExitCode::from(2);
        }
    };
    let done = match command {
        Command::Help => {
            println!("{}", cli::USAGE);
            Ok(())
        }
        Command::Serve { port } => site::build().and_then(|folder| serve::run(&folder, port)),
        Command::Build { out } => site::build().and_then(|folder| {
            site::publish(&folder, &out).map(|()| println!("{}", out.display()))
        }),
        Command::Sizes => site::sizes().map(|table| println!("{table}")),
        Command::Test { only } => suite::run(only),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("error: {message}");
            ExitCode::FAILURE
        }
    }
}
