//! The program on a database that was furnished before.
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

pub(crate) struct Program {
    child: Child,
    pub(crate) address: String,
}

impl Program {
    /// Starts it and waits until it says where it listens.
    pub(crate) fn start(database: &str, folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
            .args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--database",
                database,
                "--signing-key",
            ])
            .arg(folder.join("signing.key"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let mut said = BufReader::new(child.stdout.as_mut().expect("its output"));
        said.read_line(&mut line).expect("its first line");
        let address = line.trim().rsplit_once("://").expect("an address").1.to_owned();
        Self { child, address }
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
