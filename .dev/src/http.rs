//! As much of HTTP/1.1 (RFC 9112) as it takes to hand out the files of one folder.
//!
//! A request is answered from its first line alone; what comes out is a whole answer in bytes. Nothing outside the folder
//! is ever read: dots, encoded or not, and links that lead out are refused. No ranges, no compression, one answer a connection.

use std::fs;
use std::path::{Path, PathBuf};

/// The whole answer to a request whose first line is `line`, from the files under `folder`.
pub fn answer(folder: &Path, line: &str) -> Vec<u8> {
    let mut words = line.split(' ');
    let (method, target) = (
        words.next().unwrap_or_default(),
        words.next().unwrap_or_default(),
    );
    if method != "GET" && method != "HEAD" {
        return whole(
            "405 Method Not Allowed",
            "text/plain; charset=utf-8",
            "Allow: GET, HEAD\r\n",
            b"only GET and HEAD\n",
            true,
        );
    }
    let body = method == "GET";
    let plain = |status: &str, text: &str| {
        whole(
            status,
            "text/plain; charset=utf-8",
            "",
            text.as_bytes(),
            body,
        )
    };
    let address = target.split(['?', '#']).next().unwrap_or_default();
    let Some(path) = local(address) else {
        return plain("400 Bad Request", "not an address\n");
    };
    let file = folder.join(&path);
    if file.is_dir() && !address.ends_with('/') {
        let name = address.rsplit('/').next().unwrap_or_default();
        return whole(
            "308 Permanent Redirect",
            "text/plain; charset=utf-8",
            &format!("Location: {name}/\r\n"),
            b"",
            body,
        );
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
        Ok(bytes) if inside => whole("200 OK", media_type(&file), "", &bytes, body),
        _ => plain("404 Not Found", "nothing here\n"),
    }
}

/// One answer; `body` tells whether its content is sent or, for HEAD, only measured.
fn whole(status: &str, media: &str, more: &str, content: &[u8], body: bool) -> Vec<u8> {
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {media}\r\nContent-Length: {}\r\nCache-Control: no-cache\r\n\
         X-Content-Type-Options: nosniff\r\n{more}Connection: close\r\n\r\n",
        content.len()
    );
    let mut bytes = head.into_bytes();
    if body {
        bytes.extend_from_slice(content);
    }
    bytes
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

    fn status(folder: &Path, line: &str) -> String {
        let bytes = answer(folder, line);
        String::from_utf8_lossy(&bytes)
            .split("\r\n")
            .next()
            .unwrap_or_default()
            .replace("HTTP/1.1 ", "")
    }

    #[test]
    fn files_come_with_their_type_and_folders_with_their_start_page() {
        let base = files::scratch("http");
        let site = base.join("site");
        files::write(&site.join("index.html"), b"<p>hello").expect("writable");
        files::write(&site.join("a b/x.wasm"), b"\0asm").expect("writable");
        files::write(&base.join("secret.txt"), b"no").expect("writable");

        let page = String::from_utf8(answer(&site, "GET /?q=1 HTTP/1.1")).expect("text");
        assert!(
            page.contains("Content-Type: text/html") && page.ends_with("\r\n\r\n<p>hello"),
            "{page}"
        );
        let head = String::from_utf8(answer(&site, "HEAD / HTTP/1.1")).expect("text");
        assert!(
            head.contains("Content-Length: 8\r\n") && head.ends_with("\r\n\r\n"),
            "{head}"
        );
        assert!(
            String::from_utf8_lossy(&answer(&site, "GET /a%20b/x.wasm HTTP/1.1"))
                .contains("application/wasm")
        );
        assert!(
            String::from_utf8_lossy(&answer(&site, "GET /a%20b HTTP/1.1"))
                .contains("Location: a%20b/\r\n")
        );
        assert_eq!(status(&site, "GET /missing HTTP/1.1"), "404 Not Found");
        assert_eq!(status(&site, "POST / HTTP/1.1"), "405 Method Not Allowed");
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
            assert_eq!(
                status(&site, &format!("GET {target} HTTP/1.1")),
                "400 Bad Request",
                "{target}"
            );
        }
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(base.join("secret.txt"), site.join("link.txt"))
                .expect("writable");
            assert_eq!(status(&site, "GET /link.txt HTTP/1.1"), "404 Not Found");
        }
        fs::remove_dir_all(base).expect("ours");
    }
}
