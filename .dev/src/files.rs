//! Where things are in the checkout, and lists of files.
//!
//! Paths are absolute unless said otherwise. Errors are sentences that name the file.

use std::fs;
use std::path::{Path, PathBuf};

/// The checkout's top folder.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("the helper package lies in a folder of the checkout")
}

/// The folder of the browser tests and of what comes from npm.
pub fn browser() -> PathBuf {
    root().join("tests/browser")
}

/// The folder in which cargo keeps what it installs: `CARGO_HOME`, or `.cargo` at home.
///
/// # Errors
/// When neither that nor a home folder is set.
pub fn cargo_home() -> Result<PathBuf, String> {
    if let Some(home) = std::env::var_os("CARGO_HOME").filter(|home| !home.is_empty()) {
        return Ok(home.into());
    }
    std::env::home_dir()
        .map(|home| home.join(".cargo"))
        .ok_or_else(|| {
            "no home folder is set: set CARGO_HOME to a folder for cargo's own files".into()
        })
}

/// Reads a whole file.
///
/// # Errors
/// When it cannot be read.
pub fn read(path: &Path) -> Result<Vec<u8>, String> {
    fs::read(path).map_err(|error| format!("cannot read {}: {error}", path.display()))
}

/// Writes a whole file, and the folders it lies in.
///
/// # Errors
/// When it cannot be written.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let folder = path.parent().unwrap_or(path);
    fs::create_dir_all(folder)
        .and_then(|()| fs::write(path, bytes))
        .map_err(|error| format!("cannot write {}: {error}", path.display()))
}

/// Every file under `folder`, as paths relative to it with `/` between names, sorted.
///
/// # Errors
/// When a folder cannot be read, or a name is not UTF-8.
pub fn list(folder: &Path) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut open = vec![(folder.to_path_buf(), String::new())];
    while let Some((folder, prefix)) = open.pop() {
        let fault = |error| format!("cannot read {}: {error}", folder.display());
        for entry in fs::read_dir(&folder).map_err(fault)? {
            let entry = entry.map_err(fault)?;
            let name = entry.file_name();
            let name = name
                .to_str()
                .ok_or_else(|| format!("{} is not a UTF-8 name", entry.path().display()))?;
            let path = format!("{prefix}{name}");
            if entry.path().is_dir() {
                open.push((entry.path(), format!("{path}/")));
            } else {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}

/// A folder of its own for one test, empty.
#[cfg(test)]
pub fn scratch(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("duskline-dev-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("the temporary folder can be written");
    folder
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_listed_in_order_at_every_depth() {
        let folder = scratch("list");
        for name in ["b.txt", "a/z.txt", "a/b/c.txt"] {
            write(&folder.join(name), name.as_bytes()).expect(name);
        }
        assert_eq!(
            list(&folder).expect("readable"),
            ["a/b/c.txt", "a/z.txt", "b.txt"]
        );
        assert_eq!(read(&folder.join("a/z.txt")).expect("readable"), b"a/z.txt");
        fs::remove_dir_all(folder).expect("ours");
    }
}
