use serde_json::json;

use super::*;

#[test]
fn what_is_put_in_comes_out() {
    for (json, bytes) in [
        (json!({"job": "shell", "häufig": [1, null, "⅜"]}), &b""[..]),
        (json!(null), b"\x00\xff\xd8 no JSON"),
    ] {
        let envelope = sealed(&json, bytes).unwrap();
        assert_eq!(opened(&envelope).unwrap(), (json, bytes));
    }
}

#[test]
fn the_bytes_of_an_envelope_are_these() {
    assert_eq!(sealed(&json!({"a": 1}), b"xy").unwrap(), b"\x07\0\0\0{\"a\":1}xy");
    let reply = Reply {
        answer: json!(3),
        bytes: b"zip".to_vec(),
        media_type: Some("application/zip"),
    };
    let text = br#"{"answer":3,"media_type":"application/zip"}"#;
    let expected = [&[43, 0, 0, 0], &text[..], b"zip"].concat();
    assert_eq!(reply.sealed().unwrap(), expected);
}

#[test]
fn what_is_no_envelope_is_refused_with_the_reason() {
    let deep = [&20_000_u32.to_le_bytes()[..], &b"[".repeat(20_000)].concat();
    for (envelope, says) in [
        (&b""[..], "it has 0 bytes"),
        (b"\x01\0\0", "it has 3 bytes"),
        (
            b"\x08\0\0\0{}",
            "it ends before its JSON does: 8 bytes were announced and 2 came",
        ),
        (b"\0\0\0\0", "its JSON cannot be read"),
        (b"\x02\0\0\0{]", "its JSON cannot be read"),
        (b"\x02\0\0\0\xff\xfe", "its JSON cannot be read"),
        (b"\xff\xff\xff\xff{}", "its JSON is larger than 16 MB"),
        (&deep, "its JSON cannot be read: recursion limit"),
        (&vec![0; LONGEST + 1], "it is larger than 64 MB"),
    ] {
        let refusal = Refusal::from(opened(envelope).unwrap_err());
        assert_eq!(refusal.code, Code::BadRequest);
        let expected = format!("the request is not understood: {says}");
        assert!(refusal.message.starts_with(&expected), "{}", refusal.message);
    }
}

#[test]
fn an_envelope_as_long_as_it_may_be_is_opened() {
    let mut envelope = sealed(&json!(null), b"").unwrap();
    envelope.resize(LONGEST, 7);
    assert_eq!(opened(&envelope).unwrap().1.len(), LONGEST - 8);
}
