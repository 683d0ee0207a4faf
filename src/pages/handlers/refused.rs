//! Refusals as people read them: on the page they came from, or on a page of their own.
use actix_web::http::{StatusCode, header};
use actix_web::{HttpResponse, ResponseError};
use askama::Template;

use crate::desk::{DeskError, Reason, Thing};
use crate::pages::parts::{Choice, Fault, Problem};
use crate::pages::shell::{Shell, Surface};

/// The page that says why there is no other.
#[derive(Debug, Template)]
#[template(path = "fault.html", config = ".askama.toml")]
pub struct FaultPage {
    pub shell: Shell,
    pub title: String,
    pub words: String,
    /// A number to quote; empty unless the fault is ours.
    pub reference: String,
    /// Label and address of the way on.
    pub links: Vec<(String, String)>,
}

/// Why a page cannot be shown at all.
#[derive(Debug, thiserror::Error)]
#[error("{title}")]
pub struct Failure {
    pub status: StatusCode,
    pub title: String,
    pub words: String,
    pub reference: String,
    /// Where to go instead, at once.
    pub elsewhere: Option<String>,
}

impl Failure {
    pub fn new(status: StatusCode, title: &str, words: &str) -> Self {
        Self {
            status,
            title: title.to_owned(),
            words: words.to_owned(),
            reference: String::new(),
            elsewhere: None,
        }
    }

    pub fn no_such_page() -> Self {
        let words = "The address may be mistyped, or what it led to belongs to another tournament.";
        Self::new(StatusCode::NOT_FOUND, "There is no such page", words)
    }

    pub fn another_site() -> Self {
        let words = "This change did not come from a page of this desk, so nothing was done. \
                     Open the page here and send it again.";
        Self::new(StatusCode::FORBIDDEN, "Not from this desk", words)
    }

    pub fn device_time() -> Self {
        let words = "The device sent a time that is none, so nothing was done. Load the page again.";
        Self::new(StatusCode::BAD_REQUEST, "The device's time cannot be read", words)
    }

    /// A fault of ours: logged with a number that people can quote.
    pub fn ours(cause: &dyn std::fmt::Display) -> Self {
        let reference = crate::desk::sign_in::fresh_token().unwrap_or_default();
        let reference: String = reference.chars().take(8).collect();
        tracing::error!(%cause, reference, "a page could not be shown");
        let words = "Something inside went wrong; nothing was changed. Try again in a moment.";
        Self {
            reference,
            ..Self::new(
                StatusCode::INTERNAL_SERVER_ERROR,
                "The desk could not do this",
                words,
            )
        }
    }

    /// Sends the browser on.
    pub fn go_to(address: impl Into<String>) -> Self {
        Self {
            elsewhere: Some(address.into()),
            ..Self::new(StatusCode::SEE_OTHER, "Elsewhere", "")
        }
    }
}

impl ResponseError for Failure {
    fn status_code(&self) -> StatusCode {
        self.status
    }

    fn error_response(&self) -> HttpResponse {
        let mut answer = HttpResponse::build(self.status);
        answer.content_type("text/html; charset=utf-8");
        answer.insert_header((header::CACHE_CONTROL, "no-store"));
        if let Some(address) = &self.elsewhere {
            return answer
                .insert_header((header::LOCATION, address.as_str()))
                .finish();
        }
        let page = FaultPage {
            shell: Shell::bare(self.title.clone(), Surface::Day, ""),
            title: self.title.clone(),
            words: self.words.clone(),
            reference: self.reference.clone(),
            links: vec![
                ("Hand In".into(), "/hand-in".into()),
                ("Next Up".into(), "/next-up".into()),
                ("Hand Out".into(), "/hand-out".into()),
            ],
        };
        answer.body(page.render().unwrap_or_else(|_| self.title.clone()))
    }
}

impl From<DeskError> for Failure {
    fn from(error: DeskError) -> Self {
        match error {
            DeskError::NotFound(thing) => Self::new(
                StatusCode::NOT_FOUND,
                &format!("There is no such {}", thing_words(thing)),
                "It may belong to another tournament, or the link has been used or replaced.",
            ),
            DeskError::NotAllowed => Self::new(
                StatusCode::FORBIDDEN,
                "Your account may not do this",
                "Ask the coordinator, or sign in with the account that may.",
            ),
            DeskError::SignInRefused => Self::go_to("/sign-in"),
            DeskError::Storage(cause) => Self::ours(&cause),
            other => {
                let status = status_of(&other);
                Self::new(status, "This cannot be done now", &sentence(&other))
            }
        }
    }
}

impl From<askama::Error> for Failure {
    fn from(error: askama::Error) -> Self {
        Self::ours(&error)
    }
}

