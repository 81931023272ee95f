//! The desk's commands on real stores, through the table that other programs call.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use desk::wire::AdjustmentWire;
use desk::{Act, COMMANDS, Call, Code, Desk, Device, LogReading, Refusal, Reply};
use serde_json::{Value, json};

fn open(folder: &Path) -> Desk {
    Desk::open(folder, Box::new(Device)).unwrap()
}

fn tries(desk: &mut Desk, name: &str, ask: Value, bytes: &[u8]) -> Result<Reply, Refusal> {
    let bytes = bytes.to_vec();
    desk.call(name, Call { ask, bytes })
}

fn does(desk: &mut Desk, name: &str, ask: Value) -> Value {
    tries(desk, name, ask, &[])
        .unwrap_or_else(|refusal| panic!("{name}: {refusal}"))
        .answer
}

fn code(desk: &mut Desk, name: &str, ask: Value) -> Code {
    tries(desk, name, ask, &[]).unwrap_err().code
}

fn tape(a: &str, b: &str, value: &str) -> Value {
    json!({"reading": {"kind": "tape", "points": [a, b], "value": value}})
}

/// One pixel, written by hand: chunks of the PNG specification (W3C, third edition, 5.3 and 11.2), one stored block
/// of deflate (RFC 1951, 3.2.4) in zlib's frame (RFC 1950).
fn png() -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n".to_vec();
    let zipped = [
        0x78, 0x01, 0x01, 4, 0, 0xfb, 0xff, 0, 9, 8, 7, 0x00, 0x3c, 0x00, 0x19,
    ];
    let header = [0, 0, 0, 1, 0, 0, 0, 1, 8, 2, 0, 0, 0];
    for (kind, data) in [(b"IHDR", &header[..]), (b"IDAT", &zipped), (b"IEND", &[])] {
        bytes.extend((data.len() as u32).to_be_bytes());
        let start = bytes.len();
        bytes.extend(kind);
        bytes.extend(data);
        let sum = crc(&bytes[start..]);
        bytes.extend(sum.to_be_bytes());
    }
    bytes
}

/// CRC-32 as in annex D of the PNG specification.
fn crc(bytes: &[u8]) -> u32 {
    let bit = |sum: u32, _| {
        if sum & 1 == 1 {
            (sum >> 1) ^ 0xedb8_8320
        } else {
            sum >> 1
        }
    };
    !bytes
        .iter()
        .fold(!0, |sum: u32, byte| (0..8).fold(sum ^ u32::from(*byte), bit))
}

#[test]
fn a_job_through_the_table() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    assert_eq!(code(&mut desk, "show", json!({})), Code::NoSuchJob);
    does(&mut desk, "set-person", json!({"name": "Ana"}));
    does(&mut desk, "new-job", json!({"name": "shell", "unit": "in"}));
    assert_eq!(
        code(&mut desk, "new-job", json!({"name": "shell"})),
        Code::NameTaken
    );
    assert_eq!(code(&mut desk, "solve", json!({})), Code::NothingToSolve);

    let logged = does(&mut desk, "log-reading", tape("A", "B", "40 5/8"));
    assert_eq!(logged["name"], "r001");
    assert_eq!(logged["compared"], Value::Null);
    assert_eq!(
        code(&mut desk, "log-reading", tape("A", "B", "1,032")),
        Code::Unusable
    );
    let aside = json!({"act": {"do": "set-aside", "reading": "r001", "why": "bent"}, "by": "Ben"});
    assert_eq!(does(&mut desk, "act", aside)["words"], "set aside r001: bent");
    let shown = does(&mut desk, "show", json!({"job": "shell"}));
    assert_eq!(shown["readings"][0]["state"], "set aside");
    assert_eq!(shown["readings"][0]["value"], "40 5/8 in");
    let nobody = json!({"act": {"do": "set-aside", "reading": "r9", "why": ""}});
    assert_eq!(code(&mut desk, "act", nobody), Code::NotThere);
    assert_eq!(
        code(&mut desk, "act", json!({"act": {"do": "dance"}})),
        Code::BadRequest
    );
    assert_eq!(code(&mut desk, "polish", json!({})), Code::BadRequest);

    does(&mut desk, "undo", json!({"by": "Ben"}));
    assert_eq!(does(&mut desk, "show", json!({}))["readings"][0]["state"], "");
    assert_eq!(code(&mut desk, "undo", json!({"by": "Ben"})), Code::NothingToDo);
    does(&mut desk, "redo", json!({"by": "Ben"}));
    let history = does(&mut desk, "history", json!({}));
    assert_eq!(history[0]["did"], "redo");
    assert_eq!(
        history.as_array().unwrap().last().unwrap()["words"],
        "made the job shell"
    );
    let bens = does(&mut desk, "history", json!({"who": "Ben"}));
    let did: Vec<&Value> = bens.as_array().unwrap().iter().map(|line| &line["did"]).collect();
    assert_eq!(did, ["redo", "undo", "set-aside"]);
    let stood = does(&mut desk, "as-it-stood", json!({"when": history[3]["change"]}));
    assert_eq!(stood["readings"][0]["state"], "");
    assert_eq!(
        code(&mut desk, "as-it-stood", json!({"when": "yesterday"})),
        Code::NotThere
    );

    // What was done is there for whoever opens the store next.
    drop(desk);
    let mut desk = open(folder.path());
    assert_eq!(
        does(&mut desk, "show", json!({}))["readings"][0]["state"],
        "set aside"
    );
    assert_eq!(does(&mut desk, "person", json!({})), "Ana");
    assert_eq!(does(&mut desk, "check", json!({}))["wrong"], json!([]));
}

