//! The words of the command line: what `cargo dev` can be asked.
//!
//! Errors are sentences that name the word that was not understood. Nothing is run from here.

use std::path::PathBuf;

/// What `cargo dev` prints when asked for help or called wrongly.
pub const USAGE: &str = "\
Duskline's own commands

  cargo dev serve [--port N]    build the page and serve it on this machine
  cargo dev build [--out DIR]   write the finished page into a folder (dist), to be put on any web server
  cargo dev sizes               build the page and print how many bytes it has, file by file
  cargo dev test [--only STAGE] run every test, or one stage of: lint, core, wasm, browser

Each installs what it needs and does not find.";

/// One stage of the tests, in the order in which they run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// rustfmt, and clippy for both targets with warnings as errors.
    Lint,
    /// The workspace's tests on this machine.
    Core,
    /// The tests that run compiled to wasm32, under Node.
    Wasm,
    /// The tests of the finished page in Chromium.
    Browser,
}

impl Stage {
    /// All stages, in running order.
    pub const ALL: [Stage; 4] = [Stage::Lint, Stage::Core, Stage::Wasm, Stage::Browser];

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

/// One thing to do.
#[derive(Debug, PartialEq, Eq)]
pub enum Command {
    /// Print the usage.
    Help,
    /// Build and serve; a free port is looked for when none is given.
    Serve {
        /// The port asked for.
        port: Option<u16>,
    },
    /// Build and write the finished site.
    Build {
        /// The folder to write to, relative to the working folder.
        out: PathBuf,
    },
    /// Build and print the sizes of the finished files.
    Sizes,
    /// Run the tests.
    Test {
        /// The only stage to run, or all.
        only: Option<Stage>,
    },
}

/// Reads the arguments after `cargo dev`.
///
/// # Errors
/// A sentence on the first word that is unknown, doubled or lacks its value.
pub fn parse(mut args: impl Iterator<Item = String>) -> Result<Command, String> {
    let verb = args.next().unwrap_or_else(|| "help".into());
    let rest: Vec<String> = args.collect();
    if rest.iter().any(|arg| arg == "-h" || arg == "--help") {
        return Ok(Command::Help);
    }
    match verb.as_str() {
        "help" | "-h" | "--help" => Ok(Command::Help),
        "serve" => {
            let port = option(&rest, "--port")?
                .map(|text| {
                    text.parse()
                        .map_err(|_| format!("--port takes a number from 0 to 65535, not `{text}`"))
                })
                .transpose()?;
            Ok(Command::Serve { port })
        }
        "build" => Ok(Command::Build {
            out: option(&rest, "--out")?.unwrap_or("dist").into(),
        }),
        "sizes" => match rest.first() {
            None => Ok(Command::Sizes),
            Some(extra) => Err(format!("`{extra}` is one word too many")),
        },
        "test" => {
            let only = option(&rest, "--only")?
                .map(|text| {
                    Stage::ALL
                        .into_iter()
                        .find(|stage| stage.name() == text)
                        .ok_or_else(|| {
                            format!("--only takes lint, core, wasm or browser, not `{text}`")
                        })
                })
                .transpose()?;
            Ok(Command::Test { only })
        }
        other => Err(format!("there is no command `{other}`")),
    }
}

/// The value of the one option a command has, written `--name value` or `--name=value`.
fn option<'a>(rest: &'a [String], name: &str) -> Result<Option<&'a str>, String> {
    let Some(first) = rest.first() else {
        return Ok(None);
    };
    let (value, used) = match first.strip_prefix(name) {
        Some("") => (rest.get(1).map(String::as_str), 2),
        Some(tail) if tail.starts_with('=') => (Some(&tail[1..]), 1),
        _ => {
            return Err(format!(
                "`{first}` is not known here; this command takes {name}"
            ));
        }
    };
    match (value.filter(|value| !value.is_empty()), rest.get(used)) {
        (None, _) => Err(format!("{name} needs a value")),
        (_, Some(extra)) => Err(format!("`{extra}` is one word too many")),
        (value, None) => Ok(value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Command, String> {
        parse(line.split_whitespace().map(String::from))
    }

    #[test]
    fn commands_and_their_options_are_read() {
        assert_eq!(read(""), Ok(Command::Help));
        assert_eq!(read("serve"), Ok(Command::Serve { port: None }));
        assert_eq!(
            read("serve --port 9000"),
            Ok(Command::Serve { port: Some(9000) })
        );
        assert_eq!(
            read("build --out=site"),
            Ok(Command::Build { out: "site".into() })
        );
        assert_eq!(read("sizes"), Ok(Command::Sizes));
        assert_eq!(
            read("test --only wasm"),
            Ok(Command::Test {
                only: Some(Stage::Wasm)
            })
        );
        assert_eq!(read("test --help"), Ok(Command::Help));
    }

    #[test]
    fn what_is_not_understood_is_named() {
        for (line, word) in [
            ("sevre", "`sevre`"),
            ("serve --port", "--port"),
            ("serve --port x", "`x`"),
            ("serve --port 70000", "`70000`"),
            ("build dist", "`dist`"),
            ("build --out=", "--out"),
            ("sizes all", "`all`"),
            ("test --only all", "`all`"),
            ("test --only core wasm", "`wasm`"),
        ] {
            let message = read(line).expect_err(line);
            assert!(message.contains(word), "{line}: {message}");
        }
    }
}
