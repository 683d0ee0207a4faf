//! What is refused: whole, with every fault, each with line and column and the way out.
use crate::{sample, text_of, told, weftdesk};

/// The refusal's lines for an order of play given on standard input.
fn refused(text: &str, more: &[&str]) -> Vec<String> {
    let mut arguments = vec!["match-times", "-"];
    arguments.extend(more);
    let refused = weftdesk(&arguments, text);
    assert_eq!(refused.status.code(), Some(1), "{}", told(&refused.stdout));
    assert!(refused.stdout.is_empty(), "a refused file gives no answer");
    told(&refused.stderr).lines().map(str::to_owned).collect()
}

/// The refusal's lines for events of the sample day.
fn events_refused(lines: &str) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("events.jsonl");
    std::fs::write(&path, lines).unwrap();
    let refused = weftdesk(
        &[
            "match-times",
            &sample("order-of-play.json"),
            "--events",
            path.to_str().unwrap(),
        ],
        "",
    );
    assert_eq!(refused.status.code(), Some(1), "{}", told(&refused.stdout));
    told(&refused.stderr).lines().map(str::to_owned).collect()
}

#[test]
fn an_unreadable_file_tells_line_and_column() {
    assert!(refused("{\n \"day\": ,\n}", &[])[0].starts_with("standard input:2:9:"));
    let quote = refused("day,court\n2026-05-02,\"C1\n", &["--zone", "UTC"]);
    assert!(
        quote[0].starts_with("standard input:2:12:") && quote[0].contains("(unreadable)"),
        "{quote:?}"
    );
    let calendar = refused("BEGIN:VCALENDAR\nBEGIN:VEVENT\nEND:VCALENDAR\n", &[]);
    assert!(calendar[0].starts_with("standard input:3:1:"), "{calendar:?}");
}

#[test]
fn every_fault_of_an_order_is_listed_at_once() {
    let wrong = text_of("order-of-play.json")
        .replacen("Europe/Paris", "Europe/Paradise", 1)
        .replacen("\"court\": \"C2\"", "\"court\": \"C9\"", 1)
        .replacen("\"id\": \"M12\"", "\"id\": \"M11\"", 1)
        .replacen("\"format\": \"dbl_noad_mtb10\"", "\"format\": \"bo9\"", 1)
        .replacen("\"time\": \"11:00\"", "\"time\": \"31:00\"", 1);
    let zone = refused(&wrong, &[]);
    let sound_zone = wrong.replacen("Europe/Paradise", "Europe/Paris", 1);
    let mut all = refused(&sound_zone, &[]);
    all.extend(zone);
    for code in [
        "unknown_zone",
        "unknown_court",
        "match_twice",
        "unknown_format",
        "not_a_value",
    ] {
        let told = all.iter().find(|line| line.ends_with(&format!("({code})")));
        let told = told.unwrap_or_else(|| panic!("{code}: {all:#?}"));
        let mut place = told.trim_start_matches("standard input:").split(':');
        let number = |part: Option<&str>| part.unwrap().parse::<usize>().unwrap();
        assert!(number(place.next()) > 1 && number(place.next()) > 1, "{told}");
    }
}

#[test]
fn matches_that_wait_for_one_another_are_named() {
    let ring = text_of("order-of-play.json").replacen("\"P202\"\n", "{\"winner_of\": \"M17\"}\n", 1);
    let told = refused(&ring, &[]);
    assert!(
        told[0].contains("M12 waits for M17 waits for M12")
            || told[0].contains("M17 waits for M12 waits for M17"),
        "{told:?}"
    );
    assert!(told[0].ends_with("(cycle)"), "{told:?}");
}

#[test]
fn a_day_that_begins_too_early_or_mixes_days_is_refused() {
    let early = text_of("order-of-play.csv").replacen("13:00", "-1:00", 1);
    assert!(refused(&early, &["--zone", "Europe/Paris"])[0].ends_with("(before_the_day)"));
    let mixed = text_of("order-of-play.csv").replacen("\n2026-05-02,C2", "\n2026-05-03,C2", 1);
    assert!(refused(&mixed, &["--zone", "Europe/Paris"])[0].ends_with("(other_day)"));
    assert!(refused(&text_of("order-of-play.csv"), &[])[0].contains("--zone"));
    assert!(refused("x", &["--zone", "Mars/Olympus"])[0].contains("(unknown_zone)"));
}

