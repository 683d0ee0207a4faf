use super::*;
use crate::pages::page_check::{rendered, words};
use crate::pages::parts::ChipKind;
use crate::pages::shell::Surface;

const DRAWING: &str = r#"<svg viewBox="0 0 260 330" role="img" aria-labelledby="bed-title"><title id="bed-title">F-16x19, head up</title><ellipse cx="130" cy="165" rx="110" ry="148" fill="none" stroke="currentColor" stroke-width="6"/><path d="M90 30V300M130 20V310M170 30V300" stroke="currentColor" stroke-width="2"/><path d="M30 110H230M22 165H238M30 220H230" stroke="currentColor" stroke-width="2" stroke-dasharray="6 4"/></svg>"#;

fn pull(set: &str, string: &str, remark: &str) -> PullValue {
    PullValue {
        set: set.into(),
        unit: "kg".into(),
        asked: format!("{} kg", set.trim_end_matches(".0")),
        string: string.into(),
        remark: remark.into(),
        pre_stretch: String::new(),
    }
}

fn step(words: &str, state: StepState) -> Step {
    Step {
        number: 1,
        words: words.into(),
        caution: String::new(),
        state,
    }
}

fn act(phase: &str, label: &str) -> PhaseAct {
    PhaseAct {
        action: "phase".into(),
        phase: phase.into(),
        label: label.into(),
    }
}

fn screen() -> PlanScreen {
    let mut shared = step(
        "Crosses: weave 3, 2, 1 with the short tail; pull 3, 2, 1; go on at 4",
        StepState::Later,
    );
    shared.caution = "Shared hole head 8: keep the path open, no sharp awl.".into();
    PlanScreen {
        shell: Shell::invented("The Plan", Surface::Day, "Next Up"),
        job_id: "j1".into(),
        code: "K7M4G".into(),
        player: "Example A.".into(),
        racket: "●●● white grip".into(),
        frame: "F-16x19".into(),
        ready_by: "14:30".into(),
        spare: Chip::new(ChipKind::Plain, "12 min spare"),
        mains: pull("24.0", "String A 1.25", ""),
        crosses: pull("23.5", "String B 1.30", "asked 23; machine reads 2 % low"),
        facts: vec!["two pieces".into(), "constant pull".into()],
        cuts: vec![
            Cut {
                piece: "Mains".into(),
                length: "at least 6.50 m".into(),
                source: "measured here".into(),
            },
            Cut {
                piece: "Crosses".into(),
                length: "at least 5.80 m".into(),
                source: "measured here".into(),
            },
        ],
        method: "From the start cross, back to cross 1".into(),
        methods: vec![MethodChoice {
            value: "head_down".into(),
            label: "crosses from the head down".into(),
            time: "about 27 min".into(),
        }],
        drawing_svg: DRAWING.into(),
        turn_href: "/plan/j1?turned=yes".into(),
        steps: vec![
            step(
                "Cut out the old strings; mount; all supports touching",
                StepState::Done,
            ),
            step(
                "Mains from the centre: 1A 1B, 2B 2A, 3A 3B …; skip head 7, 9",
                StepState::Now,
            ),
            step("Tie off mains: head 6, both sides", StepState::Later),
            shared,
        ],
        under_way: false,
        past_cautions: Vec::new(),
        cautions: vec!["Mains and crosses differ by more than 10 %: watch the frame's shape.".into()],
        frame_href: "/frames/frm_1".into(),
        unknowns: vec!["Tie-off of the crosses at the throat: not known, read the frame.".into()],
        sources: vec![SourceRow {
            what: "skips".into(),
            value: "head 7, 9".into(),
            source: "maker's sheet".into(),
        }],
        phases: vec![PhaseMark {
            label: "mounted".into(),
            at: "13:31".into(),
        }],
        primary: Some(act("mains_done", "Mains done")),
        ahead: vec![
            act("mains_done", "Mains done"),
            act("crosses_done", "Crosses done"),
        ],
        next_ahead: 0,
        optional: None,
        others: vec![act("mains_started", "Mains started")],
        left: "about 21 min left".into(),
        undo: "mounted, 13:31".into(),
        paused: false,
        paused_words: String::new(),
        called: Vec::new(),
        elsewhere: Elsewhere {
            words: "This racket is strung and waits for its check.".into(),
            label: "Go on with the check".into(),
            href: "/check/j1".into(),
            is_next: true,
        },
        pause_reasons: vec![Choice::new("break", "Break"), Choice::new("power", "Power lost")],
        snap_places: vec![Choice::new("main", "Main"), Choice::new("knot", "At the knot")],
        problem_kinds: vec![
            Choice::new("crack", "Crack seen"),
            Choice::new("grommet", "Grommet broken"),
        ],
        notice: None,
    }
}

