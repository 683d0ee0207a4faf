//! Setup: the tasks of a new desk, each with its form.
use actix_web::http::StatusCode;
use actix_web::web::{self, ServiceConfig};

use super::filled::Filled;
use super::refused::{self, Failure};
use super::setup_people::{account_fields, device_fields};
use super::setup_there::{There, machine_fields, renamed, station_fields, string_fields, there};
use super::visit::Visitor;
use super::{Shown, setup_account, setup_correct, setup_reads};
use crate::craft::roles::Role;
use crate::desk::correct_tournament::{self, collect_at, keep_photos_for};
use crate::desk::found::add_account;
use crate::desk::records::{StringRecord, StringerRecord};
use crate::desk::{DeskError, DeskResult, Tx, keep_frame, keep_stock, keep_workshop, shifts};
use crate::pages::parts::{Choice, Control, Field, Problem};
use crate::pages::views::setup::{Correction, Setup, Task};

/// The tasks in the order in which a desk needs them.
const TASKS: [&str; 11] = [
    "string", "frame", "machine", "stringer", "station", "open", "close", "account", "device", "collect",
    "photos",
];

/// The routes of this file.
pub fn routes(config: &mut ServiceConfig) {
    config
        .route("/setup", web::get().to(show))
        .route("/setup/{task}", web::post().to(keep))
        .route("/setup/accounts/{id}", web::post().to(setup_account::correct))
        .route("/setup/{kind}/{id}", web::post().to(setup_correct::correct));
    // a refusal stands at the address of its form; who loads it again comes to Setup
    for form in [
        "/setup/{task}",
        "/setup/{kind}/{id}",
        "/setup/devices/{id}/revoke",
    ] {
        let setup = |visitor: Visitor| async move { Shown::Ok(visitor.go_to("/setup")) };
        config.route(form, web::get().to(setup));
    }
}

async fn show(visitor: Visitor) -> Shown {
    let page = screen(&visitor, None).await?;
    visitor.page(StatusCode::OK, &page)
}

/// What was refused: which task or which correction, what was typed, and what is wrong with it.
pub(super) struct Refused<'a> {
    /// The task's name, or the id of what was to be corrected.
    pub of: &'a str,
    pub form: &'a Filled,
    pub problem: Problem,
    /// A reason would overcome it.
    pub may_insist: bool,
}

/// Setup, with the form that was refused.
///
/// # Errors
/// A fault of ours.
pub(super) async fn screen(visitor: &Visitor, refused: Option<Refused<'_>>) -> Result<Setup, Failure> {
    let there = there(visitor).await?;
    let mut shell = visitor.shell("Setup", "Setup", "")?;
    let mut next = None;
    // what an account may not do is not offered to it
    let theirs = TASKS
        .into_iter()
        .filter(|name| visitor.caller.must_be(keepers(name)).is_ok());
    let tasks = theirs.map(|name| {
        let mut task = task(name, &there);
        if next.is_none() && task.there.is_empty() && !matches!(name, "close" | "device" | "collect") {
            next = Some(name);
        }
        task.open = next == Some(name);
        if let Some(refused) = &refused {
            if refused.of == name {
                task.open = true;
                refill(&mut task.fields, refused);
            }
            for one in task.corrections.iter_mut().filter(|one| one.id == refused.of) {
                one.open = true;
                refill(&mut one.fields, refused);
            }
        }
        task
    });
    let tasks = tasks.collect();
    shell.problem = refused.map(|refused| refused.problem);
    Ok(Setup {
        shell,
        tasks,
        next,
        has_rackets: there.has_rackets,
    })
}

/// Who may do a task.
fn keepers(task: &str) -> &'static [Role] {
    match task {
        "string" => &keep_stock::KEEPERS,
        "frame" => &keep_frame::KEEPERS,
        "open" | "close" => &shifts::OPENERS,
        "account" | "device" | "collect" | "photos" => &correct_tournament::KEEPERS,
        _ => &keep_workshop::KEEPERS,
    }
}

