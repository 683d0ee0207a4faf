//! The Floor: the coordinator sees who strings what and when, and moves work after seeing the price.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, floor_asked, floor_lanes, words};
use crate::craft::roles::Role;
use crate::desk::court_times::board;
use crate::desk::floor::{self, Floor};
use crate::desk::intervene::intervene;
use crate::desk::job_sheet::JobSheet;
use crate::desk::spare::note_spare;
use crate::desk::stopped_play::StoppedPlay;
use crate::desk::what_if::{self, InterventionPrice, WhatIf};
use crate::desk::why::why;
use crate::desk::{DeskError, DeskResult};
use crate::pages::parts::Choice;
use crate::pages::views::floor::{
    AsideRow, ChosenJob, Floor as Page, LaneHead, PriceCard, RefusedRow, StopRow, StringerRow,
};

/// Who steers the floor.
pub const STEERERS: [Role; 1] = [Role::Coordinator];
/// Why a job is held, as chips of practice: common practice, no source.
const REASONS: [&str; 4] = [
    "player asked to wait",
    "string comes later",
    "match is not sure",
    "ask the player first",
];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/floor", web::get().to(show))
        .route("/floor", web::post().to(act));
}

/// What one visit reads.
struct Read {
    floor: Floor,
    chosen: Option<(JobSheet, Vec<String>)>,
    courts: Vec<Choice>,
}

/// What an intervention would cost now.
type Priced = (WhatIf, InterventionPrice);

async fn priced(visitor: &Visitor, asked: &Filled) -> DeskResult<Option<Priced>> {
    let Some(what) = floor_asked::what_if(visitor, asked)? else {
        return Ok(None);
    };
    let (tournament, now, memory) = (visitor.tournament(), visitor.now, visitor.desk.court_memory());
    let price = visitor.desk.read(move |db| {
        let price = what_if::price(db, &tournament, now, &what, &memory)?;
        Ok((what, price))
    });
    price.await.map(Some)
}

async fn read(visitor: &Visitor, job: String) -> DeskResult<Read> {
    let (tournament, now, memory) = (visitor.tournament(), visitor.now, visitor.desk.court_memory());
    let day = now.with_timezone(&visitor.house.zone).date_naive().to_string();
    visitor
        .desk
        .read(move |db| {
            let floor = floor::floor(db, &tournament, now, &memory)?;
            let chosen = if job.is_empty() {
                None
            } else {
                let told = why(db, &tournament, &job, now)?.sentences;
                // as the table shows it, else by the plan that is kept
                let seen = sheets(&floor).find(|sheet| sheet.job.id == job).cloned();
                let sheet = match seen {
                    Some(sheet) => sheet,
                    None => {
                        let mut sheet = [JobSheet::of(db, &tournament, &job)?];
                        note_spare(db, &tournament, now, &mut sheet)?;
                        let [sheet] = sheet;
                        sheet
                    }
                };
                Some((sheet, told))
            };
            let order = board::stored(db, &tournament, &day, &memory)?.map(|day| day.order);
            let courts = order.iter().flat_map(|order| &order.courts);
            Ok(Read {
                floor,
                chosen,
                courts: courts
                    .map(|court| Choice::new(court.id.clone(), court.label.clone()))
                    .collect(),
            })
        })
        .await
}

/// Every job of the floor, at a station, to come or without a place.
pub(super) fn sheets(floor: &Floor) -> impl Iterator<Item = &JobSheet> {
    let lanes = floor.lanes.iter().flat_map(|lane| {
        let present = lane.present.iter().map(|present| &present.sheet);
        present.chain(lane.to_come.iter().map(|(_, sheet)| sheet))
    });
    lanes.chain(floor.aside.iter().map(|(sheet, _)| sheet))
}

