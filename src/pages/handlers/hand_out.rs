//! Hand Out: rackets leave against proof, and what left by mistake comes back.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, words};
use crate::api::auth::secrets;
use crate::desk::find::{self, Found};
use crate::desk::hand_out::{self, HandOut as Leaving, Proof};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{DeskResult, overview};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::hand_out::{FoundOwner, HandOut, Owner, OwnerRacket, RecentPickup, ShelfRow};

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/hand-out", web::get().to(show))
        .route("/hand-out", web::post().to(give_out))
        .route("/hand-out/undo", web::post().to(undo));
}

async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let mut page = screen(&visitor, asked.get("q")).await?;
    if let Some(player) = asked.some("player") {
        page.owner = Some(owner(&visitor, &player, &Filled::default()).await?);
    }
    visitor.page(StatusCode::OK, &page)
}

async fn screen(visitor: &Visitor, query: &str) -> Result<HandOut, Failure> {
    let (tournament, text, now) = (visitor.tournament(), query.to_owned(), visitor.now);
    let (hits, shelf, recent) = visitor
        .desk
        .read(move |db| {
            let hits = find::find(db, &tournament, &text)?;
            let shelf = overview::sheets_in(db, &tournament, &["ready"])?;
            Ok((hits, shelf, overview::recent_pickups(db, &tournament, now)?))
        })
        .await?;
    let pickup = |one: overview::RecentPickup| RecentPickup {
        words: format!("{} at {}", one.codes.join(", "), visitor.time(one.at)),
        pickup_id: one.id,
    };
    Ok(HandOut {
        shell: visitor.shell("Hand Out", "Hand Out", "jobs,rackets,pickups")?,
        query: query.to_owned(),
        found: (!query.is_empty()).then(|| found(hits)),
        owner: None,
        shelf: shelf.iter().map(|sheet| shelf_row(visitor, sheet)).collect(),
        recent: recent.into_iter().map(pickup).collect(),
        undo_reasons: chips(&["wrong racket", "wrong person", "not taken after all"]),
    })
}

fn chips(all: &[&str]) -> Vec<Choice> {
    all.iter().map(|one| Choice::new(*one, *one)).collect()
}

fn found(hits: Found) -> Vec<FoundOwner> {
    let by_tag = hits.job.map(|sheet| FoundOwner {
        name: sheet.player.display_name,
        detail: format!("tag {}", sheet.job.code),
        href: format!("/hand-out?player={}", sheet.player.id),
    });
    let by_name = hits.players.into_iter().map(|player| FoundOwner {
        href: format!("/hand-out?player={}", player.id),
        name: player.display_name,
        detail: String::new(),
    });
    by_tag.into_iter().chain(by_name).collect()
}

fn shelf_row(visitor: &Visitor, sheet: &JobSheet) -> ShelfRow {
    ShelfRow {
        slot: overview::slot_of(sheet).unwrap_or_else(|| "-".to_owned()),
        code: sheet.job.code.clone(),
        player: sheet.player.display_name.clone(),
        since: visitor.time(sheet.job.state_since.utc()),
        href: format!("/hand-out?player={}", sheet.player.id),
    }
}

async fn owner(visitor: &Visitor, player_id: &str, form: &Filled) -> Result<Owner, Failure> {
    let (tournament, asked) = (visitor.tournament(), player_id.to_owned());
    let (card, sheets) = visitor
        .desk
        .read(move |db| {
            let card = find::card(db, &tournament, &asked)?;
            Ok((card, overview::sheets_of_player(db, &tournament, &asked)?))
        })
        .await?;
    let here: Vec<&JobSheet> = sheets.iter().filter(|sheet| sheet.job.state != "out").collect();
    let ready = here.iter().filter(|sheet| sheet.job.state == "ready").count();
    let field = |name: &str, label: &str| {
        Field::new(name, label, Control::Text)
            .value(form.get(name))
            .optional()
    };
    let proofs = [
        ("ticket", "Ticket or phone page", "Scan its square."),
        ("badge", "Badge", "Scan it."),
        ("delegate", "A person the player named", ""),
        ("override", "None: two people decide", "Open the part below."),
    ];
    let proof = |(value, label, hint): (&str, &str, &str)| {
        Choice::new(value, label)
            .hint(hint)
            .chosen(form.get("proof") == value)
    };
    let delegates = card.record.delegates.iter();
    Ok(Owner {
        player_id: card.player.id.clone(),
        player: card.player.display_name.clone(),
        country: card.record.country.clone().unwrap_or_default(),
        summary: format!("{ready} of {} ready", here.len()),
        rackets: here.iter().map(|sheet| racket(visitor, sheet, form)).collect(),
        proofs: proofs.map(proof).into(),
        proof_value: field("proof_value", "What was scanned"),
        delegates: delegates
            .map(|name| Choice::new(name.clone(), name.clone()))
            .collect(),
        collector: field("collector", "Who takes them"),
        reason: field("reason", "Why without proof"),
        second_pin: Field::new("second_pin", "PIN of the second person", Control::Password).optional(),
        unpaid: String::new(),
        court: Field::new("court", "Court", Control::Text),
        runner: Field::new("runner", "Runner", Control::Text),
        give_back_reasons: chips(&["player asks", "frame damaged", "no time left"]),
    })
}

