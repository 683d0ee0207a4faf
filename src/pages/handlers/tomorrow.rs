//! Tomorrow: the next day of play, played before it comes.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};
use chrono::{DateTime, TimeDelta, Utc};

use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{Shown, publish_shifts, tomorrow_numbers};
use crate::craft::match_times::venue_time::DayTime;
use crate::craft::roles::Role;
use crate::desk::DeskResult;
use crate::desk::tomorrow::rehearsals::Progress;
use crate::desk::tomorrow::{self, Asked, LONGEST, MOST_STATIONS, MachineCheck, TomorrowFacts};
use crate::pages::parts::{Fault, Problem};
use crate::pages::views::tomorrow::{Answer, MachineLine, Stage, Tomorrow};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/tomorrow", web::get().to(show))
        .route("/tomorrow", web::post().to(publish_shifts::publish));
}

/// The end of the clock's day, in minutes.
const MIDNIGHT_MIN: u16 = 24 * 60;

/// What was asked, and what is wrong with it.
struct Wanted {
    asked: Asked,
    faults: Vec<Fault>,
}

fn wanted(query: &Filled) -> Wanted {
    let mut faults = Vec::new();
    let typed = query.some("opens");
    let opens: Option<DayTime> = typed.as_ref().and_then(|text| text.trim().parse().ok());
    // matches go on past midnight, a desk opens before it
    let opens = opens.filter(|time| time.minutes() < MIDNIGHT_MIN);
    if typed.is_some() && opens.is_none() {
        faults.push(Fault {
            field: "opens".to_owned(),
            words: "Write a time of the day as hh:mm, such as 07:30.".to_owned(),
        });
    }
    let stations = query.some("stations").map(|text| text.parse::<usize>());
    let stations = match stations {
        Some(Ok(count)) if (1..=MOST_STATIONS).contains(&count) => Some(count),
        Some(_) => {
            faults.push(Fault {
                field: String::new(),
                words: format!("Plan 1 to {MOST_STATIONS} stations."),
            });
            None
        }
        None => None,
    };
    Wanted {
        asked: Asked { stations, opens },
        faults,
    }
}

async fn show(visitor: Visitor, query: web::Query<Filled>) -> Shown {
    visitor.caller.must_be(&[Role::Coordinator])?;
    let wanted = wanted(&query);
    let facts = facts(&visitor, query.some("day"), wanted.asked).await?;
    let mut page = frame(&visitor, facts.as_ref())?;
    let status = if wanted.faults.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    if !wanted.faults.is_empty() {
        page.shell.problem = Some(Problem {
            faults: wanted.faults,
            reference: None,
        });
    }
    if let Some(facts) = facts {
        page.publish = Some(publish_shifts::panel(&visitor, &facts).await?).filter(|_| facts.has_stations);
        page.stage = stage(&visitor, &facts).await;
    }
    visitor.page(status, &page)
}

/// The day as it stands, with why nothing was published.
pub(super) async fn again(visitor: &Visitor, form: &Filled, status: StatusCode, problem: Problem) -> Shown {
    let wanted = wanted(form);
    let facts = facts(visitor, form.some("day"), wanted.asked).await?;
    let mut page = frame(visitor, facts.as_ref())?;
    if let Some(facts) = facts {
        page.publish = Some(publish_shifts::panel(visitor, &facts).await?).filter(|_| facts.has_stations);
        if let Some(panel) = &mut page.publish {
            publish_shifts::as_filled(panel, form);
        }
        page.stage = stage(visitor, &facts).await;
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

/// The facts of the day asked for, else of the next one.
async fn facts(visitor: &Visitor, day: Option<String>, asked: Asked) -> DeskResult<Option<TomorrowFacts>> {
    let (tournament, now, memory) = (visitor.tournament(), visitor.now, visitor.desk.court_memory());
    let read = visitor.desk.read(move |db| {
        let day = match day {
            Some(day) => Some(day),
            None => tomorrow::next_day(db, &tournament, now)?,
        };
        match day {
            Some(day) => tomorrow::facts(db, &tournament, &day, asked, now, &memory),
            None => Ok(None),
        }
    });
    read.await
}

fn frame(visitor: &Visitor, facts: Option<&TomorrowFacts>) -> Result<Tomorrow, Failure> {
    let stations = facts.map_or(1, |facts| facts.stations);
    let day = facts.map_or_else(String::new, |facts| facts.day.clone());
    let opens = facts.map_or_else(String::new, |facts| {
        tomorrow_numbers::clock(facts.expected.opens_s)
    });
    let with = |count: usize| format!("/tomorrow?day={day}&stations={count}&opens={opens}");
    let machines = facts.map_or(&[][..], |facts| &facts.machines);
    Ok(Tomorrow {
        shell: visitor.shell("Tomorrow", "Tomorrow", "")?,
        stations,
        fewer: (stations > 1).then(|| with(stations - 1)),
        more: (stations < MOST_STATIONS).then(|| with(stations + 1)),
        opens,
        stage: Stage::NoOrder,
        publish: None,
        machines: machines
            .iter()
            .map(|machine| machine_line(visitor, machine))
            .collect(),
        is_today: day == visitor.day_of(visitor.now),
        day,
    })
}

fn machine_line(visitor: &Visitor, machine: &MachineCheck) -> MachineLine {
    let cleared = machine.cleared_until.filter(|until| *until > visitor.now);
    MachineLine {
        name: machine.name.clone(),
        cleared: cleared.map_or_else(
            || "to be checked before its first racket".to_owned(),
            |until| format!("cleared until {}", visitor.time(until)),
        ),
        due: cleared.is_none(),
    }
}

async fn stage(visitor: &Visitor, facts: &TomorrowFacts) -> Stage {
    if !facts.has_stations {
        return Stage::NoStations;
    }
    let rehearsals = visitor.desk.rehearsals();
    match rehearsals.odds(&visitor.tournament(), facts).await {
        Progress::Played(odds) => Stage::Played(Box::new(tomorrow_numbers::answer(facts, &odds))),
        Progress::Earlier(odds) => Stage::Played(Box::new(Answer {
            changed_since: true,
            ..tomorrow_numbers::answer(facts, &odds)
        })),
        Progress::UnderWay => Stage::UnderWay(ready_by(visitor)),
        Progress::Busy => Stage::Busy,
        Progress::Failed => Stage::Failed,
    }
}

/// When the day is played at the latest, venue time; the desk clock may run faster than the server.
fn ready_by(visitor: &Visitor) -> String {
    #[expect(clippy::cast_possible_truncation, reason = "seconds times a clock's rate")]
    let ahead = (LONGEST.as_secs_f64() * visitor.desk.clock().rate()).round() as i64;
    let at: DateTime<Utc> = visitor.now + TimeDelta::seconds(ahead);
    at.with_timezone(&visitor.house.zone)
        .format("%H:%M:%S")
        .to_string()
}
