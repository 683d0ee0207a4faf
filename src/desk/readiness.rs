//! Can the desk work right now?
use std::time::Duration;

use chrono::TimeDelta;

use crate::desk::Desk;

/// How long the whole look may take.
const WITHIN: Duration = Duration::from_millis(900);
/// How far the newest log entry may lie ahead of the desk clock: instances differ a little.
const AHEAD: TimeDelta = TimeDelta::seconds(60);

/// One thing that was looked at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// Whether it is as it must be.
    pub ok: bool,
    /// What is wrong and what to do, when it is not.
    pub detail: Option<String>,
}

impl Look {
    fn good() -> Self {
        Self {
            ok: true,
            detail: None,
        }
    }

    fn bad(detail: impl Into<String>) -> Self {
        Self {
            ok: false,
            detail: Some(detail.into()),
        }
    }
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Readiness {
    /// Whether a write can begin.
    pub database: Look,
    /// Whether the tables are those this program expects.
    pub migrations: Look,
    /// Whether the desk clock goes on from where the log ends.
    pub clock: Look,
}

impl Readiness {
    /// Whether all is well.
    #[must_use]
    pub fn is_ready(&self) -> bool {
        self.database.ok && self.migrations.ok && self.clock.ok
    }

    fn out_of_reach(detail: &str) -> Self {
        Self {
            database: Look::bad(detail),
            migrations: Look::bad("not looked at: the database did not answer"),
            clock: Look::bad("not looked at: the database did not answer"),
        }
    }
}

impl Desk {
    /// Looks, within a second whatever the database does.
    pub async fn readiness(&self) -> Readiness {
        let probe = match tokio::time::timeout(WITHIN, self.store().probe()).await {
            Ok(Ok(probe)) => probe,
            Ok(Err(error)) => {
                tracing::warn!(%error, "the database cannot be reached");
                return Readiness::out_of_reach("the database cannot be reached");
            }
            Err(_) => return Readiness::out_of_reach("the database did not answer in time"),
        };
        Readiness {
            database: match probe.writable {
                Ok(()) => Look::good(),
                Err(error) => {
                    tracing::warn!(%error, "the database takes no writes");
                    Look::bad(
                        "the database takes no writes: it is full, read-only or locked by another program",
                    )
                }
            },
            migrations: match probe.migrated {
                Ok(true) => Look::good(),
                Ok(false) => Look::bad("the tables are older than this program: run `weftdesk migrate`"),
                Err(_) => Look::bad("the level of the tables cannot be read"),
            },
            clock: self.clock_look(probe.newest_at.ok().flatten().map(crate::storage::At::utc)),
        }
    }

    fn clock_look(&self, newest_at: Option<chrono::DateTime<chrono::Utc>>) -> Look {
        match newest_at {
            Some(newest) if newest > self.clock().desk() + AHEAD => Look::bad(format!(
                "the desk clock is behind the newest log entry of {}: set the machine's clock",
                newest.format("%Y-%m-%d %H:%M:%S UTC")
            )),
            _ => Look::good(),
        }
    }
}
