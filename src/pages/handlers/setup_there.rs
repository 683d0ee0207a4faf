//! What Setup holds already: told so that a slip of the pen is seen, with the fields that correct it.
use super::setup_people::account_fields;
use super::visit::Visitor;
use super::{frame_record, machine_book};
use crate::craft::machine::{ClampKind, MachineFacts, PullKind};
use crate::desk::reads::accounts::Account;
use crate::desk::reads::stations::Station;
use crate::desk::reads::stringers::Stringer;
use crate::desk::reads::strings::StringProduct;
use crate::desk::reads::{Db, from_record, machines};
use crate::desk::records::StringRecord;
use crate::desk::{DeskResult, overview, own_device, racket_photos};
use crate::pages::parts::{Choice, Control, Field};
use crate::pages::views::setup::Correction;

/// What is there already, as the lists of the forms.
#[derive(Default)]
pub(super) struct There {
    pub strings: Vec<Correction>,
    pub frames: Vec<(String, String)>,
    pub machines: Vec<Choice>,
    pub machines_told: Vec<Correction>,
    pub stringers: Vec<Choice>,
    pub stations: Vec<(Choice, bool)>,
    pub stations_told: Vec<Correction>,
    pub accounts: Vec<Correction>,
    pub devices: Vec<(String, String)>,
    pub photos_kept_days: u16,
    pub collect_at: Option<String>,
    pub has_rackets: bool,
}

pub(super) async fn there(visitor: &Visitor) -> DeskResult<There> {
    let tournament = visitor.tournament();
    visitor.desk.read(move |db| read(db, &tournament)).await
}

fn read(db: &mut Db, t: &str) -> DeskResult<There> {
    let machines = overview::machines(db, t)?;
    let people = overview::stringers(db, t)?;
    let machines_told = machines.iter().map(machine_told).collect::<DeskResult<_>>()?;
    let strings = overview::strings(db, t)?;
    let strings = strings.iter().map(string_told).collect::<DeskResult<_>>()?;
    let stations = overview::stations(db, t)?;
    let stations_told = stations.iter().map(|one| station_told(one, &machines, &people));
    let stations_told = stations_told.collect();
    let stringers: Vec<Choice> = people
        .iter()
        .map(|one| Choice::new(one.id.clone(), one.name.clone()))
        .collect();
    Ok(There {
        strings,
        frames: overview::frames(db, t)?
            .into_iter()
            .map(|(one, _)| (frame_record::address(&one.id), one.name))
            .collect(),
        stations_told,
        machines_told,
        machines: machines
            .into_iter()
            .map(|one| Choice::new(one.id, one.name))
            .collect(),
        stations: stations
            .into_iter()
            .map(|one| (Choice::new(one.id, one.name), one.open))
            .collect(),
        accounts: overview::all_accounts(db, t)?
            .iter()
            .map(|one| account_told(one, &stringers))
            .collect(),
        stringers,
        devices: own_device::in_use(db, t)?
            .into_iter()
            .map(|one| (one.id, format!("{}, {}", one.name, one.kind)))
            .collect(),
        photos_kept_days: racket_photos::kept_days(db, t)?,
        collect_at: overview::house(db, t)?.collect_at,
        has_rackets: overview::took_in_before(db, t)?,
    })
}

fn string_told(one: &StringProduct) -> DeskResult<Correction> {
    let record: StringRecord = from_record(&one.record)?;
    let gauge = record.gauge_mm.as_deref();
    Ok(Correction {
        words: gauge.map_or_else(String::new, |gauge| format!("{gauge} mm")),
        version: one.version,
        hint: "Rackets that wait are planned from it anew; what is on a machine goes on as it was begun.",
        fields: string_fields(&one.id, &one.name, gauge),
        ..correction("strings", &one.id, &one.name)
    })
}

fn station_told(one: &Station, machines: &[machines::Machine], people: &[Stringer]) -> Correction {
    let machine = machines.iter().find(|machine| machine.id == one.machine_id);
    let who = people
        .iter()
        .find(|who| Some(&who.id) == one.stringer_id.as_ref());
    let state = match who {
        Some(who) if one.open => format!("open with {}", who.name),
        _ => "closed".to_owned(),
    };
    let machine = machine.map_or("", |machine| machine.name.as_str());
    let all = machines.iter().map(|machine| {
        let here = machine.id == one.machine_id;
        Choice::new(machine.id.clone(), machine.name.clone()).chosen(here)
    });
    Correction {
        words: format!("{machine}, {state}"),
        version: one.version,
        fields: station_fields(&one.id, &one.name, all.collect()),
        ..correction("stations", &one.id, &one.name)
    }
}

