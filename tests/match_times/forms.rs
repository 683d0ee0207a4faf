//! An order of play goes out in each form and comes back the same.
use proptest::prelude::*;
use weftdesk::craft::match_times::order::OrderOfPlay;
use weftdesk::craft::match_times::venue_time::at_minute;
use weftdesk::forms::order_of_play::{CalendarTimes, Known, calendar, csv, json, read};

use crate::text_of;

fn the_day() -> OrderOfPlay {
    read(&text_of("order-of-play.json"), &Known::default())
        .unwrap()
        .order
}

#[test]
fn every_form_is_read_as_it_was_written() {
    let order = the_day();
    let known = || Known {
        zone: Some(order.zone),
        courts: order.courts.clone(),
        players: None,
        called: None,
    };
    let again = read(&json(&order).to_string(), &Known::default()).unwrap().order;
    assert_eq!(again, order);
    let times = vec![
        CalendarTimes {
            start: at_minute(29_600_000),
            takes_min: 100
        };
        order.matches.len()
    ];
    let written = calendar(&order, &times, at_minute(29_600_000));
    for text in [csv(&order), written] {
        let mut back = read(&text, &known()).unwrap().order;
        back.matches.sort_by(|one, other| one.id.cmp(&other.id));
        assert_eq!(back.matches, order.matches, "{text}");
        assert_eq!((back.day, back.zone), (order.day, order.zone));
    }
}

proptest! {
    /// A torn or scribbled file is refused or read, never more.
    #[test]
    fn no_text_is_too_strange(cut in 0_usize..4000, noise in "[\\PC\n\"{}\\[\\],:]{0,12}") {
        for name in ["order-of-play.json", "order-of-play.csv", "order-of-play.ics"] {
            let mut text = text_of(name);
            let at = (0..=cut.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
            text.insert_str(at, &noise);
            let known = Known { zone: Some(chrono_tz::UTC), ..Known::default() };
            if let Err(faults) = read(&text, &known) {
                prop_assert!(!faults.is_empty());
            }
        }
    }
}
