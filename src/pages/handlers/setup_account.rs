//! Setup: accounts added and corrected. Secrets are hashed before the transaction, off the threads that serve requests.
use actix_web::{HttpRequest, web};

use super::filled::Filled;
use super::visit::Visitor;
use super::{Shown, door, set_up_link, setup_correct};
use crate::access::secrets;
use crate::craft::roles::Role;
use crate::desk::correct_account::{AccountFacts, correct_account};
use crate::desk::correct_tournament::KEEPERS;
use crate::desk::found::NewAccount;
use crate::desk::{DeskError, DeskResult};

/// A new account as the form says it.
pub(super) async fn new(visitor: &Visitor, form: &Filled) -> DeskResult<NewAccount> {
    visitor.caller.must_be(&KEEPERS)?; // hashing is slow on purpose: for nobody else
    let (password_hash, pin_hash) = hashes(form, "account").await?;
    Ok(NewAccount {
        sign_in: form.get("account_login").to_owned(),
        display_name: form.get("account_name").to_owned(),
        role: role(form, "account")?,
        password_hash,
        pin_hash,
        stringer_id: form.some("account_stringer_id"),
    })
}

fn role(form: &Filled, of: &str) -> DeskResult<Role> {
    let words = "Choose a role of the list.";
    let chosen = form.get(&format!("{of}_role")).parse();
    chosen.map_err(|_unknown| DeskError::member("/role", "invalid_value", words))
}

/// Hashes of the password and the PIN that were typed.
async fn hashes(form: &Filled, of: &str) -> DeskResult<(Option<String>, Option<String>)> {
    let password = match form.some(&format!("{of}_password")) {
        Some(password) => Some(set_up_link::hashed(&password).await?),
        None => None,
    };
    let pin = match form.some(&format!("{of}_pin")) {
        Some(pin) => {
            let made = web::block(move || secrets::Pin::parse(&pin)?.hash()).await;
            let refused =
                |cause: String| DeskError::member("/pin", "out_of_range", format!("The PIN {cause}."));
            let made = made.map_err(|cause| refused(cause.to_string()))?;
            Some(made.map_err(|fault| refused(fault.to_string()))?)
        }
        None => None,
    };
    Ok((password, pin))
}

/// What its form says of an account; whoever may do something else now signs in again.
pub(super) async fn correct(
    request: HttpRequest,
    visitor: Visitor,
    id: web::Path<String>,
    form: web::Form<Filled>,
) -> Shown {
    let ended = match corrected(&visitor, &id, &form).await {
        Ok(ended) => ended,
        Err(error) => return setup_correct::again(&visitor, &id, &form, error).await,
    };
    let access = door::access_of(&request)?;
    for session in ended.split_whitespace() {
        access.withdraw_session(session);
    }
    Ok(visitor.go_to("/setup#task-account"))
}

async fn corrected(visitor: &Visitor, id: &str, form: &Filled) -> DeskResult<String> {
    visitor.caller.must_be(&KEEPERS)?; // hashing is slow on purpose: for nobody else
    let (password_hash, pin_hash) = hashes(form, id).await?;
    let said = |field: &str| format!("{id}_{field}");
    let facts = AccountFacts {
        display_name: form.get(&said("name")).to_owned(),
        role: role(form, id)?,
        stringer_id: form.some(&said("stringer_id")),
        active: form.has(&said("active"), "yes"),
        password_hash,
        pin_hash,
    };
    let version = form.get("version").parse().unwrap_or(0);
    let (about, here) = (id.to_owned(), visitor.session_id().to_owned());
    let wall = visitor.desk.clock().wall();
    visitor
        .once(&format!("/setup/accounts/{id}"), form, move |tx| {
            Ok(correct_account(tx, &about, version, facts, (&here, wall))?.join(" "))
        })
        .await
}
