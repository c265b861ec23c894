//! The finished page's content security policy: which code it may run and whom it may talk to.
//!
//! The page is a folder of files, on any web server, so the policy stands in the page itself. Inline scripts and styles
//! are allowed by the SHA-256 of their text, and so the policy is made when all else of the page is. What it does not do:
//! a web worker's own script goes by the headers of its server, and who may frame the page can be said by headers only.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// The line of the page after which the policy is written: nothing that the policy speaks of may come before it.
const AFTER: &str = "<meta charset=\"utf-8\">\n";

/// The page with its policy.
///
/// # Errors
/// When the page does not have the line for it, or code stands before that line.
pub fn with_policy(page: &str) -> Result<String, String> {
    // A browser hashes the text as it reads it, and it reads every end of line as one `\n`.
    let page = page.replace("\r\n", "\n");
    let (head, rest) = page
        .split_once(AFTER)
        .ok_or_else(|| format!("the page lacks the line `{}`", AFTER.trim()))?;
    if head.contains("<script") || head.contains("<style") || head.contains("<link") {
        return Err("the page has code before its policy".into());
    }
    let policy = policy(&inline(rest, "script"), &inline(rest, "style"));
    Ok(format!(
        "{head}{AFTER}    <meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n{rest}"
    ))
}

/// The policy of a page with these inline scripts and styles.
fn policy(scripts: &[&str], styles: &[&str]) -> String {
    let hashes = |texts: &[&str]| -> String {
        texts
            .iter()
            .map(|text| {
                let hash = STANDARD.encode(Sha256::digest(text.as_bytes()));
                format!(" 'sha256-{hash}'")
            })
            .collect()
    };
    [
        "default-src 'none'".to_string(),
        format!("script-src 'self' 'wasm-unsafe-eval'{}", hashes(scripts)),
        format!("style-src 'self'{}", hashes(styles)),
        // Where a mark stands in a chart is a `style` attribute. It can neither run nor fetch anything.
        "style-src-attr 'unsafe-inline'".to_string(),
        // A picture that the page has drawn is shown from memory.
        "img-src 'self' blob:".to_string(),
        "font-src 'self'".to_string(),
        "manifest-src 'self'".to_string(),
        "connect-src 'self'".to_string(),
        "worker-src 'self'".to_string(),
        "base-uri 'none'".to_string(),
        "form-action 'none'".to_string(),
    ]
    .join("; ")
}

/// The texts of the elements of this name that hold their text themselves, in the page's order.
fn inline<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    let (open, close) = (format!("<{name}"), format!("</{name}>"));
    let mut found = Vec::new();
    let mut rest = page;
    while let Some(start) = rest.find('<') {
        rest = &rest[start..];
        if let Some(comment) = rest.strip_prefix("<!--") {
            rest = comment.split_once("-->").map_or("", |(_, after)| after);
            continue;
        }
        let element = rest
            .strip_prefix(&open)
            .filter(|after| after.starts_with(['>', ' ']))
            .and_then(|after| after.split_once('>'));
        let Some((attributes, after)) = element else {
            rest = &rest[1..];
            continue;
        };
        let (text, after) = after.split_once(&close).unwrap_or((after, ""));
        if !attributes.contains(" src=") {
            found.push(text);
        }
        rest = after;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "<html>\n<meta charset=\"utf-8\">\n<!-- <script>no()</script> -->\n\
        <script type=\"module\">go()</script><style>p {}</style><script src=\"x.js\"></script></html>";

    #[test]
    fn what_stands_in_the_page_is_found() {
        assert_eq!(inline(PAGE, "script"), ["go()"]);
        assert_eq!(inline(PAGE, "style"), ["p {}"]);
        assert_eq!(inline("<scripts>a</scripts>", "script"), [""; 0]);
    }

    #[test]
    fn inline_code_is_allowed_by_its_hash_and_nothing_else_is() {
        let page = with_policy(PAGE).expect("a page");
        // `printf 'go()' | openssl dgst -sha256 -binary | base64`
        let allowed = "script-src 'self' 'wasm-unsafe-eval' 'sha256-5KYv+PUboo5h+0+YAtGRPbwv5d/QxzHslP4YGnUaxRw=';";
        assert!(page.contains(allowed), "{page}");
        assert!(!page.contains("'unsafe-eval'"), "{page}");
        assert_eq!(page.matches("'unsafe-inline'").count(), 1, "{page}");
        assert!(page.contains("style-src-attr 'unsafe-inline'"), "{page}");
        assert_eq!(with_policy(&PAGE.replace('\n', "\r\n")), Ok(page));
    }

    #[test]
    fn a_page_whose_code_would_come_before_the_policy_is_refused() {
        assert!(with_policy("<script>go()</script>").is_err());
        let early = PAGE.replace("<html>", "<html><style>p {}</style>");
        assert!(with_policy(&early).is_err());
    }
}
