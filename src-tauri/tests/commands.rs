//! What pages can do in the window, with the configuration and the permissions that the window has, and no window.
#![allow(clippy::unwrap_used, reason = "a test binary: a panic is how it fails")]

use desk::{COMMANDS, Desk, Device, SharedDesk, envelope};
use serde_json::{Value, json};
use tauri::ipc::{CallbackFn, InvokeBody, InvokeResponseBody};
use tauri::test::{INVOKE_KEY, MockRuntime, get_ipc_response, mock_builder};
use tauri::webview::InvokeRequest;
use tauri::{App, Manager, WebviewWindow};
use tempfile::TempDir;

struct Window {
    _app: App<MockRuntime>,
    page: WebviewWindow<MockRuntime>,
    folder: TempDir,
}

/// A request of a page before it is made.
struct Ask {
    command: &'static str,
    headers: Vec<(&'static str, String)>,
    body: InvokeBody,
    page: &'static str,
}

const OUR_PAGE: &str = if cfg!(any(windows, target_os = "android")) {
    "http://tauri.localhost"
} else {
    "tauri://localhost"
};

impl Window {
    /// A window with a job in its store.
    fn new() -> Window {
        let window = Window::over(TempDir::new().unwrap());
        window.answer("new-job", &json!({"name": "shell", "by": "Anna"}), b"");
        window
    }

    fn over(folder: TempDir) -> Window {
        let mut app = trammel_app::with_commands(mock_builder())
            .build(trammel_app::context())
            .unwrap();
        let path = folder.path().to_owned();
        let desk = SharedDesk::new(move || Desk::open(&path, Box::new(Device)));
        trammel_app::show(&mut app, desk).unwrap();
        let page = app.get_webview_window("main").unwrap();
        Window {
            _app: app,
            page,
            folder,
        }
    }

    fn ask(&self, command: &str, ask: &Value, bytes: &[u8]) -> Ask {
        Ask {
            command: "desk",
            headers: vec![("trammel-command", command.to_owned())],
            body: InvokeBody::Raw(envelope::sealed(ask, bytes).unwrap()),
            page: OUR_PAGE,
        }
    }

    fn send(&self, ask: Ask) -> Result<InvokeResponseBody, Value> {
        let mut request = InvokeRequest {
            cmd: ask.command.to_owned(),
            callback: CallbackFn(0),
            error: CallbackFn(1),
            url: ask.page.parse().unwrap(),
            body: ask.body,
            headers: Default::default(),
            invoke_key: INVOKE_KEY.to_owned(),
        };
        for (name, value) in ask.headers {
            request.headers.insert(name, value.parse().unwrap());
        }
        get_ipc_response(&self.page, request)
    }

    /// What a command answers; it must not refuse.
    fn answer(&self, command: &str, ask: &Value, bytes: &[u8]) -> Value {
        match self.send(self.ask(command, ask, bytes)) {
            Ok(InvokeResponseBody::Raw(answer)) => envelope::opened(&answer).unwrap().0["answer"].clone(),
            other => panic!("{command}: {other:?}"),
        }
    }

    /// All that could have been changed.
    fn state(&self) -> Value {
        json!([
            self.answer("jobs", &json!({}), b""),
            self.answer("history", &json!({"job": "shell"}), b""),
            self.answer("person", &json!({}), b""),
        ])
    }

