//! Signing in and out: sessions with rotating refresh tokens.
//!
//! Passwords and PINs are compared by the door, off the async threads; here is
//! only what is stored. Secrets arrive as hashes.
use chrono::{DateTime, TimeDelta, Utc};
use serde_json::json;
use sha2::{Digest, Sha256};

use crate::craft::ids::SessionId;
use crate::craft::roles::Role;
use crate::desk::refusal::{DeskError, DeskResult};
use crate::desk::{Tx, ids};
use crate::storage::accounts::{self, Account, registered};
use crate::storage::sessions::{self, Session};
use crate::storage::{Db, StoreError};

/// How long a session lives without a refresh.
pub(super) const SESSION_LIFETIME: TimeDelta = TimeDelta::hours(16);

/// An account that might be signing in, with its stored hash.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The account's id.
    pub account_id: String,
    /// Its tournament.
    pub tournament_id: String,
    /// The stored hash of what the caller typed (password or PIN), if one is set.
    pub secret_hash: Option<String>,
    /// The device, for a PIN.
    pub device_id: Option<String>,
}

/// An open session.
#[derive(Debug, Clone)]
pub struct Opened {
    /// Its id.
    pub session_id: String,
    /// Whose it is.
    pub account_id: String,
    /// In which tournament.
    pub tournament_id: String,
    /// What they may do.
    pub role: Role,
    /// On which device.
    pub device_id: Option<String>,
    /// When it ends by itself, by the wall clock.
    pub expires_at: DateTime<Utc>,
}

/// The text under which a secret token is stored.
#[must_use]
pub fn token_hash(token: &str) -> String {
    Sha256::digest(token.as_bytes())
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// A fresh secret token: 256 random bits, base 64 for addresses.
///
/// # Errors
/// [`StoreError`] where the machine has no randomness to give.
pub fn fresh_token() -> Result<String, StoreError> {
    use base64::Engine;
    Ok(base64::engine::general_purpose::URL_SAFE_NO_PAD.encode(ids::random_bytes::<32>()?))
}

/// Accounts that this sign-in and password could belong to.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn by_password(db: &mut Db, sign_in: &str, tournament: Option<&str>) -> DeskResult<Vec<Candidate>> {
    let accounts = accounts::by_sign_in(db, sign_in)?.into_iter();
    Ok(accounts
        .filter(|account| account.active && tournament.is_none_or(|wanted| wanted == account.tournament_id))
        .map(|account| candidate(account, None, |account| account.password_hash.clone()))
        .collect())
}

/// The account that this PIN on a registered device could belong to.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn by_pin(db: &mut Db, sign_in: &str, device_token: &str) -> DeskResult<Vec<Candidate>> {
    let device = registered::by_token_hash(db, &token_hash(device_token))?;
    let Some(device) = device.filter(|device| device.revoked_at.is_none()) else {
        return Ok(Vec::new());
    };
    let accounts = accounts::by_sign_in(db, sign_in)?.into_iter();
    Ok(accounts
        .filter(|account| account.active && account.tournament_id == device.tournament_id)
        .map(|account| {
            candidate(account, Some(device.id.clone()), |account| {
                account.pin_hash.clone()
            })
        })
        .collect())
}

fn candidate(
    account: Account,
    device_id: Option<String>,
    secret: impl Fn(&Account) -> Option<String>,
) -> Candidate {
    Candidate {
        secret_hash: secret(&account),
        account_id: account.id,
        tournament_id: account.tournament_id,
        device_id,
    }
}

/// Opens a session for an account whose secret was found right.
///
/// # Errors
/// [`DeskError::SignInRefused`] where the account was switched off meanwhile.
pub fn open_session(
    tx: &mut Tx<'_>,
    who: &Candidate,
    refresh_token: &str,
    wall: DateTime<Utc>,
) -> DeskResult<Opened> {
    let account = accounts::find(tx.db, &who.tournament_id, &who.account_id)?
        .filter(|account| account.active)
        .ok_or(DeskError::SignInRefused)?;
    let session = Session {
        id: ids::new::<SessionId>(),
        tournament_id: account.tournament_id.clone(),
        account_id: Some(account.id.clone()),
        device_id: who.device_id.clone(),
        refresh_hash: token_hash(refresh_token),
        started_at: wall.into(),
        expires_at: (wall + SESSION_LIFETIME).into(),
        ended_at: None,
    };
    sessions::insert(tx.db, &session)?;
    tx.emit("session.started", &session.id, &json!({"account_id": account.id}))?;
    opened(&session, &account)
}

/// Trades a refresh token for the next one. A token that was traded before ends nothing: it is just refused.
///
/// # Errors
/// [`DeskError::SignInRefused`] for an unknown, ended or expired session.
pub fn refresh_session(
    tx: &mut Tx<'_>,
    old_token: &str,
    new_token: &str,
    wall: DateTime<Utc>,
) -> DeskResult<Opened> {
    let mut session = live_session(tx.db, old_token, wall)?;
    let account_id = session.account_id.clone().ok_or(DeskError::SignInRefused)?;
    let account = accounts::find(tx.db, &session.tournament_id, &account_id)?
        .filter(|account| account.active)
        .ok_or(DeskError::SignInRefused)?;
    session.refresh_hash = token_hash(new_token);
    session.expires_at = (wall + SESSION_LIFETIME).into();
    sessions::save(tx.db, &session)?;
    opened(&session, &account)
}

/// The tournament of the session that a refresh token belongs to.
///
/// # Errors
/// [`DeskError::SignInRefused`] for an unknown, ended or expired session.
pub fn tournament_of_refresh(db: &mut Db, token: &str, wall: DateTime<Utc>) -> DeskResult<String> {
    Ok(live_session(db, token, wall)?.tournament_id)
}

fn live_session(db: &mut Db, token: &str, wall: DateTime<Utc>) -> DeskResult<Session> {
    sessions::by_refresh_hash(db, &token_hash(token))?
        .filter(|session| session.ended_at.is_none() && session.expires_at.utc() > wall)
        .ok_or(DeskError::SignInRefused)
}

/// Ends a session; ending it again changes nothing.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn end_session(tx: &mut Tx<'_>, session_id: &str, wall: DateTime<Utc>) -> DeskResult<()> {
    let found = sessions::find(tx.db, session_id)?;
    let Some(mut session) = found.filter(|session| session.ended_at.is_none()) else {
        return Ok(());
    };
    session.ended_at = Some(wall.into());
    sessions::save(tx.db, &session)?;
    tx.emit("session.ended", session_id, &json!({}))
}

fn opened(session: &Session, account: &Account) -> DeskResult<Opened> {
    let role = account
        .role
        .parse()
        .map_err(|_unknown| DeskError::SignInRefused)?;
    Ok(Opened {
        session_id: session.id.clone(),
        account_id: account.id.clone(),
        tournament_id: session.tournament_id.clone(),
        role,
        device_id: session.device_id.clone(),
        expires_at: session.expires_at.utc(),
    })
}
