//! The calendars as a reader of other authors understands them (the `icalendar` crate).
use chrono::{DateTime, TimeDelta, Utc};
use icalendar::{Calendar, Component, DatePerhapsTime, EventLike};
use weftdesk::craft::match_times::order::{OrderOfPlay, StartRule};
use weftdesk::forms::order_of_play::{CalendarTimes, Known, calendar, read};
use weftdesk::forms::ready_by_calendar::{ReadyByEntry, Standing, ready_bys};

use crate::text_of;

fn instant(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// None for a day without a time, which our calendars never give.
fn starts(event: &icalendar::Event) -> Option<DateTime<Utc>> {
    match event.get_start()? {
        DatePerhapsTime::DateTime(at) => at.try_into_utc(),
        DatePerhapsTime::Date(_) => None,
    }
}

/// The sample day with a court whose name needs folding and escaping, in two scripts.
fn the_day() -> OrderOfPlay {
    let read = read(&text_of("order-of-play.json"), &Known::default()).unwrap();
    let mut order = read.order;
    order.courts[0].label =
        "Court 1, beside the big gate; « côté jardin » ملعب رقم واحد بجانب البوابة الكبيرة للمركز".to_owned();
    order
}

#[test]
fn an_order_of_play_says_to_others_what_it_means() {
    let order = the_day();
    let said = instant("2026-05-02T06:30:00Z");
    let times: Vec<CalendarTimes> = (0_i64..)
        .take(order.matches.len())
        .map(|number| CalendarTimes {
            start: said + TimeDelta::minutes(240 + 7 * number),
            takes_min: 90 + number,
        })
        .collect();
    let written = calendar(&order, &times, said);
    assert!(written.contains("\r\n "), "some line is folded");
    let theirs: Calendar = written.parse().unwrap();
    let events: Vec<_> = theirs.events().collect();
    assert_eq!(events.len(), order.matches.len());
    for ((event, played), times) in events.iter().zip(&order.matches).zip(&times) {
        let id = format!("{}.{}@weftdesk.invalid", played.id, order.tournament);
        assert_eq!(event.get_uid(), Some(id.as_str()));
        assert_eq!(event.get_timestamp(), Some(said));
        assert_eq!(event.get_sequence(), Some(order.version));
        let fixed = matches!(played.start.rule, StartRule::StartingAt | StartRule::NotBefore);
        let own = played
            .start
            .time
            .filter(|_| fixed)
            .and_then(|time| order.at(time));
        assert_eq!(starts(event), Some(own.unwrap_or(times.start)), "{}", played.id);
        let takes = format!("PT{}H{}M", times.takes_min / 60, times.takes_min % 60);
        assert_eq!(event.property_value("DURATION"), Some(takes.as_str()));
        let court = order.court(&played.court).unwrap();
        assert_eq!(event.get_location(), Some(court.label.as_str()));
    }
}

/// 2026-10-25 has the hour from two to three twice in Paris: in UTC nothing is ambiguous.
#[test]
fn a_players_calendar_says_to_others_when_to_come() {
    let entry = |id: &str, at: &str, standing: Standing| ReadyByEntry {
        id: id.to_owned(),
        version: 4,
        at: instant(at),
        summary: "Racket ●● with the white grip, the second one; ready beside the big gate at last"
            .to_owned(),
        place: "Gate B; ask \\ Ana".to_owned(),
        standing,
    };
    let entries = [
        entry("job_1", "2026-10-25T00:25:00Z", Standing::Tentative),
        entry("job_2", "2026-10-25T01:25:00Z", Standing::Cancelled),
    ];
    let said = instant("2026-10-24T20:00:00Z");
    let written = ready_bys("Tes raquettes", "fr", &entries, said);
    let theirs: Calendar = written.parse().unwrap();
    let events: Vec<_> = theirs.events().collect();
    assert_eq!(events.len(), 2);
    for (event, entry) in events.iter().zip(&entries) {
        let id = format!("{}@weftdesk.invalid", entry.id);
        assert_eq!(event.get_uid(), Some(id.as_str()));
        assert_eq!(event.get_timestamp(), Some(said));
        assert_eq!(event.get_sequence(), Some(4));
        assert_eq!(starts(event), Some(entry.at));
        assert_eq!(event.get_summary(), Some(entry.summary.as_str()));
        assert_eq!(event.get_location(), Some(entry.place.as_str()));
        let status = match entry.standing {
            Standing::Tentative => "TENTATIVE",
            Standing::Confirmed => "CONFIRMED",
            Standing::Cancelled => "CANCELLED",
        };
        assert_eq!(event.property_value("STATUS"), Some(status));
    }
}
