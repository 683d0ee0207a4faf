//! The one-time link of a new desk: founds the tournament and its first admin.
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse};
use askama::Template;

use super::filled::Filled;
use super::refused::{self, Failure};
use super::{Shown, door, visit};
use crate::access::{same_origin, secrets};
use crate::craft::roles::Role;
use crate::desk::found::{self, NewAccount, NewTournament};
use crate::desk::records::TournamentSettings;
use crate::desk::{Desk, DeskError, DeskResult, MemberFault, sign_in};
use crate::pages::parts::{Control, Field, Problem};
use crate::pages::shell::{Shell, Surface};
use crate::pages::views::sign_in::SetUp;

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/set-up/{token}", web::get().to(show))
        .route("/set-up/{token}", web::post().to(start));
}

fn page(token: &str, form: &Filled, problem: Option<Problem>) -> Result<SetUp, Failure> {
    let fault = |name: &str| {
        let faults = problem.iter().flat_map(|problem| &problem.faults);
        faults
            .filter(|fault| fault.field == name)
            .map(|fault| fault.words.clone())
            .next()
    };
    let field = |name: &str, label: &str, control: Control| {
        Field::new(name, label, control)
            .value(form.get(name))
            .fault(fault(name))
    };
    // passwords are never sent back
    let secret =
        |name: &str, label: &str| Field::new(name, label, Control::Password).autocomplete("new-password");
    let mut shell = Shell::bare("Start this desk", Surface::Day, visit::fresh_key()?);
    let page = SetUp {
        token: token.to_owned(),
        tournament: vec![
            field("tournament_name", "Name of the tournament", Control::Text),
            field("zone", "Time zone of the venue", Control::Text).hint("Such as Europe/Paris."),
        ],
        admin: vec![
            field("name", "Your name", Control::Text).autocomplete("name"),
            field("login", "Account", Control::Text).autocomplete("username"),
            secret("password", "Password")
                .hint("At least 10 characters.")
                .fault(fault("password")),
            secret("password_again", "Password again").fault(fault("password_again")),
        ],
        shell: {
            shell.problem = problem;
            shell
        },
    };
    Ok(page)
}

fn sent(status: StatusCode, page: &SetUp) -> Shown {
    Ok(HttpResponse::build(status)
        .content_type("text/html; charset=utf-8")
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .insert_header((header::REFERRER_POLICY, "no-referrer"))
        .body(page.render()?))
}

async fn show(request: HttpRequest, token: web::Path<String>) -> Shown {
    let desk = visit::desk_of(&request)?;
    check(&desk, &token).await?;
    sent(StatusCode::OK, &page(&token, &Filled::default(), None)?)
}

async fn check(desk: &Desk, token: &str) -> DeskResult<()> {
    let (token, wall) = (token.to_owned(), desk.clock().wall());
    desk.read(move |db| found::check_link(db, &token, wall)).await
}

async fn start(request: HttpRequest, token: web::Path<String>, form: web::Form<Filled>) -> Shown {
    // the link is the only right this form has: it must come from our page
    same_origin::require(&request).map_err(|_refused| Failure::another_site())?;
    let desk = visit::desk_of(&request)?;
    let access = door::access_of(&request)?;
    match found_all(&desk, &token, &form).await {
        Ok(admin) => door::open(&desk, access, admin, "/setup").await,
        Err(error) => {
            let (status, problem) = refused::on_page(error, field_of)?;
            sent(status, &page(&token, &form, Some(problem))?)
        }
    }
}

fn field_of(pointer: &str) -> String {
    match pointer {
        "/name" => "tournament_name",
        "/time_zone" => "zone",
        "/sign_in" => "login",
        "/display_name" => "name",
        other => other.trim_start_matches('/'),
    }
    .to_owned()
}

async fn found_all(desk: &Desk, token: &str, form: &Filled) -> DeskResult<sign_in::Candidate> {
    check(desk, token).await?;
    let new = NewTournament {
        name: form.get("tournament_name").to_owned(),
        time_zone: form.get("zone").to_owned(),
        settings: TournamentSettings::default(),
    };
    // everything that is wrong is told at once
    let mut faults = match found::check(&new) {
        Err(DeskError::Invalid(faults)) => faults,
        other => {
            other?;
            Vec::new()
        }
    };
    let account = match first_admin(form).await {
        Ok(account) if faults.is_empty() => account,
        Ok(_) => return Err(DeskError::Invalid(faults)),
        Err(DeskError::Invalid(more)) => {
            faults.extend(more);
            return Err(DeskError::Invalid(faults));
        }
        Err(error) => return Err(error),
    };
    let (tournament, admin) = desk.found_by_link(new, token, account).await?;
    Ok(sign_in::Candidate {
        account_id: admin.id,
        tournament_id: tournament,
        secret_hash: None,
        device_id: None,
    })
}

/// The admin as typed, checked before anything is founded.
async fn first_admin(form: &Filled) -> DeskResult<NewAccount> {
    let login = form.get("login").to_lowercase();
    let mut faults = Vec::new();
    if form.get("name").is_empty() {
        faults.push(MemberFault::at(
            "/display_name",
            "missing_member",
            "Give your name.",
        ));
    }
    if !(1..=60).contains(&login.chars().count()) || login.chars().any(char::is_whitespace) {
        let words = "Give an account of 1 to 60 characters without spaces.";
        faults.push(MemberFault::at("/sign_in", "out_of_range", words));
    }
    if form.get("password") != form.get("password_again") {
        let words = "The two passwords differ; type the same one twice.";
        faults.push(MemberFault::at("/password_again", "invalid_value", words));
    }
    let hash = match hashed(form.get("password")).await {
        Ok(hash) if faults.is_empty() => hash,
        Ok(_) => return Err(DeskError::Invalid(faults)),
        Err(DeskError::Invalid(more)) => {
            faults.extend(more);
            return Err(DeskError::Invalid(faults));
        }
        Err(error) => return Err(error),
    };
    Ok(NewAccount {
        sign_in: login,
        display_name: form.get("name").to_owned(),
        role: Role::Admin,
        password_hash: Some(hash),
        pin_hash: None,
        stringer_id: None,
    })
}

/// The hash of a new password, made off the threads that serve requests.
///
/// # Errors
/// [`DeskError::Invalid`] for a password that is too short or too long.
pub async fn hashed(password: &str) -> DeskResult<String> {
    let password = password.to_owned();
    let made = web::block(move || secrets::Password::parse(&password)?.hash()).await;
    let refused =
        |cause: String| DeskError::member("/password", "out_of_range", format!("The password {cause}."));
    made.map_err(|cause| refused(cause.to_string()))?
        .map_err(|fault| refused(fault.to_string()))
}