#[test]
fn a_photo_there_and_back() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut desk = open(here.path());
    does(&mut desk, "new-job", json!({"name": "shell"}));
    does(&mut desk, "log-reading", tape("A", "B", "1 m"));
    let ask = json!({"photo": {"file": "a.png", "caption": "the tower", "point": "A"}});
    let added = tries(&mut desk, "add-photo", ask.clone(), &png()).unwrap().answer;
    let id = added["photo"]["id"].as_str().unwrap().to_owned();
    assert_eq!(
        (&added["already"], &added["photo"]["point"]),
        (&json!(false), &json!("A"))
    );
    let again = tries(&mut desk, "add-photo", ask, &png()).unwrap().answer;
    assert_eq!(
        (&again["already"], &again["photo"]["id"]),
        (&json!(true), &json!(id))
    );
    for refused in [&b"not a photo"[..], b"\0\0\0\x18ftypheic\0\0\0\0", &png()[..40]] {
        let refusal = tries(&mut desk, "add-photo", json!({}), refused).unwrap_err();
        assert_eq!(refusal.code, Code::BadPhoto, "{refusal}");
    }
    let pin = json!({"do": "pin-photo", "photo": id, "point": "B", "x": 0.5, "y": 0.25});
    does(&mut desk, "act", json!({ "act": pin }));

    let export = tries(&mut desk, "export", json!({}), &[]).unwrap();
    assert_eq!(
        (export.media_type, &export.answer["photos"]),
        (Some("application/zip"), &json!(1))
    );
    let mut other = open(there.path());
    let taken = tries(&mut other, "take-in", Value::Null, &export.bytes)
        .unwrap()
        .answer;
    assert_eq!((&taken["new"], &taken["photos"]), (&json!(true), &json!(1)));
    let photos = does(&mut other, "photos", json!({}));
    assert_eq!(
        (&photos[0]["here"], &photos[0]["pins"][0]["point"]),
        (&json!(true), &json!("B"))
    );
    for size in ["original", "to-leave", "large", "small"] {
        let ask = json!({"photo": &id[..12], "size": size});
        let reply = tries(&mut other, "photo", ask, &[]).unwrap();
        assert!(!reply.bytes.is_empty() && reply.media_type.is_some());
    }
    // Both ways, and nothing twice.
    let caption = json!({"do": "caption-photo", "photo": id, "caption": "left"});
    does(&mut other, "act", json!({"act": caption, "by": "Ben"}));
    let back = tries(&mut other, "export", json!({}), &[]).unwrap().bytes;
    let taken = tries(&mut desk, "take-in", Value::Null, &back).unwrap().answer;
    assert_eq!(
        (&taken["new"], &taken["changes"], &taken["photos"]),
        (&json!(false), &json!(1), &json!(0))
    );
    assert_eq!(does(&mut desk, "photos", json!({}))[0]["caption"], "left");
    let both = [&mut desk, &mut other].map(|desk| tries(desk, "export", json!({}), &[]).unwrap().bytes);
    assert_eq!(both[0], both[1], "the same job, the same bytes");
    let nonsense = tries(&mut desk, "take-in", Value::Null, b"PK nonsense").unwrap_err();
    assert_eq!(nonsense.code, Code::BadFile);
}

