//! Runs a command to its end.
use std::ffi::OsStr;
use std::io::Write;
use std::process::{Command, Stdio};

use weftdesk::desk::found::NewTournament;
use weftdesk::desk::records::TournamentSettings;
use weftdesk::desk::{Clock, Desk};
use weftdesk::storage::Store;

/// How a command ended.
#[derive(Debug)]
pub(crate) struct Ended {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program with these arguments; `typed` is its standard input.
pub(crate) fn run_with<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>, typed: &str) -> Ended {
    let mut child = Command::new(env!("CARGO_BIN_EXE_weftdesk"))
        .args(arguments)
        .env_remove("WEFTDESK_DATABASE")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut input = child.stdin.take().expect("its input");
    // a command that reads nothing may have ended already
    drop(input.write_all(typed.as_bytes()));
    drop(input);
    let output = child.wait_with_output().expect("the program ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    Ended {
        status: output.status.code().expect("an exit status"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// As [`run_with`], with nothing typed.
pub(crate) fn run<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Ended {
    run_with(arguments, "")
}

/// Founds a tournament in this database; answers its id.
pub(crate) fn found(database: &str) -> String {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let new = NewTournament {
        name: "Demo Open".to_owned(),
        time_zone: "Europe/Paris".to_owned(),
        settings: TournamentSettings::default(),
    };
    let desk = Desk::new(Store::open(database).expect("the database opens"), Clock::real());
    runtime
        .block_on(desk.found_tournament(new))
        .expect("a tournament")
}
