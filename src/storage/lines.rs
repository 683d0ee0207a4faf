//! One line of writes per tournament: a write waits here, in order, before it takes a connection.
//!
//! On PostgreSQL the tournament's row is the lock; without this queue a busy
//! tournament would fill the pool with connections that only wait for it.
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use tokio::sync::{Mutex as Line, OwnedMutexGuard};

#[derive(Debug, Clone, Default)]
pub(super) struct Lines(Arc<Mutex<HashMap<String, Arc<Line<()>>>>>);

impl Lines {
    /// Waits until it is this write's turn; the guard is the turn.
    pub(super) async fn turn(&self, tournament: &str) -> OwnedMutexGuard<()> {
        let line = {
            let mut lines = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            Arc::clone(lines.entry(tournament.to_owned()).or_default())
        };
        line.lock_owned().await
    }
}
