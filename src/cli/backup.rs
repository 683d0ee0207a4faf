//! `weftdesk backup` and `weftdesk restore`: one file holds the whole embedded database.
use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;

use crate::cli::database::DatabaseOption;
use crate::cli::{Failure, answer};
use crate::storage::{Db, maintenance};

/// How long a command waits for another writer, ms.
const BUSY_TIMEOUT_MS: u32 = 5_000;

/// What `weftdesk backup` takes.
#[derive(Debug, Args)]
pub struct BackupArguments {
    #[command(flatten)]
    database: DatabaseOption,
    /// The file to write; it must not exist.
    to: PathBuf,
}

/// Writes the copy; the service may be running.
///
/// # Errors
/// [`Failure::Refused`] for a file that exists or a PostgreSQL server, [`Failure::CouldNotRun`].
pub fn backup(arguments: &BackupArguments) -> Result<(), Failure> {
    let database = &arguments.database;
    if database.is_server() {
        return refuse("Back up a PostgreSQL database with its own `pg_dump`.");
    }
    if arguments.to.exists() {
        return refuse(&format!(
            "{}: this file exists; name one that does not.",
            arguments.to.display()
        ));
    }
    let mut db = database.open_existing()?;
    database.tell(maintenance::copy_to(&mut db, text(&arguments.to)?))?;
    sound(database, &arguments.to)?;
    sync(&arguments.to)?;
    answer(&format!("{} holds the whole database.\n", arguments.to.display()))
}

/// What `weftdesk restore` takes.
#[derive(Debug, Args)]
pub struct RestoreArguments {
    #[command(flatten)]
    database: DatabaseOption,
    /// The backup.
    from: PathBuf,
    /// Yes, replace the database.
    #[arg(long)]
    yes: bool,
}

/// Puts a backup in the place of the database, which is kept beside it.
///
/// # Errors
/// [`Failure::Refused`] without `--yes`, for a broken backup, a running service or a
/// PostgreSQL server; [`Failure::CouldNotRun`].
pub fn restore(arguments: &RestoreArguments) -> Result<(), Failure> {
    let database = &arguments.database;
    if database.is_server() {
        return refuse("Restore a PostgreSQL database with its own `pg_restore` or `psql`.");
    }
    if !arguments.yes {
        return refuse(&format!(
            "This replaces {}; say --yes if you mean it.",
            database.database
        ));
    }
    sound(database, &arguments.from)?;
    let place = PathBuf::from(&database.database);
    let fresh = beside(&place, "restoring");
    let kept = beside(&place, "before-restore");
    for taken in [&fresh, &kept] {
        if taken.exists() {
            return refuse(&format!(
                "{}: this file is in the way; move it first.",
                taken.display()
            ));
        }
    }
    let backup = DatabaseOption {
        database: text(&arguments.from)?.to_owned(),
    };
    database.tell(maintenance::copy_to(&mut backup.open_existing()?, text(&fresh)?))?;
    sync(&fresh)?;
    if place.exists() {
        let mut old = database.tell(Db::connect(&database.database, BUSY_TIMEOUT_MS))?;
        let alone = database.tell(maintenance::close_for_replacing(&mut old))?;
        drop(old);
        if !alone {
            drop(fs::remove_file(&fresh));
            return refuse("The database is in use; stop the service first.");
        }
        rename(&place, &kept)?;
    }
    rename(&fresh, &place)?;
    answer(&format!(
        "{} is now the backup; what was there before is {}.\n",
        place.display(),
        kept.display()
    ))
}

/// Refuses a file that is no desk's database, or a broken one.
fn sound(database: &DatabaseOption, file: &Path) -> Result<(), Failure> {
    let copy = DatabaseOption {
        database: text(file)?.to_owned(),
    };
    let mut db = copy.open_existing()?;
    let faults = database.tell(maintenance::faults_in_file(&mut db))?;
    if let Some(fault) = faults.unwrap_or_default().first() {
        return refuse(&format!("{}: the file is damaged: {fault}", file.display()));
    }
    if !database.tell(maintenance::holds_a_desk(&mut db))? {
        return refuse(&format!("{}: this is no desk's database.", file.display()));
    }
    Ok(())
}

fn beside(place: &Path, ending: &str) -> PathBuf {
    let mut name = place.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    PathBuf::from(name)
}

fn rename(from: &Path, to: &Path) -> Result<(), Failure> {
    fs::rename(from, to).map_err(|error| Failure::CouldNotRun(format!("{}: {error}", from.display())))
}

fn sync(file: &Path) -> Result<(), Failure> {
    fs::File::open(file)
        .and_then(|file| file.sync_all())
        .map_err(|error| Failure::CouldNotRun(format!("{}: {error}", file.display())))
}

fn text(path: &Path) -> Result<&str, Failure> {
    path.to_str()
        .ok_or_else(|| Failure::CouldNotRun(format!("{}: the name is not UTF-8", path.display())))
}

fn refuse(why: &str) -> Result<(), Failure> {
    Err(Failure::Refused(vec![why.to_owned()]))
}
