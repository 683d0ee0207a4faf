//! What happens to the match that a player's racket is for, as far as their page tells of it.
use chrono_tz::Tz;

use super::refused::Failure;
use crate::desk::Desk;
use crate::desk::job_sheet::JobSheet;
use crate::desk::stopped_play::stopped_play;
use crate::pages::views::your_rackets::YourRackets;

/// Says on the page where play stands still that a match of theirs waits for, and what that does to each racket.
///
/// # Errors
/// A fault of ours.
pub(super) async fn note_stops(
    desk: &Desk,
    page: &mut YourRackets,
    (tournament, zone): (&str, Tz),
    sheets: Vec<JobSheet>,
) -> Result<(), Failure> {
    let (now, memory, tournament) = (desk.clock().desk(), desk.court_memory(), tournament.to_owned());
    let read = desk.read(move |db| stopped_play(db, &tournament, now, &sheets, &memory));
    let today = now.with_timezone(&zone).date_naive();
    for stop in read.await? {
        for racket in &mut page.rackets {
            let (Some(court), Some(stopped)) = (stop.not_begun.get(&racket.job_id), racket.state.stopped())
            else {
                continue;
            };
            racket.stopped = Some(stopped);
            let mut said = vec![page.say.say_with("play-stopped", &[("court", &court.label)])];
            // a time that has passed is no expectation any more
            if let Some(at) = court.expected.filter(|at| *at > now) {
                let time = page.say.time_on(zone, today, at);
                said.push(page.say.say_with("play-expected", &[("time", &time)]));
            }
            let said = page.say.sentences(&said);
            if !page.stops.contains(&said) {
                page.stops.push(said);
            }
        }
    }
    Ok(())
}
