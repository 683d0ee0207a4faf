//! The built program that the browser is pointed at.
use std::io::{BufRead, BufReader, Lines};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};

use tempfile::TempDir;

/// When the scenarios begin by the desk's clock (`desk_clock_start` of the fixtures).
const DESK_CLOCK: &str = "2026-05-02T08:00:00Z";

/// When the demo begins: in the middle of its day.
const DEMO_CLOCK: &str = "2026-11-29T11:40:00Z";

/// The program that `WEFTDESK_BINARY` names.
pub(crate) fn path() -> PathBuf {
    let Some(path) = std::env::var_os("WEFTDESK_BINARY").map(PathBuf::from) else {
        panic!(
            "WEFTDESK_BINARY does not name a built program; run these tests with `tests/run release browser`"
        );
    };
    assert!(
        path.is_file(),
        "WEFTDESK_BINARY names {}, where no file is; `tests/run release browser` builds it first",
        path.display()
    );
    path
}

/// The running program with a data folder of its own; it ends when this is dropped.
pub(crate) struct Program {
    child: Child,
    /// Held, because a program whose output nobody takes is told so.
    said: Lines<BufReader<ChildStdout>>,
    folder: TempDir,
    /// Such as `http://127.0.0.1:40123`.
    pub(crate) base: String,
}

impl Program {
    /// The service on an empty database, its desk clock at the scenarios' beginning.
    pub(crate) fn serve() -> Self {
        Self::on(tempfile::tempdir().expect("a temporary folder"))
    }

    /// The same desk after the program was ended and begun again; its address is another.
    pub(crate) fn again(mut self) -> Self {
        drop(self.child.kill());
        drop(self.child.wait());
        let folder = std::mem::replace(&mut self.folder, tempfile::tempdir().expect("a temporary folder"));
        Self::on(folder)
    }

    /// Where the program keeps what it keeps.
    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// The demo, and the password of all its accounts.
    pub(crate) fn demo() -> (Self, String) {
        let mut command = Command::new(path());
        command.args(["demo", "--listen", "127.0.0.1:0", "--clock", DEMO_CLOCK]);
        let mut started = Self::start(command, tempfile::tempdir().expect("a temporary folder"));
        let password = started.said.by_ref().map_while(Result::ok).find_map(|line| {
            let password = line.strip_prefix("password of every account: ")?;
            Some(password.trim().to_owned())
        });
        (started, password.expect("the demo prints its password"))
    }

    fn on(folder: TempDir) -> Self {
        let inside = |name: &str| folder.path().join(name);
        let mut command = Command::new(path());
        command
            .args([
                "serve",
                "--listen",
                "127.0.0.1:0",
                "--clock",
                DESK_CLOCK,
                "--database",
            ])
            .arg(inside("desk.db"))
            .arg("--signing-key")
            .arg(inside("desk.key"));
        Self::start(command, folder)
    }

    fn start(mut command: Command, folder: TempDir) -> Self {
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut said = BufReader::new(child.stdout.take().expect("its output")).lines();
        let address = address_in(&mut said, "");
        Self {
            child,
            said,
            folder,
            base: address,
        }
    }

    /// The one-time link that a program without accounts prints.
    pub(crate) fn set_up_link(&mut self) -> String {
        address_in(&mut self.said, "/set-up/")
    }
}

/// The next address that is printed and contains `part`; the program prints it when it is ready.
fn address_in(said: &mut Lines<BufReader<ChildStdout>>, part: &str) -> String {
    said.map_while(Result::ok)
        .find_map(|line| {
            let start = line.find("http://")?;
            let address = line[start..].trim();
            address.contains(part).then(|| address.to_owned())
        })
        .expect("the program prints an address")
}

impl Drop for Program {
    fn drop(&mut self) {
        // already gone is as good
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
