//! What is answered to a request for a file of one folder.
//!
//! Nothing outside the folder is ever read: dots, encoded or not, and links that lead out are refused. No ranges, no
//! compression. The protocol itself is `tiny_http`'s, which leaves the content out of an answer to HEAD.

use std::fs;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use tiny_http::{Header, Method, Response};

/// An answer with its whole content.
pub type Answer = Response<Cursor<Vec<u8>>>;

/// The answer to a request for `target`, from the files under `folder`.
pub fn answer(folder: &Path, method: &Method, target: &str) -> Answer {
    if !matches!(method, Method::Get | Method::Head) {
        return plain(405, "only GET and HEAD\n").with_header(header("Allow", "GET, HEAD"));
    }
    let address = target.split(['?', '#']).next().unwrap_or_default();
    let Some(path) = local(address) else {
        return plain(400, "not an address\n");
    };
    let file = folder.join(&path);
    if file.is_dir() && !address.ends_with('/') {
        let name = address.rsplit('/').next().unwrap_or_default();
        return plain(308, "").with_header(header("Location", &format!("{name}/")));
    }
    let file = if file.is_dir() {
        file.join("index.html")
    } else {
        file
    };
    let inside = folder
        .canonicalize()
        .ok()
        .zip(file.canonicalize().ok())
        .is_some_and(|(folder, file)| file.starts_with(folder));
    match fs::read(&file) {
        Ok(bytes) if inside => whole(200, media_type(&file), bytes),
        _ => plain(404, "nothing here\n"),
    }
}

fn plain(status: u16, text: &str) -> Answer {
    whole(status, "text/plain; charset=utf-8", text.into())
}

/// An answer that no browser keeps without asking, its length told rather than sent in chunks.
fn whole(status: u16, media: &str, content: Vec<u8>) -> Answer {
    Response::from_data(content)
        .with_status_code(status)
        .with_chunked_threshold(usize::MAX)
        .with_header(header("Content-Type", media))
        .with_header(header("Cache-Control", "no-cache"))
        .with_header(header("X-Content-Type-Options", "nosniff"))
}

/// A header. One whose value is not ASCII, which no address that was asked for can bring about, is sent empty.
fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value)
        .or_else(|()| Header::from_bytes(name, ""))
        .expect("our names of headers are ASCII")
}

/// The path relative to the folder that an address means, or `None` where it is not one or would lead out.
fn local(address: &str) -> Option<PathBuf> {
    let mut path = PathBuf::new();
    for part in address.strip_prefix('/')?.split('/') {
        let part = decoded(part)?;
        match part.as_str() {
            "" | "." => {}
            ".." => return None,
            // A slash, a backslash, a colon or a zero inside one name: another path in disguise.
            name if name.contains(['/', '\\', ':', '\0']) => return None,
            name => path.push(name),
        }
    }
    Some(path)
}

/// Undoes percent-encoding (RFC 3986, 2.1); `None` where it is malformed or not UTF-8.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let [first, tail @ ..] = rest {
        rest = tail;
        if *first == b'%' {
            let [high, low, tail @ ..] = tail else {
                return None;
            };
            let digit = |byte: u8| char::from(byte).to_digit(16);
            bytes.push(u8::try_from(digit(*high)? * 16 + digit(*low)?).ok()?);
            rest = tail;
        } else {
            bytes.push(*first);
        }
    }
    String::from_utf8(bytes).ok()
}

/// The media type by the file's ending; browsers refuse modules and wasm of any other type.
fn media_type(file: &Path) -> &'static str {
    match file
        .extension()
        .and_then(|ending| ending.to_str())
        .unwrap_or_default()
    {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" | "mjs" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/x-icon",
        "woff2" => "font/woff2",
        "txt" => "text/plain; charset=utf-8",
        "webmanifest" => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files;

    fn get(folder: &Path, target: &str) -> Answer {
        answer(folder, &Method::Get, target)
    }

    fn field(answer: &Answer, name: &'static str) -> String {
        let field = answer.headers().iter().find(|h| h.field.equiv(name));
        field.expect(name).value.to_string()
    }

    #[test]
    fn files_come_with_their_type_and_folders_with_their_start_page() {
        let base = files::scratch("http");
        let site = base.join("site");
        files::write(&site.join("index.html"), b"<p>hello").expect("writable");
        files::write(&site.join("a b/x.wasm"), b"\0asm").expect("writable");

        let page = get(&site, "/?q=1");
        assert_eq!((page.status_code().0, page.data_length()), (200, Some(8)));
        assert_eq!(field(&page, "Content-Type"), "text/html; charset=utf-8");
        assert_eq!(field(&page, "Cache-Control"), "no-cache");
        let program = get(&site, "/a%20b/x.wasm");
        assert_eq!(field(&program, "Content-Type"), "application/wasm");
        let folder = get(&site, "/a%20b");
        assert_eq!(folder.status_code(), 308);
        assert_eq!(field(&folder, "Location"), "a%20b/");
        assert_eq!(get(&site, "/missing").status_code(), 404);
        assert_eq!(answer(&site, &Method::Post, "/").status_code(), 405);
        fs::remove_dir_all(base).expect("ours");
    }

    #[test]
    fn nothing_outside_the_folder_is_given() {
        let base = files::scratch("outside");
        let site = base.join("site");
        files::write(&site.join("index.html"), b"hello").expect("writable");
        files::write(&base.join("secret.txt"), b"no").expect("writable");
        for target in [
            "/../secret.txt",
            "/%2e%2e/secret.txt",
            "/..%2fsecret.txt",
            "/..%5csecret.txt",
            "/a%00b",
            "/%zz",
            "/%e",
            "x",
            "",
            "/%ff",
            "/c:%5cx",
        ] {
            assert_eq!(get(&site, target).status_code(), 400, "{target}");
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(base.join("secret.txt"), site.join("link.txt"))
                .expect("writable");
            assert_eq!(get(&site, "/link.txt").status_code(), 404);
        }
        fs::remove_dir_all(base).expect("ours");
    }
}
