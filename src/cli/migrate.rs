//! `weftdesk migrate`: brings the tables up to this program.
use std::path::Path;

use clap::Args;

use crate::cli::database::DatabaseOption;
use crate::cli::{Failure, answer};
use crate::storage::Db;

/// What `weftdesk migrate` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    database: DatabaseOption,
    /// Change nothing; exit status 1 says that steps wait.
    #[arg(long)]
    check: bool,
}

/// Does it.
///
/// # Errors
/// [`Failure::Refused`] where `--check` finds steps, [`Failure::CouldNotRun`].
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let database = &arguments.database;
    if arguments.check {
        let mut db = database.open_existing()?;
        if database.tell(db.needs_migration())? {
            return Err(Failure::Refused(vec![
                "Steps wait: make a backup, then run `weftdesk migrate`.".to_owned(),
            ]));
        }
        return answer("The tables are up to date.\n");
    }
    let is_new = !database.is_server() && !Path::new(&database.database).exists();
    let mut db = database.tell(Db::connect(&database.database, 5_000))?;
    let steps = database.tell(db.migrate())?;
    let made = if is_new {
        " A new database file was made."
    } else {
        ""
    };
    let taken = match steps {
        0 => "No steps were needed".to_owned(),
        1 => "1 step taken".to_owned(),
        more => format!("{more} steps taken"),
    };
    answer(&format!("{taken}; the tables are up to date.{made}\n"))
}
