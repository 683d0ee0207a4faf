//! What was just taken in: read back, its paper printed, and who will collect it.
use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{change_wish, delegates, hand_in, photos, words};
use crate::desk::job_sheet::JobSheet;
use crate::desk::overview;
use crate::desk::reads::photos::Photo;
use crate::desk::register_player::KEEPERS;
use crate::pages::parts::Problem;
use crate::pages::views::hand_in::{HandIn, Taken, TakenJob};

/// The read-back again, with what is wrong with who collects.
///
/// # Errors
/// As [`taken`].
pub async fn again(visitor: &Visitor, form: &Filled, problem: Problem) -> Result<HandIn, Failure> {
    let mut page = hand_in::screen(visitor, "").await?;
    let mut taken = taken(visitor, form.get("taken"), form).await?;
    if let Some(delegates) = &mut taken.delegates {
        let own = problem
            .faults
            .iter()
            .find(|fault| fault.field == delegates.name.name);
        delegates.name.fault = own.map(|fault| fault.words.clone());
    }
    page.taken = Some(taken);
    page.shell.problem = Some(problem);
    Ok(page)
}

/// The drop-off of this job, read back; `form` is what was typed about who collects.
///
/// # Errors
/// A page of its own where the job is not there.
pub async fn taken(visitor: &Visitor, job_id: &str, form: &Filled) -> Result<Taken, Failure> {
    let (tournament, id) = (visitor.tournament(), job_id.to_owned());
    let sheets = visitor
        .desk
        .read(move |db| overview::drop_off_of(db, &tournament, &id))
        .await?;
    let ids = sheets.iter().map(|sheet| sheet.racket.id.clone()).collect();
    let kept = photos::of_rackets(visitor, ids).await?;
    let promised = sheets.iter().filter_map(|sheet| sheet.job.promised_at).max();
    let first = sheets.first();
    let keeps = first.filter(|_| visitor.caller.must_be(&KEEPERS).is_ok());
    Ok(Taken {
        job_id: job_id.to_owned(),
        player_id: first.map(|sheet| sheet.player.id.clone()).unwrap_or_default(),
        delegates: keeps.map(|sheet| {
            let (typed, often) = (form.get("delegate_name"), form.get("delegate_often"));
            delegates::part(&sheet.player_record, typed, often)
        }),
        player: first
            .map(|sheet| words::in_both_scripts(&sheet.player))
            .unwrap_or_default(),
        late: sheets.iter().any(is_late),
        collect_at: visitor.house.collect_at.clone().unwrap_or_default(),
        promise: promised.map_or_else(
            || "no station is open yet".to_owned(),
            |at| {
                let zone = visitor.house.zone;
                let today = visitor.now.with_timezone(&zone).date_naive();
                format!("likely ready by {}", words::time_on(zone, today, at.utc()))
            },
        ),
        jobs: sheets.iter().map(|sheet| job(visitor, sheet, &kept)).collect(),
    })
}

/// Whether it is likely ready only after the time it was asked for.
fn is_late(sheet: &JobSheet) -> bool {
    let promised = sheet.job.promised_at.map(|at| at.utc());
    // to the minute, as both are read
    let minute = |at: chrono::DateTime<chrono::Utc>| at.timestamp() / 60;
    promised.is_some_and(|at| minute(at) > minute(sheet.job.due_at.utc()))
}

fn job(visitor: &Visitor, sheet: &JobSheet, kept: &[Photo]) -> TakenJob {
    let (mains, crosses) = words::spec_lines(&sheet.spec);
    let places = sheet
        .record
        .damage
        .iter()
        .map(|mark| words::photographed(Some(mark.place.as_str())));
    let zone = visitor.house.zone;
    let today = visitor.now.with_timezone(&zone).date_naive();
    let time = |at| words::time_on(zone, today, at);
    TakenJob {
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        racket: words::racket(&sheet.racket_record),
        read_back: format!("{mains} / {crosses}"),
        ready_by: time(sheet.job.due_at.utc()),
        likely: sheet
            .job
            .promised_at
            .map_or_else(String::new, |at| time(at.utc())),
        late: is_late(sheet),
        damage: places.collect::<Vec<_>>().join(", "),
        change_href: change_wish::address(visitor, sheet),
        photos: photos::of_job(visitor, kept, sheet),
    }
}