#[test]
fn the_demo_job_is_solved_to_the_digits_of_its_sheets() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    let (line, new) = desk.demo().unwrap();
    assert!(new && !desk.demo().unwrap().1);
    assert_eq!(line.standing, None);
    let job = AdjustmentWire::of(&desk.solve(None, None).unwrap());
    let sheets = AdjustmentWire::of(&desk::adjust(desk::demo::request()).unwrap());
    assert_eq!(job.points, sheets.points);
    assert_eq!(job.readings, sheets.readings);
    assert_eq!(job.summary, sheets.summary);
    assert_eq!(
        (job.frame, job.outcome, job.next),
        (sheets.frame, sheets.outcome, sheets.next)
    );
}

#[test]
fn a_solve_holds_as_long_as_the_job_is_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    desk.demo().unwrap();
    let first = desk.solve(None, None).unwrap();
    assert!(Arc::ptr_eq(&first, &desk.solve(None, None).unwrap()));
    let standing = desk.jobs().unwrap()[0].standing.clone().unwrap();
    assert_eq!(standing.held_out, 3);
    // Also for the next program, as the store keeps it.
    drop(desk);
    let mut desk = open(folder.path());
    assert_eq!(desk.jobs().unwrap()[0].standing, Some(standing));

    let slip = LogReading {
        kind: "tape".into(),
        points: vec!["sill-rear-L".into(), "sill-front-R".into()],
        value: "1 in".into(),
        ..LogReading::default()
    };
    let logged = desk.log_reading(None, &slip, Some("Ana")).unwrap();
    assert!(logged.compared.unwrap().doubt());
    assert_eq!(desk.jobs().unwrap()[0].standing, None);
    let act = Act::SetAside {
        reading: logged.name,
        why: "typed for a test".into(),
    };
    desk.act(None, &act, Some("Ana")).unwrap();
    let again = desk.solve(None, None).unwrap();
    assert_eq!(again.adjustment.summary.held_out, 3);
}

#[test]
fn two_epochs_are_solved_each_by_itself() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    desk.demo().unwrap();
    let before = desk.solve(None, None).unwrap().survey.readings.len();
    let began = json!({"act": {"do": "add", "what": "epoch", "name": "after welding"}});
    does(&mut desk, "act", began);
    // Nothing was read in it yet: the job is still what it was.
    assert_eq!(desk.solve(None, None).unwrap().survey.readings.len(), before);
    does(
        &mut desk,
        "log-reading",
        tape("sill-rear-L", "sill-rear-R", "49 1/16"),
    );
    let shown = does(&mut desk, "show", json!({}));
    let last = shown["readings"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(last["epoch"], "after welding");
    // The newest epoch has one tape.
    let newest = desk.solve(None, None);
    assert!(newest.is_err() || newest.unwrap().survey.readings.len() == 1);
    let unknown = json!({"epoch": "before the flood"});
    assert_eq!(code(&mut desk, "solve", unknown), Code::NotThere);
}

#[test]
fn somebody_who_looks_beside_a_writer_sees_what_is_logged() {
    let folder = tempfile::tempdir().unwrap();
    let mut writer = open(folder.path());
    does(&mut writer, "new-job", json!({"name": "shell"}));
    let mut looker = Desk::look(folder.path(), Box::new(Device)).unwrap();
    does(&mut writer, "log-reading", tape("A", "B", "1 m"));
    let shown = does(&mut looker, "show", json!({}));
    assert_eq!(shown["readings"].as_array().unwrap().len(), 1);
    assert_eq!(
        code(&mut looker, "log-reading", tape("A", "B", "1 m")),
        Code::ReadOnly
    );
    let refusal = Desk::open(folder.path(), Box::new(Device)).err().unwrap();
    assert_eq!(refusal.code, Code::InUse);
}

