//! Who visits: the signed-in person behind a request, and how pages go back to them.
use actix_web::body::MessageBody;
use actix_web::cookie::Cookie;
use actix_web::dev::Payload;
use actix_web::http::{StatusCode, header};
use actix_web::web::Data;
use actix_web::{FromRequest, HttpRequest, HttpResponse};
use askama::Template;
use chrono::{DateTime, SecondsFormat, Utc};
use futures_util::future::LocalBoxFuture;

use super::filled::Filled;
use super::refused::Failure;
use super::{Shown, door, words};
use crate::access::{self, Identity, cookie, device_time, same_origin};
use crate::craft::roles::{Permission, Role};
use crate::desk::overview::{self, House};
use crate::desk::{Answer, Caller, Desk, DeskResult, Once, Tx, own_device, sign_in};
use crate::pages::shell::{Place, Shell, Surface, Who};

/// A signed-in visitor of a screen.
pub struct Visitor {
    pub caller: Caller,
    pub desk: Data<Desk>,
    pub house: House,
    /// The desk clock's time of this visit.
    pub now: DateTime<Utc>,
    /// The stringer this account is, if any.
    pub stringer_id: Option<String>,
    name: String,
    session_id: String,
    /// A cookie to renew with the answer.
    renewed: Option<Cookie<'static>>,
}

/// The key of a page's forms, fresh for every page.
pub fn fresh_key() -> Result<String, Failure> {
    sign_in::fresh_token().map_err(|cause| Failure::ours(&cause))
}

/// The cookie that keeps a session alive beyond one access token.
pub fn session_cookie(token: String, secure: bool) -> Cookie<'static> {
    let mut kept = cookie::carrying(token, secure);
    kept.set_name(session_name(secure));
    kept
}

/// The cookie that ends it.
pub fn session_ending(secure: bool) -> Cookie<'static> {
    let mut ended = cookie::ending(secure);
    ended.set_name(session_name(secure));
    ended
}

fn session_name(secure: bool) -> &'static str {
    if secure {
        "__Host-weftdesk-session"
    } else {
        "weftdesk-session"
    }
}

impl FromRequest for Visitor {
    type Error = Failure;
    type Future = LocalBoxFuture<'static, Result<Self, Failure>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move { visitor(&request).await })
    }
}

/// The desk of this process.
///
/// # Errors
/// A fault of ours where the server was composed without one.
pub fn desk_of(request: &HttpRequest) -> Result<Data<Desk>, Failure> {
    request
        .app_data::<Data<Desk>>()
        .cloned()
        .ok_or_else(|| Failure::ours(&"no desk in the application"))
}

/// Somebody who may look at a wall: a signed-in person, or a registered wall screen by itself.
pub struct Onlooker(pub Visitor);

impl FromRequest for Onlooker {
    type Error = Failure;
    type Future = LocalBoxFuture<'static, Result<Self, Failure>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let request = request.clone();
        Box::pin(async move { onlooker(&request).await.map(Self) })
    }
}

async fn onlooker(request: &HttpRequest) -> Result<Visitor, Failure> {
    let desk = desk_of(request)?;
    if let Ok(caller) = access::caller::identify(request)
        && caller.role == Role::Board.as_str()
    {
        return board(desk, (*caller).clone(), None).await;
    }
    let nobody = match visitor(request).await {
        Ok(visitor) => return Ok(visitor),
        Err(nobody) => nobody,
    };
    let access = door::access_of(request)?;
    let secure = access.secure_cookies();
    let Some(token) = cookie::device_token_of(request, secure) else {
        return Err(nobody);
    };
    let asked = token.clone();
    let device = desk.read(move |db| own_device::by_token(db, &asked)).await?;
    let Some(device) = device.filter(own_device::is_wall) else {
        return Err(nobody);
    };
    let wall = desk.clock().wall();
    let opened = desk
        .write(&Caller::system(&device.tournament_id), move |tx| {
            own_device::open_board(tx, &token, wall)
        })
        .await?;
    let identity = identity_of(&opened);
    let signed = access
        .issue(&identity)
        .map_err(|refused| Failure::ours(&refused))?;
    board(desk, identity, Some(cookie::carrying(signed, secure))).await
}

