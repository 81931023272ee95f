use std::time::Duration;

use serde_json::json;
use tempfile::TempDir;

use super::*;
use crate::jobs::Device;
use crate::{SharedDesk, envelope};

fn demo_desk(folder: &TempDir) -> Desk {
    let mut desk = Desk::open(folder.path(), Box::new(Device)).unwrap();
    desk.demo().unwrap();
    desk
}

fn solve_call() -> Call {
    Call {
        ask: json!({"job": "demo"}),
        bytes: Vec::new(),
    }
}

fn wanted(desk: &mut Desk, watch: &Watch) -> ToSolve {
    match desk.call_unsolved("solve", solve_call(), watch).unwrap() {
        Carried::ToSolve(mut jobs) => {
            assert_eq!(jobs.len(), 1);
            jobs.remove(0)
        }
        Carried::Out(_) => panic!("it was solved already"),
    }
}

#[test]
fn a_job_that_was_solved_away_from_the_desk_is_as_solved_at_the_desk() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo_desk(&folder);
    let watch = Watch::default();
    let job = wanted(&mut desk, &watch);
    let answer = job.solved(&watch).unwrap();
    assert!(
        watch.wire().doing == "solve" && watch.wire().done > 100,
        "{:?}",
        watch.wire()
    );
    desk.keep_solved(&job, &answer).unwrap();
    let Carried::Out(away) = desk.call_unsolved("solve", solve_call(), &watch).unwrap() else {
        panic!("the answer was not kept");
    };
    let other = TempDir::new().unwrap();
    assert_eq!(demo_desk(&other).call("solve", solve_call()).unwrap(), away);
}

#[test]
fn an_answer_is_not_kept_for_a_job_that_was_changed_meanwhile() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo_desk(&folder);
    let watch = Watch::default();
    let job = wanted(&mut desk, &watch);
    desk.undo(Some("demo"), Some("demo")).unwrap();
    let answer = job.solved(&watch).unwrap();
    desk.keep_solved(&job, &answer).unwrap();
    assert!(!desk.has_solved(&job).unwrap());
    wanted(&mut desk, &watch);
}

#[test]
fn a_solve_stops_wherever_it_is_and_the_next_one_has_the_same_digits() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo_desk(&folder);
    let job = wanted(&mut desk, &Watch::default());
    let whole = Watch::default();
    let answer = crate::wire::to_json(&job.solved(&whole).unwrap());
    let steps = whole.wire().done;
    for at in [1, 2, 10, steps / 3, steps / 2, steps - 1] {
        let watch = Watch::default();
        let asked = {
            let watch = watch.clone();
            move || {
                if watch.wire().done + 1 >= at {
                    watch.stop();
                }
                watch.step().is_err()
            }
        };
        let stopped = adjust::unless_stopped(asked, || job.solve_here());
        assert!(stopped.is_err(), "at {at} of {steps}");
    }
    assert_eq!(
        crate::wire::to_json(&job.solved(&Watch::default()).unwrap()),
        answer
    );
}

#[test]
fn a_call_that_is_stopped_before_it_begins_changes_nothing() {
    let folder = TempDir::new().unwrap();
    let mut desk = demo_desk(&folder);
    let watch = Watch::default();
    watch.stop();
    let before = desk.history(Some("demo"), None, 100).unwrap();
    for command in ["solve", "order", "export", "undo", "sheets"] {
        let refused = desk.call_watched(command, solve_call(), &watch).unwrap_err();
        assert_eq!(refused.code, Code::Stopped, "{command}");
    }
    assert_eq!(desk.history(Some("demo"), None, 100).unwrap(), before);
    desk.call("order", solve_call()).unwrap();
}

#[test]
fn a_long_call_is_looked_after_and_stopped_by_its_number_while_others_are_answered() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().to_owned();
    drop(demo_desk(&folder));
    let desk = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
    let ask = envelope::sealed(&json!({"job": "demo"}), b"").unwrap();
    let nothing = envelope::sealed(&json!({}), b"").unwrap();
    assert_eq!(desk.work(7), None);
    std::thread::scope(|scope| {
        let solve = scope.spawn(|| desk.answer("solve", &ask, Some(7)));
        // Until it is under way; it takes some hundred thousand steps.
        while desk.work(7).is_none_or(|work| work.done == 0) {
            assert!(!solve.is_finished(), "it was solved before anybody looked");
            std::thread::sleep(Duration::from_micros(50));
        }
        desk.answer("jobs", &nothing, None).unwrap();
        let twice = desk.answer("jobs", &nothing, Some(7)).unwrap_err();
        assert_eq!(twice.code, Code::BadRequest);
        desk.stop(7);
        assert_eq!(solve.join().unwrap().unwrap_err().code, Code::Stopped);
    });
    assert_eq!(desk.work(7), None);
    desk.answer("solve", &ask, Some(7)).unwrap();
}