fn refill(fields: &mut Vec<Field>, refused: &Refused<'_>) {
    let form = refused.form;
    let reason = format!("{}_override", refused.of);
    if refused.may_insist || form.has_field(&reason) {
        let hint = "Only where it is meant so; the reason is kept with it.";
        fields.push(
            Field::new(reason, "All the same, because", Control::Text)
                .hint(hint)
                .free(),
        );
    }
    for field in fields {
        if !matches!(field.control, Control::Password) {
            field.value = form.get(&field.name).to_owned();
        }
        if let Control::Select(choices) = &mut field.control {
            for choice in choices {
                choice.chosen = form.get(&field.name) == choice.value;
            }
        }
        let own = refused
            .problem
            .faults
            .iter()
            .find(|fault| fault.field == field.name);
        field.fault = own.map(|fault| fault.words.clone());
    }
}

fn task(name: &'static str, there: &There) -> Task {
    let text = |field: &str, label: &str| Field::new(format!("{name}_{field}"), label, Control::Text);
    let list = |field: &str, label: &str, choices: Vec<Choice>| {
        Field::new(format!("{name}_{field}"), label, Control::Select(choices))
    };
    let words = |all: &[&str]| {
        all.iter()
            .map(|one| Choice::new(*one, one.replace('_', " ")))
            .collect::<Vec<_>>()
    };
    let labels = |all: &[Choice]| all.iter().map(|one| one.label.clone()).collect::<Vec<_>>();
    let names = |all: &[Correction]| all.iter().map(|one| one.name.clone()).collect::<Vec<_>>();
    let stations = |open: bool| -> Vec<Choice> {
        let fits = there.stations.iter().filter(|(_, is_open)| *is_open == open);
        fits.map(|(one, _)| one.clone()).collect()
    };
    let all_stations: Vec<String> = there.stations.iter().map(|(one, _)| one.label.clone()).collect();
    let (title, button, why, listed, fields) = match name {
        "string" => (
            "Strings",
            "List a string",
            "What may be asked for at the counter. What lies here is booked in on Shelf & Stock.",
            names(&there.strings),
            string_fields(name, "", None),
        ),
        "frame" => (
            "Frames",
            "Record a frame model",
            "Mains, crosses and range; holes nobody has looked up are read off the frame at the bench.",
            there.frames.iter().map(|(_, name)| name.clone()).collect(),
            vec![
                text("name", "Name"),
                list("sport", "Sport", words(&["tennis", "badminton", "squash"])),
                text("mains", "Mains"),
                text("crosses", "Crosses"),
                text("min", "Range from").optional(),
                text("max", "Range to").optional(),
                list("unit", "Unit of the range", words(&["kg", "lb"])),
            ],
        ),
        "machine" => (
            "Machines",
            "Add a machine",
            "Its clamps decide which jobs it may do; tensions are rounded to its smallest step.",
            labels(&there.machines),
            machine_fields(name, "", None),
        ),
        "stringer" => (
            "Stringers",
            "Add a stringer",
            "Who strings.",
            labels(&there.stringers),
            vec![text("name", "Name")],
        ),
        "station" => (
            "Stations",
            "Add a station",
            "A machine at its place.",
            all_stations,
            station_fields(name, "", there.machines.clone()),
        ),
        "open" => (
            "Open stations",
            "Open a station",
            "Only an open station gets jobs.",
            labels(&stations(true)),
            vec![
                list("station_id", "Station", stations(false)),
                list("stringer_id", "Stringer", there.stringers.clone()),
            ],
        ),
        "close" => (
            "Closed stations",
            "Close a station",
            "It gets no more jobs; what it has stays with it.",
            labels(&stations(false)),
            vec![list("station_id", "Station", stations(true))],
        ),
        "device" => (
            "Devices",
            "Add a device",
            "Tablets and laptops on which people sign in with a PIN; wall screens need nobody.",
            there.devices.iter().map(|(_, words)| words.clone()).collect(),
            device_fields(&there.stations),
        ),
        "collect" => (
            "Place to collect",
            "Set where players collect",
            "Stands on tickets, on the page of players and in their calendars, as you write it here. Empty: nothing is said of it.",
            there.collect_at.clone().into_iter().collect(),
            vec![
                text("collect_at", "Where players collect")
                    .hint("Such as: Gate B, beside Court 1.")
                    .value(there.collect_at.clone().unwrap_or_default())
                    .optional(),
            ],
        ),
        "photos" => (
            "Photos of marks",
            "Set how long photos stay",
            "The desk deletes each by itself so many days after its racket has left; while a racket is here its photos stay. Its story goes on telling of them.",
            vec![format!(
                "deleted {} days after the racket has left",
                there.photos_kept_days
            )],
            vec![text("photos_kept_days", "Days").value(there.photos_kept_days.to_string())],
        ),
        _ => (
            "People",
            "Add an account",
            "Who may sign in. A racket handed out without its ticket needs a second person who types a PIN: give one to two people at least.",
            names(&there.accounts),
            account_fields(name, None, &there.stringers),
        ),
    };
    let corrections = match name {
        "string" => there.strings.clone(),
        "machine" => there.machines_told.clone(),
        "station" => there.stations_told.clone(),
        "account" => there.accounts.clone(),
        "stringer" => there
            .stringers
            .iter()
            .map(|one| renamed(&one.value, &one.label))
            .collect(),
        _ => Vec::new(),
    };
    Task {
        corrections,
        name: name.to_owned(),
        title: title.to_owned(),
        there: listed,
        why: why.to_owned(),
        fields,
        button: button.to_owned(),
        open: false,
        pages: if name == "frame" {
            there.frames.clone()
        } else {
            Vec::new()
        },
        removable: if name == "device" {
            there.devices.clone()
        } else {
            Vec::new()
        },
    }
}

