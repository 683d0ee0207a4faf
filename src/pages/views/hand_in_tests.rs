use super::*;
use crate::pages::page_check::{rendered, words};
use crate::pages::parts::{ChipKind, Control, Fault, Problem};
use crate::pages::shell::Surface;

fn screen() -> HandIn {
    HandIn {
        shell: Shell::invented("Hand In", Surface::Day, "Hand In"),
        query: String::new(),
        found: None,
        back: None,
        new_player_href: "/hand-in?mode=new".into(),
        card: None,
        taken: None,
        inside: Vec::new(),
        cards: Vec::new(),
    }
}

fn line(number: usize) -> Line {
    let name = |field: &str| format!("line_{number}_{field}");
    let units = vec![Choice::new("kg", "kg"), Choice::new("lb", "lb")];
    let purposes = ["match", "practice", "spare"].map(|word| Choice::new(word, word));
    let rackets = vec![
        Choice::new("r1", "1 · one dot"),
        Choice::new("r3", "3 · three dots").chosen(number == 1),
    ];
    Line {
        number,
        last: "M 24 kg String A 1.25 / C 23 kg String B 1.30".into(),
        racket_id: "r1".into(),
        racket: Field::new(name("racket_id"), "Racket", Control::Select(rackets)),
        new_racket: Vec::new(),
        step: Field::new(name("step"), "Tension", Control::One(Vec::new())).optional(),
        as_said: Field::new(name("as_said"), "Tension, mains / crosses", Control::Number).value("24/23"),
        unit: Field::new(name("unit"), "Unit", Control::One(units)),
        due: Field::new(
            name("due"),
            "Ready",
            Control::One(vec![Choice::new("time", "At the time below")]),
        ),
        ready_by: Field::new(name("ready_by"), "Ready by", Control::Time).value("14:30"),
        day: Field::new(name("day"), "Day", Control::Select(Vec::new())).free(),
        purpose: Field::new(name("purpose"), "For", Control::Select(purposes.into())),
        condition: Condition {
            name: name("condition"),
            marked: false,
            places_name: name("damage"),
            places: [
                ("head_top", "Head top"),
                ("shoulders", "Shoulders"),
                ("throat", "Throat"),
                ("grommets", "Grommets"),
            ]
            .map(|(value, label)| Choice::new(value, label))
            .into(),
            note_name: name("damage_note"),
            note: String::new(),
            fault: None,
        },
        may_leave: number > 1,
        code: Field::new(name("code"), "Code on the tag", Control::Text).optional(),
        photo: Field::new(
            name("photo"),
            format!("Add a photo of racket {number}"),
            Control::Photo,
        )
        .optional(),
        photo_again: None,
    }
}

fn racket(number: usize, already_in: &str) -> RacketCard {
    RacketCard {
        title: format!("Racket {number} of 4"),
        marks: format!("{} white grip", "●".repeat(number)),
        label: "B5N9H".into(),
        frame: "F-16x19".into(),
        range: "21-27 kg".into(),
        last: Some(LastSpec {
            when: "Tue 09:40".into(),
            mains: "24 kg".into(),
            mains_string: "String A 1.25".into(),
            crosses: "23 kg".into(),
            crosses_string: "String B 1.30".into(),
            pieces: "two pieces".into(),
        }),
        change_href: if already_in.is_empty() {
            String::new()
        } else {
            "/jobs/job_1/change".into()
        },
        already_in: already_in.into(),
        racket_id: format!("r{number}"),
        chosen: number == 3,
        photos: Photos::default(),
    }
}

