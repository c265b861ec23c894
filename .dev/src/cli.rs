//! The words of the command line: what `cargo dev` can be asked.
//!
//! Nothing is run from here.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Duskline's own commands
#[derive(Debug, Parser)]
#[command(
    name = "cargo dev",
    bin_name = "cargo dev",
    after_help = "Each installs what it needs and does not find."
)]
pub struct Arguments {
    /// What to do; nothing prints the help.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// One thing to do.
#[derive(Debug, PartialEq, Eq, Subcommand)]
pub enum Command {
    /// Build the page and serve it on this machine
    Serve {
        /// The port; a free one from 8080 on if not given
        #[arg(long, value_name = "N")]
        port: Option<u16>,
    },
    /// Write the finished page into a folder, to be put on any web server
    Build {
        /// The folder, relative to the working folder
        #[arg(long, value_name = "DIR", default_value = "dist")]
        out: PathBuf,
    },
    /// Build the page and print how many bytes it has, file by file
    Sizes,
    /// Run every test, or one stage of them
    Test {
        /// The only stage to run
        #[arg(long, value_name = "STAGE", value_enum)]
        only: Option<Stage>,
    },
}

/// One stage of the tests, in the order in which they run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Stage {
    /// rustfmt, and clippy for both targets with warnings as errors
    Lint,
    /// The workspace's tests on this machine
    Core,
    /// The tests that run compiled to wasm32, under Node
    Wasm,
    /// The tests of the finished page in Chromium
    Browser,
}

impl Stage {
    /// The stage's word on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Stage::Lint => "lint",
            Stage::Core => "core",
            Stage::Wasm => "wasm",
            Stage::Browser => "browser",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    fn read(line: &str) -> Result<Option<Command>, String> {
        let words = std::iter::once("cargo dev").chain(line.split_whitespace());
        let read = Arguments::try_parse_from(words);
        read.map(|found| found.command)
            .map_err(|error| error.to_string())
    }

    #[test]
    fn commands_and_their_options_are_read() {
        Arguments::command().debug_assert();
        assert_eq!(read(""), Ok(None));
        assert_eq!(read("serve"), Ok(Some(Command::Serve { port: None })));
        let port = Some(9000);
        assert_eq!(read("serve --port 9000"), Ok(Some(Command::Serve { port })));
        let out = |out: &str| Ok(Some(Command::Build { out: out.into() }));
        assert_eq!(read("build"), out("dist"));
        assert_eq!(read("build --out=site"), out("site"));
        assert_eq!(read("sizes"), Ok(Some(Command::Sizes)));
        for stage in Stage::value_variants() {
            let only = Some(*stage);
            let line = format!("test --only {}", stage.name());
            assert_eq!(read(&line), Ok(Some(Command::Test { only })));
        }
    }

    #[test]
    fn what_is_not_understood_is_named() {
        for (line, word) in [
            ("sevre", "'sevre'"),
            ("serve --port", "--port"),
            ("serve --port x", "'x'"),
            ("serve --port 70000", "'70000'"),
            ("build dist", "'dist'"),
            ("build --out=", "--out"),
            ("sizes all", "'all'"),
            ("test --only all", "'all'"),
            ("test --only core wasm", "'wasm'"),
        ] {
            let message = read(line).expect_err(line);
            assert!(message.contains(word), "{line}: {message}");
        }
    }
}
