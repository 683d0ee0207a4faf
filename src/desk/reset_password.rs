//! Setting an account's password for somebody who lost it.
use serde_json::json;

use crate::craft::roles::Role;
use crate::desk::Tx;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::accounts::{self, Account};

/// Replaces the password of the account with this sign-in; the hash was made by the door.
///
/// # Errors
/// [`DeskError::NotAllowed`] unless an admin or the service asks, [`DeskError::NotFound`].
pub fn reset_password(tx: &mut Tx<'_>, sign_in: &str, password_hash: String) -> DeskResult<Account> {
    let sign_in = sign_in.trim().to_lowercase();
    let mut account = accounts::all(tx.db, tx.tournament())?
        .into_iter()
        .find(|account| account.sign_in == sign_in)
        .ok_or(DeskError::NotFound(Thing::Account))?;
    tx.caller.must_be(&[Role::Admin, Role::System])?;
    account.password_hash = Some(password_hash);
    accounts::save(tx.db, &mut account)?;
    tx.emit("account.password_set", &account.id, &json!({}))?;
    Ok(account)
}
