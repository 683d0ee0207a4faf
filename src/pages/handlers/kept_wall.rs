//! One look at the wall serves everybody who looks in the same moment.
//!
//! Every screen of a wall loads anew when the log grows, and two hundred of them may hang on one desk.
//! A wall depends on the log and on the time in whole seconds: while neither moves on, the same bytes
//! are sent again. Each worker of the server keeps its own.
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use actix_web::body::MessageBody;
use actix_web::http::{StatusCode, header};
use actix_web::web::{self, Bytes, Data, Query, ServiceConfig};
use actix_web::{FromRequest, HttpRequest, HttpResponse};

use super::filled::Filled;
use super::visit::{self, Onlooker};
use super::{Shown, wall};
use crate::access::caller;
use crate::desk::Desk;

/// Another instance's writes are heard of a little later: nothing is kept longer than this.
const LONGEST: Duration = Duration::from_secs(1);
/// More different looks than this at the same moment are not kept.
const LOOKS: usize = 256;

/// The routes of this file.
pub(super) fn routes(config: &mut ServiceConfig) {
    config
        .app_data(Data::new(KeptWalls::default()))
        .route("/wall", web::get().to(show));
}

/// The walls of this moment.
#[derive(Default)]
struct KeptWalls(Mutex<HashMap<Look, (Moment, Bytes)>>);

/// Who looks, and at what.
#[derive(Clone, PartialEq, Eq, Hash)]
struct Look {
    tournament: String,
    /// The account or the screen: the frame of the page names it.
    subject: String,
    address: String,
}

/// What a wall depends on.
#[derive(Clone, Copy)]
struct Moment {
    sequence: i64,
    desk_s: i64,
    since: Instant,
}

impl Moment {
    /// `None` while this process does not know the log's number.
    fn of(desk: &Desk, tournament: &str) -> Option<Self> {
        Some(Self {
            sequence: desk.newest(tournament)?,
            desk_s: desk.clock().desk().timestamp(),
            since: Instant::now(),
        })
    }

    fn lasts_until(self, later: Self) -> bool {
        self.sequence == later.sequence
            && self.desk_s == later.desk_s
            && later.since.duration_since(self.since) < LONGEST
    }
}

impl KeptWalls {
    fn find(&self, look: &Look, now: Moment) -> Option<Bytes> {
        let kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (moment, bytes) = kept.get(look)?;
        moment.lasts_until(now).then(|| bytes.clone())
    }

    fn keep(&self, look: Look, moment: Moment, bytes: Bytes) {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= LOOKS {
            kept.clear();
        }
        kept.insert(look, (moment, bytes));
    }
}

async fn show(request: HttpRequest, walls: Data<KeptWalls>) -> Shown {
    let desk = visit::desk_of(&request)?;
    // who has no valid token is renewed or sent to sign in, and what they get is nobody else's
    let Some(look) = look_of(&request) else {
        return fresh(&request).await;
    };
    // the moment before the reading: what is written meanwhile makes the next look a new one
    let Some(moment) = Moment::of(&desk, &look.tournament) else {
        let shown = fresh(&request).await;
        desk.learn_newest(&look.tournament).await?;
        return shown;
    };
    if let Some(bytes) = walls.find(&look, moment) {
        return Ok(visit::html(&desk, StatusCode::OK, bytes));
    }
    let shown = fresh(&request).await?;
    if shown.status() != StatusCode::OK || shown.headers().contains_key(header::SET_COOKIE) {
        return Ok(shown);
    }
    let (head, body) = shown.into_parts();
    match body.try_into_bytes() {
        Ok(bytes) => {
            walls.keep(look, moment, bytes.clone());
            Ok(head.set_body(bytes).map_into_boxed_body())
        }
        Err(body) => Ok(head.set_body(body)),
    }
}

async fn fresh(request: &HttpRequest) -> Result<HttpResponse, super::refused::Failure> {
    let onlooker = Onlooker::extract(request).await?;
    let asked = Query::<Filled>::extract(request)
        .await
        .map_err(|_unreadable| super::refused::Failure::no_such_page())?;
    wall::wall(onlooker, asked).await
}

fn look_of(request: &HttpRequest) -> Option<Look> {
    let caller = caller::identify(request).ok()?;
    Some(Look {
        tournament: caller.tid.clone(),
        subject: format!(
            "{}/{}/{}",
            caller.role,
            caller.sub,
            caller.did.as_deref().unwrap_or("")
        ),
        address: request.uri().to_string(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(sequence: i64, desk_s: i64, since: Instant) -> Moment {
        Moment {
            sequence,
            desk_s,
            since,
        }
    }

    #[test]
    fn a_wall_is_kept_until_the_log_or_the_second_moves_on() {
        let began = Instant::now();
        let look = Look {
            tournament: "t".into(),
            subject: "desk/a/".into(),
            address: "/wall?for=room".into(),
        };
        let walls = KeptWalls::default();
        walls.keep(look.clone(), moment(7, 100, began), Bytes::from_static(b"wall"));
        assert!(walls.find(&look, moment(7, 100, began)).is_some());
        assert!(
            walls.find(&look, moment(8, 100, began)).is_none(),
            "something was written"
        );
        assert!(
            walls.find(&look, moment(7, 101, began)).is_none(),
            "the minutes count down"
        );
        assert!(
            walls.find(&look, moment(7, 100, began + LONGEST)).is_none(),
            "a clock that stands still keeps nothing for ever"
        );
        let other = Look {
            subject: "desk/b/".into(),
            ..look
        };
        assert!(
            walls.find(&other, moment(7, 100, began)).is_none(),
            "each has their own frame"
        );
    }
}
