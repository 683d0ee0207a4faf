//! The running program, spoken to over a plain connection.
//!
//! Test targets take it in with `#[path = "../support/program.rs"] mod program;`.
use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Lines, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};

use serde_json::Value;

/// What the program prints, line by line.
pub(crate) type Printed = Lines<BufReader<ChildStdout>>;

pub(crate) struct Program {
    child: Child,
    pub(crate) address: String,
}

impl Program {
    /// Serves on a free port, with these further arguments; waits until it says where it listens.
    /// What it prints after that is for the caller to read, or to keep: a program whose output is
    /// closed while it has more to say ends.
    pub(crate) fn serve<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> (Self, Printed) {
        let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
            .args(["serve", "--listen", "127.0.0.1:0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let line = lines.next().expect("a first line").expect("in UTF-8");
        let address = line.trim().rsplit_once("://").expect("an address").1.to_owned();
        (Self { child, address }, lines)
    }

    /// SIGKILL: no chance to finish anything.
    pub(crate) fn kill(&mut self) {
        // one that is already gone is fine
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // a test that failed leaves no program behind
        self.kill();
    }
}

/// Sends one request; `None` where the answer did not come whole. A body that is no JSON is `null`.
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
    let lower = head.to_ascii_lowercase();
    let length = lower
        .lines()
        .find_map(|line| line.strip_prefix("content-length: "))?;
    if body.len() != length.trim().parse::<usize>().ok()? {
        return None;
    }
    Some((status, serde_json::from_str(body).unwrap_or_default()))
}
