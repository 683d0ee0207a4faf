//! From a browser's request to the desk and back to a page: one file per screen.
pub mod bench;
pub mod catch_up;
pub mod catch_up_lines;
pub mod change_wish;
pub mod check;
pub mod court_call;
mod court_call_card;
mod court_effect;
pub mod court_lanes;
pub mod court_times;
mod court_told;
pub mod delegates;
pub mod device;
pub mod door;
pub mod filled;
pub mod floor;
pub mod floor_asked;
pub mod floor_lanes;
pub mod frame_form;
pub mod frame_reads;
pub mod frame_record;
pub mod hand_in;
pub mod hand_in_card;
pub mod hand_in_condition;
pub mod hand_in_draft;
pub mod hand_in_due;
pub mod hand_in_form;
pub mod hand_in_line;
pub mod hand_in_photos;
pub mod hand_in_steps;
pub mod hand_in_taken;
pub mod hand_out;
pub mod hand_out_card;
pub mod hand_out_scan;
mod kept_wall;
pub mod machine_book;
mod machine_readings;
pub mod methods;
pub mod next_up;
pub mod offline;
pub mod paper;
pub mod paper_kit;
pub mod photos;
pub mod plan;
mod plan_words;
pub mod publish_shifts;
pub mod refused;
pub mod set_up_link;
pub mod setup;
mod setup_account;
mod setup_correct;
pub mod setup_people;
pub mod setup_reads;
mod setup_there;
mod slip;
pub mod snags;
pub mod spoken_strings;
pub mod spoken_wish;
pub mod start;
pub mod stock;
pub mod story;
pub mod story_words;
pub mod styleguide;
mod test_page;
pub mod tomorrow;
mod tomorrow_numbers;
pub mod uploaded;
pub mod visit;
pub mod wall;
pub mod wall_causes;
pub mod wall_rows;
pub mod words;
pub mod your_calendar;
mod your_match;
pub mod your_rackets;

use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpRequest, HttpResponse, ResponseError};

use crate::pages::static_files;

/// A page, or why there is none.
pub type Shown = Result<HttpResponse, refused::Failure>;

/// Every route of this door.
pub fn configure(config: &mut ServiceConfig) {
    config
        .route("/static/{name}", web::get().to(static_file))
        .configure(door::routes)
        .configure(offline::routes)
        .configure(set_up_link::routes)
        .configure(hand_in::routes)
        .configure(delegates::routes)
        .configure(paper::routes)
        .configure(slip::routes)
        .configure(paper_kit::routes)
        .configure(test_page::routes)
        .configure(catch_up::routes)
        .configure(next_up::routes)
        .configure(start::routes)
        .configure(plan::routes)
        .configure(methods::routes)
        .configure(bench::routes)
        .configure(check::routes)
        .configure(hand_out::routes)
        .configure(court_call::routes)
        .configure(kept_wall::routes)
        .configure(your_calendar::routes)
        .configure(your_rackets::routes)
        .configure(court_times::routes)
        .configure(snags::routes)
        .configure(story::routes)
        .configure(change_wish::routes)
        .configure(frame_record::routes)
        .configure(machine_book::routes)
        .configure(photos::routes)
        .configure(floor::routes)
        // before the tasks of Setup, whose address would take it
        .configure(device::routes)
        .configure(setup::routes)
        .configure(stock::routes)
        .configure(tomorrow::routes)
        .configure(styleguide::routes);
}

/// What a person's browser gets at an address where nothing is.
pub fn no_such_page() -> HttpResponse {
    refused::Failure::no_such_page().error_response()
}

async fn static_file(request: HttpRequest, name: web::Path<String>) -> Shown {
    let file = static_files::find(&name).ok_or_else(refused::Failure::no_such_page)?;
    let known = request
        .headers()
        .get("if-none-match")
        .and_then(|line| line.to_str().ok());
    if known == Some(file.etag.as_str()) {
        return Ok(HttpResponse::NotModified()
            .insert_header(("ETag", file.etag))
            .finish());
    }
    Ok(HttpResponse::Ok()
        .content_type(file.content_type)
        .insert_header(("ETag", file.etag))
        // asked for again each time, answered without a body while unchanged
        .insert_header(("Cache-Control", "no-cache"))
        .body(file.bytes.into_owned()))
}
