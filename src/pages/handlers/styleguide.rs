//! Shows every component in every state to an admin.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::Shown;
use super::filled::Filled;
use super::visit::Visitor;
use crate::craft::roles::Role;
use crate::desk::DeskError;
use crate::pages::parts::{Fault, Problem};
use crate::pages::shell::Surface;
use crate::pages::views::styleguide::{Styleguide, all_chips, all_fields};

/// Label, place, surface.
const VIEWS: [(&str, &str, &str); 4] = [
    ("Counter, Day", "counter", "day"),
    ("Bench, Day", "bench", "day"),
    ("Wall, Night", "wall", "night"),
    ("Paper", "counter", "paper"),
];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/styleguide", web::get().to(show));
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    if visitor.caller.role != Role::Admin {
        return Err(DeskError::NotAllowed.into());
    }
    let mut shell = visitor.shell("Style guide", "", "")?;
    shell.surface = match asked.get("surface") {
        "night" => Surface::Night,
        "paper" => Surface::Paper,
        _ => Surface::Day,
    };
    let fault = |field: &str, words: &str| Fault {
        field: field.to_owned(),
        words: words.to_owned(),
    };
    let page = Styleguide {
        shell,
        place: match asked.get("place") {
            place @ ("bench" | "wall") => place.to_owned(),
            _ => "counter".to_owned(),
        },
        views: VIEWS
            .iter()
            .map(|(label, place, surface)| {
                let href = format!("/styleguide?place={place}&surface={surface}");
                ((*label).to_owned(), href)
            })
            .collect(),
        chips: all_chips(),
        fields: all_fields(),
        problem: Problem {
            faults: vec![fault("wrong", "Give one number, or mains and crosses as 24/23.")],
            reference: None,
        },
    };
    visitor.page(StatusCode::OK, &page)
}
