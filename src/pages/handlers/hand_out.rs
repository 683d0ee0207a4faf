//! Hand Out: rackets leave against proof, and what left by mistake comes back.
use actix_web::HttpRequest;
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::hand_out_card::owner;
use super::refused::{self, Failure};
use super::visit::Visitor;
use super::{Shown, delegates, door, hand_out_scan, words};
use crate::access::tries::TryLimiter;
use crate::access::{Access, secrets};
use crate::desk::find::Found;
use crate::desk::hand_out::{self, HandOut as Leaving, Proof};
use crate::desk::job_sheet::JobSheet;
use crate::desk::{DeskError, DeskResult, Reason, Tx, gone_out, overview};
use crate::pages::parts::{Choice, Fault, Problem};
use crate::pages::views::hand_out::{FoundOwner, HandOut, RecentPickup, ShelfRow};

/// Of a PIN that nobody else here has.
const NOBODYS_PIN: &str =
    "This is no other person's PIN. The second person types the PIN of an account of their own.";

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/hand-out", web::get().to(show))
        .route("/hand-out", web::post().to(give_out))
        .route("/hand-out/undo", web::post().to(undo))
        .route("/hand-out/undo", web::get().to(list));
}

/// What is scanned one after the other: the proof, then the tag of each racket.
async fn show(visitor: Visitor, asked: web::Query<Filled>) -> Shown {
    let mut form = Filled::default();
    for job in asked.all("hand") {
        form.put("job_id", job);
    }
    for name in ["proof", "proof_value", "collector", "reason"] {
        form.put(name, asked.get(name));
    }
    let query = asked.get("q");
    let scan = hand_out_scan::scan(&visitor, query, asked.some("player")).await?;
    let means = scan.means(&visitor, &mut form, asked.some("player"), query);
    let listed = if means.lists { query } else { "" };
    let mut page = screen(&visitor, listed, scan.hits).await?;
    let mut remark = means.remark;
    if let Some(player) = means.player {
        let card = owner(&visitor, &player, &form).await?;
        remark = remark.or_else(|| hand_out_scan::stays(&card));
        page.owner = Some(card);
    }
    page.shell.problem = remark.map(|words| Problem {
        faults: vec![Fault {
            field: "q".to_owned(),
            words,
        }],
        reference: None,
    });
    visitor.page(StatusCode::OK, &page)
}

