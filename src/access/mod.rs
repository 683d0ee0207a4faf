//! Who is asking: tokens, the browser's cookie, stream tickets, secrets, and how often one may try.
//!
//! Both doors know a caller in the same way; what a refusal looks like is each door's own.
pub mod caller;
pub mod cookie;
pub mod device_time;
pub mod hs256;
pub mod key_file;
pub mod refused;
pub mod same_origin;
pub mod secrets;
pub mod stream_ticket;
pub mod token;
pub mod tries;

use std::collections::HashMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Utc};

pub use self::caller::Caller;
use self::refused::Refused;
pub use self::token::{Claims, Identity};

/// The wall clock: tokens, cookies and try limits follow it, never the desk clock.
pub type WallClock = Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>;

/// Everything needed to know a caller. One per process, shared by all workers.
pub struct Access {
    pub(crate) keys: token::TokenKeys,
    pub(crate) clock: WallClock,
    /// Cookies carry `Secure` and the `__Host-` prefix; off only on plain-http localhost.
    pub(crate) secure_cookies: bool,
    pub(crate) withdrawn: Expiring,
    pub(crate) spent_tickets: Expiring,
    /// How often secrets may be tried.
    pub tries: tries::Tries,
}

impl Access {
    /// An access desk that signs with `key` and names itself `issuer`.
    ///
    /// # Errors
    /// When another crypto provider was installed in this process before.
    pub fn new(
        key: &[u8; 32],
        issuer: &str,
        secure_cookies: bool,
        clock: WallClock,
    ) -> Result<Self, token::TokenFault> {
        Ok(Self {
            keys: token::TokenKeys::new(key, issuer)?,
            clock,
            secure_cookies,
            withdrawn: Expiring::default(),
            spent_tickets: Expiring::default(),
            tries: tries::Tries::default(),
        })
    }

    /// The wall clock's time.
    pub fn now(&self) -> DateTime<Utc> {
        (self.clock)()
    }

    /// A fresh access token for `identity`.
    ///
    /// # Errors
    /// Where the machine cannot sign.
    pub fn issue(&self, identity: &Identity) -> Result<String, Refused> {
        Ok(self.keys.issue(token::TokenKind::Access, identity, self.now())?)
    }

    /// Are cookies bound to https?
    pub fn secure_cookies(&self) -> bool {
        self.secure_cookies
    }

    /// Withdraws a session at once on this instance; refreshing it is the desk's to refuse.
    pub fn withdraw_session(&self, session: &str) {
        let until = self.now() + token::ACCESS_LIFETIME;
        self.withdrawn.insert(session, until, self.now());
    }
}

impl fmt::Debug for Access {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // never the keys
        f.debug_struct("Access")
            .field("secure_cookies", &self.secure_cookies)
            .finish_non_exhaustive()
    }
}

/// Names that matter until a time, forgotten afterwards.
#[derive(Debug, Default)]
pub struct Expiring(Mutex<HashMap<String, DateTime<Utc>>>);

impl Expiring {
    /// Remembers `name` until `until`. `false` when it was remembered already.
    pub fn insert(&self, name: &str, until: DateTime<Utc>, now: DateTime<Utc>) -> bool {
        let mut names = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        names.retain(|_, expires_at| *expires_at > now);
        names.insert(name.to_owned(), until).is_none()
    }

    /// Is `name` remembered at `now`?
    pub fn contains(&self, name: &str, now: DateTime<Utc>) -> bool {
        let names = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        names.get(name).is_some_and(|expires_at| *expires_at > now)
    }
}