fn card(wish: Wish) -> Card {
    let strings = || {
        vec![
            Choice::new("s1", "String A 1.25"),
            Choice::new("s2", "String B 1.30"),
        ]
    };
    Card {
        player_id: "p1".into(),
        player: "مثال ألف".into(),
        latin: "Mithal A.".into(),
        country: "EGY".into(),
        speaks: "Arabic".into(),
        collectors: "Coach Example (always)".into(),
        next_match: "Wed 15:10, Court 2, not before".into(),
        rackets: vec![racket(1, "already in, waiting since 10:42"), racket(3, "")],
        new_player: Vec::new(),
        wish,
        lines: vec![line(1)],
        spec: vec![
            Field::new("mains_string_id", "Mains string", Control::Select(strings())),
            Field::new("crosses_string_id", "Crosses string", Control::Select(strings())),
            Field::new("note", "Note for the bench", Control::LongText).optional(),
        ],
        same_again: vec![
            "Mains 24 kg String A 1.25".into(),
            "Crosses 23 kg String B 1.30".into(),
        ],
        tag_by_hand: false,
        written_time: Field::new("written_time", "Time on paper", Control::Time).optional(),
        problems: Vec::new(),
        remarks: vec![Chip::new(
            ChipKind::Info,
            "String B: 11 m left, one more job after this one",
        )],
        carried: Vec::new(),
        drafted: false,
        may_repeat: true,
    }
}

#[test]
fn an_empty_desk_says_what_to_do_first() {
    let html = rendered("hand-in-empty", &screen());
    assert!(words(&html).contains("No rackets in. Scan or find the first one."));
    assert!(html.contains("name=\"q\""));
}

#[test]
fn a_returning_player_is_one_button_away() {
    let inside = InsideRow {
        code: "K7M4G".into(),
        player: "Example A.".into(),
        latin: String::new(),
        racket: "●●●".into(),
        ready_by: "14:30".into(),
        state: Chip::new(ChipKind::Late, "late 8 min"),
        story_href: "/story/r1".into(),
    };
    let html = rendered(
        "hand-in-returning",
        &HandIn {
            card: Some(card(Wish::Same)),
            inside: vec![inside],
            cards: Vec::new(),
            ..screen()
        },
    );
    let text = words(&html);
    assert!(
        text.contains("Same again") && text.contains("already in, waiting since 10:42"),
        "{text}"
    );
    assert!(html.contains("name=\"wish\" value=\"same\""));
    assert!(html.contains("<bdi>مثال ألف</bdi>") && text.contains("Mithal A."));
}

#[test]
fn a_new_spec_asks_for_the_unit_and_chooses_none() {
    let mut new = card(Wish::New);
    new.lines = vec![line(1), line(2)];
    let html = rendered(
        "hand-in-new-spec",
        &HandIn {
            card: Some(new),
            ..screen()
        },
    );
    for unit in html.split("name=\"line_1_unit\"").skip(1) {
        assert!(!unit[..unit.find('>').unwrap()].contains("checked"));
    }
    assert!(html.contains("name=\"line_2_as_said\"") && html.contains("name=\"lines\" value=\"2\""));
    assert!(html.contains("name=\"show\" value=\"more\""));
    // each racket has a condition of its own, and one too many is taken off again
    assert!(html.contains("name=\"line_2_condition\"") && html.contains("name=\"line_2_damage\""));
    assert!(html.contains("name=\"show\" value=\"less:2\""));
}

#[test]
fn a_tension_out_of_range_stands_in_place_of_the_button() {
    let mut asked = card(Wish::Change);
    asked.problems = vec![ProblemCard {
        chip: Chip::new(ChipKind::Risk, "Out of range"),
        words: "52 kg is above 27 kg, the most this frame's maker allows. Did you mean 52 lb (23.6 kg)?"
            .into(),
        choices: vec![("take_unit".into(), "lb".into(), "52 lb".into())],
        may_give_back: false,
        hint: "Read the tension back to the player first.".into(),
        override_code: "tension_out_of_range".into(),
        reasons: vec![Choice::new("players_wish", "Player's wish, own risk")],
    }];
    let mut page = HandIn {
        card: Some(asked),
        ..screen()
    };
    let words_said = "Tension: 52 kg is above 27 kg.";
    page.shell.problem = Some(Problem {
        faults: vec![Fault {
            field: "line_1_as_said".into(),
            words: words_said.into(),
        }],
        reference: None,
    });
    let html = rendered("hand-in-out-of-range", &page);
    let text = words(&html);
    assert!(text.contains("Player's wish, own risk") && text.contains("52 lb"));
    assert!(html.contains("name=\"override\" value=\"tension_out_of_range\""));
    assert!(
        !html.contains(">Take it in<"),
        "no ordinary button beside a problem"
    );
}

