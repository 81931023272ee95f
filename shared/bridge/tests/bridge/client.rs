//! A bridge for one test, and somebody who asks it. Requests are written out by hand, so that they can be wrong.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::Arc;

use bridge::Serving;
use desk::{Desk, Device, SharedDesk, envelope};
use serde_json::{Value, json};
use tempfile::TempDir;

pub(crate) struct Bridge {
    pub(crate) serving: Serving,
    pub(crate) desk: Arc<SharedDesk>,
    _folder: TempDir,
}

/// What came back.
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
}

/// A request before it is sent.
pub(crate) struct Ask {
    pub(crate) method: &'static str,
    pub(crate) path: String,
    pub(crate) headers: Vec<(&'static str, String)>,
    pub(crate) body: Vec<u8>,
}

impl Bridge {
    /// A bridge with a job in its store.
    pub(crate) fn new() -> Bridge {
        let folder = TempDir::new().unwrap();
        let path = folder.path().to_owned();
        let desk = Arc::new(SharedDesk::new(move || Desk::open(&path, Box::new(Device))));
        let bridge = Bridge {
            serving: bridge::serve(Arc::clone(&desk), 0).unwrap(),
            desk,
            _folder: folder,
        };
        bridge.answer("new-job", &json!({"name": "shell", "by": "Anna"}), b"");
        bridge
    }

    /// A request for a command, as our own page makes it.
    pub(crate) fn ask(&self, command: &str, ask: &Value, bytes: &[u8]) -> Ask {
        Ask {
            method: "POST",
            path: format!("/desk/{command}"),
            headers: vec![
                ("Host", self.serving.address().to_string()),
                ("Origin", format!("http://{}", self.serving.address())),
                ("Trammel-Token", self.serving.token().to_owned()),
            ],
            body: envelope::sealed(ask, bytes).unwrap(),
        }
    }

    /// A request for a page.
    pub(crate) fn page(&self, path: &str) -> Answer {
        self.send(&Ask {
            method: "GET",
            path: path.to_owned(),
            headers: vec![("Host", self.serving.address().to_string())],
            body: Vec::new(),
        })
    }

    pub(crate) fn send(&self, ask: &Ask) -> Answer {
        let mut head = format!("{} {} HTTP/1.1\r\nConnection: close\r\n", ask.method, ask.path);
        for (name, value) in &ask.headers {
            head.push_str(&format!("{name}: {value}\r\n"));
        }
        if !ask.headers.iter().any(|(name, _)| *name == "Content-Length") {
            head.push_str(&format!("Content-Length: {}\r\n", ask.body.len()));
        }
        self.send_bytes(&[head.as_bytes(), b"\r\n", &ask.body].concat())
    }

    pub(crate) fn send_bytes(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(self.serving.address()).unwrap();
        // Who is refused at once may find the door shut while still speaking.
        let _ = stream.write_all(request);
        let mut all = Vec::new();
        let _ = stream.read_to_end(&mut all);
        Answer::of(&all)
    }

    /// What a command answers; it must not refuse.
    pub(crate) fn answer(&self, command: &str, ask: &Value, bytes: &[u8]) -> Value {
        let answer = self.send(&self.ask(command, ask, bytes));
        assert_eq!(
            answer.status,
            200,
            "{command}: {}",
            String::from_utf8_lossy(&answer.body)
        );
        envelope::opened(&answer.body).unwrap().0["answer"].clone()
    }

    /// All that could have been changed.
    pub(crate) fn state(&self) -> Value {
        json!([
            self.answer("jobs", &json!({}), b""),
            self.answer("history", &json!({"job": "shell"}), b""),
            self.answer("person", &json!({}), b""),
        ])
    }
}

impl Answer {
    fn of(all: &[u8]) -> Answer {
        let end = all.windows(4).position(|four| four == b"\r\n\r\n").unwrap();
        let head = std::str::from_utf8(&all[..end]).unwrap();
        let mut lines = head.lines();
        let status = lines.next().unwrap().split(' ').nth(1).unwrap();
        Answer {
            status: status.parse().unwrap(),
            headers: lines
                .map(|line| line.split_once(": ").unwrap())
                .map(|(name, value)| (name.to_ascii_lowercase(), value.to_owned()))
                .collect(),
            body: all[end + 4..].to_vec(),
        }
    }

    /// A header, that must be there once.
    pub(crate) fn header(&self, name: &str) -> &str {
        let all: Vec<_> = self.headers.iter().filter(|(known, _)| known == name).collect();
        assert_eq!(all.len(), 1, "{name} in {:?}", self.headers);
        &all[0].1
    }

    /// The code of a refusal.
    pub(crate) fn code(&self) -> String {
        let refusal: Value = serde_json::from_slice(&self.body)
            .unwrap_or_else(|_| panic!("no JSON: {}", String::from_utf8_lossy(&self.body)));
        assert!(!refusal["message"].as_str().unwrap().is_empty() && refusal["problems"].is_array());
        refusal["code"].as_str().unwrap().to_owned()
    }
}
