//! What was just taken in: read back, its paper printed, and who will collect it.
use super::filled::Filled;
use super::refused::Failure;
use super::visit::Visitor;
use super::{delegates, hand_in, photos, words};
use crate::desk::overview;
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
            .map(|sheet| sheet.player.display_name.clone())
            .unwrap_or_default(),
        promise: promised.map_or_else(
            || "no station is open yet".to_owned(),
            |at| format!("likely ready by {}", visitor.time(at.utc())),
        ),
        jobs: sheets
            .iter()
            .map(|sheet| {
                let (mains, crosses) = words::spec_lines(&sheet.spec);
                TakenJob {
                    job_id: sheet.job.id.clone(),
                    code: sheet.job.code.clone(),
                    racket: words::racket(&sheet.racket_record),
                    read_back: format!("{mains} / {crosses}"),
                    ready_by: visitor.time(sheet.job.due_at.utc()),
                    photos: photos::of_job(visitor, &kept, sheet),
                }
            })
            .collect(),
    })
}
