use serde_json::json;

use crate::client::{Answer, Bridge};

/// A picture of 300 by 200 pixels as PNG, and the hash that it is known by.
fn with_photo(bridge: &Bridge) -> (String, Vec<u8>) {
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_fn(300, 200, |x, y| image::Rgb([x as u8, y as u8, 90]));
    let mut file = std::io::Cursor::new(&mut bytes);
    picture.write_to(&mut file, image::ImageFormat::Png).unwrap();
    let added = bridge.answer("add-photo", &json!({"job": "shell", "by": "Anna"}), &bytes);
    (added["photo"]["id"].as_str().unwrap().to_owned(), bytes)
}

/// Asks as our own page does.
fn ask(bridge: &Bridge, path: &str, spoil: impl FnOnce(&mut Vec<(&'static str, String)>)) -> Answer {
    let mut ask = bridge.ask("jobs", &json!({}), b"");
    (ask.method, ask.path, ask.body) = ("GET", path.to_owned(), Vec::new());
    spoil(&mut ask.headers);
    bridge.send(&ask)
}

#[test]
fn a_picture_is_given_by_its_hash_in_three_sizes_to_be_kept_by_this_browser_alone() {
    let bridge = Bridge::new();
    let (hash, original) = with_photo(&bridge);
    for (size, media_type, edge) in [
        ("small", "image/jpeg", 256),
        ("large", "image/jpeg", 300),
        ("original", "image/png", 300),
    ] {
        let answer = ask(&bridge, &format!("/photo/{size}/{hash}"), |_| ());
        assert_eq!(answer.status, 200, "{size}");
        assert_eq!(answer.header("content-type"), media_type);
        let kept = answer.header("cache-control");
        for part in ["private", "immutable", "max-age="] {
            assert!(kept.contains(part), "{kept}");
        }
        assert_eq!(answer.header("x-content-type-options"), "nosniff");
        let picture = image::load_from_memory(&answer.body).unwrap();
        assert_eq!(picture.width().max(picture.height()), edge, "{size}");
        if size == "original" {
            assert_eq!(answer.body, original);
        }
    }
}

#[test]
fn without_the_token_or_for_another_page_there_is_no_picture() {
    let bridge = Bridge::new();
    let (hash, _) = with_photo(&bridge);
    let path = format!("/photo/small/{hash}");
    let token = bridge.serving.token().to_owned();
    let without = |headers: &mut Vec<(&str, String)>, name: &str| headers.retain(|(known, _)| *known != name);

    let refused = ask(&bridge, &path, |headers| without(headers, "Trammel-Token"));
    assert_eq!((refused.status, refused.code().as_str()), (401, "no-access"));
    assert_eq!(refused.header("cache-control"), "no-store");
    let refused = ask(&bridge, &path, |headers| {
        without(headers, "Trammel-Token");
        headers.push(("Trammel-Token", "0".repeat(64)));
    });
    assert_eq!((refused.status, refused.code().as_str()), (401, "no-access"));
    let refused = ask(&bridge, &format!("{path}?token={token}"), |headers| {
        without(headers, "Trammel-Token");
    });
    assert_eq!(refused.status, 401);
    for (name, value) in [
        ("Origin", "http://example.org".to_owned()),
        ("Sec-Fetch-Site", "cross-site".to_owned()),
        ("Host", "example.org".to_owned()),
    ] {
        let refused = ask(&bridge, &path, |headers| {
            without(headers, name);
            headers.push((name, value));
        });
        assert_eq!(
            (refused.status, refused.code().as_str()),
            (403, "no-access"),
            "{name}"
        );
    }
}

#[test]
fn what_is_no_hash_and_no_size_is_refused_and_leads_nowhere() {
    let bridge = Bridge::new();
    let (hash, _) = with_photo(&bridge);
    let upper = hash.to_uppercase();
    let unknown = ask(&bridge, &format!("/photo/small/{}", "0".repeat(64)), |_| ());
    assert_eq!((unknown.status, unknown.code().as_str()), (422, "photo-not-here"));
    for path in [
        format!("/photo/small/{upper}"),
        format!("/photo/small/{}", &hash[..63]),
        format!("/photo/small/{hash}0"),
        format!("/photo/small/{hash}%00"),
        format!("/photo/small/{hash}.jpg"),
        format!("/photo/to-leave/{hash}"),
        format!("/photo/Small/{hash}"),
        format!("/photo/..%2f/{hash}"),
        "/photo/small/..%2f..%2fstore.sqlite".to_owned(),
        "/photo/original/%2e%2e".to_owned(),
    ] {
        let answer = ask(&bridge, &path, |_| ());
        assert_eq!(
            (answer.status, answer.code().as_str()),
            (400, "bad-request"),
            "{path}"
        );
    }
    for path in [
        "/photo",
        "/photo/small",
        &format!("/photo/small/{hash}/more"),
        "/photo/small/../../store",
    ] {
        let answer = ask(&bridge, path, |_| ());
        assert!([400, 404].contains(&answer.status), "{path}: {}", answer.status);
    }
    let mut posted = bridge.ask("jobs", &json!({}), b"");
    posted.path = format!("/photo/small/{hash}");
    let posted = bridge.send(&posted);
    assert_eq!((posted.status, posted.code().as_str()), (405, "bad-request"));
}

#[test]
fn a_picture_comes_while_the_desk_is_at_work() {
    let bridge = Bridge::new();
    let (hash, _) = with_photo(&bridge);
    let path = format!("/photo/large/{hash}");
    assert_eq!(ask(&bridge, &path, |_| ()).status, 200);
    // The desk is held until the picture has come.
    let came = bridge.desk.with(|_| Ok(ask(&bridge, &path, |_| ()).status));
    assert_eq!(came, Ok(200));
}
