//! How a device is set, and what is on its pad.

use desk::Code;
use serde_json::{Value, json};

use crate::{does, fresh, open};

#[test]
fn a_new_device_is_set_as_designed_and_keeps_what_is_said_of_it() {
    let (folder, mut desk) = fresh();
    let new = does(&mut desk, "device", json!({}));
    assert_eq!(
        new,
        json!({
            "person": null, "theme": "device", "marks": 16, "numbers": "device", "actions": "right", "sound": false,
            "buzz": true, "text_size": "normal", "first_start": true, "job": null
        })
    );
    let job = does(&mut desk, "new-job", json!({"name": "shell"}))["id"].clone();
    let said = json!({"theme": "dark", "marks": 32, "actions": "left", "first_start": false, "job": job, "person": "Ana"});
    does(&mut desk, "set-device", said);
    does(&mut desk, "set-device", json!({"numbers": "comma"}));
    drop(desk);
    let mut desk = open(folder.path());
    let kept = does(&mut desk, "device", json!({}));
    assert_eq!(
        kept,
        json!({
            "person": "Ana", "theme": "dark", "marks": 32, "numbers": "comma", "actions": "left", "sound": false,
            "buzz": true, "text_size": "normal", "first_start": false, "job": job
        })
    );
    assert_eq!(does(&mut desk, "person", json!({})), "Ana");
}

#[test]
fn a_device_is_not_half_set_and_forgets_a_job_that_is_not_here() {
    let (_folder, mut desk) = fresh();
    let unusable = json!({"marks": 12, "theme": "dark", "person": "Ben"});
    assert_eq!(crate::code(&mut desk, "set-device", unusable), Code::Unusable);
    assert_eq!(
        crate::code(&mut desk, "set-device", json!({"theme": "pink"})),
        Code::BadRequest
    );
    let set = does(&mut desk, "device", json!({}));
    assert_eq!((&set["theme"], &set["person"]), (&json!("device"), &Value::Null));
    let elsewhere = does(
        &mut desk,
        "set-device",
        json!({"job": "0198c9a0-0000-7000-8000-000000000000"}),
    );
    assert_eq!(elsewhere["job"], Value::Null);
}

#[test]
fn what_is_on_the_pad_is_there_when_the_store_is_opened_again_without_having_been_closed() {
    let (folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "one"}));
    does(&mut desk, "new-job", json!({"name": "two"}));
    assert_eq!(does(&mut desk, "draft", json!({"job": "one"})), Value::Null);
    let pad = r#"{"points":["sill rear L"],"value":"40 5/"}"#;
    does(&mut desk, "keep-draft", json!({"job": "one", "draft": pad}));
    // As a kill leaves it: what is on the disk now, and nothing that a closing would still write.
    let killed = tempfile::tempdir().unwrap();
    for file in std::fs::read_dir(folder.path()).unwrap() {
        let file = file.unwrap();
        if file.file_type().unwrap().is_file() {
            std::fs::copy(file.path(), killed.path().join(file.file_name())).unwrap();
        }
    }
    let mut after = open(killed.path());
    assert_eq!(does(&mut after, "draft", json!({"job": "one"})), pad);
    assert_eq!(does(&mut after, "draft", json!({"job": "two"})), Value::Null);
    does(&mut after, "keep-draft", json!({"job": "one", "draft": ""}));
    assert_eq!(does(&mut after, "draft", json!({"job": "one"})), Value::Null);
}

#[test]
fn a_draft_longer_than_any_pad_is_refused_and_the_one_before_stays() {
    let (_folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let longest = "x".repeat(64 * 1024);
    does(&mut desk, "keep-draft", json!({"draft": longest}));
    let longer = json!({"draft": format!("{longest}x")});
    assert_eq!(crate::code(&mut desk, "keep-draft", longer), Code::TooLarge);
    assert_eq!(does(&mut desk, "draft", json!({})), longest);
}

#[test]
fn what_was_recovered_when_the_store_was_opened_is_told_through_the_table() {
    let (folder, mut desk) = fresh();
    does(&mut desk, "new-job", json!({"name": "shell"}));
    assert_eq!(does(&mut desk, "recovery", json!({})), Value::Null);
    drop(desk);
    let database = folder.path().join("trammel.sqlite");
    let mut bytes = std::fs::read(&database).unwrap();
    bytes[..16].fill(0);
    std::fs::write(&database, bytes).unwrap();
    let mut desk = open(folder.path());
    let told = does(&mut desk, "recovery", json!({}));
    assert!(told.as_str().unwrap().contains("set aside"), "{told}");
}
