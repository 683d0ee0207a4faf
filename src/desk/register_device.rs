//! Registered devices: tablets, laptops, phones and wall screens that belong to the desk.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::ids::DeviceId;
use crate::craft::roles::Role;
use crate::craft::text_enum::text_enum;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::sign_in::{end_session, token_hash};
use crate::desk::{Tx, ids, text_member};
use crate::storage::accounts::registered::{self, Device};
use crate::storage::sessions;
use crate::storage::workshop::places;

/// Who may.
pub const KEEPERS: [Role; 1] = [Role::Admin];

text_enum! {
    /// What kind of thing a device is.
    pub enum DeviceKind, "kind of device" {
        /// A tablet at a station or the counter.
        Tablet = "tablet",
        /// A computer at the counter.
        Laptop = "laptop",
        /// A runner's telephone.
        Phone = "phone",
        /// A screen on the wall.
        Wall = "wall",
    }
}

/// A device to register.
#[derive(Debug, Clone)]
pub struct NewDevice {
    /// How the room calls it.
    pub name: String,
    /// What it is.
    pub kind: DeviceKind,
    /// The station it stays at.
    pub station_id: Option<String>,
}

/// Registers a device that will show `token`.
///
/// # Errors
/// [`DeskError::NotAllowed`], [`DeskError::Invalid`].
pub fn register_device(tx: &mut Tx<'_>, new: NewDevice, token: &str) -> DeskResult<Device> {
    tx.caller.must_be(&KEEPERS)?;
    if let Some(station) = &new.station_id
        && places::find(tx.db, tx.tournament(), station)?.is_none()
    {
        let detail = "No such station; add it first.";
        return Err(DeskError::member("/station_id", "unknown_reference", detail));
    }
    let device = Device {
        id: ids::new::<DeviceId>(),
        tournament_id: tx.tournament().to_owned(),
        name: text_member::name(&new.name, "/name")?,
        kind: new.kind.as_str().to_owned(),
        station_id: new.station_id,
        token_hash: token_hash(token),
        revoked_at: None,
        version: 1,
        created_at: tx.at(),
    };
    registered::insert(tx.db, &device)?;
    tx.emit("device.registered", &device.id, &json!({"kind": device.kind}))?;
    Ok(device)
}

/// Revokes a device and ends every session on it; answers those. Revoking it again changes nothing.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`].
pub fn revoke_device(tx: &mut Tx<'_>, id: &str, wall: DateTime<Utc>) -> DeskResult<Vec<String>> {
    let mut device =
        registered::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Device))?;
    tx.caller.must_be(&KEEPERS)?;
    if device.revoked_at.is_some() {
        return Ok(Vec::new());
    }
    device.revoked_at = Some(tx.at());
    registered::save(tx.db, &mut device)?;
    tx.emit("device.revoked", id, &json!({}))?;
    let open = sessions::open_on_device(tx.db, id)?;
    for session in &open {
        end_session(tx, session, wall)?;
    }
    Ok(open)
}
