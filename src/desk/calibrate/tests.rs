//! A machine's way from unknown to cleared, failed and adjusted, on a database of its own.
use tempfile::TempDir;

use super::*;
use crate::craft::machine::{ClampKind, PullKind};
use crate::desk::correct_machine::correct_machine;
use crate::desk::found::{NewAccount, NewTournament, add_account};
use crate::desk::keep_workshop::add_machine;
use crate::desk::{Caller, Clock, Desk};
use crate::storage::Store;

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

#[test]
fn only_a_pass_clears_and_only_a_fail_takes_a_clearance_away() {
    let (morning, night) = (at("2026-06-01T09:00:00Z"), at("2026-06-02T02:00:00Z"));
    assert_eq!(clearance(Verdict::Inside, None, night), Some(night));
    assert_eq!(clearance(Verdict::Recheck, None, night), None);
    assert_eq!(clearance(Verdict::Recheck, Some(morning), night), Some(morning));
    assert_eq!(clearance(Verdict::Outside, Some(night), night), None);
}

fn pulls(measured: &[f64]) -> CalibrateMachine {
    let reading = |measured: &f64| CalibrationReading {
        nominal: 24.0,
        measured: *measured,
    };
    CalibrateMachine {
        readings: measured.iter().map(reading).collect(),
        unit: TensionUnit::Kg,
        adjusted: false,
    }
}

#[test]
fn readings_that_cannot_be_judged_are_named() {
    for (measured, pointer) in [
        (vec![24.0, 24.1], "/readings"),
        (vec![24.0, 0.0, 24.1], "/readings/1"),
        (vec![24.0, 24.0, 1e300], "/readings/2"),
        (vec![24.0; MOST_READINGS + 1], "/readings"),
    ] {
        match judge(&pulls(&measured)) {
            Err(DeskError::Invalid(faults)) => assert_eq!(faults[0].pointer, pointer),
            other => panic!("{other:?}"),
        }
    }
}

/// Somebody with an account of this role.
async fn signed_in(desk: &Desk, tournament: &str, role: Role) -> Caller {
    let account = NewAccount {
        sign_in: role.as_str().to_owned(),
        display_name: role.as_str().to_owned(),
        role,
        password_hash: None,
        pin_hash: None,
        stringer_id: None,
    };
    let account = desk
        .write(&Caller::system(tournament), move |tx| add_account(tx, account))
        .await
        .unwrap();
    Caller::account(tournament, &account.id, role)
}

/// A desk in Paris at 11 o'clock in the morning with one machine; answers the machine's id.
async fn workshop_in_paris(folder: &TempDir) -> (Desk, Caller, String) {
    let store = Store::open(folder.path().join("desk.db").to_str().unwrap()).unwrap();
    let now = || at("2026-06-01T09:00:00Z");
    let desk = Desk::new(store, Clock::told_by(now, now));
    let tournament = NewTournament {
        name: "Lindenhain Open".to_owned(),
        time_zone: "Europe/Paris".to_owned(),
        settings: TournamentSettings::default(),
    };
    let id = desk.found_tournament(tournament).await.unwrap();
    let coordinator = signed_in(&desk, &id, Role::Coordinator).await;
    let facts = MachineFacts {
        name: None,
        clamps: ClampKind::FixedSwivel,
        clamp_count: None,
        holds_main_and_cross: None,
        starting_clamps: None,
        pull: PullKind::Constant,
        units: Vec::new(),
        correction_factor: None,
        reach_mm: None,
        grip_mm: None,
        pre_stretches: None,
    };
    let machine = desk
        .write(&coordinator, move |tx| add_machine(tx, "Machine 1", &facts, None))
        .await
        .unwrap();
    (desk, coordinator, machine.id)
}

async fn calibrated(desk: &Desk, caller: &Caller, machine: &str, asked: CalibrateMachine) -> Calibrated {
    let machine = machine.to_owned();
    desk.write(caller, move |tx| calibrate_machine(tx, &machine, asked))
        .await
        .unwrap()
}

fn factor(machine: &Machine) -> Option<f64> {
    let facts: MachineFacts = from_record(&machine.record).unwrap();
    facts.correction_factor
}

#[tokio::test]
async fn a_machine_is_cleared_until_the_business_day_ends_and_failed_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let (desk, coordinator, machine) = workshop_in_paris(&folder).await;
    let passed = calibrated(&desk, &coordinator, &machine, pulls(&[24.1, 24.2, 24.1])).await;
    assert_eq!(passed.row.verdict, "inside");
    let until = passed.machine.cleared_until.map(|until| until.utc());
    assert_eq!(until, Some(at("2026-06-02T02:00:00Z")));
    // one pull is far off, so three do not decide; the pass of the morning stands
    let unsure = calibrated(&desk, &coordinator, &machine, pulls(&[24.1, 24.4, 24.6])).await;
    assert_eq!(unsure.row.verdict, "recheck");
    assert_eq!(unsure.machine.cleared_until.map(|until| until.utc()), until);
    let failed = calibrated(&desk, &coordinator, &machine, pulls(&[22.9, 22.8, 22.9])).await;
    assert!(failed.machine.cleared_until.is_none());
    let tournament = coordinator.tournament().to_owned();
    let (history, kinds) = desk
        .read(move |db| {
            let history = calibrations(db, &tournament, &machine, 10)?;
            let events = crate::storage::events::after(db, &tournament, 0, 100)?;
            let kinds: Vec<_> = events.into_iter().map(|event| event.kind).collect();
            Ok((history, kinds))
        })
        .await
        .unwrap();
    let verdicts: Vec<_> = history.iter().map(|(row, _)| row.verdict.as_str()).collect();
    assert_eq!(verdicts, ["outside", "recheck", "inside"]);
    assert_eq!(history[2].1.readings, passed.record.readings);
    assert_eq!(history[2].1.judged.verdict, Verdict::Inside);
    assert_eq!(
        kinds[kinds.len() - 3..],
        ["machine.cleared", "machine.rechecked", "machine.failed"]
    );
}

#[tokio::test]
async fn an_adjustment_takes_correction_and_clearance_away() {
    let folder = tempfile::tempdir().unwrap();
    let (desk, coordinator, machine) = workshop_in_paris(&folder).await;
    let passed = calibrated(&desk, &coordinator, &machine, pulls(&[24.1, 24.2, 24.1])).await;
    let set = |factor| {
        let (id, version) = (machine.clone(), passed.machine.version);
        let mut facts: MachineFacts = from_record(&passed.machine.record).unwrap();
        facts.correction_factor = factor;
        desk.write(&coordinator, move |tx| {
            correct_machine(tx, &id, version, "Machine 1", &facts, None)
        })
    };
    assert!(matches!(set(Some(1.5)).await, Err(DeskError::Invalid(_))));
    assert!(matches!(set(Some(f64::NAN)).await, Err(DeskError::Invalid(_))));
    assert_eq!(factor(&set(Some(0.98)).await.unwrap()), Some(0.98));
    assert!(matches!(set(None).await, Err(DeskError::Stale { .. })));
    let unsure = CalibrateMachine {
        adjusted: true,
        ..pulls(&[24.1, 24.4, 24.6])
    };
    let after = calibrated(&desk, &coordinator, &machine, unsure).await;
    assert_eq!(factor(&after.machine), None);
    assert!(after.machine.cleared_until.is_none());
}