fn racket(visitor: &Visitor, sheet: &JobSheet, form: &Filled) -> OwnerRacket {
    let ready = sheet.job.state == "ready";
    OwnerRacket {
        job_id: sheet.job.id.clone(),
        code: sheet.job.code.clone(),
        racket: words::marks(&sheet.racket_record),
        slot: overview::slot_of(sheet).unwrap_or_default(),
        state: words::state_chip(sheet, visitor.now),
        ready,
        chosen: form.has("job_id", &sheet.job.id),
        // the forms of these two ways ask for no proof, which the desk insists on
        may_give_back: false,
        may_court_release: false,
    }
}

/// The proof that was chosen; the second person is known by a PIN, compared off the request's thread.
async fn proof(visitor: &Visitor, form: &Filled) -> Result<Proof, Failure> {
    let value = form.get("proof_value").to_owned();
    Ok(match form.get("proof") {
        "badge" => Proof::Badge { code: value },
        "delegate" => Proof::Delegate {
            name: form.get("delegate_id").to_owned(),
        },
        "override" => Proof::SecondPerson {
            reason: form.get("reason").to_owned(),
            account_id: second_person(visitor, form.get("second_pin")).await?,
        },
        _ => Proof::Ticket {
            token: value.rsplit('/').next().unwrap_or_default().to_owned(),
        },
    })
}

/// The other account whose PIN this is; empty where it is nobody's.
async fn second_person(visitor: &Visitor, pin: &str) -> Result<String, Failure> {
    let (tournament, own, pin) = (
        visitor.tournament(),
        visitor.caller.account_id.clone(),
        pin.to_owned(),
    );
    let all = visitor
        .desk
        .read(move |db| overview::all_accounts(db, &tournament))
        .await?;
    let compared = web::block(move || {
        all.into_iter()
            .filter(|one| one.active && one.pin_hash.is_some() && Some(&one.id) != own.as_ref())
            .find(|one| secrets::verify(&pin, one.pin_hash.as_deref()))
            .map(|one| one.id)
            .unwrap_or_default()
    });
    compared.await.map_err(|cause| Failure::ours(&cause))
}

async fn give_out(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let proof = proof(&visitor, &form).await?;
    let filled = form.clone();
    let done = visitor
        .once("/hand-out", &form, move |tx| {
            let job_ids: Vec<String> = filled.all("job_id").map(str::to_owned).collect();
            let mut tags = Vec::new();
            for id in &job_ids {
                // the tick "in my hand" stands for the tag that was compared
                tags.push(JobSheet::of(tx.db, tx.caller.tournament(), id)?.job.code);
            }
            let leaving = Leaving {
                job_ids,
                tags,
                proof,
                collector: filled.some("collector"),
            };
            Ok(hand_out::hand_out(tx, &leaving)?.id)
        })
        .await;
    went(&visitor, form.get("player_id"), &form, done).await
}

async fn went(visitor: &Visitor, player: &str, form: &Filled, done: DeskResult<String>) -> Shown {
    match done {
        Ok(_) => Ok(visitor.go_to("/hand-out")),
        Err(error) => {
            let (status, problem) = refused::on_page(error, field_of)?;
            let mut page = screen(visitor, "").await?;
            if !player.is_empty() {
                page.owner = Some(owner(visitor, player, form).await?);
            }
            page.shell.problem = Some(problem);
            visitor.page(status, &page)
        }
    }
}

fn field_of(pointer: &str) -> String {
    match pointer {
        "/proof/reason" => "reason".to_owned(),
        _ => String::new(),
    }
}

async fn undo(visitor: Visitor, form: web::Form<Filled>) -> Shown {
    let (pickup, reason) = (form.get("pickup_id").to_owned(), form.get("reason").to_owned());
    let done = visitor
        .once("/hand-out/undo", &form, move |tx| {
            Ok(hand_out::undo_hand_out(tx, &pickup, &reason)?.id)
        })
        .await;
    went(&visitor, "", &form, done).await
}
