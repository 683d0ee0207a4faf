//! A day of play before it comes: what it will bring, how many stations it takes, who works.
pub mod shifts;

use actix_web::http::StatusCode;
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, get};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use utoipa_actix_web::service_config::ServiceConfig;

use super::court_times::day;
use super::door;
use super::problem::{Code, Fault, Place, Problem, Said};
use super::request::query;
use crate::craft::match_times::venue_time::{DayTime, at_minute};
use crate::craft::rehearse::{Count, HalfHour};
use crate::craft::roles::Role;
use crate::desk::tomorrow::rehearsals::Progress;
use crate::desk::tomorrow::{self, Asked, MOST_STATIONS, Odds, TomorrowFacts};
use crate::desk::{Caller, Desk, DeskError, Thing};

const PLANNERS: [Role; 1] = [Role::Coordinator];
/// So often an answer that is under way is looked for; each look waits most of a second.
const LOOKS: usize = 12;
/// A look that finds an earlier answer counts for so many: who has one need not wait long for a newer one.
const EARLIER_COUNTS: usize = 4;
/// Whoever was told that it is under way asks again after so long.
const AGAIN_S: u64 = 3;

/// Every route of this resource.
pub fn routes(config: &mut ServiceConfig<'_>) {
    config
        .service(forecast)
        .service(staffing)
        .service(shifts::shifts)
        .service(shifts::publish);
}

/// What the day is played with.
#[derive(Debug, Default, Deserialize, utoipa::IntoParams)]
#[serde(default, deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct DayQuery {
    /// How many stations are planned, 1 to 60; those with a published shift when absent, else those there are.
    pub stations: Option<u16>,
    /// When the desk opens, venue time, `hh:mm`; before the first match by custom when absent.
    #[param(example = "07:30")]
    pub opens: Option<String>,
}

impl DayQuery {
    fn asked(&self) -> Result<Asked, Problem> {
        let wrong = |name: &str, said: Said| {
            let place = Place::Query(name.to_owned());
            Problem::new(Code::InvalidParameter).fault(Fault::at(place, "out_of_range", said))
        };
        let stations = self.stations.map(usize::from);
        if stations.is_some_and(|count| !(1..=MOST_STATIONS).contains(&count)) {
            return Err(wrong(
                "stations",
                Said::new(
                    format!("Plan 1 to {MOST_STATIONS} stations."),
                    format!("Prévoyez 1 à {MOST_STATIONS} postes."),
                ),
            ));
        }
        let opens = self.opens.as_deref().map(str::parse::<DayTime>).transpose();
        let opens = opens.map_err(|_not_a_time| {
            let said = Said::new(
                "Write the time as hh:mm, such as 07:30.",
                "Écrivez l’heure sous la forme hh:mm, comme 07:30.",
            );
            wrong("opens", said)
        })?;
        Ok(Asked { stations, opens })
    }
}

/// How many, over repetitions of the day: never one number.
#[derive(Debug, Serialize, ToSchema)]
pub struct Band {
    /// One day in ten has at most so many.
    pub p10: usize,
    /// Half of the days have at most so many.
    pub p50: usize,
    /// Nine days in ten have at most so many.
    pub p90: usize,
    /// The mean.
    pub mean: f64,
}

impl Band {
    fn of(count: &Count) -> Self {
        Self {
            p10: count.low,
            p50: count.middle,
            p90: count.high,
            mean: thousandths(count.mean),
        }
    }
}

