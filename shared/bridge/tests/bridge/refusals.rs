use serde_json::json;

use crate::client::{Ask, Bridge};

/// A request that would make a job, and make it again and again.
fn new_job(bridge: &Bridge) -> Ask {
    bridge.ask("new-job", &json!({"name": "intruder", "by": "Mallory"}), b"")
}

fn set(ask: &mut Ask, name: &'static str, value: &str) {
    without(ask, name);
    ask.headers.push((name, value.to_owned()));
}

fn without(ask: &mut Ask, name: &str) {
    ask.headers.retain(|(known, _)| *known != name);
}

/// Sends a request that was spoilt, and sees that nothing came of it.
fn refused(bridge: &Bridge, spoil: impl FnOnce(&mut Ask)) -> (u16, String) {
    let before = bridge.state();
    let mut ask = new_job(bridge);
    spoil(&mut ask);
    let answer = bridge.send(&ask);
    assert_eq!(bridge.state(), before);
    (answer.status, answer.code())
}

fn told(status: u16, code: &str) -> (u16, String) {
    (status, code.to_owned())
}

#[test]
fn the_request_that_is_spoilt_here_would_have_been_carried_out() {
    let bridge = Bridge::new();
    let before = bridge.state();
    assert_eq!(bridge.send(&new_job(&bridge)).status, 200);
    assert_ne!(bridge.state(), before);
}

#[test]
fn without_the_token_of_this_start_nothing_is_done() {
    let bridge = Bridge::new();
    let token = bridge.serving.token().to_owned();
    assert_eq!(token.len(), 64);
    let earlier = Bridge::new().serving.token().to_owned();
    let no_access = told(401, "no-access");
    assert_eq!(refused(&bridge, |ask| without(ask, "Trammel-Token")), no_access);
    let upper = token.to_uppercase();
    for wrong in ["", "0", &token[..63], &format!("{token}0"), &earlier, &upper] {
        assert_eq!(
            refused(&bridge, |ask| set(ask, "Trammel-Token", wrong)),
            no_access,
            "{wrong}"
        );
    }
    let twice = |ask: &mut Ask| ask.headers.push(("Trammel-Token", "0".to_owned()));
    assert_eq!(refused(&bridge, twice), no_access);
    let in_address = |ask: &mut Ask| {
        without(ask, "Trammel-Token");
        ask.path = format!("{}?token={token}", ask.path);
    };
    assert_eq!(refused(&bridge, in_address), no_access);
}

#[test]
fn a_script_of_another_page_is_refused_even_with_the_token() {
    let bridge = Bridge::new();
    let port = bridge.serving.address().port();
    let no_access = told(403, "no-access");
    for origin in [
        "http://example.org".to_owned(),
        "null".to_owned(),
        String::new(),
        format!("https://127.0.0.1:{port}"),
        format!("http://127.0.0.1:{}", port ^ 1),
        format!("http://127.0.0.1:{port}.example.org"),
        format!("http://127.0.0.1:{port}/"),
        format!("http://user@127.0.0.1:{port}"),
        "http://127.0.0.1".to_owned(),
    ] {
        assert_eq!(
            refused(&bridge, |ask| set(ask, "Origin", &origin)),
            no_access,
            "{origin}"
        );
    }
    for site in ["cross-site", "same-site"] {
        let from = |ask: &mut Ask| set(ask, "Sec-Fetch-Site", site);
        assert_eq!(refused(&bridge, from), no_access, "{site}");
    }
}

#[test]
fn a_request_that_names_another_host_is_refused_even_with_the_token() {
    let bridge = Bridge::new();
    let port = bridge.serving.address().port();
    let no_access = told(403, "no-access");
    for host in [
        format!("example.org:{port}"),
        "example.org".to_owned(),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", port ^ 1),
        format!("127.0.0.1:{port}.example.org"),
        format!("127.0.0.2:{port}"),
        format!("localhost.example.org:{port}"),
        format!("[::1]:{port}"),
        format!("0.0.0.0:{port}"),
    ] {
        assert_eq!(
            refused(&bridge, |ask| set(ask, "Host", &host)),
            no_access,
            "{host}"
        );
    }
    let named = |ask: &mut Ask| ask.path = format!("http://example.org{}", ask.path);
    assert_eq!(refused(&bridge, named), no_access);
    let mut page = new_job(&bridge);
    page.method = "GET";
    page.path = "/".to_owned();
    set(&mut page, "Host", &format!("example.org:{port}"));
    assert_eq!(bridge.send(&page).status, 403);
}

