//! What a signed-in caller is told.
use chrono::{DateTime, Utc};
use serde::Serialize;
use utoipa::ToSchema;

use crate::access::token::{ACCESS_LIFETIME, TICKET_LIFETIME};
use crate::craft::roles::{Permission, Reach, Role};
use crate::desk::Caller;
use crate::desk::reads::accounts::Account;
use crate::desk::reads::tournaments::Tournament;
use crate::desk::sign_in::Opened;

/// An open session with its newest tokens. They are shown here alone.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "session_id": "ses_01jt3k7q2m8c5v9x4b6n1d0fgh", "account_id": "acc_01jt3k7q2m8c5v9x4b6n1d0fgh",
    "tournament_id": "trn_01jt3k7q2m8c5v9x4b6n1d0fgh", "role": "desk", "device_id": null,
    "access_token": "eyJ0eXAiOiJhdCtqd3QiLCJhbGciOiJIUzI1NiJ9.e30.c2ln", "token_type": "Bearer",
    "expires_in_s": 900, "refresh_token": "q0V5c4n3o2Zl7yP1r6t8u9w0xA-BcDeFgHiJkLmNoPq",
    "session_expires_at": "2026-05-03T00:00:00Z"
}))]
pub struct Session {
    /// The session.
    pub session_id: String,
    /// Whose it is.
    pub account_id: String,
    /// The tournament that everything it does belongs to.
    pub tournament_id: String,
    /// What the account may do.
    pub role: Role,
    /// The registered device it was opened on.
    pub device_id: Option<String>,
    /// For `Authorization: Bearer …`.
    pub access_token: String,
    /// Always `Bearer`.
    pub token_type: &'static str,
    /// How long the access token is good for, seconds.
    pub expires_in_s: i64,
    /// Gets the next access token, once.
    pub refresh_token: String,
    /// When the session ends unless it is refreshed.
    pub session_expires_at: DateTime<Utc>,
}

impl Session {
    /// The session as opened or refreshed.
    pub fn new(opened: &Opened, access_token: String, refresh_token: String) -> Self {
        Self {
            session_id: opened.session_id.clone(),
            account_id: opened.account_id.clone(),
            tournament_id: opened.tournament_id.clone(),
            role: opened.role,
            device_id: opened.device_id.clone(),
            access_token,
            token_type: "Bearer",
            expires_in_s: ACCESS_LIFETIME.num_seconds(),
            refresh_token,
            session_expires_at: opened.expires_at,
        }
    }
}

/// Who asks.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({
    "role": "accounts",
    "account": {"id": "acc_01jt3k7q2m8c5v9x4b6n1d0fgh", "sign_in": "till", "display_name": "Example B", "stringer_id": null},
    "tournament": {"id": "trn_01jt3k7q2m8c5v9x4b6n1d0fgh", "name": "Demo Open", "time_zone": "Europe/Paris"},
    "device_id": null, "permissions": ["see_job_times", "see_contact", "see_money"]
}))]
pub struct Me {
    /// What they may do.
    pub role: Role,
    /// Their account; absent for wall screens.
    pub account: Option<OwnAccount>,
    /// The tournament they are signed in to.
    pub tournament: OwnTournament,
    /// The registered device they use.
    pub device_id: Option<String>,
    /// What their role may do or see anywhere in the tournament, or for what is their own.
    pub permissions: Vec<Permission>,
}

/// The caller's account.
#[derive(Serialize, ToSchema)]
pub struct OwnAccount {
    /// Its id.
    pub id: String,
    /// What is typed to sign in.
    pub sign_in: String,
    /// The name that others see.
    pub display_name: String,
    /// The stringer this account is.
    pub stringer_id: Option<String>,
}

/// The caller's tournament.
#[derive(Serialize, ToSchema)]
pub struct OwnTournament {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The venue's time zone, IANA name.
    pub time_zone: String,
}

impl Me {
    /// What is told of `caller`.
    pub fn new(caller: &Caller, tournament: Tournament, account: Option<Account>) -> Self {
        let reaches = |permission: &Permission| caller.role.reach(*permission) != Reach::None;
        Self {
            role: caller.role,
            account: account.map(|account| OwnAccount {
                id: account.id,
                sign_in: account.sign_in,
                display_name: account.display_name,
                stringer_id: account.stringer_id,
            }),
            tournament: OwnTournament {
                id: tournament.id,
                name: tournament.name,
                time_zone: tournament.time_zone,
            },
            device_id: caller.device_id.clone(),
            permissions: Permission::ALL.iter().copied().filter(reaches).collect(),
        }
    }
}

/// A ticket for the live stream.
#[derive(Serialize, ToSchema)]
#[schema(example = json!({"ticket": "eyJ0eXAiOiJzdHJlYW0tdGlja2V0K2p3dCIsImFsZyI6IkhTMjU2In0.e30.c2ln", "expires_in_s": 30}))]
pub struct StreamTicket {
    /// Goes into the stream's address as `ticket`.
    pub ticket: String,
    /// How long it is good for, seconds.
    pub expires_in_s: i64,
}

impl StreamTicket {
    /// A fresh ticket.
    pub fn new(ticket: String) -> Self {
        Self {
            ticket,
            expires_in_s: TICKET_LIFETIME.num_seconds(),
        }
    }
}
