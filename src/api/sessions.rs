//! Signing in and out, who one is, tickets for the live stream.
pub mod credentials;
pub mod views;

use actix_web::web::{self, Data};
use actix_web::{HttpRequest, HttpResponse, delete, get, post};
use utoipa_actix_web::service_config::ServiceConfig;

use self::credentials::{Credentials, Secret};
use self::views::{Me, Session, StreamTicket};
use super::door;
use super::problem::{Code, Fault, Place, Problem, Said};
use super::request::json::UnreadJson;
use super::request::query;
use crate::access::{Access, Identity, caller, secrets, stream_ticket};
use crate::desk::reads::{accounts, tournaments};
use crate::desk::sign_in::{self, Candidate, Opened};
use crate::desk::{Caller, Desk, DeskError};

/// The routes of this subject.
pub fn configure(config: &mut ServiceConfig<'_>) {
    config
        .service(start)
        .service(refresh)
        .service(sign_out)
        .service(me)
        .service(ticket);
}

/// Signs in with a password, or with a PIN on a registered device.
///
/// Refused tries are counted by account name or device and slowed down.
#[utoipa::path(
    tag = "access",
    request_body = Credentials,
    responses((status = 201, description = "A session and its first access token.", body = Session))
)]
#[post("/v1/sessions")]
pub(crate) async fn start(
    request: HttpRequest,
    desk: Data<Desk>,
    access: Data<Access>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    query::none(&request)?;
    let typed: Credentials = body.read()?;
    let secret = typed.secret()?;
    let limiter = match secret {
        Secret::Password(_) => &access.tries.sign_in,
        Secret::Pin { .. } => &access.tries.pin,
    };
    let name = secret.counted_under(&typed.sign_in);
    limiter.take(&name, access.now())?;
    let sign_in = typed.sign_in.trim().to_lowercase();
    let candidates = candidates(&desk, sign_in, typed.tournament_id, &secret).await?;
    let who = one_of(&desk, proven(secret, candidates).await?).await?;
    limiter.clear(&name);
    let refresh_token = sign_in::fresh_token().map_err(DeskError::from)?;
    let (wall, token) = (desk.clock().wall(), refresh_token.clone());
    let caller = Caller::system(&who.tournament_id);
    let opened = desk
        .write(&caller, move |tx| sign_in::open_session(tx, &who, &token, wall))
        .await?;
    let session = session_of(&access, &opened, refresh_token)?;
    Ok(HttpResponse::Created().json(session))
}

async fn candidates(
    desk: &Desk,
    sign_in: String,
    tournament: Option<String>,
    secret: &Secret,
) -> Result<Vec<Candidate>, Problem> {
    let device = secret.device_token().map(str::to_owned);
    let found = desk.read(move |db| match device {
        Some(token) => sign_in::by_pin(db, &sign_in, &token),
        None => sign_in::by_password(db, &sign_in, tournament.as_deref()),
    });
    Ok(found.await?)
}

/// The candidates whose secret was typed. At least one hash is always computed,
/// so that the time taken does not tell whether an account exists.
async fn proven(secret: Secret, candidates: Vec<Candidate>) -> Result<Vec<Candidate>, Problem> {
    let compared = web::block(move || {
        if candidates.is_empty() {
            secrets::verify(secret.typed(), None);
        }
        candidates
            .into_iter()
            .filter(|candidate| secrets::verify(secret.typed(), candidate.secret_hash.as_deref()))
            .collect()
    });
    compared.await.map_err(|error| Problem::internal(&error))
}

async fn one_of(desk: &Desk, mut proven: Vec<Candidate>) -> Result<Candidate, Problem> {
    if proven.len() < 2 {
        return Ok(proven.pop().ok_or(DeskError::SignInRefused)?);
    }
    let ids: Vec<String> = proven.into_iter().map(|who| who.tournament_id).collect();
    let choice = desk
        .read(move |db| {
            let all = tournaments::all(db)?.into_iter();
            Ok(all
                .filter(|row| ids.contains(&row.id))
                .map(|row| serde_json::json!({"id": row.id, "name": row.name}))
                .collect::<Vec<_>>())
        })
        .await?;
    let said = Said::new(
        "This sign-in belongs to several tournaments; name one of them.",
        "Cet identifiant existe dans plusieurs tournois ; nommez-en un.",
    );
    let fault = Fault::at(Place::Body("/tournament_id".to_owned()), "missing_member", said);
    Err(Problem::new(Code::InvalidBody)
        .fault(fault)
        .member("tournaments", serde_json::Value::Array(choice)))
}

