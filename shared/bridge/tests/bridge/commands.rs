use desk::{COMMANDS, envelope};
use serde_json::json;

use crate::client::Bridge;

#[test]
fn every_command_of_the_desk_is_reached_and_no_other() {
    let bridge = Bridge::new();
    for (name, _) in COMMANDS {
        let answer = bridge.send(&bridge.ask(name, &json!({}), b""));
        let said = String::from_utf8_lossy(&answer.body).into_owned();
        assert!([200, 400, 422].contains(&answer.status), "{name}: {said}");
        assert!(!said.contains("there is no command"), "{name}: {said}");
    }
    for name in ["", "job", "JOBS", "jobs%2f", "jobs/all", "..", "work"] {
        let before = bridge.state();
        let answer = bridge.send(&bridge.ask(name, &json!({}), b""));
        assert!((400..500).contains(&answer.status), "{name}: {}", answer.status);
        assert!(
            ["bad-request", "not-there"].contains(&answer.code().as_str()),
            "{name}"
        );
        assert_eq!(bridge.state(), before, "{name}");
    }
}

#[test]
fn what_is_asked_is_done_and_bytes_go_both_ways() {
    let bridge = Bridge::new();
    let logged = bridge.answer(
        "log-reading",
        &json!({"job": "shell", "by": "Anna", "reading": {
            "kind": "tape", "points": ["sill-RR", "sill-FR"], "value": "40 5/8 in"}}),
        b"",
    );
    assert_eq!(logged["name"], "r001");
    let answer = bridge.send(&bridge.ask("export", &json!({"job": "shell"}), b""));
    assert_eq!(answer.header("content-type"), "application/octet-stream");
    assert_eq!(answer.header("cache-control"), "no-store");
    let (json, file) = envelope::opened(&answer.body).unwrap();
    assert_eq!(json["media_type"], "application/zip");
    let taken = bridge.answer("take-in", &json!({}), file);
    assert_eq!(taken["name"], "shell", "{taken}");
}

#[test]
fn a_refusal_is_told_with_its_code_and_its_problems() {
    let bridge = Bridge::new();
    let answer = bridge.send(&bridge.ask("show", &json!({"job": "hull"}), b""));
    assert_eq!((answer.status, answer.code().as_str()), (422, "no-such-job"));
    assert_eq!(answer.header("content-type"), "application/json");
    assert_eq!(answer.header("cache-control"), "no-store");
    let ask = json!({"job": "shell", "reading": {"kind": "tape", "points": ["A", "B"], "value": "40 5/"}});
    let answer = bridge.send(&bridge.ask("log-reading", &ask, b""));
    let refusal: serde_json::Value = serde_json::from_slice(&answer.body).unwrap();
    assert_eq!(refusal["code"], "unusable");
    assert!(!refusal["problems"].as_array().unwrap().is_empty(), "{refusal}");
}

#[test]
fn a_fault_of_the_program_is_a_refusal_and_the_next_call_is_answered() {
    let bridge = Bridge::new();
    let before = bridge.state();
    let fault = bridge
        .desk
        .with(|_| -> Result<(), _> { panic!("a fault for this test") });
    assert_eq!(fault.unwrap_err().code, desk::Code::Fault);
    assert_eq!(bridge.state(), before);
}

#[test]
fn many_ask_at_once_and_each_is_answered() {
    let bridge = Bridge::new();
    std::thread::scope(|scope| {
        for crew in 0..8 {
            let bridge = &bridge;
            scope.spawn(move || {
                let name = format!("P{crew}");
                let ask = json!({"job": "shell", "by": "Anna", "reading": {
                    "kind": "tape", "points": ["A", name], "value": "40 in"}});
                bridge.answer("log-reading", &ask, b"");
            });
        }
    });
    let shown = bridge.answer("show", &json!({"job": "shell"}), b"");
    assert_eq!(shown["readings"].as_array().unwrap().len(), 8);
}

#[test]
fn after_its_end_nobody_listens_and_the_store_is_free() {
    let bridge = Bridge::new();
    let address = bridge.serving.address();
    bridge.serving.stop();
    assert!(std::net::TcpStream::connect(address).is_err());
}
