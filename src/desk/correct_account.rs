//! Correcting an account: its name, what it may do, whether it signs in and with what.
use chrono::{DateTime, Utc};
use serde_json::json;

use crate::craft::roles::Role;
use crate::desk::correct_tournament::KEEPERS;
use crate::desk::found::{known_stringer, refuse_roles_without_people};
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::desk::sign_in::end_session;
use crate::desk::{Tx, text_member};
use crate::storage::accounts;
use crate::storage::sessions;

/// What is said of an account. Hashes were made by the door; none: as it was.
#[derive(Debug, Clone)]
pub struct AccountFacts {
    /// The name that others see.
    pub display_name: String,
    /// What they may do.
    pub role: Role,
    /// The stringer this account is, if any.
    pub stringer_id: Option<String>,
    /// Whether it may sign in.
    pub active: bool,
    /// Hash of a new password.
    pub password_hash: Option<String>,
    /// Hash of a new PIN.
    pub pin_hash: Option<String>,
}

/// Replaces the facts of an account.
///
/// Who may do something else now, or may not sign in any more, signs in again, everywhere but in the session `here`
/// that asks for it: the sessions that end are answered.
///
/// # Errors
/// [`DeskError::NotFound`], [`DeskError::NotAllowed`], [`DeskError::Stale`], [`DeskError::Invalid`]; nobody
/// takes the way into Setup from themselves.
pub fn correct_account(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    facts: AccountFacts,
    (here, wall): (&str, DateTime<Utc>),
) -> DeskResult<Vec<String>> {
    let mut account =
        accounts::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Account))?;
    tx.caller.must_be(&KEEPERS)?;
    if account.version != version {
        return Err(DeskError::Stale {
            current: account.version,
        });
    }
    let display_name = text_member::name(&facts.display_name, "/display_name")?;
    refuse_roles_without_people(facts.role)?;
    known_stringer(tx, facts.stringer_id.as_deref())?;
    let own = tx.caller.account_id.as_deref() == Some(id);
    if own && (facts.role != Role::Admin || !facts.active) {
        let detail = "This is your own account: another admin may take this from you, you cannot.";
        let pointer = if facts.active { "/role" } else { "/active" };
        return Err(DeskError::member(pointer, "invalid_value", detail));
    }
    let ends = account.role != facts.role.as_str()
        || account.active != facts.active
        || facts.password_hash.is_some()
        || facts.pin_hash.is_some();
    account.display_name = display_name;
    facts.role.as_str().clone_into(&mut account.role);
    account.stringer_id = facts.stringer_id;
    account.active = facts.active;
    account.password_hash = facts.password_hash.or(account.password_hash);
    account.pin_hash = facts.pin_hash.or(account.pin_hash);
    accounts::save(tx.db, &mut account)?;
    let data = json!({"role": account.role, "active": account.active});
    tx.emit("account.corrected", id, &data)?;
    let mut ended = Vec::new();
    if ends {
        ended = sessions::open_of_account(tx.db, id)?;
        ended.retain(|session| session != here);
        for session in &ended {
            end_session(tx, session, wall)?;
        }
    }
    Ok(ended)
}
