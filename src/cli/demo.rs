//! `weftdesk demo`: an invented tournament that lives by itself, gone when the program ends.
use clap::Args;

use crate::cli::clock_option::ClockOption;
use crate::cli::serve::{DoorOptions, base_address, could_not_listen};
use crate::cli::{Failure, answer};
use crate::demo::director;
use crate::demo::set_up::{Founded, VENUE};
use crate::desk::{Clock, Desk, DeskError, ids};
use crate::storage::Store;
use crate::{server, telemetry};

/// What `weftdesk demo` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    door: DoorOptions,
    /// The time at the desk: RFC 3339, with `@20x` at 20 times the pace; today at ten in the morning if left out.
    #[arg(long, value_name = "TIME[@PACE]")]
    clock: Option<ClockOption>,
}

/// Founds the tournament in a folder of its own and serves it until asked to stop.
///
/// # Errors
/// [`Failure::CouldNotRun`] where folder or address can't be used.
pub fn run(arguments: Arguments) -> Result<(), Failure> {
    telemetry::start();
    let folder = Folder::new()?;
    let path = |name: &str| folder.0.join(name);
    let database = path("demo.db").to_string_lossy().into_owned();
    let config = arguments.door.config(database.clone(), path("demo.key"));
    let store = Store::open(&database).map_err(|error| Failure::CouldNotRun(error.to_string()))?;
    let desk = Desk::new(store, clock(arguments.clock));
    server::block_on(async {
        let trouble = |error: DeskError| Failure::CouldNotRun(error.to_string());
        let founded = director::open_the_desk(&desk).await.map_err(trouble)?;
        let running = server::start(&desk, &config).map_err(|error| could_not_listen(&config, &error))?;
        answer(&greeting(&base_address(&running.addresses, &config), &founded))?;
        let directing = tokio::spawn(director::direct(desk.clone(), founded));
        let ended = server::until_asked_to_stop(running).await;
        directing.abort();
        ended.map_err(|error| Failure::CouldNotRun(error.to_string()))
    })
}

/// Started at night the demo would be a desk without matches: its day begins at ten, whenever that is.
fn clock(asked: Option<ClockOption>) -> Clock {
    let now = Clock::real();
    let today = now.wall().with_timezone(&VENUE).date_naive();
    let ten = today.and_hms_opt(10, 0, 0);
    match (
        asked,
        ten.and_then(|ten| ten.and_local_timezone(VENUE).earliest()),
    ) {
        (None, Some(ten)) => Clock::starting_at(ten.to_utc(), 1.0),
        (asked, _) => ClockOption::clock(asked),
    }
}

fn greeting(base: &str, founded: &Founded) -> String {
    let mut text = format!(
        "The demo is at {base}\nEverything in it is invented, and gone when you stop it with ctrl-c.\n\n\
         password of every account: {}\n\nsign-in      PIN (registered devices)\n",
        founded.password
    );
    for (sign_in, pin) in &founded.sign_ins {
        text += &format!("{sign_in:<12} {pin}\n");
    }
    text
}

/// A folder that goes when this is dropped.
struct Folder(std::path::PathBuf);

impl Folder {
    fn new() -> Result<Self, Failure> {
        use std::os::unix::fs::DirBuilderExt;
        let could_not = |error: &dyn std::fmt::Display| Failure::CouldNotRun(error.to_string());
        let bytes = ids::random_bytes::<8>().map_err(|error| could_not(&error))?;
        let name = format!("weftdesk-demo-{:016x}", u64::from_le_bytes(bytes));
        let path = std::env::temp_dir().join(name);
        std::fs::DirBuilder::new()
            .mode(0o700)
            .create(&path)
            .map_err(|error| Failure::CouldNotRun(format!("{}: {error}", path.display())))?;
        Ok(Self(path))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // what stays behind lies in the temporary folder
        drop(std::fs::remove_dir_all(&self.0));
    }
}
