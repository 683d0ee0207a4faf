//! The start of the job that a station has taken: its tag and its strings are scanned.
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::visit::Visitor;
use super::{Shown, next_up, photos, refused, words};
use crate::desk::bench_sheet::in_batch;
use crate::desk::job_sheet::JobSheet;
use crate::desk::start_job::{StartJob, start_job};
use crate::desk::{DeskError, DeskResult, Reason, find};
use crate::pages::views::next_up::{Scanned, Told};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config.route("/jobs/{id}/do/start", web::post().to(start));
}

/// The station a job has, for the page to come back to.
async fn station_of(visitor: &Visitor, id: &str) -> DeskResult<String> {
    let (tournament, id) = (visitor.tournament(), id.to_owned());
    let sheet = visitor
        .desk
        .read(move |db| JobSheet::of(db, &tournament, &id))
        .await?;
    Ok(sheet.job.station_id.unwrap_or_default())
}

async fn start(visitor: Visitor, id: web::Path<String>, form: web::Form<Filled>) -> Shown {
    let station = station_of(&visitor, &id).await?;
    let by_name = form.get("strings_by_name") == "yes";
    let (job, filled) = (id.clone(), form.clone());
    let done = visitor
        .once(&format!("/jobs/{id}/do/start"), &form, move |tx| {
            let sheet = JobSheet::of(tx.db, tx.caller.tournament(), &job)?;
            let by_name = by_name || in_batch(tx.db, tx.caller.tournament(), &sheet)?.strings_scanned;
            // the tick, or the racket before, says that both names were read
            let read = |part: &crate::craft::spec::StringSpec| {
                by_name.then(|| {
                    let id = part.string.string_id.as_ref().map(|id| id.as_str().to_owned());
                    id.or_else(|| part.string.name.clone()).unwrap_or_default()
                })
            };
            let start = StartJob {
                station_id: sheet.job.station_id.clone(),
                tag: filled.get("tag_code").to_owned(),
                mains: filled.some("mains_scan").or_else(|| read(&sheet.spec.mains)),
                crosses: filled.some("crosses_scan").or_else(|| read(&sheet.spec.crosses)),
            };
            Ok(start_job(tx, &job, &start)?.job.id)
        })
        .await;
    match done {
        Ok(job) => Ok(visitor.go_to(&format!("/plan/{job}"))),
        Err(error) => {
            let wrong_tag = matches!(
                &error,
                DeskError::Rule {
                    reason: Reason::WrongTag,
                    ..
                }
            );
            let both = match wrong_tag {
                true => mixed_up(&visitor, &id, form.get("tag_code")).await?,
                false => Vec::new(),
            };
            start_again(&visitor, &station, &form, both, error).await
        }
    }
}

/// The racket that was meant and the one that was scanned; none where that tag is nobody's.
async fn mixed_up(visitor: &Visitor, wanted: &str, scanned: &str) -> DeskResult<Vec<Told>> {
    let (tournament, wanted, scanned) = (visitor.tournament(), wanted.to_owned(), scanned.to_owned());
    let read = visitor.desk.read(move |db| {
        let wanted = JobSheet::of(db, &tournament, &wanted)?;
        Ok((wanted, find::find(db, &tournament, &scanned)?.job))
    });
    let (wanted, Some(scanned)) = read.await? else {
        return Ok(Vec::new());
    };
    let ids = vec![wanted.racket.id.clone(), scanned.racket.id.clone()];
    let kept = photos::of_rackets(visitor, ids).await?;
    let told = |which: &str, sheet: &JobSheet| Told {
        which: which.to_owned(),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        marks: words::marks(&sheet.racket_record),
        photos: photos::of_job(visitor, &kept, sheet),
    };
    Ok(vec![
        told("This job's racket", &wanted),
        told("The tag that was scanned", &scanned),
    ])
}

/// The field that a refused start is about.
fn wrong_field(error: &DeskError, form: &Filled) -> &'static str {
    let reason = match error {
        DeskError::Invalid(_) => return "tag_code",
        DeskError::Rule { reason, detail, .. } => (*reason, detail.contains("for the crosses")),
        _ => return "",
    };
    match reason {
        (Reason::WrongTag, _) => "tag_code",
        (Reason::EvidenceMissing, _) if form.get("tag_code").is_empty() => "tag_code",
        (Reason::WrongString | Reason::EvidenceMissing, true) => "crosses_scan",
        (Reason::WrongString | Reason::EvidenceMissing, false) => "mains_scan",
        _ => "",
    }
}

/// The page of a start that was refused, with what was scanned.
async fn start_again(
    visitor: &Visitor,
    station: &str,
    form: &Filled,
    both: Vec<Told>,
    error: DeskError,
) -> Shown {
    let wrong = wrong_field(&error, form);
    let (status, mut problem) = refused::on_page(error, |_pointer| wrong.to_owned())?;
    for fault in &mut problem.faults {
        wrong.clone_into(&mut fault.field);
    }
    let mut page = next_up::screen(visitor, station).await?;
    page.shell.problem = Some(problem);
    page.mixed_up = both;
    page.scanned = Scanned {
        tag: form.get("tag_code").to_owned(),
        mains: form.get("mains_scan").to_owned(),
        crosses: form.get("crosses_scan").to_owned(),
        by_name: form.get("strings_by_name") == "yes",
        wrong: wrong.to_owned(),
    };
    visitor.page(status, &page)
}