/// A wall screen: it sees the room and nothing else.
async fn board(
    desk: Data<Desk>,
    identity: Identity,
    renewed: Option<Cookie<'static>>,
) -> Result<Visitor, Failure> {
    let mut caller = Caller::account(&identity.tid, &identity.sub, Role::Board);
    caller.account_id = None;
    caller.device_id = identity.did;
    let tournament = identity.tid;
    let house = desk.read(move |db| overview::house(db, &tournament)).await?;
    Ok(Visitor {
        caller,
        now: desk.clock().desk(),
        house,
        stringer_id: None,
        name: String::new(),
        session_id: identity.sid,
        desk,
        renewed,
    })
}

async fn visitor(request: &HttpRequest) -> Result<Visitor, Failure> {
    same_origin::require(request).map_err(|_refused| Failure::another_site())?;
    let desk = desk_of(request)?;
    let (identity, renewed) = match access::caller::identify(request) {
        Ok(caller) => ((*caller).clone(), None),
        Err(_) => renew(request, &desk).await?,
    };
    let role: Role = identity
        .role
        .parse()
        .ok()
        .filter(|role| *role != Role::Board)
        .ok_or_else(|| Failure::go_to("/sign-in"))?;
    let mut caller = Caller::account(&identity.tid, &identity.sub, role);
    caller.device_id = identity.did;
    caller.device_at = device_time::of(request).map_err(|_not_a_time| Failure::device_time())?;
    let (tournament, account) = (identity.tid, identity.sub);
    let (house, account) = desk
        .read(move |db| {
            let house = overview::house(db, &tournament)?;
            Ok((house, overview::account(db, &tournament, &account)?))
        })
        .await?;
    Ok(Visitor {
        caller,
        now: desk.clock().desk(),
        house,
        stringer_id: account.stringer_id,
        name: account.display_name,
        session_id: identity.sid,
        desk,
        renewed,
    })
}

/// A fresh access token for a session that still lives; else the sign-in page.
async fn renew(
    request: &HttpRequest,
    desk: &Data<Desk>,
) -> Result<(Identity, Option<Cookie<'static>>), Failure> {
    let access = door::access_of(request)?;
    let secure = access.secure_cookies();
    let back = || {
        let wanted = request.uri().path_and_query().map_or("/", |path| path.as_str());
        let next = if request.method().is_safe() { wanted } else { "/" };
        Failure::go_to(format!("/sign-in?next={}", words::in_address(next)))
    };
    let token = request
        .cookie(session_name(secure))
        .map(|kept| kept.value().to_owned())
        .filter(|token| !token.is_empty())
        .ok_or_else(back)?;
    let wall = desk.clock().wall();
    let asked = token.clone();
    let tournament = desk
        .read(move |db| sign_in::tournament_of_refresh(db, &asked, wall))
        .await
        .map_err(|_ended| back())?;
    // the token stays: several tabs of one browser may renew at the same moment
    let opened = desk
        .write(&Caller::system(&tournament), move |tx| {
            sign_in::refresh_session(tx, &token, &token, wall)
        })
        .await
        .map_err(|_ended| back())?;
    let identity = identity_of(&opened);
    let signed = access
        .issue(&identity)
        .map_err(|_fault| Failure::ours(&"a token could not be signed"))?;
    Ok((identity, Some(cookie::carrying(signed, secure))))
}

/// What a token says of an open session.
pub fn identity_of(opened: &sign_in::Opened) -> Identity {
    Identity {
        sub: opened.account_id.clone(),
        tid: opened.tournament_id.clone(),
        role: opened.role.as_str().to_owned(),
        sid: opened.session_id.clone(),
        did: opened.device_id.clone(),
    }
}

/// A page of somebody who is signed in.
pub fn html(desk: &Desk, status: StatusCode, page: impl MessageBody + 'static) -> HttpResponse {
    HttpResponse::build(status)
        .content_type("text/html; charset=utf-8")
        // specs are confidential, and a page from the cache would repeat old keys
        .insert_header((header::CACHE_CONTROL, "no-store"))
        // a device without network goes on counting from here
        .insert_header((
            "Weftdesk-Desk-Time",
            desk.clock().desk().to_rfc3339_opts(SecondsFormat::Millis, true),
        ))
        .insert_header(("Weftdesk-Desk-Rate", desk.clock().rate().to_string()))
        .body(page)
}

