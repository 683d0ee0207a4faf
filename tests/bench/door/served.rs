//! The program on a database in a folder, and a coordinator's token for it.
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;

use weftdesk::access::{Access, key_file};
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::Store;

use crate::workshop::Workshop;

pub(crate) struct Served {
    child: Child,
    pub(crate) address: String,
}

impl Served {
    /// Starts the program and waits until it says where it listens.
    pub(crate) fn start(folder: &Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
            .args(["serve", "--listen", "127.0.0.1:0", "--database"])
            .arg(database(folder))
            .arg("--signing-key")
            .arg(key(folder))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        Self {
            address: said_address(&mut child),
            child,
        }
    }

    /// The bench's own second part, which serves bytes from memory.
    pub(crate) fn bytes_of(file: &Path) -> Self {
        let mut child = Command::new(std::env::current_exe().expect("this program"))
            .arg(crate::memory_handler::CALLED)
            .arg(file)
            .stdout(Stdio::piped())
            .spawn()
            .expect("it starts");
        Self {
            address: said_address(&mut child),
            child,
        }
    }

    /// Its resident memory, MiB.
    pub(crate) fn memory_mib(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).expect("Linux");
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        let kib: f64 = line
            .and_then(|line| line.trim().strip_suffix(" kB")?.trim().parse().ok())
            .expect("a size");
        kib / 1024.0
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn said_address(child: &mut Child) -> String {
    let mut line = String::new();
    let mut said = BufReader::new(child.stdout.as_mut().expect("its output"));
    said.read_line(&mut line).expect("its first line");
    line.trim().rsplit_once("://").expect("an address").1.to_owned()
}

fn database(folder: &Path) -> PathBuf {
    folder.join("desk.db")
}

fn key(folder: &Path) -> PathBuf {
    folder.join("signing.key")
}

/// A workshop on the folder's database, and the desk that furnished it.
pub(crate) fn furnish(runtime: &tokio::runtime::Runtime, folder: &Path, players: usize) -> (Desk, Workshop) {
    let path = database(folder);
    let store = Store::open(path.to_str().expect("a readable path")).expect("a database");
    let desk = Desk::new(store, Clock::real());
    let workshop = runtime.block_on(Workshop::found(&desk, players));
    (desk, workshop)
}

/// The access token that the program's key signs for the workshop's coordinator.
pub(crate) fn token(folder: &Path, workshop: &Workshop) -> String {
    let key = key_file::load_or_create(&key(folder)).expect("a key");
    let clock = Clock::real();
    let access = Access::new(&key, "weftdesk", false, Arc::new(move || clock.wall())).expect("tokens");
    access.issue(&workshop.identity()).expect("a token")
}
