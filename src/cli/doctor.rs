//! `weftdesk doctor`: looks at a database and says what is wrong with it.
use clap::Args;

use crate::cli::database::DatabaseOption;
use crate::cli::{Failure, answer};
use crate::storage::{Db, maintenance, probe};

/// What `weftdesk doctor` takes.
#[derive(Debug, Args)]
pub struct Arguments {
    #[command(flatten)]
    database: DatabaseOption,
}

/// Looks at everything and changes nothing.
///
/// # Errors
/// [`Failure::Refused`] with one line per fault, [`Failure::CouldNotRun`] where it can't be reached.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let mut db = arguments.database.open_existing()?;
    let mut report = Report::default();
    report.good("reachable");
    let found = probe::probe(&mut db);
    match found.writable {
        Ok(()) => report.good("takes writes"),
        Err(error) => report.bad(format!("takes no writes: {error}")),
    }
    match found.migrated {
        Ok(true) => report.good("the tables are up to date"),
        Ok(false) => report.bad("the tables are older than this program: run `weftdesk migrate`"),
        Err(error) => report.bad(format!("the level of the tables cannot be read: {error}")),
    }
    look_at_file(&mut db, &mut report);
    look_at_logs(&mut db, &mut report);
    answer(&report.good)?;
    if report.bad.is_empty() {
        Ok(())
    } else {
        Err(Failure::Refused(report.bad))
    }
}

#[derive(Default)]
struct Report {
    good: String,
    bad: Vec<String>,
}

impl Report {
    fn good(&mut self, what: &str) {
        self.good += &format!("ok     {what}\n");
    }

    fn bad(&mut self, what: impl std::fmt::Display) {
        self.bad.push(format!("wrong  {what}"));
    }
}

fn look_at_file(db: &mut Db, report: &mut Report) {
    match maintenance::faults_in_file(db) {
        Ok(None) => {}
        Ok(Some(faults)) if faults.is_empty() => report.good("the file is sound"),
        Ok(Some(faults)) => {
            for fault in faults {
                report.bad(format!("the file is damaged: {fault}; restore a backup"));
            }
        }
        Err(error) => report.bad(format!("the file cannot be checked: {error}")),
    }
}

fn look_at_logs(db: &mut Db, report: &mut Report) {
    match maintenance::count_logs(db) {
        Ok(counts) => {
            for count in counts {
                if count.is_whole() {
                    report.good(&format!(
                        "the log of {} is whole: {} entries",
                        count.tournament_id, count.entries
                    ));
                } else {
                    report.bad(format!(
                        "the log of {} has gaps: {} entries, newest {}, last used {}; restore a backup",
                        count.tournament_id, count.entries, count.newest, count.last_used
                    ));
                }
            }
        }
        Err(error) => report.bad(format!("the logs cannot be counted: {error}")),
    }
}