/// Every screen of the bar, and what one must be allowed to use it.
/// Those of every hour first: who has many finds the rest behind a button.
const PLACES: [(&str, &str, Permission); 11] = [
    ("Hand In", "/hand-in", Permission::Intake),
    ("Next Up", "/next-up", Permission::Bench),
    ("Hand Out", "/hand-out", Permission::HandOut),
    ("Court Call", "/court-call", Permission::HandOut),
    ("Snags", "/snags", Permission::SeeSpec),
    ("Floor", "/floor", Permission::Rush),
    ("Court Times", "/court-times", Permission::SeeMatches),
    ("Wall", "/wall?for=room", Permission::SeeJobTimes),
    ("Shelf & Stock", "/stock", Permission::Stock),
    ("Tomorrow", "/tomorrow", Permission::Rush),
    ("Setup", "/setup", Permission::ChangeFrames),
];

impl Visitor {
    pub fn tournament(&self) -> String {
        self.caller.tournament().to_owned()
    }

    /// The name of who is signed in, as shown.
    pub fn name(&self) -> &str {
        &self.name
    }

    pub fn session_id(&self) -> &str {
        &self.session_id
    }

    /// Venue time, "14:30".
    pub fn time(&self, at: DateTime<Utc>) -> String {
        words::time(self.house.zone, at)
    }

    /// Venue time, with its day where that is not today: "Sun 09:00".
    pub fn time_or_day(&self, at: DateTime<Utc>) -> String {
        let today = self.now.with_timezone(&self.house.zone).date_naive();
        words::time_on(self.house.zone, today, at)
    }

    /// The venue's day, "2026-05-02".
    pub fn day_of(&self, at: DateTime<Utc>) -> String {
        at.with_timezone(&self.house.zone).date_naive().to_string()
    }

    /// The frame of a screen.
    ///
    /// # Errors
    /// Only where the machine has no randomness to give.
    pub fn shell(&self, title: &str, here: &str, topics: &str) -> Result<Shell, Failure> {
        let place = |(label, href, _): (&str, &str, _)| Place {
            label: label.to_owned(),
            href: href.to_owned(),
            here: label == here,
            waiting: if label == "Snags" {
                self.house.open_snags
            } else {
                0
            },
        };
        // what somebody may not use only takes room from what they use all day
        let theirs = PLACES
            .into_iter()
            .filter(|(_, _, needs)| self.caller.role.may(*needs));
        Ok(Shell {
            places: theirs.map(place).collect(),
            who: Some(Who {
                name: self.name.clone(),
                place: String::new(),
            }),
            tournament: self.house.name.clone(),
            zone: self.house.zone.name().to_owned(),
            data_at: self
                .now
                .with_timezone(&self.house.zone)
                .format("%H:%M:%S")
                .to_string(),
            live_topics: topics.to_owned(),
            since: self.house.sequence,
            ..Shell::bare(title, Surface::Day, fresh_key()?)
        })
    }

    /// Sends a page.
    ///
    /// # Errors
    /// A template that cannot be rendered.
    pub fn page(&self, status: StatusCode, page: &impl Template) -> Shown {
        let mut answer = html(&self.desk, status, page.render()?);
        if let Some(renewed) = &self.renewed {
            answer
                .add_cookie(renewed)
                .map_err(|cause| Failure::ours(&cause))?;
        }
        Ok(answer)
    }

    /// Sends the browser on after something was done.
    pub fn go_to(&self, address: &str) -> HttpResponse {
        let mut answer = HttpResponse::SeeOther();
        if let Some(renewed) = &self.renewed {
            answer.cookie(renewed.clone());
        }
        answer
            .content_type("text/html; charset=utf-8")
            .insert_header((header::LOCATION, address))
            .finish()
    }

    /// Does what a form asks, once; answers where to go on.
    ///
    /// # Errors
    /// Whatever `work` refuses.
    pub async fn once(
        &self,
        route: &str,
        form: &Filled,
        work: impl FnOnce(&mut Tx<'_>) -> DeskResult<String> + Send + 'static,
    ) -> DeskResult<String> {
        let key = form.get("once").to_owned();
        if key.is_empty() {
            return Err(crate::desk::DeskError::member(
                "/once",
                "missing_member",
                "The form came without its key; load the page again.",
            ));
        }
        let once = Once {
            key,
            route: format!("POST {route}"),
            fingerprint: form.fingerprint(),
        };
        let answer = self
            .desk
            .write_once(&self.caller, once, move |tx| {
                Ok(Answer {
                    status: 303,
                    headers: Vec::new(),
                    body: work(tx)?,
                    replayed: false,
                })
            })
            .await?;
        Ok(answer.body)
    }
}