async fn screen(visitor: &Visitor, query: &str, hits: Found) -> Result<HandOut, Failure> {
    let (tournament, now) = (visitor.tournament(), visitor.now);
    let (shelf, recent) = visitor
        .desk
        .read(move |db| {
            let shelf = overview::sheets_in(db, &tournament, &["ready"])?;
            Ok((shelf, gone_out::recent_pickups(db, &tournament, now)?))
        })
        .await?;
    let pickup = |one: gone_out::RecentPickup| RecentPickup {
        codes: one.codes.join(", "),
        words: how_it_went(visitor, &one),
        again_href: one.racket_to_take_in.as_ref().map_or_else(String::new, |racket| {
            format!("/hand-in?player={}&racket={racket}&mode=same", one.player_id)
        }),
        player: one.player,
        pickup_id: one.id.unwrap_or_default(),
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

/// "given back as it is, to Coach Example at 14:02".
fn how_it_went(visitor: &Visitor, one: &gone_out::RecentPickup) -> String {
    let how = match one.how.as_deref() {
        Some("give_back") => "given back as it is, ",
        Some("court_release") => "released to the court without the check, ",
        Some("return") => "its job was cancelled, ",
        _ => "",
    };
    let to = one.collector.iter().map(|to| format!("to {to} "));
    format!("{how}{}at {}", to.collect::<String>(), visitor.time(one.at))
}

/// What was refused stays at its own address; whoever loads that again reads the screen.
async fn list(visitor: Visitor) -> Shown {
    Ok(visitor.go_to("/hand-out"))
}

fn chips(all: &[&str]) -> Vec<Choice> {
    all.iter().map(|one| Choice::new(*one, *one)).collect()
}

fn found(hits: Found) -> Vec<FoundOwner> {
    let by_tag = hits.job.map(|sheet| FoundOwner {
        name: words::in_both_scripts(&sheet.player),
        detail: format!("tag {}", sheet.job.code),
        href: format!("/hand-out?player={}", sheet.player.id),
    });
    let by_name = hits.players.into_iter().map(|player| FoundOwner {
        href: format!("/hand-out?player={}", player.id),
        name: words::in_both_scripts(&player),
        detail: String::new(),
    });
    let by_number = hits.numbered.into_iter().map(|sheet| FoundOwner {
        detail: format!("{}, tag {}", words::racket(&sheet.racket_record), sheet.job.code),
        href: format!("/hand-out?player={}&hand={}", sheet.player.id, sheet.job.id),
        name: words::in_both_scripts(&sheet.player),
    });
    by_tag.into_iter().chain(by_number).chain(by_name).collect()
}

fn shelf_row(visitor: &Visitor, sheet: &JobSheet) -> ShelfRow {
    ShelfRow {
        slot: overview::slot_of(sheet).unwrap_or_else(|| "-".to_owned()),
        code: sheet.job.code.clone(),
        player: words::with_latin(&sheet.player_record, &sheet.player.display_name),
        since: visitor.time(sheet.job.state_since.utc()),
        href: format!("/hand-out?player={}", sheet.player.id),
    }
}

/// The proof that was chosen; the second person is known by a PIN, compared off the request's thread.
async fn proof(visitor: &Visitor, access: &Access, form: &Filled) -> Result<Proof, Failure> {
    let value = form.get("proof_value").to_owned();
    let chosen = form.get("proof");
    if let Some(name) = chosen.strip_prefix("delegate:") {
        return Ok(Proof::Delegate {
            name: name.to_owned(),
        });
    }
    Ok(match chosen {
        "badge" => Proof::Badge { code: value },
        "phone_code" => {
            take_try(&access.tries.pickup_code, visitor)?;
            Proof::PhoneCode { code: value }
        }
        "override" => {
            take_try(&access.tries.pin, visitor)?;
            Proof::SecondPerson {
                reason: form.get("reason").to_owned(),
                account_id: second_person(visitor, form.get("second_pin")).await?,
            }
        }
        _ => Proof::Ticket {
            token: value.rsplit('/').next().unwrap_or_default().to_owned(),
        },
    })
}

/// Codes and PINs of others may not be tried without end from one session.
fn take_try(limiter: &TryLimiter, visitor: &Visitor) -> Result<(), Failure> {
    let wall = visitor.desk.clock().wall();
    limiter.take(visitor.session_id(), wall).map_err(|refused| {
        let words = format!("Too many wrong codes from here: {refused}.");
        Failure::new(StatusCode::TOO_MANY_REQUESTS, "Wait a moment", &words)
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

async fn give_out(request: HttpRequest, visitor: Visitor, form: web::Form<Filled>) -> Shown {
    if let Some(asked) = delegates::asked(&form) {
        let (player, meant) = (form.get("player_id").to_owned(), asked.clone());
        let done = visitor
            .once("/hand-out", &form, move |tx| delegates::act(tx, &player, &meant))
            .await;
        return match done {
            Ok(_) => Ok(visitor.go_to(&delegates::hand_out_again(&form, &asked))),
            Err(error) => went(&visitor, form.get("player_id"), &form, Err(error)).await,
        };
    }
    let access = door::access_of(&request)?;
    let proof = proof(&visitor, access, &form).await?;
    let filled = form.clone();
    let done = visitor
        .once("/hand-out", &form, move |tx| leave(tx, &filled, proof))
        .await;
    if done.is_ok() {
        access.tries.pickup_code.clear(visitor.session_id());
        access.tries.pin.clear(visitor.session_id());
    }
    went(&visitor, form.get("player_id"), &form, done).await
}

/// Every ticked racket leaves in the chosen way, all or none.
fn leave(tx: &mut Tx<'_>, form: &Filled, proof: Proof) -> DeskResult<String> {
    let job_ids: Vec<String> = form.all("job_id").map(str::to_owned).collect();
    if job_ids.is_empty() {
        let words = "Tick the rackets in your hand, or scan their tags.";
        return Err(DeskError::member("/job_ids", "missing_member", words));
    }
    let mut tags = Vec::new();
    for id in &job_ids {
        // the tick "in my hand" stands for the tag that was compared
        tags.push(JobSheet::of(tx.db, tx.caller.tournament(), id)?.job.code);
    }
    let leaving = Leaving {
        job_ids,
        tags,
        proof,
        collector: form.some("collector"),
    };
    let without_pickup = match form.get("how") {
        "give_back" => hand_out::give_back,
        "court_release" => hand_out::court_release,
        "return" => hand_out::return_racket,
        _ => return Ok(hand_out::hand_out(tx, &leaving)?.id),
    };
    without_pickup(tx, &leaving)?;
    Ok(String::new())
}

async fn went(visitor: &Visitor, player: &str, form: &Filled, done: DeskResult<String>) -> Shown {
    let error = match done {
        Ok(_) => return Ok(visitor.go_to("/hand-out")),
        Err(error) => error,
    };
    let unproved = matches!(
        &error,
        DeskError::Rule {
            reason: Reason::ProofRefused,
            ..
        }
    );
    let gone = match &error {
        DeskError::StateForbids { .. } => hand_out_scan::gone_meanwhile(visitor, form).await?,
        _ => Vec::new(),
    };
    let (status, mut problem) = refused::on_page(error, field_of)?;
    if let (Some(first), false) = (problem.faults.first_mut(), gone.is_empty()) {
        first.words = format!("{} Nothing was done with the others.", gone.join(" "));
    }
    let mut page = screen(visitor, "", Found::default()).await?;
    if !player.is_empty() {
        let mut card = owner(visitor, player, form).await?;
        if let (true, Some(first)) = (unproved, problem.faults.first_mut()) {
            first.field = proved_by(form.get("proof")).to_owned();
            if first.field == "second_pin" {
                first.words = NOBODYS_PIN.to_owned();
            }
        }
        let name = card.delegates.iter_mut().map(|delegates| &mut delegates.name);
        let own = [&mut card.proof_value, &mut card.reason, &mut card.second_pin];
        for field in own.into_iter().chain(name) {
            let own = problem.faults.iter().find(|fault| fault.field == field.name);
            field.fault = own.map(|fault| fault.words.clone());
        }
        page.owner = Some(card);
    }
    page.shell.problem = Some(problem);
    visitor.page(status, &page)
}

/// Where the refused proof was given.
fn proved_by(proof: &str) -> &'static str {
    match proof {
        "override" => "second_pin",
        named if named.starts_with("delegate:") => "give-out",
        _ => "proof_value",
    }
}

fn field_of(pointer: &str) -> String {
    match pointer {
        "/proof/reason" => "reason".to_owned(),
        "/job_ids" => "give-out".to_owned(),
        other => delegates::field_of(other).unwrap_or_default().to_owned(),
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