#[test]
fn a_look_makes_no_store() {
    let folder = tempfile::tempdir().unwrap();
    let looked = [
        Desk::look(folder.path(), Box::new(Device)),
        Desk::open_or_look(folder.path(), || Box::new(Device)),
    ];
    for looked in looked {
        assert_eq!(looked.err().unwrap().code, Code::NoStore);
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    // Beside a writer it is a look, and alone it may write.
    let writer = open(folder.path());
    let mut beside = Desk::open_or_look(folder.path(), || Box::new(Device)).unwrap();
    assert_eq!(
        code(&mut beside, "new-job", json!({"name": "shell"})),
        Code::ReadOnly
    );
    drop((writer, beside));
    let mut alone = Desk::open_or_look(folder.path(), || Box::new(Device)).unwrap();
    does(&mut alone, "new-job", json!({"name": "shell"}));
}

#[test]
fn several_settings_of_a_job_are_one_act() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    does(&mut desk, "set-person", json!({"name": "Ana"}));
    does(&mut desk, "new-job", json!({"name": "shell"}));
    let act = json!({"do": "set-job", "name": "rear", "unit": "in"});
    let acted = does(&mut desk, "act", json!({ "act": act }));
    assert_eq!(acted["words"], "named the job rear; set the unit to in");
    let again = does(&mut desk, "act", json!({ "act": act }));
    assert_eq!(again["change"], Value::Null);
    does(&mut desk, "undo", json!({}));
    let shown = does(&mut desk, "show", json!({}));
    assert_eq!((&shown["name"], &shown["unit"]), (&json!("shell"), &Value::Null));
    let bad = json!({"act": {"do": "set-job", "name": "rear", "frame": "square:A,B"}});
    assert_eq!(code(&mut desk, "act", bad), Code::Unusable);
    assert_eq!(does(&mut desk, "show", json!({}))["name"], "shell");
}

#[test]
fn what_an_undo_leaves_is_told_with_what_it_belongs_to() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    does(&mut desk, "new-job", json!({"name": "shell"}));
    does(&mut desk, "log-reading", tape("A", "B", "1 m"));
    let correct = |by: &str, fields: Value| {
        let mut act = json!({"do": "correct-reading", "reading": "r001", "why": "read again"});
        act.as_object_mut()
            .unwrap()
            .extend(fields.as_object().unwrap().clone());
        json!({"act": act, "by": by})
    };
    does(
        &mut desk,
        "act",
        correct("Ana", json!({"value": "2 m", "note": "bent"})),
    );
    does(&mut desk, "act", correct("Ben", json!({"value": "3 m"})));
    let undone = does(&mut desk, "undo", json!({"by": "Ana"}));
    assert_eq!(
        undone["left"],
        json!(["value of r001 stays: Ben changed it since"])
    );
}

#[test]
fn commands_and_codes_have_names_of_their_own() {
    let names: BTreeSet<&str> = COMMANDS.iter().map(|(name, _)| *name).collect();
    assert_eq!(names.len(), COMMANDS.len());
    let words = Code::ALL.iter().map(|code| serde_json::to_string(code).unwrap());
    assert_eq!(words.collect::<BTreeSet<String>>().len(), Code::ALL.len());
}

#[test]
fn a_job_that_cannot_be_opened_does_not_stand_in_the_way_of_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let mut desk = open(folder.path());
    does(&mut desk, "new-job", json!({"name": "shell"}));
    drop(desk);
    // A job as a later Trammel may write it.
    let mut later = automerge::AutoCommit::new();
    automerge::transaction::Transactable::put(&mut later, automerge::ROOT, "job/-/format", 2).unwrap();
    let bytes = later.save();
    let heads = ledger::Heads(later.get_heads().iter().map(|hash| hash.0).collect());
    let opened = ledger::store::Store::open(
        folder.path(),
        &ledger::store::Documents,
        ledger::store::Access::Write,
    );
    let id = ledger::JobId("0192f0c1e9e07d3fa4b1d0e1a2b3c4d5".parse().unwrap());
    opened.unwrap().store.create(id, 0, &bytes, &heads).unwrap();

    let mut desk = open(folder.path());
    let jobs = does(&mut desk, "jobs", json!({}));
    let troubles: Vec<&Value> = jobs
        .as_array()
        .unwrap()
        .iter()
        .map(|job| &job["trouble"])
        .filter(|trouble| !trouble.is_null())
        .collect();
    assert!(
        matches!(troubles[..], [one] if one.as_str().unwrap().contains("newer Trammel")),
        "{jobs}"
    );
    does(
        &mut desk,
        "log-reading",
        json!({"job": "shell", "reading": {"kind": "x", "points": ["A"], "value": "1 m"}}),
    );
    assert_eq!(
        code(&mut desk, "show", json!({"job": id.to_string()})),
        Code::Newer
    );
    assert_eq!(does(&mut desk, "check", json!({}))["jobs"], 2);
}
