//! The running program, spoken to over a plain connection.
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

use serde_json::Value;

pub(crate) struct Program {
    child: Child,
    pub(crate) address: String,
}

impl Program {
    /// Starts it on a free port and waits until it says where it listens.
    pub(crate) fn start(database: &str, key: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
            .args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--database",
                database,
                "--signing-key",
            ])
            .arg(key)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("its output"))
            .read_line(&mut line)
            .expect("its first line");
        let address = line
            .trim()
            .rsplit_once("http://")
            .expect("an address")
            .1
            .to_owned();
        Self { child, address }
    }

    /// SIGKILL: no chance to finish anything.
    pub(crate) fn kill(&mut self) {
        self.child.kill().expect("it is killed");
        self.child.wait().expect("it is gone");
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // a test that failed leaves no program behind; one already gone is fine
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

/// Sends one request; `None` where the answer did not come whole.
pub(crate) fn ask(address: &str, head: &str, body: &str) -> Option<(u16, Value)> {
    let mut stream = TcpStream::connect(address).ok()?;
    let request = format!(
        "{head}\r\nHost: {address}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    let status = head.split(' ').nth(1)?.parse().ok()?;
    Some((status, serde_json::from_str(body).ok()?))
}