#[test]
fn what_was_taken_in_is_read_back_with_both_units_and_prints() {
    let often = Control::One(vec![Choice::new("once", "next time only").chosen(true)]);
    let delegates = Delegates {
        named: vec![("Partner Example".into(), "next time only")],
        name: Field::new("delegate_name", "Who may collect", Control::Text).optional(),
        often: Field::new("delegate_often", "How often", often),
    };
    let taken = Taken {
        job_id: "j1".into(),
        player_id: "p1".into(),
        delegates: Some(delegates),
        player: "Example A.".into(),
        promise: "likely ready by 14:40".into(),
        collect_at: "Gate B".into(),
        late: true,
        jobs: vec![TakenJob {
            job_id: "j1".into(),
            code: "K7M4G".into(),
            racket: "●●●".into(),
            read_back: "24 kg (52.9 lb) / 23 kg (50.7 lb)".into(),
            ready_by: "14:30".into(),
            likely: "14:40".into(),
            late: true,
            damage: "Shoulders".into(),
            change_href: "/jobs/j1/change".into(),
            photos: Photos::default(),
        }],
    };
    let html = rendered(
        "hand-in-taken",
        &HandIn {
            taken: Some(taken),
            ..screen()
        },
    );
    assert!(html.contains("action=\"/jobs/j1/tag\"") && html.contains("action=\"/jobs/j1/ticket\""));
    let text = words(&html);
    assert!(text.contains("52.9 lb") && text.contains("Damage seen: Shoulders"));
    assert!(
        text.contains("asked by 14:30")
            && text.contains("likely ready by 14:40")
            && text.contains("later than"),
        "{text}"
    );
    assert!(html.contains("href=\"/jobs/j1/change\""));
    assert!(
        text.contains("Partner Example may collect, next time only"),
        "{text}"
    );
    assert!(html.contains("value=\"withdraw:Partner Example\""));
}

#[test]
fn a_search_without_hits_offers_a_new_player() {
    let html = rendered(
        "hand-in-nobody",
        &HandIn {
            query: "zzz".into(),
            found: Some(Vec::new()),
            ..screen()
        },
    );
    assert!(words(&html).contains("Nothing found for"));
    assert!(html.contains("/hand-in?mode=new"));
}

#[test]
fn stale_and_offline_bands_wait_hidden_on_the_page() {
    let html = rendered("hand-in-bands", &screen());
    assert!(html.contains("data-stale-band") && html.contains("data-offline-band"));
    assert!(html.contains("data-live=\"jobs rackets\""));
}

#[test]
fn a_photo_is_chosen_in_the_condition_check_and_one_that_came_along_is_still_there() {
    let mut card = card(Wish::Same);
    card.lines[0].photo_again = Some(PhotoAgain {
        name: "line_1_photo_again".into(),
        out: "line_1_photo_out".into(),
        whole: "d2hvbGU=".into(),
        small: "c21hbGw=".into(),
    });
    let html = rendered(
        "hand-in-photo",
        &HandIn {
            card: Some(card),
            ..screen()
        },
    );
    assert!(html.contains("enctype=\"multipart/form-data\""));
    assert!(
        html.contains("<input type=\"file\" accept=\"image/*\" capture=\"environment\" id=\"line_1_photo\"")
    );
    assert!(html.contains("name=\"line_1_photo_again\" value=\"d2hvbGU=\""));
    assert!(html.contains("src=\"data:image/jpeg;base64,c21hbGw=\""));
}