async fn keep(visitor: Visitor, task: web::Path<String>, form: web::Form<Filled>) -> Shown {
    if !TASKS.contains(&task.as_str()) {
        return Err(Failure::no_such_page());
    }
    let done = keep_one(&visitor, &task, &form).await;
    match done {
        Ok(()) => Ok(visitor.go_to("/setup")),
        Err(error) => refused(&visitor, &task, &form, error).await,
    }
}

/// Setup with what was typed into a task's form, and what is wrong with it.
///
/// # Errors
/// A refusal that no form can mend.
pub async fn refused(visitor: &Visitor, task: &str, form: &Filled, error: DeskError) -> Shown {
    let field = |pointer: &str| match pointer {
        "/sign_in" => "account_login".to_owned(),
        other => field_of(task, other),
    };
    let may_insist = refused::may_insist(&error).is_some();
    let (status, problem) = refused::on_page(error, field)?;
    let refused = Refused {
        of: task,
        form,
        problem,
        may_insist,
    };
    let page = screen(visitor, Some(refused)).await?;
    visitor.page(status, &page)
}

/// The field of a task or a correction that a pointer is about.
pub(super) fn field_of(of: &str, pointer: &str) -> String {
    let last = match pointer {
        // the record's own name for its two ends
        "/tension_range" => "min",
        "/override/reason" => "override",
        "/display_name" => "name",
        other => other.rsplit('/').next().unwrap_or_default(),
    };
    format!("{of}_{last}")
}

async fn keep_one(visitor: &Visitor, task: &str, form: &Filled) -> DeskResult<()> {
    // secrets are hashed before the transaction, off the threads that serve requests
    let account = if task == "account" {
        Some(setup_account::new(visitor, form).await?)
    } else {
        None
    };
    let (name, filled) = (task.to_owned(), form.clone());
    visitor
        .once(&format!("/setup/{task}"), form, move |tx| match account {
            Some(account) => Ok(add_account(tx, account)?.id),
            None => act(tx, &name, &filled),
        })
        .await?;
    Ok(())
}

fn act(tx: &mut Tx<'_>, task: &str, form: &Filled) -> DeskResult<String> {
    let said = |field: &str| form.get(&format!("{task}_{field}"));
    let insist = form.some(&format!("{task}_override"));
    let insist = insist.as_deref();
    Ok(match task {
        "string" => {
            let record = StringRecord {
                gauge_mm: setup_reads::gauge(form, task),
                ..StringRecord::default()
            };
            keep_stock::add_string(tx, said("name"), &record)?.id
        }
        "frame" => keep_frame::add_frame(tx, &setup_reads::frame(form)?, insist)?.id,
        "machine" => {
            let facts = setup_reads::machine(form, task);
            keep_workshop::add_machine(tx, said("name"), &facts, insist)?.id
        }
        "stringer" => keep_workshop::add_stringer(tx, said("name"), &StringerRecord::default())?.id,
        "station" => keep_workshop::add_station(tx, said("name"), said("machine_id"))?.id,
        "open" => shifts::open_station(tx, said("station_id"), said("stringer_id"))?.id,
        "collect" => collect_at(tx, said("collect_at"))?.id,
        "photos" => keep_photos_for(tx, setup_reads::photo_days(form)?)?.id,
        _ => shifts::close_station(tx, said("station_id"))?.station.id,
    })
}
