//! From a request to the desk and back: who calls, once or not, how the answer goes out.
use actix_web::http::{StatusCode, header};
use actix_web::{HttpRequest, HttpResponse};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::conditional;
use super::idempotency::{IdempotencyKey, fingerprint};
use super::problem::{Code, Problem};
use super::request::insisting::Insisting;
use super::request::json::UnreadJson;
use super::request::query;
use crate::access::{self, caller::identify, device_time};
use crate::craft::roles::{Permission, Reach, Role};
use crate::desk::reads::{Db, StoreResult};
use crate::desk::{Answer, Caller, Desk, DeskError, DeskResult, Once, Thing, Tx};

/// Who asks, as the desk knows them.
///
/// # Errors
/// 401 without a valid token.
pub fn caller(request: &HttpRequest) -> Result<Caller, Problem> {
    of(&identify(request)?, request)
}

fn of(caller: &access::Caller, request: &HttpRequest) -> Result<Caller, Problem> {
    let role: Role = caller
        .role
        .parse()
        .map_err(|_unknown| Problem::new(Code::TokenInvalid))?;
    let mut who = Caller::account(&caller.tid, &caller.sub, role);
    who.device_id.clone_from(&caller.did);
    who.device_at = device_time::of(request).map_err(|_not_a_time| {
        Problem::new(Code::MalformedRequest).detail(
            "Weftdesk-Device-Time is not an RFC 3339 time.",
            "Weftdesk-Device-Time n’est pas une heure RFC 3339.",
        )
    })?;
    Ok(who)
}

/// Refuses a caller whose role has not the whole of `permission`.
///
/// # Errors
/// 403.
pub fn must_have(caller: &Caller, permission: Permission) -> Result<(), Problem> {
    if caller.role.reach(permission) == Reach::All {
        Ok(())
    } else {
        Err(Problem::new(Code::RoleForbidden))
    }
}

/// The thing with this id in the caller's tournament.
///
/// # Errors
/// 404 where the tournament has it not.
pub async fn found<T: Send + 'static>(
    desk: &Desk,
    caller: &Caller,
    id: String,
    thing: Thing,
    find: fn(&mut Db, &str, &str) -> StoreResult<Option<T>>,
) -> Result<T, Problem> {
    let tournament = caller.tournament().to_owned();
    let row = desk.read(move |db| find(db, &tournament, &id)?.ok_or(DeskError::NotFound(thing)));
    Ok(row.await?)
}

/// All things of one kind in the caller's tournament.
///
/// # Errors
/// [`DeskError::Storage`].
pub async fn all<T: Send + 'static>(
    desk: &Desk,
    caller: &Caller,
    list: fn(&mut Db, &str) -> StoreResult<Vec<T>>,
) -> Result<Vec<T>, Problem> {
    let tournament = caller.tournament().to_owned();
    Ok(desk.read(move |db| Ok(list(db, &tournament)?)).await?)
}

/// The key under which this request is done once.
///
/// # Errors
/// 400 when the header is missing or malformed.
pub fn once(request: &HttpRequest, body: &[u8]) -> Result<Once, Problem> {
    Ok(Once {
        key: IdempotencyKey::of(request)?.as_str().to_owned(),
        route: format!("{} {}", request.method(), request.path()),
        fingerprint: fingerprint(request, body),
    })
}

/// Does once what the body asks for: no query, a key, the body's shape, then `work` in one transaction.
///
/// # Errors
/// 400 for a query or without a key, what [`UnreadJson::read`] refuses, and what the desk does.
pub async fn act<B: DeserializeOwned + Send + 'static>(
    request: &HttpRequest,
    desk: &Desk,
    caller: &Caller,
    body: UnreadJson,
    work: impl FnOnce(&mut Tx<'_>, B) -> DeskResult<Answer> + Send + 'static,
) -> Result<HttpResponse, Problem> {
    act_on(request, desk, caller, body, UnreadJson::read, work).await
}

/// As [`act`], for a body beside whose members somebody may insist.
///
/// # Errors
/// As [`act`].
pub async fn act_insisting<B: DeserializeOwned + Send + 'static>(
    request: &HttpRequest,
    desk: &Desk,
    caller: &Caller,
    body: UnreadJson,
    work: impl FnOnce(&mut Tx<'_>, Insisting<B>) -> DeskResult<Answer> + Send + 'static,
) -> Result<HttpResponse, Problem> {
    act_on(request, desk, caller, body, UnreadJson::read_insisting, work).await
}

async fn act_on<B: Send + 'static>(
    request: &HttpRequest,
    desk: &Desk,
    caller: &Caller,
    body: UnreadJson,
    read: fn(UnreadJson) -> Result<B, Problem>,
    work: impl FnOnce(&mut Tx<'_>, B) -> DeskResult<Answer> + Send + 'static,
) -> Result<HttpResponse, Problem> {
    query::none(request)?;
    let once = once(request, body.bytes()?)?;
    let asked = read(body)?;
    let answer = desk.write_once(caller, once, move |tx| work(tx, asked));
    Ok(respond(answer.await?))
}

/// An answer with a JSON body.
///
/// # Errors
/// [`DeskError::Storage`] where the body has no JSON form.
pub fn json<T: Serialize>(status: StatusCode, body: &T) -> Result<Answer, DeskError> {
    let body = crate::storage::to_record(body)?;
    Ok(Answer {
        status: status.as_u16(),
        headers: Vec::new(),
        body,
        replayed: false,
    })
}

/// Adds where the created thing is.
#[must_use]
pub fn at(mut answer: Answer, location: String) -> Answer {
    answer.headers.push((header::LOCATION.to_string(), location));
    answer
}

/// Adds the strong `ETag` of the thing's version.
#[must_use]
pub fn versioned(mut answer: Answer, version: i64) -> Answer {
    answer
        .headers
        .push((header::ETAG.to_string(), conditional::etag(version).to_string()));
    answer
}

/// The answer to a creation: 201, where the thing is, its version and itself.
///
/// # Errors
/// As [`json`].
pub fn created<T: Serialize>(body: &T, location: String, version: i64) -> Result<Answer, DeskError> {
    Ok(versioned(at_address(body, location)?, version))
}

/// The answer to the creation of what never changes: 201, where it is, and itself.
///
/// # Errors
/// As [`json`].
pub fn at_address<T: Serialize>(body: &T, location: String) -> Result<Answer, DeskError> {
    Ok(at(json(StatusCode::CREATED, body)?, location))
}

/// The answer to a change: 200 with the thing's new version and itself.
///
/// # Errors
/// As [`json`].
pub fn changed<T: Serialize>(body: &T, version: i64) -> Result<Answer, DeskError> {
    Ok(versioned(json(StatusCode::OK, body)?, version))
}

/// The HTTP form of an answer, marked when it was kept from an earlier request.
#[must_use]
pub fn respond(answer: Answer) -> HttpResponse {
    let status = StatusCode::from_u16(answer.status).unwrap_or(StatusCode::OK);
    let mut response = HttpResponse::build(status);
    for (name, value) in answer.headers {
        response.append_header((name, value));
    }
    if answer.replayed {
        response.insert_header(conditional::REPLAYED);
    }
    if answer.body.is_empty() {
        response.finish()
    } else {
        response.content_type("application/json").body(answer.body)
    }
}