    /// Makes a request that is spoilt, and sees that nothing came of it.
    fn refused(&self, spoil: impl FnOnce(&mut Ask)) -> Value {
        let before = self.state();
        let mut ask = self.ask("new-job", &json!({"name": "intruder", "by": "Mallory"}), b"");
        spoil(&mut ask);
        let said = self.send(ask).unwrap_err();
        assert_eq!(self.state(), before);
        said
    }
}

#[test]
fn every_command_of_the_desk_is_reached_and_no_other() {
    let window = Window::new();
    for (name, _) in COMMANDS {
        if let Err(said) = window.send(window.ask(name, &json!({}), b"")) {
            let message = said["message"].as_str().unwrap();
            assert!(!message.contains("there is no command"), "{name}: {said}");
        }
    }
    for name in ["", "job", "JOBS", "jobs/all", "..", "work", "stop"] {
        let said = window.refused(|ask| ask.headers = vec![("trammel-command", name.to_owned())]);
        assert_eq!(said["code"], "bad-request", "{name}: {said}");
    }
}

#[test]
fn the_request_that_is_spoilt_here_would_have_been_carried_out() {
    let window = Window::new();
    let before = window.state();
    window.answer("new-job", &json!({"name": "intruder", "by": "Mallory"}), b"");
    assert_ne!(window.state(), before);
}

#[test]
fn bytes_go_both_ways_and_a_refusal_has_its_code_and_its_problems() {
    let window = Window::new();
    let exported = window
        .send(window.ask("export", &json!({"job": "shell"}), b""))
        .unwrap();
    let InvokeResponseBody::Raw(exported) = exported else {
        panic!("no bytes: {exported:?}");
    };
    let (json, file) = envelope::opened(&exported).unwrap();
    assert_eq!(json["media_type"], "application/zip");
    assert_eq!(window.answer("take-in", &json!({}), file)["name"], "shell");

    let said = window
        .send(window.ask("show", &json!({"job": "hull"}), b""))
        .unwrap_err();
    assert_eq!(said["code"], "no-such-job");
    assert!(said["message"].as_str().unwrap().contains("`hull`") && said["problems"].is_array());
}

#[test]
fn what_is_no_envelope_or_names_no_command_is_refused() {
    let window = Window::new();
    let bodies = [
        InvokeBody::Raw(Vec::new()),
        InvokeBody::Raw(b"\xff\xff\0\0{}".to_vec()),
        InvokeBody::Raw(b"\x02\0\0\0{]".to_vec()),
        InvokeBody::Raw(b"\x02\0\0\0{}".to_vec()),
        InvokeBody::Raw(vec![0; envelope::LONGEST + 1]),
        InvokeBody::Json(json!({"name": "intruder"})),
        InvokeBody::Json(Value::Null),
    ];
    for body in bodies {
        let said = window.refused(|ask| ask.body = body);
        assert_eq!(said["code"], "bad-request", "{said}");
    }
    let said = window.refused(|ask| ask.headers.clear());
    assert_eq!(said["code"], "bad-request", "{said}");
    let said = window.refused(|ask| ask.headers.push(("trammel-work", "many".to_owned())));
    assert_eq!(said["code"], "bad-request", "{said}");
}

#[test]
fn a_page_from_elsewhere_is_refused() {
    let window = Window::new();
    for page in ["http://example.org", "https://localhost", "http://127.0.0.1:1420"] {
        let said = window.refused(|ask| ask.page = page);
        assert!(said.as_str().unwrap().contains("not allowed"), "{page}: {said}");
    }
}

#[test]
fn nothing_of_the_system_is_open_to_pages() {
    let window = Window::new();
    for command in [
        "plugin:app|version",
        "plugin:path|resolve_directory",
        "plugin:window|close",
        "plugin:webview|create_webview",
        "plugin:event|emit",
        "elsewhere",
    ] {
        let said = window.refused(|ask| {
            ask.command = command;
            ask.body = InvokeBody::Json(json!({}));
        });
        let said = said.as_str().unwrap();
        assert!(
            said.contains("not allowed") || said.contains("not found"),
            "{command}: {said}"
        );
    }
}

#[test]
fn a_store_that_another_program_holds_is_told_by_each_call_until_it_is_let_go() {
    let folder = TempDir::new().unwrap();
    let other = Desk::open(folder.path(), Box::new(Device)).unwrap();
    let window = Window::over(folder);
    for _ in 0..2 {
        let said = window.send(window.ask("jobs", &json!({}), b"")).unwrap_err();
        assert_eq!(said["code"], "in-use", "{said}");
    }
    drop(other);
    assert_eq!(window.answer("jobs", &json!({}), b""), json!([]));
    assert!(window.folder.path().join("trammel.sqlite").exists());
}

#[test]
fn work_of_a_number_that_nobody_has_is_nothing_and_is_stopped_in_vain() {
    let window = Window::new();
    for command in ["work", "stop"] {
        let mut ask = window.ask("", &json!({}), b"");
        ask.command = command;
        ask.body = InvokeBody::Json(json!({"number": 7}));
        let InvokeResponseBody::Json(said) = window.send(ask).unwrap() else {
            panic!("no JSON");
        };
        assert_eq!(said, "null", "{command}");
    }
}

#[test]
fn what_names_no_file_is_not_saved() {
    let window = Window::new();
    for named in [
        json!({}),
        json!({"name": 1}),
        json!({"name": "../shell.zip"}),
        json!({"name": ""}),
    ] {
        let said = window.refused(|ask| {
            ask.command = "save";
            ask.body = InvokeBody::Raw(envelope::sealed(&named, b"bytes").unwrap());
        });
        assert_eq!(said["code"], "bad-request", "{named}: {said}");
    }
    let said = window.refused(|ask| {
        ask.command = "save";
        ask.body = InvokeBody::Json(json!({"name": "shell.zip"}));
    });
    assert_eq!(said["code"], "bad-request", "{said}");
}