/// "(counter), desk, no PIN".
fn account_told(one: &Account, stringers: &[Choice]) -> Correction {
    let pin = if one.pin_hash.is_some() { "" } else { ", no PIN" };
    let off = if one.active { "" } else { ", may not sign in" };
    Correction {
        words: format!("({}), {}{pin}{off}", one.sign_in, one.role),
        version: one.version,
        hint: "A password or PIN that is left empty stays. Whoever may do something else now signs in again.",
        fields: account_fields(&one.id, Some(one), stringers),
        ..correction("accounts", &one.id, &one.display_name)
    }
}

fn machine_told(one: &machines::Machine) -> DeskResult<Correction> {
    let facts: MachineFacts = from_record(&one.record)?;
    Ok(Correction {
        words: machine_words(&facts),
        version: one.version,
        page: Some((machine_book::address(&one.id), "Checks")),
        fields: machine_fields(&one.id, &one.name, Some(&facts)),
        ..correction("machines", &one.id, &one.name)
    })
}

fn correction(kind: &str, id: &str, name: &str) -> Correction {
    Correction {
        id: id.to_owned(),
        name: name.to_owned(),
        words: String::new(),
        action: format!("/setup/{kind}/{id}"),
        version: 0,
        fields: Vec::new(),
        hint: "",
        page: None,
        open: false,
    }
}

/// A stringer: the name alone can be corrected.
pub(super) fn renamed(id: &str, name: &str) -> Correction {
    Correction {
        fields: vec![name_field(id, name)],
        ..correction("stringers", id, name)
    }
}

fn name_field(of: &str, name: &str) -> Field {
    Field::new(format!("{of}_name"), "Name", Control::Text).value(name)
}

/// The fields that describe a string; `of` stands before their names.
pub(super) fn string_fields(of: &str, name: &str, gauge_mm: Option<&str>) -> Vec<Field> {
    vec![
        name_field(of, name),
        Field::new(format!("{of}_gauge_mm"), "Diameter", Control::Text)
            .unit("mm")
            .value(gauge_mm.unwrap_or_default())
            .optional(),
    ]
}

/// The fields that describe a station; `of` stands before their names.
pub(super) fn station_fields(of: &str, name: &str, machines: Vec<Choice>) -> Vec<Field> {
    vec![
        name_field(of, name),
        Field::new(format!("{of}_machine_id"), "Machine", Control::Select(machines)),
    ]
}

const CLAMPS: [(ClampKind, &str); 3] = [
    (ClampKind::FixedSwivel, "fixed_swivel"),
    (ClampKind::FixedOnGlideBars, "fixed_on_glide_bars"),
    (ClampKind::Flying, "flying"),
];
const PULLS: [(PullKind, &str); 2] = [(PullKind::Constant, "constant"), (PullKind::Lockout, "lockout")];

fn word<T: PartialEq>(all: &[(T, &'static str)], one: &T) -> &'static str {
    all.iter()
        .find(|(kind, _)| kind == one)
        .map_or("", |(_, word)| word)
}

/// "fixed swivel clamps, constant pull, 0.5 kg steps".
fn machine_words(facts: &MachineFacts) -> String {
    let clamps = word(&CLAMPS, &facts.clamps).replace('_', " ");
    let pull = word(&PULLS, &facts.pull);
    let units = facts
        .units
        .iter()
        .map(|one| format!(", {} {} steps", one.step, one.unit.symbol()));
    format!("{clamps} clamps, {pull} pull{}", units.collect::<String>())
}

/// The fields that describe a machine; `of` stands before their names.
pub(super) fn machine_fields(of: &str, name: &str, facts: Option<&MachineFacts>) -> Vec<Field> {
    let unit = facts.and_then(|facts| facts.units.first());
    let list = |field: &str, label: &str, words: &[&str], chosen: &str| {
        let choices = words
            .iter()
            .map(|one| Choice::new(*one, one.replace('_', " ")).chosen(*one == chosen));
        Field::new(format!("{of}_{field}"), label, Control::Select(choices.collect()))
    };
    let text = |field: &str, label: &str| Field::new(format!("{of}_{field}"), label, Control::Text);
    let clamps = facts.map_or("", |facts| word(&CLAMPS, &facts.clamps));
    let pull = facts.map_or("", |facts| word(&PULLS, &facts.pull));
    vec![
        name_field(of, name),
        list("clamps", "Clamps", &CLAMPS.map(|(_, word)| word), clamps),
        list("pull", "Pull", &PULLS.map(|(_, word)| word), pull),
        list(
            "unit",
            "Unit it shows",
            &["kg", "lb"],
            unit.map_or("", |unit| unit.unit.symbol()),
        ),
        text("step", "Its smallest step")
            .hint("Such as 0.5.")
            .value(unit.map_or("", |unit| unit.step.as_str())),
    ]
}
