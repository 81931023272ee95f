use serde_json::json;

use crate::client::Bridge;

#[test]
fn every_answer_carries_the_headers_that_let_nothing_else_in() {
    let bridge = Bridge::new();
    let command = bridge.send(&bridge.ask("jobs", &json!({}), b""));
    let mut foreign = bridge.ask("jobs", &json!({}), b"");
    foreign.headers.retain(|(name, _)| *name != "Host");
    let without_host = bridge.send(&foreign);
    assert!([400, 403].contains(&without_host.status));
    for answer in [bridge.page("/"), bridge.page("/nowhere"), command] {
        let policy = answer.header("content-security-policy");
        for part in [
            "default-src 'self';",
            "script-src 'self';",
            "connect-src 'self';",
            "img-src 'self' data: blob:;",
            "object-src 'none';",
            "base-uri 'none';",
            "frame-ancestors 'none'",
        ] {
            assert!(policy.contains(part), "{part} in {policy}");
        }
        assert!(!policy.contains("unsafe-eval") && !policy.contains("script-src 'self' "));
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        assert_eq!(answer.header("x-frame-options"), "DENY");
        assert_eq!(answer.header("referrer-policy"), "no-referrer");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin");
        assert!(
            answer
                .headers
                .iter()
                .all(|(name, _)| !name.starts_with("access-control"))
        );
    }
}

#[test]
fn the_first_page_is_there_or_says_how_it_is_built() {
    let bridge = Bridge::new();
    for path in ["/", "/index.html"] {
        let page = bridge.page(path);
        let text = String::from_utf8(page.body.clone()).unwrap();
        assert_eq!(page.header("content-type"), "text/html; charset=utf-8");
        assert!(text.to_lowercase().starts_with("<!doctype html>"), "{text}");
        assert!(text.contains("<title>Trammel"), "{text}");
        match bridge::has_pages() {
            true => assert_eq!(page.status, 200),
            false => {
                assert_eq!(page.status, 503);
                assert!(text.contains("make ui"), "{text}");
            }
        }
        assert!(!text.contains(bridge.serving.token()));
    }
}

#[test]
fn no_path_leads_out_of_the_pages() {
    let bridge = Bridge::new();
    for path in [
        "/../../Cargo.toml",
        "/..%2f..%2fCargo.toml",
        "/%2e%2e/%2e%2e/Cargo.toml",
        "/..\\..\\Cargo.toml",
        "//etc/passwd",
        "/etc/passwd",
        "/./index.html",
        "/assets/../../package.json",
        "/assets/%00",
        "/.git/config",
        "/index.html/",
        "/index.html%00.js",
        "/desk/../index.html",
    ] {
        let answer = bridge.page(path);
        assert!(
            [400, 401, 404].contains(&answer.status),
            "{path}: {}",
            answer.status
        );
        assert!(
            !String::from_utf8_lossy(&answer.body).contains("workspace"),
            "{path}"
        );
    }
}

#[test]
fn a_page_is_given_with_its_head_alone_where_that_is_asked() {
    let bridge = Bridge::new();
    let mut ask = bridge.ask("jobs", &json!({}), b"");
    (ask.method, ask.path, ask.body) = ("HEAD", "/".to_owned(), Vec::new());
    let answer = bridge.send(&ask);
    assert_eq!(answer.status, bridge.page("/").status);
    assert!(answer.body.is_empty());
}
