//! Signing in and out, and the first page.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::Shown;
use super::filled::Filled;
use super::refused::Failure;
use super::visit::{self, Visitor};
use crate::api::auth::{self, Access, cookie, same_origin, secrets};
use crate::craft::roles::Role;
use crate::desk::{Caller, Desk, sign_in};
use crate::pages::parts::{Control, Fault, Field, Problem};
use crate::pages::shell::{Shell, Surface};
use crate::pages::views::sign_in::SignIn;

const REFUSED: &str = "Account and password do not belong together.";

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
        _ => "/wall?for=room",
    }
}

async fn first_page(visitor: Visitor) -> Shown {
    Ok(visitor.go_to(home_of(visitor.caller.role)))
}

fn page(next: &str, login: &str) -> Result<SignIn, Failure> {
    Ok(SignIn {
        shell: Shell::bare("Sign in", Surface::Day, visit::fresh_key()?),
        login: Field::new("login", "Account", Control::Text)
            .autocomplete("username")
            .value(login),
        password: Field::new("password", "Password", Control::Password).autocomplete("current-password"),
        people: Vec::new(),
        device: String::new(),
        next: own_path(next).to_owned(),
    })
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

async fn show(asked: web::Query<Filled>) -> Shown {
    sent(StatusCode::OK, &page(asked.get("next"), "")?)
}

async fn enter(request: HttpRequest, form: web::Form<Filled>) -> Shown {
    same_origin::require(&request).map_err(|_refused| Failure::another_site())?;
    let desk = visit::desk_of(&request)?;
    let access = auth::caller::access(&request).map_err(|_missing| Failure::ours(&"no access desk"))?;
    let login = form.get("login").to_lowercase();
    // spaces around a password may be part of it
    let typed = form.0.0.iter().find(|(name, _)| name == "password");
    let password = typed.map(|(_, value)| value.clone()).unwrap_or_default();
    let who = find(&desk, &login, password).await?;
    let Some(who) = who else {
        let mut page = page(form.get("next"), form.get("login"))?;
        page.login = page.login.fault(Some(REFUSED.to_owned()));
        page.shell.problem = Some(Problem {
            faults: vec![Fault {
                field: "login".to_owned(),
                words: REFUSED.to_owned(),
            }],
            reference: None,
        });
        return sent(StatusCode::UNAUTHORIZED, &page);
    };
    open(&desk, access, who, own_path(form.get("next"))).await
}

/// The account whose password was typed; compared off the threads that serve requests.
async fn find(desk: &Desk, login: &str, password: String) -> Result<Option<sign_in::Candidate>, Failure> {
    let asked = login.to_owned();
    let candidates = desk
        .read(move |db| sign_in::by_password(db, &asked, None))
        .await?;
    let compared = web::block(move || {
        if candidates.is_empty() {
            // as slow as a real one, so that time tells nobody which accounts exist
            secrets::verify(&password, None);
        }
        candidates
            .into_iter()
            .find(|who| secrets::verify(&password, who.secret_hash.as_deref()))
    });
    compared.await.map_err(|cause| Failure::ours(&cause))
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
    let access = auth::caller::access(&request).map_err(|_missing| Failure::ours(&"no access desk"))?;
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
