//! The pages: what `ui` was built to, with headers that let nothing else in.

use axum::http::{HeaderName, Method, StatusCode, Uri, header};
use axum::response::{IntoResponse, Response};
use desk::Code;
use rust_embed::RustEmbed;

use crate::refused::Refused;

/// The built pages. In a release they are in the program; while developing they are read from the folder each time.
#[derive(RustEmbed)]
#[folder = "../../ui/dist"]
#[allow_missing = true]
struct Pages;

const FIRST: &str = "index.html";

/// Whether the pages were built.
pub fn has_pages() -> bool {
    Pages::get(FIRST).is_some()
}

/// Answers with the file of that path.
pub(crate) async fn page(method: Method, uri: Uri) -> Response {
    if method != Method::GET && method != Method::HEAD {
        return wrong_method().await;
    }
    let path = match uri.path() {
        "/" => FIRST,
        path => path.strip_prefix('/').unwrap_or(path),
    };
    match is_plain(path).then(|| Pages::get(path)).flatten() {
        Some(file) => ([(header::CONTENT_TYPE, media_type(path))], file.data.into_owned()).into_response(),
        None if path == FIRST => (
            StatusCode::SERVICE_UNAVAILABLE,
            [(header::CONTENT_TYPE, media_type(FIRST))],
            NOT_BUILT,
        )
            .into_response(),
        None => Refused::with(
            StatusCode::NOT_FOUND,
            Code::NotThere,
            "there is no such page: open the address as trammel serve printed it",
        )
        .into_response(),
    }
}

/// Answers a request whose method is none that is known there.
pub(crate) async fn wrong_method() -> Response {
    Refused::with(
        StatusCode::METHOD_NOT_ALLOWED,
        Code::BadRequest,
        "pages and pictures are asked for with GET, commands with POST",
    )
    .into_response()
}

/// Whether a path stays below the folder of the pages, whatever reads it.
fn is_plain(path: &str) -> bool {
    let plain = |part: &str| !part.is_empty() && !part.starts_with('.');
    let known = |byte: u8| byte.is_ascii_alphanumeric() || b"/._-".contains(&byte);
    path.bytes().all(known) && path.split('/').all(plain)
}

fn media_type(path: &str) -> &'static str {
    match path.rsplit_once('.').map(|(_, ending)| ending) {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("json" | "map") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("jpg") => "image/jpeg",
        Some("webp") => "image/webp",
        Some("ico") => "image/vnd.microsoft.icon",
        Some("woff2") => "font/woff2",
        Some("wasm") => "application/wasm",
        Some("txt") => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

/// What every answer carries: scripts and connections of our own only, no frame round it, no guessing of types.
pub(crate) const HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (header::CACHE_CONTROL, "no-cache"),
];

// Styles that Svelte sets on elements are inline ones.
const CONTENT_SECURITY_POLICY: &str = "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; \
    img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; object-src 'none'; base-uri 'none'; \
    form-action 'none'; frame-ancestors 'none'";

const NOT_BUILT: &str = "<!doctype html>
<html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">
<title>Trammel</title>
<h1>The pages are not built yet</h1>
<p>Trammel runs, but its pages are missing. In the folder of its source, run <code>make ui</code>, which needs Node.js,
then start it again.
";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_leads_out_of_the_folder_is_none_of_ours() {
        for path in [
            "",
            "/",
            "/etc/passwd",
            "..",
            "../Cargo.toml",
            "assets/../../Cargo.toml",
            "assets//x.js",
            "assets/./x.js",
            "assets\\..\\x",
            "%2e%2e/Cargo.toml",
            "..%2fCargo.toml",
            ".git/config",
            "C:/x",
            "a\0b",
        ] {
            assert!(!is_plain(path), "{path:?}");
        }
        for path in ["index.html", "assets/index-B1x_9.js", "fonts/a.b.woff2"] {
            assert!(is_plain(path), "{path:?}");
        }
    }
}
