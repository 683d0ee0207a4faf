use super::*;
use crate::pages::page_check::{rendered, words};
use crate::pages::parts::{ChipKind, Control};
use crate::pages::shell::Surface;

fn racket(job_id: &str, slot: &str, state: Chip, ready: bool) -> OwnerRacket {
    OwnerRacket {
        job_id: job_id.into(),
        code: "K7M4G".into(),
        racket: "●●● white grip".into(),
        slot: slot.into(),
        state,
        may_leave: true,
        chosen: ready,
        way: if ready { String::new() } else { "as it is".into() },
        about: String::new(),
        photos: Photos::default(),
    }
}

fn owner() -> Owner {
    Owner {
        player_id: "p1".into(),
        player: "見本 明".into(),
        country: "JPN".into(),
        summary: "1 of 2 ready; the second about 14:40".into(),
        rackets: vec![
            racket("j1", "B 12", Chip::new(ChipKind::Ready, "ready"), true),
            racket("j2", "", Chip::new(ChipKind::Plain, "on the machine"), false),
        ],
        proofs: [
            ("ticket", "Ticket"),
            ("phone_code", "Code on the phone"),
            ("badge", "Badge"),
            ("delegate:Coach Example", "Coach Example"),
            ("override", "None of these"),
        ]
        .map(|(value, label)| Choice::new(value, label))
        .into(),
        delegates: None,
        proof_value: Field::new("proof_value", "Scan or type it", Control::Text).optional(),
        collector: Field::new("collector", "Who collects?", Control::Text).optional(),
        reason: Field::new("reason", "Why without proof?", Control::Text).optional(),
        second_pin: Field::new("second_pin", "PIN of a second person", Control::Pin)
            .optional()
            .autocomplete("off"),
        may_give_out: true,
        other_ways: vec![
            Choice::new("give_back", "Give back as it is").hint("Unstrung or half strung, without a charge."),
            Choice::new("court_release", "Release to the court").hint("Without the check; that is recorded."),
        ],
    }
}

fn screen() -> HandOut {
    HandOut {
        shell: Shell::invented("Hand Out", Surface::Day, "Hand Out"),
        query: String::new(),
        found: None,
        owner: None,
        shelf: Vec::new(),
        recent: Vec::new(),
        undo_reasons: vec![Choice::new("wrong_person", "Wrong person")],
    }
}

#[test]
fn an_empty_shelf_says_so() {
    assert!(words(&rendered("hand-out-empty", &screen())).contains("Nothing on the shelf."));
}

#[test]
fn a_player_sees_slots_proofs_and_one_way_out() {
    let html = rendered(
        "hand-out",
        &HandOut {
            owner: Some(owner()),
            ..screen()
        },
    );
    let text = words(&html);
    assert!(text.contains("B 12") && text.contains("1 of 2 ready"));
    assert_eq!(html.matches("name=\"job_id\"").count(), 2);
    assert_eq!(
        html.matches(" checked").count(),
        1,
        "only the scanned one is ticked"
    );
    assert_eq!(html.matches("name=\"proof\"").count(), 5);
    for way in ["hand_out", "give_back", "court_release"] {
        assert!(html.contains(&format!("name=\"how\" value=\"{way}\"")), "{way}");
    }
    assert_eq!(
        html.matches("<form method=\"post\"").count(),
        2,
        "one proof for every way out"
    );
    assert!(html.contains("name=\"second_pin\""));
}

#[test]
fn what_just_went_out_can_be_taken_back_with_a_reason() {
    let recent = vec![RecentPickup {
        pickup_id: "u1".into(),
        again_href: String::new(),
        codes: "K7M4G".into(),
        player: "Example A.".into(),
        words: "to Coach Example at 14:02".into(),
    }];
    let shelf = vec![ShelfRow {
        slot: "B 12".into(),
        code: "B5N9H".into(),
        player: "Example A.".into(),
        since: "13:20".into(),
        href: "/hand-out?player=p1".into(),
    }];
    let html = rendered(
        "hand-out-shelf",
        &HandOut {
            recent,
            shelf,
            ..screen()
        },
    );
    assert!(html.contains("action=\"/hand-out/undo\"") && html.contains("name=\"pickup_id\" value=\"u1\""));
}
