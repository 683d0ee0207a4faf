//! A client of the running program, with a coordinator's token.
use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;

use serde_json::{Value, json};
use weftdesk::access::{Access, Identity, key_file};
use weftdesk::desk::Clock;

use crate::database::TestDatabase;
use crate::program::{Program, ask};

/// The program on this database; every start reads the same signing key.
pub(crate) fn serve(database: &TestDatabase, key: &Path) -> Program {
    let named = [OsStr::new("--database"), OsStr::new(database.address())];
    let (program, _) = Program::serve(
        named
            .into_iter()
            .chain([OsStr::new("--signing-key"), key.as_os_str()]),
    );
    program
}

/// The access token that the program's key signs for this identity.
pub(crate) fn token(key: &Path, identity: &Identity) -> String {
    let key = key_file::load_or_create(key).expect("a key");
    let clock = Clock::real();
    let access = Access::new(&key, "weftdesk", false, Arc::new(move || clock.wall())).expect("tokens");
    access.issue(identity).expect("a token")
}

#[derive(Debug, Clone)]
pub(crate) struct Client {
    pub(crate) address: String,
    pub(crate) token: String,
}

impl Client {
    /// Sends a write under its own key; `None` where the answer did not come whole.
    pub(crate) fn post(&self, path: &str, key: &str, body: &Value) -> Option<(u16, Value)> {
        let head = format!(
            "POST {path} HTTP/1.1\r\nAuthorization: Bearer {}\r\nContent-Type: application/json\r\n\
             Idempotency-Key: \"{key}\"",
            self.token
        );
        ask(&self.address, &head, &body.to_string())
    }

    /// Pulls for a station; `None` where the answer did not come whole.
    pub(crate) fn pull(&self, station: &str, key: &str) -> Option<(u16, Value)> {
        self.post(&format!("/v1/stations/{station}/actions/pull"), key, &json!({}))
    }

    /// Puts a job back into the queue.
    pub(crate) fn unassign(&self, job: &str, key: &str) -> Option<(u16, Value)> {
        let reason = json!({"reason": "another first"});
        self.post(&format!("/v1/jobs/{job}/actions/unassign"), key, &reason)
    }
}
