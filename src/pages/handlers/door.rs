//! Signing in and out, and the first page.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::Shown;
use super::filled::Filled;
use super::refused::Failure;
use super::visit::{self, Visitor};
use crate::access::refused::Refused;
use crate::access::{Access, caller, cookie, same_origin, secrets};
use crate::craft::roles::Role;
use crate::desk::reads::tournaments;
use crate::desk::{Caller, Desk, DeskError, own_device, sign_in};
use crate::pages::parts::{Choice, Control, Fault, Field, Problem};
use crate::pages::shell::{Shell, Surface};
use crate::pages::views::sign_in::SignIn;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/", web::get().to(first_page))
        .route("/sign-in", web::get().to(show))
        .route("/sign-in", web::post().to(enter))
        .route("/sign-out", web::post().to(leave));
}

/// Where a role's day begins.
fn home_of(role: Role) -> &'static str {
    match role {
        Role::Stringer => "/next-up",
        Role::Admin => "/setup",
        Role::Desk | Role::Coordinator => "/hand-in",
        Role::Runner => "/court-call",
        _ => "/wall?for=room",
    }
}

async fn first_page(visitor: Visitor) -> Shown {
    Ok(visitor.go_to(home_of(visitor.caller.role)))
}

/// The page, with the people of a registered device who may sign in with a PIN.
async fn page(request: &HttpRequest, next: &str, login: &str) -> Result<SignIn, Failure> {
    let desk = visit::desk_of(request)?;
    let (device, people) = match device_token(request)? {
        Some(token) => people_of(&desk, token).await?,
        None => (String::new(), Vec::new()),
    };
    let unfounded = desk.read(|db| Ok::<_, DeskError>(tournaments::all(db)?.is_empty()));
    Ok(SignIn {
        unfounded: unfounded.await?,
        shell: Shell::bare("Sign in", Surface::Day, visit::fresh_key()?),
        login: Field::new("login", "Account", Control::Text)
            .autocomplete("username")
            .value(login),
        password: Field::new("password", "Password", Control::Password).autocomplete("current-password"),
        people,
        pin: Field::new("pin", "PIN", Control::Pin).autocomplete("off"),
        device,
        next: own_path(next).to_owned(),
    })
}

fn device_token(request: &HttpRequest) -> Result<Option<String>, Failure> {
    let access = access_of(request)?;
    Ok(cookie::device_token_of(request, access.secure_cookies()))
}

/// The device's name and who may sign in on it; nobody where it was revoked.
async fn people_of(desk: &Desk, token: String) -> Result<(String, Vec<Choice>), Failure> {
    let read = desk.read(move |db| {
        let Some(device) = own_device::by_token(db, &token)? else {
            return Ok((String::new(), Vec::new()));
        };
        let mut people = own_device::people_with_pin(db, &device.tournament_id)?;
        // whose place it is stands first
        let at_home = match &device.station_id {
            Some(_) => Role::Stringer,
            None => Role::Desk,
        };
        people.sort_by_key(|one| (one.role != at_home.as_str(), one.display_name.to_lowercase()));
        Ok((device.name, people))
    });
    let (name, people) = read.await?;
    let choice = |one: crate::desk::reads::accounts::Account| {
        Choice::new(one.sign_in, one.display_name).hint(one.role)
    };
    Ok((name, people.into_iter().map(choice).collect()))
}

/// `next` if it is a path of this desk; a foreign address would lead people away.
fn own_path(next: &str) -> &str {
    let own = next.starts_with('/') && !next.starts_with("//") && !next.contains(['\\', '\r', '\n']);
    if own { next } else { "/" }
}

fn sent(status: StatusCode, page: &SignIn) -> Shown {
    Ok(HttpResponse::build(status)
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .body(page.render()?))
}

async fn show(request: HttpRequest, asked: web::Query<Filled>) -> Shown {
    sent(StatusCode::OK, &page(&request, asked.get("next"), "").await?)
}

/// What was typed to get in.
struct Typed {
    login: String,
    secret: String,
    /// With a PIN: the secret of the device on which it was typed.
    device: Option<String>,
}

impl Typed {
    fn of(request: &HttpRequest, form: &Filled) -> Result<Self, Failure> {
        let by_pin = form.get("way") == "pin";
        let (login, secret) = if by_pin {
            (form.get("person"), form.get("pin").to_owned())
        } else {
            // spaces around a password may be part of it
            let typed = form.0.iter().find(|(name, _)| name == "password");
            let typed = typed.map(|(_, value)| value.clone());
            (form.get("login"), typed.unwrap_or_default())
        };
        let device = match by_pin {
            true => Some(device_token(request)?.unwrap_or_default()),
            false => None,
        };
        Ok(Self {
            login: login.to_lowercase(),
            secret,
            device,
        })
    }

    /// What the page says when it is wrong, and at which field.
    fn refused(&self) -> (&'static str, &'static str) {
        match self.device {
            Some(_) => ("pin", "Name and PIN do not belong together on this device."),
            None => ("login", "Account and password do not belong together."),
        }
    }
}

