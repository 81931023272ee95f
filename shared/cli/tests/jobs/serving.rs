//! The jobs of a device in its browser.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};

use crate::device::Device;

/// `trammel serve`, running. It is ended when this is dropped, however a test ends.
struct Serving(Child);

impl Drop for Serving {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn serve(device: &Device) -> (Serving, BufReader<impl Read + use<>>) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_trammel"))
        .args(["serve", "--demo", "--store"])
        .arg(device.store())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("trammel runs");
    let lines = BufReader::new(child.stdout.take().expect("it is piped"));
    (Serving(child), lines)
}

#[test]
fn the_address_it_prints_opens_the_pages_and_the_token_in_it_the_jobs() {
    let device = Device::new();
    let (mut serving, mut lines) = serve(&device);
    let mut first = String::new();
    lines.read_line(&mut first).unwrap();
    let link = first.strip_prefix("Open http://").unwrap().trim_end();
    let (host, token) = link.split_once("/#token=").unwrap();
    assert!(host.starts_with("127.0.0.1:"), "{first}");
    let mut second = String::new();
    lines.read_line(&mut second).unwrap();
    assert!(second.contains("for this device only"), "{second}");

    let ask = |head: &str| {
        let mut stream = TcpStream::connect(host).unwrap();
        let request =
            format!("{head} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\nTrammel-Token: {token}\r\n");
        stream
            .write_all(&[request.as_bytes(), b"Content-Length: 6\r\n\r\n\x02\0\0\0{}"].concat())
            .unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        String::from_utf8_lossy(&answer).into_owned()
    };
    assert!(ask("GET /").contains("<title>Trammel"));
    let jobs = ask("POST /desk/jobs");
    assert!(
        jobs.starts_with("HTTP/1.1 200") && jobs.contains("\"name\":\"demo\""),
        "{jobs}"
    );
    let (_, id) = jobs.split_once("\"id\":\"").expect("a job has an id");
    let (id, _) = id.split_once('"').expect("it ends");
    let set = ask("POST /desk/device");
    assert!(
        set.contains(&format!("\"job\":\"{id}\"")),
        "the demo is what is opened: {set}"
    );

    let refused = device.trammel(&["job", "new", "another"]);
    assert_eq!(refused.code, 4, "{}", refused.err);
    assert!(
        refused.err.contains("another window or program works in"),
        "{}",
        refused.err
    );
    assert!(device.done(&["job", "list"]).out.contains("demo"));

    #[cfg(unix)]
    {
        let id = serving.0.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-INT", &id])
                .status()
                .unwrap()
                .success()
        );
        assert_eq!(serving.0.wait().unwrap().code(), Some(0));
        device.done(&["job", "new", "another", "--by", "Anna"]);
    }
    drop(serving);
}

#[test]
fn a_port_that_somebody_else_has_is_told() {
    let device = Device::new();
    let other = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let port = other.local_addr().unwrap().port().to_string();
    let refused = device.trammel(&["serve", "--port", &port]);
    assert_eq!(refused.code, 2, "{}", refused.err);
    assert!(
        refused.err.contains(&format!("port {port} cannot be had")) && refused.err.contains("--port"),
        "{}",
        refused.err
    );
}