fn thing_words(thing: Thing) -> &'static str {
    match thing {
        Thing::Tournament => "tournament",
        Thing::Account => "account",
        Thing::Device => "device",
        Thing::Player => "player",
        Thing::Frame => "frame",
        Thing::Racket => "racket",
        Thing::StringProduct => "string",
        Thing::StockPiece => "piece of string",
        Thing::Machine => "machine",
        Thing::Station => "station",
        Thing::Stringer => "stringer",
        Thing::Job => "job",
        Thing::Snag => "snag",
        Thing::Pickup => "hand-out",
        Thing::Photo => "photo",
        Thing::Link => "link",
        Thing::Plan => "plan",
        Thing::OrderOfPlay => "order of play",
        Thing::Shifts => "published shift",
        Thing::Match => "match",
    }
}

/// The status of a page that shows this refusal.
pub fn status_of(error: &DeskError) -> StatusCode {
    match error {
        DeskError::NotFound(_) => StatusCode::NOT_FOUND,
        DeskError::SignInRefused => StatusCode::UNAUTHORIZED,
        DeskError::NotAllowed => StatusCode::FORBIDDEN,
        DeskError::Invalid(_) | DeskError::Rule { .. } => StatusCode::UNPROCESSABLE_ENTITY,
        DeskError::StateForbids { .. }
        | DeskError::Conflict { .. }
        | DeskError::Stale { .. }
        | DeskError::KeyReused => StatusCode::CONFLICT,
        DeskError::Storage(_) => StatusCode::INTERNAL_SERVER_ERROR,
    }
}

fn sentence(error: &DeskError) -> String {
    match error {
        DeskError::Stale { .. } => {
            "Somebody changed this meanwhile. Look at what it says now, then decide again.".to_owned()
        }
        DeskError::KeyReused => {
            "This form was sent before with other words. Look at what was done, then send it again."
                .to_owned()
        }
        other => other.to_string(),
    }
}

/// What a person may insist on.
#[derive(Clone, Debug)]
pub struct MayInsist {
    pub words: String,
    /// Why people insist.
    pub reasons: Vec<Choice>,
    /// What to do before.
    pub hint: &'static str,
    /// The racket itself is at fault: the other way is to give it back.
    pub of_racket: bool,
}

/// What a person may insist on with a reason; nothing where nobody may.
pub fn may_insist(error: &DeskError) -> Option<MayInsist> {
    let DeskError::Rule {
        reason,
        detail,
        insist: Some(_),
        ..
    } = error
    else {
        return None;
    };
    let of_racket = *reason == Reason::FrameDamaged;
    let (reasons, hint): (&[&str], _) = if of_racket {
        (
            &["The owner signed for it, at their own risk"],
            "Show the owner the crack first. The reason stays in the racket's story.",
        )
    } else {
        (
            &["The player insists, read back", "The owner signed for it"],
            "Read the tension back to the player first. The reason stays in the racket's story.",
        )
    };
    Some(MayInsist {
        words: plain(detail),
        reasons: reasons.iter().map(|words| Choice::new(*words, *words)).collect(),
        hint,
        of_racket,
    })
}

/// What the desk says to programs too, in the words of a person at a page.
const IN_PLAIN_WORDS: [(&str, &str); 3] = [
    ("send `override` with a reason", "give a reason"),
    ("give a time in due_at", "give a time"),
    ("give the time until then in due_at", "give the time until then"),
];

fn plain(detail: &str) -> String {
    let mut words = detail.to_owned();
    for (said, plainly) in IN_PLAIN_WORDS {
        words = words.replace(said, plainly);
    }
    words
}

/// The list on top of the page the refused form came from; `field` finds the control of a pointer.
///
/// # Errors
/// A refusal that no form can mend.
pub fn on_page(error: DeskError, field: impl Fn(&str) -> String) -> Result<(StatusCode, Problem), Failure> {
    let status = status_of(&error);
    let faults = match error {
        DeskError::NotFound(_) | DeskError::NotAllowed | DeskError::SignInRefused | DeskError::Storage(_) => {
            return Err(error.into());
        }
        DeskError::Invalid(faults) => faults
            .into_iter()
            .map(|fault| said(field(&fault.pointer), fault.detail))
            .collect(),
        // the sentence only sums up what each of them says
        DeskError::Rule {
            reason: Reason::FrameContradicts,
            faults,
            ..
        } if !faults.is_empty() => faults
            .into_iter()
            .map(|fault| said(field(&fault.pointer), fault.detail))
            .collect(),
        DeskError::Rule { detail, faults, .. } => {
            let at = faults.first().map(|fault| field(&fault.pointer));
            vec![said(at.unwrap_or_default(), detail)]
        }
        DeskError::Conflict { detail, facts, .. } => {
            let at = facts.get("pointer").and_then(|pointer| pointer.as_str());
            vec![said(at.map(field).unwrap_or_default(), detail)]
        }
        other => vec![said(String::new(), sentence(&other))],
    };
    Ok((
        status,
        Problem {
            faults,
            reference: None,
        },
    ))
}

fn said(field: String, words: String) -> Fault {
    let words = plain(&words);
    Fault { field, words }
}