fn session_of(access: &Access, opened: &Opened, refresh_token: String) -> Result<Session, Problem> {
    let token = access.issue(&Identity {
        sub: opened.account_id.clone(),
        tid: opened.tournament_id.clone(),
        role: opened.role.as_str().to_owned(),
        sid: opened.session_id.clone(),
        did: opened.device_id.clone(),
    })?;
    Ok(Session::new(opened, token, refresh_token))
}

/// Trades a refresh token for a fresh access token and the next refresh token.
#[utoipa::path(
    tag = "access",
    request_body = credentials::Refresh,
    responses((status = 200, description = "The session goes on.", body = Session))
)]
#[post("/v1/sessions/current/refresh")]
pub(crate) async fn refresh(
    request: HttpRequest,
    desk: Data<Desk>,
    access: Data<Access>,
    body: UnreadJson,
) -> Result<HttpResponse, Problem> {
    query::none(&request)?;
    let credentials::Refresh { refresh_token: old } = body.read()?;
    let (wall, asked) = (desk.clock().wall(), old.clone());
    let tournament = desk
        .read(move |db| sign_in::tournament_of_refresh(db, &asked, wall))
        .await?;
    let next = sign_in::fresh_token().map_err(DeskError::from)?;
    let token = next.clone();
    let opened = desk
        .write(&Caller::system(&tournament), move |tx| {
            sign_in::refresh_session(tx, &old, &token, wall)
        })
        .await?;
    Ok(HttpResponse::Ok().json(session_of(&access, &opened, next)?))
}

/// Ends the caller's session; its tokens are good for nothing from now on.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    responses((status = 204, description = "The session has ended."))
)]
#[delete("/v1/sessions/current")]
pub(crate) async fn sign_out(
    request: HttpRequest,
    desk: Data<Desk>,
    access: Data<Access>,
) -> Result<HttpResponse, Problem> {
    let identity = caller::identify(&request)?;
    let caller = door::caller(&request)?;
    query::none(&request)?;
    let (wall, session) = (desk.clock().wall(), identity.sid.clone());
    desk.write(&caller, move |tx| sign_in::end_session(tx, &session, wall))
        .await?;
    access.withdraw_session(&identity.sid);
    Ok(HttpResponse::NoContent().finish())
}

/// Says who asks and what they may do.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    responses((status = 200, description = "Account, tournament and permissions.", body = Me))
)]
#[get("/v1/me")]
pub(crate) async fn me(request: HttpRequest, desk: Data<Desk>) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    query::none(&request)?;
    let asked = caller.clone();
    let (tournament, account) = desk
        .read(move |db| {
            let tournament = tournaments::find(db, asked.tournament())?
                .ok_or(DeskError::NotFound(crate::desk::Thing::Tournament))?;
            let account = match &asked.account_id {
                Some(id) => accounts::find(db, asked.tournament(), id)?,
                None => None,
            };
            Ok((tournament, account))
        })
        .await?;
    Ok(HttpResponse::Ok().json(Me::new(&caller, tournament, account)))
}

/// Gives a ticket that opens one live stream within 30 s.
///
/// A browser's `EventSource` can't send a bearer header; the ticket goes into the address instead.
#[utoipa::path(
    tag = "access",
    security(("bearer" = []), ("session" = [])),
    responses((status = 201, description = "A ticket, good once.", body = StreamTicket))
)]
#[post("/v1/stream-tickets")]
pub(crate) async fn ticket(request: HttpRequest, access: Data<Access>) -> Result<HttpResponse, Problem> {
    let who = caller::identify(&request)?;
    query::none(&request)?;
    let ticket = stream_ticket::issue(&access, &who)?;
    Ok(HttpResponse::Created().json(StreamTicket::new(ticket)))
}