async fn screen(visitor: &Visitor, asked: &Filled, priced: Option<Priced>) -> Result<Page, Failure> {
    let read = read(visitor, asked.get("job").to_owned()).await?;
    let floor = &read.floor;
    let rows = floor_lanes::rows(visitor, floor);
    let price = priced.map(|(what, price)| PriceCard {
        title: floor_asked::title(visitor, floor, &what),
        harms: !price.later.is_empty() || !price.left_over.is_empty(),
        sentences: [price.sentences, floor_asked::also(visitor, floor, &what)].concat(),
        fields: asked
            .0
            .iter()
            .filter(|(name, value)| name != "once" && !value.is_empty())
            .cloned()
            .collect(),
        back: match asked.get("job") {
            "" => "/floor".to_owned(),
            job => format!("/floor?job={}", words::in_address(job)),
        },
    });
    Ok(Page {
        shell: visitor.shell(
            "Floor",
            "Floor",
            "jobs,stations,stringers,schedule,matches,courts,snags,days",
        )?,
        plan_words: format!("Planned at {}.", visitor.time(floor.made_at)),
        price,
        chosen: read
            .chosen
            .map(|(sheet, why)| chosen(visitor, floor, &sheet, why)),
        lanes: heads(floor),
        drawing: if floor.lanes.is_empty() {
            String::new()
        } else {
            floor_lanes::drawing(visitor, floor)
        },
        worst: floor_lanes::worst(&rows),
        rows,
        aside: floor
            .aside
            .iter()
            .map(|(sheet, why)| aside(visitor, sheet, why))
            .collect(),
        stops: floor.stops.iter().map(|stop| stop_row(visitor, stop)).collect(),
        shifts: floor.shifts.clone(),
        refused: floor.refused.iter().map(|one| refused(visitor, one)).collect(),
        stringers: stringers(floor),
        courts: read.courts,
    })
}

fn chosen(visitor: &Visitor, floor: &Floor, sheet: &JobSheet, why: Vec<String>) -> ChosenJob {
    let (job, planned) = (&sheet.job, planned_at(floor, &sheet.job.id));
    let here = [&job.station_id, &job.pinned_station_id];
    let elsewhere = floor
        .lanes
        .iter()
        .map(|lane| &lane.station)
        .filter(|station| station.open && here.iter().all(|id| id.as_ref() != Some(&station.id)))
        .map(|station| {
            let label = if planned == Some(&station.id) {
                format!("{}, before the others", station.name)
            } else {
                station.name.clone()
            };
            Choice::new(station.id.clone(), label)
        });
    ChosenJob {
        id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        state: words::state_chip(sheet, visitor.now),
        ready_by: visitor.time_or_day(sheet.job.due_at.utc()),
        due_typed: visitor.time(sheet.job.due_at.utc()),
        why,
        held: sheet.held(visitor.now).is_some(),
        rushed: sheet.job.rush.is_some(),
        on_machine: sheet.job.state == "on_machine",
        stations: elsewhere.collect(),
        reasons: REASONS.map(|reason| Choice::new(reason, reason)).into(),
        story_href: format!("/rackets/{}", sheet.racket.id),
    }
}

/// The station to which the plan gives a waiting job.
fn planned_at<'a>(floor: &'a Floor, job_id: &str) -> Option<&'a String> {
    let lane = floor
        .lanes
        .iter()
        .find(|lane| lane.to_come.iter().any(|(job, _)| job.job_id == job_id));
    lane.map(|lane| &lane.station.id)
}

fn heads(floor: &Floor) -> Vec<LaneHead> {
    let free: Vec<Choice> = floor
        .stringers
        .iter()
        .filter(|one| place_of(floor, &one.id).is_none())
        .map(|one| Choice::new(one.id.clone(), one.name.clone()))
        .collect();
    floor
        .lanes
        .iter()
        .map(|lane| LaneHead {
            id: lane.station.id.clone(),
            name: lane.station.name.clone(),
            stringer: lane.stringer.clone().unwrap_or_else(|| "closed".to_owned()),
            open: lane.station.open,
            stringers: free.clone(),
        })
        .collect()
}

fn place_of<'a>(floor: &'a Floor, stringer_id: &str) -> Option<&'a str> {
    let lane = floor
        .lanes
        .iter()
        .find(|lane| lane.station.open && lane.station.stringer_id.as_deref() == Some(stringer_id));
    lane.map(|lane| lane.station.name.as_str())
}

fn stringers(floor: &Floor) -> Vec<StringerRow> {
    let row = |one: &crate::desk::reads::stringers::Stringer| {
        let place = place_of(floor, &one.id);
        StringerRow {
            id: one.id.clone(),
            name: one.name.clone(),
            place: match place {
                Some(place) => place.to_owned(),
                None if one.on_shift => "on shift, no station".to_owned(),
                None => "off".to_owned(),
            },
            on_shift: one.on_shift || place.is_some(),
        }
    };
    floor.stringers.iter().map(row).collect()
}