fn thousandths(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

/// One half hour of a forecast.
#[derive(Debug, Serialize, ToSchema)]
pub struct ForecastHalfHour {
    /// When it begins.
    pub from_at: DateTime<Utc>,
    /// Rackets that come in.
    pub coming: Band,
    /// Rackets that are due.
    pub due: Band,
}

/// One string against what the day asks of it.
#[derive(Debug, Serialize, ToSchema)]
pub struct StringCover {
    /// The string.
    pub string_id: String,
    /// Its name.
    pub name: String,
    /// What the day asks, mm.
    pub asked_mm: Band,
    /// What is left here that belongs to no player, mm.
    pub left_mm: i64,
    /// What is missing where the day asks as much as nine days in ten stay within, mm; 0 where it lasts.
    pub short_mm: i64,
}

/// What a day will bring.
#[derive(Debug, Serialize, ToSchema)]
pub struct ForecastView {
    /// The day.
    #[schema(value_type = String, format = Date)]
    pub day: NaiveDate,
    /// Whether nothing has changed since; else the day is being played again.
    pub current: bool,
    /// Repetitions of the day that were played.
    pub repetitions: usize,
    /// Matches of its order of play.
    pub matches: usize,
    /// Rackets of the whole day.
    pub rackets: Band,
    /// The day by half hours.
    pub half_hours: Vec<ForecastHalfHour>,
    /// Every string that the day asks for or that is in stock.
    pub strings: Vec<StringCover>,
    /// Rackets whose string nobody can tell yet.
    pub of_unknown_string: Band,
}

/// A share of rackets, with what chance makes of it.
#[derive(Debug, Serialize, ToSchema)]
pub struct PercentView {
    /// The mean over repetitions.
    pub mean: f64,
    /// Half of its 95 % interval.
    pub half_width: f64,
}

/// The odds with one number of stations.
#[derive(Debug, Serialize, ToSchema)]
pub struct StaffedView {
    /// How many.
    pub stations: usize,
    /// Rackets ready when due, per cent; with more stations never less, since one may stay unused.
    pub ready_percent: PercentView,
    /// Rackets late in the day, the mean.
    pub late: f64,
    /// The half hour whose rackets are late most often; nothing where none is.
    pub worst_from_at: Option<DateTime<Utc>>,
    /// Of the rackets due in it, late, per cent.
    pub worst_late_percent: f64,
    /// By Erlang's formula C, the chance that a racket waits on a steady day: a cross-check only.
    pub chance_of_waiting: f64,
}

/// How many stations a day takes.
#[derive(Debug, Serialize, ToSchema)]
pub struct StaffingView {
    /// The day.
    #[schema(value_type = String, format = Date)]
    pub day: NaiveDate,
    /// Whether nothing has changed since; else the day is being played again.
    pub current: bool,
    /// Repetitions of the day that were played.
    pub repetitions: usize,
    /// The stations that are planned.
    pub planned: usize,
    /// From two fewer than planned to two more.
    pub stations: Vec<StaffedView>,
    /// Fewer stations cannot do the work between releases and due times.
    pub necessary_stations: f64,
    /// The load of a steady day, erlang.
    pub load_erlang: f64,
}

/// A day that was played.
struct Played {
    facts: TomorrowFacts,
    odds: std::sync::Arc<Odds>,
    /// Whether it was played with these facts; else with earlier ones.
    current: bool,
}

/// Facts and odds of a day.
async fn played(desk: &Desk, caller: &Caller, day: NaiveDate, asked: Asked) -> Result<Played, Problem> {
    let (tournament, now, memory) = (
        caller.tournament().to_owned(),
        desk.clock().desk(),
        desk.court_memory(),
    );
    let whose = tournament.clone();
    let read = desk.read(move |db| {
        let facts = tomorrow::facts(db, &whose, &day.to_string(), asked, now, &memory)?;
        facts.ok_or(DeskError::NotFound(Thing::OrderOfPlay))
    });
    let facts = read.await?;
    if !facts.has_stations {
        return Err(Problem::new(Code::RuleRefused).detail(
            "The day is played with the desk's stations, and there is none: add machines and stations first.",
            "Le jour est joué avec les postes de l’atelier, et il n’y en a pas : ajoutez d’abord machines et postes.",
        ));
    }
    let (mut looks, mut earlier) = (0, None);
    while looks < LOOKS {
        match desk.rehearsals().odds(&tournament, &facts).await {
            Progress::Played(odds) => {
                return Ok(Played {
                    facts,
                    odds,
                    current: true,
                });
            }
            Progress::UnderWay => looks += 1,
            // while play goes on, its facts change faster than the day can be played
            Progress::Earlier(odds) => {
                earlier = Some(odds);
                looks += EARLIER_COUNTS;
            }
            Progress::Busy => break,
            Progress::Failed => return Err(Problem::new(Code::InternalFault)),
        }
    }
    if let Some(odds) = earlier {
        return Ok(Played {
            facts,
            odds,
            current: false,
        });
    }
    Err(Problem::new(Code::Unavailable)
        .detail(
            "The day is being played; ask again in a few seconds.",
            "Le jour est en train d’être joué ; redemandez dans quelques secondes.",
        )
        .retry_after_s(AGAIN_S))
}

/// The instant of a second of the day.
fn at(facts: &TomorrowFacts, second: i64) -> DateTime<Utc> {
    at_minute(facts.midnight) + TimeDelta::seconds(second)
}

/// What a day will bring: rackets by half hours and string, as bands from many repetitions of the day.
#[utoipa::path(
    tag = "schedule",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), DayQuery),
    responses((status = 200, description = "The forecast.", body = ForecastView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/forecast/{date}")]
pub(crate) async fn forecast(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&PLANNERS)?;
    let day = day(&date)?;
    let query: DayQuery = query::read(&request)?;
    let Played { facts, odds, current } = played(&desk, &caller, day, query.asked()?).await?;
    let half_hour = |one: &HalfHour| ForecastHalfHour {
        from_at: at(&facts, one.from_s),
        coming: Band::of(&one.coming),
        due: Band::of(&one.due),
    };
    let strings = facts.strings.iter().zip(&odds.asked_mm);
    let view = ForecastView {
        day,
        current,
        repetitions: odds.staffing.repetitions,
        matches: facts.matches,
        rackets: Band::of(&odds.rackets),
        half_hours: odds.staffing.half_hours.iter().map(half_hour).collect(),
        strings: strings
            .map(|(string, asked)| StringCover {
                string_id: string.id.clone(),
                name: string.name.clone(),
                asked_mm: Band::of(asked),
                left_mm: string.left_mm,
                short_mm: string.short_mm(asked),
            })
            .collect(),
        of_unknown_string: Band::of(&odds.of_unknown_string),
    };
    Ok(HttpResponse::build(StatusCode::OK).json(view))
}

/// How many stations a day takes: the odds with two fewer to two more than planned.
#[utoipa::path(
    tag = "schedule",
    params(("date" = String, Path, description = "The day of play, `YYYY-MM-DD`.", example = "2026-05-02"), DayQuery),
    responses((status = 200, description = "The odds.", body = StaffingView)),
    security(("bearer" = []), ("session" = []))
)]
#[get("/v1/staffing/{date}")]
pub(crate) async fn staffing(
    request: HttpRequest,
    desk: Data<Desk>,
    date: Path<String>,
) -> Result<HttpResponse, Problem> {
    let caller = door::caller(&request)?;
    caller.must_be(&PLANNERS)?;
    let day = day(&date)?;
    let query: DayQuery = query::read(&request)?;
    let Played { facts, odds, current } = played(&desk, &caller, day, query.asked()?).await?;
    let found = &odds.staffing;
    let stations = found.staffed.iter().map(|one| StaffedView {
        stations: one.stations,
        ready_percent: PercentView {
            mean: thousandths(one.ready_percent.mean),
            half_width: thousandths(one.ready_percent.half_width),
        },
        late: thousandths(one.late.mean),
        worst_from_at: one.worst.map(|worst| at(&facts, worst.from_s)),
        worst_late_percent: thousandths(one.worst.map_or(0.0, |worst| worst.late_percent)),
        chance_of_waiting: thousandths(one.chance_of_waiting),
    });
    let view = StaffingView {
        day,
        current,
        repetitions: found.repetitions,
        planned: found.planned,
        stations: stations.collect(),
        necessary_stations: thousandths(found.necessary),
        load_erlang: thousandths(found.load_erlang),
    };
    Ok(HttpResponse::build(StatusCode::OK).json(view))
}
