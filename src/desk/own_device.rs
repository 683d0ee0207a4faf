//! What a registered device may do by itself, known by the token it keeps.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::ids::SessionId;
use crate::craft::roles::Role;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::register_device::DeviceKind;
use crate::desk::sign_in::{Opened, SESSION_LIFETIME, token_hash};
use crate::desk::{Tx, ids};
use crate::storage::accounts::registered::{self, Device};
use crate::storage::accounts::{self, Account};
use crate::storage::sessions::{self, Session};
use crate::storage::{At, Db};

/// The device that keeps this token, unless it was revoked.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn by_token(db: &mut Db, token: &str) -> DeskResult<Option<Device>> {
    let found = registered::by_token_hash(db, &token_hash(token))?;
    Ok(found.filter(|device| device.revoked_at.is_none()))
}

/// Whether the device is a screen on the wall.
#[must_use]
pub fn is_wall(device: &Device) -> bool {
    device.kind == DeviceKind::Wall.as_str()
}

/// Every device that was not revoked, oldest first.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn in_use(db: &mut Db, tournament: &str) -> DeskResult<Vec<Device>> {
    let all = registered::all(db, tournament)?.into_iter();
    Ok(all.filter(|device| device.revoked_at.is_none()).collect())
}

/// Those who may sign in with a PIN, by name.
///
/// # Errors
/// [`DeskError::Storage`].
pub fn people_with_pin(db: &mut Db, tournament: &str) -> DeskResult<Vec<Account>> {
    let all = accounts::all(db, tournament)?.into_iter();
    Ok(all
        .filter(|account| account.active && account.pin_hash.is_some())
        .collect())
}

/// Turns the link of a registration into the device's own secret: the link is good once.
///
/// # Errors
/// [`DeskError::NotFound`] for a link that was used or leads nowhere.
pub fn take_in_use(tx: &mut Tx<'_>, link_token: &str, own_token: &str) -> DeskResult<Device> {
    let found = by_token(tx.db, link_token)?.filter(|device| device.tournament_id == tx.tournament());
    let mut device = found.ok_or(DeskError::NotFound(Thing::Link))?;
    device.token_hash = token_hash(own_token);
    registered::save(tx.db, &mut device)?;
    tx.emit("device.taken_in_use", &device.id, &json!({"kind": device.kind}))?;
    Ok(device)
}

/// Opens the board's session of a wall screen, or goes on with the one it has.
///
/// The session ends when the device is revoked, like every session on it.
///
/// # Errors
/// [`DeskError::SignInRefused`] for a device that is no wall screen of this tournament.
pub fn open_board(tx: &mut Tx<'_>, own_token: &str, wall: DateTime<Utc>) -> DeskResult<Opened> {
    let found = by_token(tx.db, own_token)?.filter(|device| device.tournament_id == tx.tournament());
    let device = found.filter(is_wall).ok_or(DeskError::SignInRefused)?;
    for id in sessions::open_on_device(tx.db, &device.id)? {
        let session = sessions::find(tx.db, &id)?;
        let lives = session.filter(|one| one.account_id.is_none() && one.expires_at.utc() > wall);
        if let Some(session) = lives {
            return Ok(opened(&session.id, session.expires_at, device));
        }
    }
    let session = Session {
        id: ids::new::<SessionId>(),
        tournament_id: device.tournament_id.clone(),
        account_id: None,
        device_id: Some(device.id.clone()),
        // nobody keeps a token of it: the device's own secret opens the next one
        refresh_hash: token_hash(&super::sign_in::fresh_token()?),
        started_at: wall.into(),
        expires_at: (wall + SESSION_LIFETIME).into(),
        ended_at: None,
    };
    sessions::insert(tx.db, &session)?;
    tx.emit("session.started", &session.id, &json!({"device_id": device.id}))?;
    Ok(opened(&session.id, session.expires_at, device))
}

fn opened(session_id: &str, expires_at: At, device: Device) -> Opened {
    Opened {
        session_id: session_id.to_owned(),
        account_id: device.id.clone(),
        tournament_id: device.tournament_id,
        role: Role::Board,
        device_id: Some(device.id),
        expires_at: expires_at.utc(),
    }
}