fn aside(visitor: &Visitor, sheet: &JobSheet, why: &str) -> AsideRow {
    AsideRow {
        id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        state: words::state_chip(sheet, visitor.now),
        ready_by: visitor.time_or_day(sheet.job.due_at.utc()),
        why: why.to_owned(),
    }
}

/// "Since 13:40" and what it has done.
fn stop_row(visitor: &Visitor, stop: &StoppedPlay) -> StopRow {
    let waiting = match stop.job_ids.len() {
        0 => "No racket waits on it.".to_owned(),
        1 => "1 racket waits on it.".to_owned(),
        many => format!("{many} rackets wait on it."),
    };
    let moved = match stop.moved {
        0 => "No ready-by has moved yet.".to_owned(),
        1 => "The ready-by of 1 job has moved.".to_owned(),
        many => format!("The ready-bys of {many} jobs have moved."),
    };
    StopRow {
        courts: stop.courts.join(", "),
        reason: stop.reason.clone(),
        since: visitor.time(stop.since),
        goes_on: stop.expected.map_or_else(
            || "nobody has said when it goes on".to_owned(),
            |at| format!("goes on about {}", visitor.time(at)),
        ),
        effect: format!("{waiting} {moved}"),
    }
}

fn refused(visitor: &Visitor, one: &floor::Refused) -> RefusedRow {
    let who = one.stringer.as_deref().unwrap_or("Nobody named");
    let at = visitor.time(one.refusal.at);
    RefusedRow {
        id: one.job_id.clone(),
        code: one.code.clone(),
        words: format!("{who} at {}, {at}: {}", one.station, one.refusal.reason),
    }
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    visitor.caller.must_be(&STEERERS)?;
    if asked.some("done").is_some() {
        return done(&visitor, &asked).await;
    }
    match priced(&visitor, &asked).await {
        Ok(price) => {
            let page = screen(&visitor, &asked, price).await?;
            visitor.page(StatusCode::OK, &page)
        }
        Err(error) => again(&visitor, &asked, error).await,
    }
}

async fn act(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    visitor.caller.must_be(&STEERERS)?;
    let memory = visitor.desk.court_memory();
    let reason = form.get("reason").to_owned();
    let done = match floor_asked::what_if(&visitor, &form) {
        Ok(Some(what)) => {
            visitor
                .once("/floor", &form, move |tx| {
                    intervene(tx, &what, &reason, &memory)?;
                    Ok(String::new())
                })
                .await
        }
        Ok(None) => Err(DeskError::member("/do", "missing_member", "Choose what to do.")),
        Err(error) => Err(error),
    };
    match done {
        Ok(_) => Ok(visitor.go_to(&floor_asked::address_done(&form))),
        Err(error) => again(&visitor, &form, error).await,
    }
}

/// The floor as it is now, with what was just done and the way to take it back.
async fn done(visitor: &Visitor, asked: &Filled) -> Shown {
    let mut page = screen(visitor, &Filled::default(), None).await?;
    let (tournament, now, memory) = (visitor.tournament(), visitor.now, visitor.desk.court_memory());
    if let Ok(Some(what)) = floor_asked::what_if(visitor, &floor_asked::as_done(asked)) {
        let read = visitor
            .desk
            .read(move |db| floor::floor(db, &tournament, now, &memory));
        page.shell.note = Some(floor_asked::note(visitor, &read.await?, &what));
    }
    visitor.page(StatusCode::OK, &page)
}

/// The floor as it is now, with why nothing was done.
async fn again(visitor: &Visitor, form: &Filled, error: DeskError) -> Shown {
    let stops = form.get("do") == "stop_courts";
    let (status, problem) = refused::on_page(error, |pointer| match pointer {
        "/until" if stops => "stop-until".to_owned(),
        "/until" => "hold-until".to_owned(),
        "/reason" if stops => "stop-reason".to_owned(),
        "/due" => "due".to_owned(),
        "/reason" => "hold-reason".to_owned(),
        _ => String::new(),
    })?;
    let mut page = screen(visitor, form, None).await?;
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}
