//! Accounts of people: `/v1/accounts`.
use actix_web::web::{self, Data};
use actix_web::{HttpRequest, HttpResponse, get, post};
use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use crate::access::secrets::{Password, Pin, SecretFault};
use crate::api::door;
use crate::api::idempotency::IdempotencyHeader;
use crate::api::paging::Page;
use crate::api::problem::{Code, Fault, Place, Problem, Said};
use crate::api::request::json::UnreadJson;
use crate::api::request::query;
use crate::craft::roles::{Permission, Role};
use crate::desk::Desk;
use crate::desk::found::{NewAccount, add_account};
use crate::desk::reads::accounts::{self, Account};

/// The routes of this resource.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config.service(list).service(add);
}

/// An account to add.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({
    "sign_in": "counter", "display_name": "Example B", "role": "desk", "password": "nine courts and a roof", "pin": "4071"
}))]
pub struct AccountBody {
    /// What is typed to sign in, unique in the tournament.
    #[schema(max_length = 60)]
    pub sign_in: String,
    /// The name that others see.
    #[schema(max_length = 120)]
    pub display_name: String,
    /// What they may do.
    pub role: Role,
    /// 10 to 200 characters, if they sign in with a password.
    #[serde(default)]
    pub password: Option<String>,
    /// 4 to 8 digits, for registered devices.
    #[serde(default)]
    pub pin: Option<String>,
    /// The stringer this account is.
    #[serde(default)]
    pub stringer_id: Option<String>,
}

/// An account. Its secrets are shown to nobody.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "id": "acc_01jt3k7q2m8c5v9x4b6n1d0fgh", "version": 1, "created_at": "2026-05-02T08:00:00Z",
    "sign_in": "counter", "display_name": "Example B", "role": "desk", "stringer_id": null, "active": true,
    "has_password": true, "has_pin": true
}))]
pub struct AccountView {
    /// Its id.
    pub id: String,
    /// Its version.
    pub version: i64,
    /// When it was added.
    pub created_at: DateTime<Utc>,
    /// What is typed to sign in.
    pub sign_in: String,
    /// The name that others see.
    pub display_name: String,
    /// What they may do.
    #[schema(value_type = Role)]
    pub role: String,
    /// The stringer this account is.
    pub stringer_id: Option<String>,
    /// Whether it may sign in.
    pub active: bool,
    /// Whether a password is set.
    pub has_password: bool,
    /// Whether a PIN is set.
    pub has_pin: bool,
}

impl AccountView {
    fn of(row: &Account) -> Self {
        Self {
            id: row.id.clone(),
            version: row.version,
            created_at: row.created_at.utc(),
            sign_in: row.sign_in.clone(),
            display_name: row.display_name.clone(),
            role: row.role.clone(),
            stringer_id: row.stringer_id.clone(),
            active: row.active,
            has_password: row.password_hash.is_some(),
            has_pin: row.pin_hash.is_some(),
        }
    }
}

/// All accounts, by sign-in.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "All accounts.", body = Page<AccountView>))
)]
#[get("/v1/accounts")]
pub(crate) async fn list(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::ManageAccess)?;
    query::none(&request)?;
    let rows = door::all(&desk, &caller, accounts::all).await?;
    Ok(Page::whole(rows.iter().map(AccountView::of).collect()).answer(&request))
}

/// Adds an account.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    params(IdempotencyHeader),
    request_body = AccountBody,
    responses((status = 201, description = "It is added.", body = AccountView))
)]
#[post("/v1/accounts")]
pub(crate) async fn add(
    request: HttpRequest,
    desk: Data<Desk>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    door::must_have(&caller, Permission::ManageAccess)?;
    query::none(&request)?;
    let new: AccountBody = body.read()?;
    // a plain hash of a body with a password in it could be guessed from: leave the secrets out
    let told = json!({"sign_in": new.sign_in, "display_name": new.display_name, "role": new.role,
        "stringer_id": new.stringer_id});
    let once = door::once(&request, told.to_string().as_bytes())?;
    let (password_hash, pin_hash) = hashes(new.password, new.pin).await?;
    let account = NewAccount {
        sign_in: new.sign_in,
        display_name: new.display_name,
        role: new.role,
        password_hash,
        pin_hash,
        stringer_id: new.stringer_id,
    };
    let answer = desk.write_once(&caller, once, move |tx| {
        let row = add_account(tx, account)?;
        door::created(
            &AccountView::of(&row),
            format!("/v1/accounts/{}", row.id),
            row.version,
        )
    });
    Ok(door::respond(answer.await?))
}

type Hash = Option<String>;

/// Checks and hashes both secrets, off the threads that serve requests.
async fn hashes(password: Option<String>, pin: Option<String>) -> Result<(Hash, Hash), Problem> {
    let hashed = web::block(move || {
        let password = password.map(|typed| Password::parse(&typed).and_then(|password| password.hash()));
        let pin = pin.map(|typed| Pin::parse(&typed).and_then(|pin| pin.hash()));
        (password.transpose(), pin.transpose())
    });
    let (password, pin) = hashed.await.map_err(|error| Problem::internal(&error))?;
    Ok((
        password.map_err(|fault| unfit("/password", fault))?,
        pin.map_err(|fault| unfit("/pin", fault))?,
    ))
}

fn unfit(pointer: &str, fault: SecretFault) -> Problem {
    let french = match fault {
        SecretFault::PasswordTooShort => "Au moins 10 caractères.",
        SecretFault::PasswordTooLong => "Au plus 200 caractères.",
        SecretFault::PinNotDigits => "De 4 à 8 chiffres.",
        SecretFault::PinTooPlain => "Ni un seul chiffre répété ni une suite comme 1234.",
        SecretFault::Hashing => return Problem::internal(&fault),
    };
    let said = Said::new(format!("It {fault}."), french);
    Problem::new(Code::InvalidBody).fault(Fault::at(Place::Body(pointer.to_owned()), "invalid_value", said))
}