async fn enter(request: HttpRequest, form: web::Form<Filled>) -> Shown {
    same_origin::require(&request).map_err(|_refused| Failure::another_site())?;
    let desk = visit::desk_of(&request)?;
    let access = access_of(&request)?;
    let typed = Typed::of(&request, &form)?;
    // both doors count under the same names: the device's for a PIN, the account's for a password
    let (limiter, name) = match &typed.device {
        Some(device) => (&access.tries.pin, device),
        None => (&access.tries.sign_in, &typed.login),
    };
    let name = sign_in::token_hash(name);
    let field = typed.refused().0;
    if let Err(refused) = limiter.take(&name, access.now()) {
        return too_many(&request, &form, field, refused).await;
    }
    let words = typed.refused().1;
    let Some(who) = find(&desk, typed).await? else {
        let page = refused_page(&request, &form, field, words).await?;
        return sent(StatusCode::UNAUTHORIZED, &page);
    };
    limiter.clear(&name);
    open(&desk, access, who, own_path(form.get("next"))).await
}

async fn refused_page(
    request: &HttpRequest,
    form: &Filled,
    field: &str,
    words: &str,
) -> Result<SignIn, Failure> {
    let mut page = page(request, form.get("next"), form.get("login")).await?;
    if field == "login" {
        page.login = page.login.fault(Some(words.to_owned()));
    }
    for person in &mut page.people {
        person.chosen = person.value == form.get("person");
    }
    page.shell.problem = Some(Problem {
        faults: vec![Fault {
            field: field.to_owned(),
            words: words.to_owned(),
        }],
        reference: None,
    });
    Ok(page)
}

async fn too_many(request: &HttpRequest, form: &Filled, field: &str, refused: Refused) -> Shown {
    let Refused::TooManyTries { wait_s } = refused else {
        return Err(Failure::ours(&refused));
    };
    let words = format!("Too many tries. Wait {wait_s} seconds, then try again.");
    let page = refused_page(request, form, field, &words).await?;
    Ok(HttpResponse::TooManyRequests()
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::RETRY_AFTER, wait_s.to_string()))
        .body(page.render()?))
}

/// The account whose secret was typed; compared off the threads that serve requests.
async fn find(desk: &Desk, typed: Typed) -> Result<Option<sign_in::Candidate>, Failure> {
    let Typed {
        login,
        secret,
        device,
    } = typed;
    let read = desk.read(move |db| match &device {
        Some(token) => sign_in::by_pin(db, &login, token),
        None => sign_in::by_password(db, &login, None),
    });
    let candidates = read.await?;
    let compared = web::block(move || {
        if candidates.is_empty() {
            // as slow as a real one, so that time tells nobody which accounts exist
            secrets::verify(&secret, None);
        }
        candidates
            .into_iter()
            .find(|who| secrets::verify(&secret, who.secret_hash.as_deref()))
    });
    compared.await.map_err(|cause| Failure::ours(&cause))
}

/// The access desk of this process.
///
/// # Errors
/// A fault of ours where the server was composed without one.
pub fn access_of(request: &HttpRequest) -> Result<&Access, Failure> {
    caller::access(request).map_err(|refused| Failure::ours(&refused))
}

/// Opens the session and sends its two cookies.
pub async fn open(desk: &Desk, access: &Access, who: sign_in::Candidate, next: &str) -> Shown {
    let refresh = visit::fresh_key()?;
    let wall = desk.clock().wall();
    let kept = refresh.clone();
    let opened = desk
        .write(&Caller::system(&who.tournament_id.clone()), move |tx| {
            sign_in::open_session(tx, &who, &kept, wall)
        })
        .await?;
    let token = access
        .issue(&visit::identity_of(&opened))
        .map_err(|_fault| Failure::ours(&"a token could not be signed"))?;
    let secure = access.secure_cookies();
    Ok(HttpResponse::SeeOther()
        .content_type("text/html; charset=utf-8")
        .cookie(cookie::carrying(token, secure))
        .cookie(visit::session_cookie(refresh, secure))
        .insert_header((header::LOCATION, next))
        .finish())
}

async fn leave(request: HttpRequest, visitor: Visitor) -> Shown {
    let access = access_of(&request)?;
    let session = visitor.session_id().to_owned();
    let wall = visitor.desk.clock().wall();
    let ended = session.clone();
    visitor
        .desk
        .write(&visitor.caller, move |tx| sign_in::end_session(tx, &ended, wall))
        .await?;
    access.withdraw_session(&session);
    let secure = access.secure_cookies();
    Ok(HttpResponse::SeeOther()
        .content_type("text/html; charset=utf-8")
        .cookie(cookie::ending(secure))
        .cookie(visit::session_ending(secure))
        .insert_header((header::LOCATION, "/sign-in"))
        .finish())
}