#[test]
fn times_that_the_clock_shows_twice_or_never_are_accepted_with_a_name() {
    for (day, time, remark) in [
        ("2026-10-25", "02:30", "clock_shows_twice"),
        ("2026-03-29", "02:30", "clock_jumps_over"),
    ] {
        let text = format!(
            "day,court,seq,match_id,format,start_rule,start_time\n{day},C1,1,M1,bo3_tb,not_before,{time}\n"
        );
        let printed = weftdesk(&["match-times", "-", "--zone", "Europe/Paris"], &text);
        assert_eq!(printed.status.code(), Some(0), "{}", told(&printed.stderr));
        assert!(
            told(&printed.stdout).contains("standard input:2:38: start_time:"),
            "{}",
            told(&printed.stdout)
        );
        assert!(told(&printed.stdout).contains(remark));
    }
}

#[test]
fn events_are_refused_whole_with_every_fault() {
    let told = events_refused(concat!(
        "{\"src\":\"a\",\"n\":1,\"at\":\"2026-05-02T09:10:00Z\",\"match\":\"M11\",\"type\":\"started\"}\n",
        "{\"src\":\"a\",\"n\":2,\"at\":\"2026-05-02T09:30:00Z\",\"match\":\"M11\",\"type\":\"score\",\"games\":[3,1]}\n",
        "{\"src\":\"a\",\"n\":3,\"at\":\"2026-05-02T09:40:00Z\",\"match\":\"M11\",\"type\":\"score\",\"games\":[2,1]}\n",
        "{\"src\":\"a\",\"n\":4,\"at\":\"2026-05-02T09:50:00Z\",\"match\":\"M12\",\"type\":\"moved\",\"court\":\"C2\",\"seq\":1,\"version\":3}\n",
        "{\"src\":\"a\",\"n\":5,\"at\":\"2026-05-07T09:50:00Z\",\"match\":\"M12\",\"type\":\"called\"}\n",
        "{\"src\":\"a\",\"n\":6,\"at\":\"2026-05-02T09:50:00Z\",\"match\":\"M99\",\"type\":\"called\"}\n",
        "{\"src\":\"a\",\"n\":7,\"at\":\"2026-05-02T09:51:00Z\",\"courts\":[\"C7\"],\"type\":\"suspended\"}\n",
    ));
    let codes: Vec<_> = told
        .iter()
        .map(|line| line.rsplit('(').next().unwrap().trim_end_matches(')'))
        .collect();
    assert_eq!(
        codes,
        [
            "score_backward",
            "stale_version",
            "other_day",
            "unknown_match",
            "unknown_court"
        ],
        "{told:#?}"
    );
    let lines: Vec<_> = told
        .iter()
        .map(|line| line.rsplit(".jsonl:").next().unwrap().split(':').next().unwrap())
        .collect();
    assert_eq!(lines, ["3", "4", "5", "6", "7"]);
}

#[test]
fn a_score_may_go_backward_as_a_correction() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("events.jsonl");
    let lines = concat!(
        "{\"src\":\"a\",\"n\":2,\"at\":\"2026-05-02T09:30:00Z\",\"match\":\"M11\",\"type\":\"score\",\"games\":[3,1]}\n",
        "{\"src\":\"a\",\"n\":3,\"at\":\"2026-05-02T09:40:00Z\",\"match\":\"M11\",\"type\":\"corrected\",\"games\":[2,1]}\n",
    );
    std::fs::write(&path, lines).unwrap();
    let printed = weftdesk(
        &[
            "match-times",
            &sample("order-of-play.json"),
            "--events",
            path.to_str().unwrap(),
        ],
        "",
    );
    assert_eq!(printed.status.code(), Some(0), "{}", told(&printed.stderr));
}

#[test]
fn a_broken_line_tells_its_column_and_a_member_that_does_not_belong_its_name() {
    let told = events_refused(
        "{\"src\":\"a\",\"n\":1,}\n{\"src\":\"a\",\"n\":2,\"at\":\"2026-05-02T09:30:00Z\",\"match\":\"M11\",\"type\":\"called\",\"court\":\"C1\"}\n",
    );
    assert!(
        told[0].contains(":1:18:") && told[0].ends_with("(unreadable)"),
        "{told:?}"
    );
    assert!(
        told[1].contains(":2:") && told[1].contains("court") && told[1].ends_with("(not_a_value)"),
        "{told:?}"
    );
}
