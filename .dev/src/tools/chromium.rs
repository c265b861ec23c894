//! The browser of the tests.

use std::path::{Path, PathBuf};

use crate::shell;

/// Names under which Chromium and its like are installed.
const NAMES: [&str; 5] = [
    "chromium",
    "google-chrome",
    "google-chrome-stable",
    "chromium-browser",
    "chrome",
];
/// Where they lie when they are not on `PATH`.
const PLACES: [&str; 4] = [
    "/usr/bin/chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
];

/// The browser's program: what `CHROMIUM` names, or what is installed, or Debian's package, installed now.
///
/// # Errors
/// When there is none and none can be installed.
pub fn chromium() -> Result<PathBuf, String> {
    if let Some(named) = std::env::var_os("CHROMIUM").filter(|named| !named.is_empty()) {
        let named = PathBuf::from(named);
        return if named.is_file() {
            Ok(named)
        } else {
            Err(format!(
                "CHROMIUM is {}, which is not a file",
                named.display()
            ))
        };
    }
    if let Some(found) = installed() {
        return Ok(found);
    }
    let mut why = String::from("none was found");
    if Path::new("/etc/debian_version").exists()
        && shell::ask(shell::command("id").arg("-u")).as_deref() == Some("0")
    {
        shell::say("installing Chromium from Debian's packages");
        let apt = |words: &[&str]| {
            shell::run(
                shell::command("apt-get")
                    .env("DEBIAN_FRONTEND", "noninteractive")
                    .args(words),
            )
        };
        match apt(&["update", "-q"])
            .and_then(|()| apt(&["install", "-y", "-q", "--no-install-recommends", "chromium"]))
        {
            Ok(()) => match installed() {
                Some(found) => return Ok(found),
                None => why = "the package brought no program of that name".into(),
            },
            Err(fault) => why = fault,
        }
    }
    Err(format!(
        "the browser tests need Chromium or Chrome ({why}).\n\
         Install one (on Debian, as root: `apt-get install chromium`), or set CHROMIUM to its program."
    ))
}

fn installed() -> Option<PathBuf> {
    NAMES.iter().find_map(|name| shell::find(name)).or_else(|| {
        PLACES
            .iter()
            .map(PathBuf::from)
            .find(|place| place.is_file())
    })
}