#[test]
fn the_plan_shows_both_values_with_their_unit_and_what_was_asked() {
    let html = rendered("plan", &screen());
    let text = words(&html);
    assert!(text.contains("24.0 kg") && text.contains("23.5 kg"), "{text}");
    assert!(text.contains("asked 23; machine reads 2 % low"));
    assert!(text.contains("at least 6.50 m") && text.contains("Shared hole head 8"));
    assert!(html.contains("<title id=\"bed-title\">"));
    assert!(
        text.contains("not known, read the frame"),
        "unknowns stand on the screen, not behind a fold"
    );
}

#[test]
fn there_is_one_primary_button_and_the_others_are_folded() {
    let html = rendered("plan-primary", &screen());
    // what is ahead is kept in a template, which nobody sees
    let seen = html
        .split("<template")
        .map(|part| part.rsplit("</template>").next().unwrap());
    let html: String = seen.collect();
    assert_eq!(html.matches("button primary").count(), 1);
    assert!(html.contains("name=\"phase\" value=\"mains_done\""));
    let folded = html.find("id=\"more-phases\"").unwrap();
    assert!(html.find("value=\"mains_started\"").unwrap() > folded);
}

#[test]
fn a_changed_spec_covers_the_screen_until_it_is_understood() {
    let notice = ChangeNotice {
        version: "4".into(),
        who: "Ana".into(),
        at: "13:40".into(),
        changes: vec![("Crosses".into(), "23 kg".into(), "22 kg".into())],
        what_now: "It holds for what is not strung yet.".into(),
    };
    let html = rendered(
        "plan-notice",
        &PlanScreen {
            notice: Some(notice),
            ..screen()
        },
    );
    assert!(html.contains("action=\"/jobs/j1/do/acknowledge\"") && words(&html).contains("Understood"));
    assert!(
        !html.contains("/jobs/j1/do/phase"),
        "no phase can be tapped before"
    );
}

#[test]
fn a_racket_in_check_leads_to_its_check() {
    let page = PlanScreen {
        primary: None,
        undo: String::new(),
        ..screen()
    };
    let html = rendered("plan-in-check", &page);
    assert!(html.contains("href=\"/check/j1\"") && !html.contains("This racket is on no machine"));
}

#[test]
fn once_the_mains_are_begun_what_is_done_folds_and_the_next_step_comes_before_the_cautions() {
    let page = PlanScreen {
        under_way: true,
        past_cautions: vec!["Eye protection when cutting out.".into()],
        called: vec!["grommet, 13:40".into()],
        ..screen()
    };
    let html = rendered("plan-under-way", &page);
    let at = |part: &str| html.find(part).unwrap();
    assert!(at("id=\"done-steps\"") < at("Eye protection") && at("Eye protection") < at("step-now"));
    assert!(at("step-now") < at("aria-label=\"Cautions\""));
    assert!(words(&html).contains("Problem reported: grommet, 13:40."));
}

#[test]
fn a_snap_takes_two_steps() {
    let html = rendered("plan-snapped", &screen());
    assert!(html.contains("type=\"radio\" name=\"place\" value=\"knot\" required"));
    assert!(!html.contains("type=\"submit\" name=\"place\""));
}

#[test]
fn a_paused_job_offers_to_go_on_and_warns_of_the_machine() {
    let html = rendered(
        "plan-paused",
        &PlanScreen {
            paused: true,
            paused_words: "Paused: break, since 13:40.".into(),
            primary: None,
            ..screen()
        },
    );
    assert!(html.contains("action=\"/jobs/j1/do/resume\""));
    assert!(words(&html).contains("Paused: break, since 13:40."));
    assert!(words(&html).contains("check the machine's unit, tension, pre-stretch, speed and knot settings"));
}