#[test]
fn this_device_may_be_called_by_both_its_names() {
    let bridge = Bridge::new();
    let port = bridge.serving.address().port();
    let mut ask = bridge.ask("jobs", &json!({}), b"");
    set(&mut ask, "Host", &format!("localhost:{port}"));
    set(&mut ask, "Origin", &format!("http://localhost:{port}"));
    assert_eq!(bridge.send(&ask).status, 200);
    without(&mut ask, "Origin");
    assert_eq!(bridge.send(&ask).status, 200);
}

#[test]
fn what_is_too_large_is_refused_whether_it_says_so_or_not() {
    let bridge = Bridge::new();
    let large = told(413, "bad-request");
    let announced = |ask: &mut Ask| set(ask, "Content-Length", &((64 << 20) + 1).to_string());
    assert_eq!(refused(&bridge, announced), large);
    let mut ask = new_job(&bridge);
    announced(&mut ask);
    let said = String::from_utf8(bridge.send(&ask).body).unwrap();
    // What to do: the limit of a photo is below that of a request.
    assert!(said.contains("save a photo smaller, as JPEG, 48 MB"), "{said}");
    let mut nonsense = new_job(&bridge);
    set(&mut nonsense, "Content-Length", "many");
    assert_eq!(bridge.send(&nonsense).status, 400);

    let before = bridge.state();
    let ask = new_job(&bridge);
    let mut request = format!("POST {} HTTP/1.1\r\nConnection: close\r\n", ask.path);
    for (name, value) in &ask.headers {
        request.push_str(&format!("{name}: {value}\r\n"));
    }
    request.push_str("Transfer-Encoding: chunked\r\n\r\n");
    let mut request = request.into_bytes();
    for _ in 0..65 {
        request.extend_from_slice(b"100000\r\n");
        request.resize(request.len() + (1 << 20), b' ');
        request.extend_from_slice(b"\r\n");
    }
    request.extend_from_slice(b"0\r\n\r\n");
    let answer = bridge.send_bytes(&request);
    assert_eq!((answer.status, answer.code()), large);
    assert_eq!(bridge.state(), before);
}

#[test]
fn what_is_no_envelope_is_refused() {
    let bridge = Bridge::new();
    let bad = told(400, "bad-request");
    for body in [
        &b""[..],
        b"\x01\0",
        b"\xff\xff\xff\xff{}",
        b"\xff\xff\0\0{}",
        b"{\"name\":\"intruder\"}",
        b"\x02\0\0\0{]",
        b"\x02\0\0\0\xff\xfe",
        b"\x02\0\0\0{}",
        b"\x02\0\0\0[]",
        b"\x0c\0\0\0{\"name\":123}",
        b"\x1e\0\0\0{\"name\":\"intruder\",\"what\":123}",
    ] {
        assert_eq!(refused(&bridge, |ask| ask.body = body.to_vec()), bad, "{body:?}");
    }
}

#[test]
fn another_method_is_refused() {
    let bridge = Bridge::new();
    for method in ["GET", "PUT", "DELETE", "OPTIONS", "PATCH"] {
        assert_eq!(
            refused(&bridge, |ask| ask.method = method),
            told(405, "bad-request"),
            "{method}"
        );
    }
    for path in ["/", "/index.html", "/desk", "/desk/", "/elsewhere"] {
        let answer = refused(&bridge, |ask| ask.path = path.to_owned());
        assert_eq!(answer, told(405, "bad-request"), "{path}");
    }
}
