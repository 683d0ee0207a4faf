//! Wishes as the counter hears them; the wordings are common practice, no source.
mod properties;

use super::*;
use crate::spec::{PreStretch, StringFacts, StringSpec};

fn spec(mains: (&str, TensionUnit), crosses: (&str, TensionUnit)) -> Spec {
    let string = |(value, unit): (&str, TensionUnit)| StringSpec {
        string: StringFacts::default(),
        tension: Tension::parse(value, unit).unwrap(),
        pre_stretch: PreStretch::None,
    };
    Spec {
        pieces: Pieces::Two,
        mains: string(mains),
        crosses: string(crosses),
        method: None,
        knot_extra: None,
        stencil: None,
        tension_label: false,
        string_savers: false,
        shoulder_pads: false,
        return_dampener: false,
        grip: None,
        grommets: None,
        lead: None,
        cut_out_only: false,
        cut_out_not_before_at: None,
        read_old_bed_first: false,
        as_said: None,
        note: None,
    }
}

fn tennis(usual_unit: Option<TensionUnit>) -> WishContext<'static> {
    WishContext {
        sport: Sport::Tennis,
        usual_unit,
        chosen_unit: None,
        last: None,
        now: None,
    }
}

fn answer(text: &str, context: &WishContext<'_>) -> WishAnswer {
    resolve_wish(text, context).unwrap_or_else(|fault| panic!("{text}: {fault}"))
}

fn resolved(text: &str, context: &WishContext<'_>) -> ResolvedWish {
    match answer(text, context) {
        WishAnswer::Resolved(wish) => wish,
        WishAnswer::Needs(needs) => panic!("{text}: {needs:?}"),
    }
}

fn asked(text: &str, context: &WishContext<'_>) -> Needs {
    match answer(text, context) {
        WishAnswer::Needs(needs) => needs,
        WishAnswer::Resolved(wish) => panic!("{text}: {}", wish.read_back),
    }
}

fn read_backs(needs: &Needs, context: &WishContext<'_>) -> Vec<String> {
    let wishes = needs.choices.iter();
    wishes
        .map(|choice| resolved(&choice.wish, context).read_back)
        .collect()
}

#[test]
fn wishes_in_the_players_own_unit_are_read_back_in_full() {
    let kg = tennis(Some(TensionUnit::Kg));
    for (text, read_back) in [
        ("24/23", "Mains 24 kg, crosses 23 kg."),
        ("24 and a half", "Mains and crosses 24.5 kg."),
        ("twenty-four and a half", "Mains and crosses 24.5 kg."),
        ("24 1/2", "Mains and crosses 24.5 kg."),
        ("24½/24", "Mains 24.5 kg, crosses 24 kg."),
        ("24,5", "Mains and crosses 24.5 kg."),
        ("24,5/23,5", "Mains 24.5 kg, crosses 23.5 kg."),
        ("24.50", "Mains and crosses 24.50 kg."),
        ("24, two knots", "Mains and crosses 24 kg. One piece, two knots."),
        (
            "four knots at 24/23",
            "Mains 24 kg, crosses 23 kg. Two pieces, four knots.",
        ),
        ("mains 24, crosses 23", "Mains 24 kg, crosses 23 kg."),
        (
            "23 on the crosses and 24 on the mains",
            "Mains 24 kg, crosses 23 kg.",
        ),
    ] {
        assert_eq!(resolved(text, &kg).read_back, read_back, "{text}");
    }
    let lb = tennis(Some(TensionUnit::Lb));
    assert_eq!(resolved("52", &lb).read_back, "Mains and crosses 52 lb.");
}

#[test]
fn several_rackets_are_read_back_one_by_one() {
    let kg = tennis(Some(TensionUnit::Kg));
    for (text, tensions) in [
        (
            "one each at 24, 25 and 26",
            [("24", "24"), ("25", "25"), ("26", "26")],
        ),
        (
            "one each at 24,25,26 please",
            [("24", "24"), ("25", "25"), ("26", "26")],
        ),
        (
            "two at 20 one at 24/23",
            [("20", "20"), ("20", "20"), ("24", "23")],
        ),
        (
            "two rackets at twenty and one at 26",
            [("20", "20"), ("20", "20"), ("26", "26")],
        ),
        (
            "racket 1: 24. Racket 2: mains 25, crosses 24; racket 3: no",
            [("24", "24"), ("25", "24"), ("", "")],
        ),
    ] {
        let wish = resolved(text, &kg);
        let said = wish
            .rackets
            .iter()
            .map(|racket| (racket.mains.value(), racket.crosses.value()));
        let expected = tensions.into_iter().filter(|(mains, _)| !mains.is_empty());
        assert!(said.eq(expected), "{text}: {}", wish.read_back);
    }
    assert_eq!(
        resolved("one each at 24 and 25/24", &kg).read_back,
        "Racket 1: mains and crosses 24 kg. Racket 2: mains 25 kg, crosses 24 kg."
    );
}

#[test]
fn a_unit_that_is_said_needs_no_memory() {
    for (text, read_back) in [
        ("24 kg", "Mains and crosses 24 kg."),
        ("24/23 kilos", "Mains 24 kg, crosses 23 kg."),
        ("52lb", "Mains and crosses 52 lb."),
        ("52 pounds/50", "Mains 52 lb, crosses 50 lb."),
        ("235 N", "Mains and crosses 235 N."),
        (
            "one each at 52 and 54 pounds",
            "Racket 1: mains and crosses 52 lb. Racket 2: mains and crosses 54 lb.",
        ),
        ("24 kilos and a half", "Mains and crosses 24.5 kg."),
    ] {
        assert_eq!(resolved(text, &tennis(None)).read_back, read_back, "{text}");
    }
}

#[test]
fn without_unit_and_memory_the_unit_is_asked() {
    let needs = asked("52", &tennis(None));
    assert_eq!(needs.what, Missing::Unit);
    assert_eq!(read_backs(&needs, &tennis(None)), ["Mains and crosses 52 lb."]);
    // 28 kg and 28 lb are both asked for in tennis, so the memory does not settle it
    let needs = asked("28/27; soft hands", &tennis(Some(TensionUnit::Kg)));
    assert_eq!(needs.understood.as_deref(), Some("mains 28, crosses 27"));
    assert_eq!(
        read_backs(&needs, &tennis(None)),
        [
            "Mains 28 kg, crosses 27 kg; soft hands",
            "Mains 28 lb, crosses 27 lb; soft hands"
        ]
    );
}

#[test]
fn a_number_that_does_not_fit_the_remembered_unit_is_asked() {
    let needs = asked("52", &tennis(Some(TensionUnit::Kg)));
    assert_eq!(needs.choices[0].label, "lb");
    assert_eq!(needs.choices.len(), 1);
    let badminton = WishContext {
        sport: Sport::Badminton,
        ..tennis(Some(TensionUnit::Lb))
    };
    assert_eq!(
        resolved("26/28", &badminton).read_back,
        "Mains 26 lb, crosses 28 lb."
    );
    assert_eq!(asked("16", &badminton).choices.len(), 2);
    let fault = resolve_wish("52", &badminton).unwrap_err();
    assert!(fault.trouble.contains("badminton"), "{fault}");
}

#[test]
fn a_unit_chosen_beside_the_words_settles_what_both_could_mean_and_nothing_else() {
    let last = spec(("52", TensionUnit::Lb), ("50", TensionUnit::Lb));
    let chosen = |unit| WishContext {
        chosen_unit: Some(unit),
        last: Some(&last),
        ..tennis(None)
    };
    for (text, unit, read_back) in [
        ("30/29", TensionUnit::Kg, "Mains 30 kg, crosses 29 kg."),
        ("30/29", TensionUnit::Lb, "Mains 30 lb, crosses 29 lb."),
        ("one down", TensionUnit::Lb, "Mains 51 lb, crosses 49 lb."),
        // what is said goes before what is chosen
        ("24 kg", TensionUnit::Lb, "Mains and crosses 24 kg."),
    ] {
        assert_eq!(resolved(text, &chosen(unit)).read_back, read_back, "{text}");
    }
    // nobody asks for 52 kg: the slip of the hand is asked about
    let needs = asked("52/50", &chosen(TensionUnit::Kg));
    assert_eq!(needs.what, Missing::Unit);
}

#[test]
fn an_unusual_tension_with_its_unit_is_taken_and_cautioned() {
    let wish = resolved("52 kg", &tennis(None));
    assert_eq!(wish.rackets[0].mains.value(), "52");
    assert_eq!(wish.cautions.len(), 1);
}

#[test]
fn changes_count_from_last_time() {
    let last = spec(("24", TensionUnit::Kg), ("23.5", TensionUnit::Kg));
    let context = WishContext {
        last: Some(&last),
        ..tennis(None)
    };
    for (text, read_back) in [
        ("one kilo down on last time", "Mains 23 kg, crosses 22.5 kg."),
        ("a kilo and a half up", "Mains 25.5 kg, crosses 25 kg."),
        ("half a kilo less than last time", "Mains 23.5 kg, crosses 23 kg."),
        ("down one", "Mains 23 kg, crosses 22.5 kg."),
        ("+0.5", "Mains 24.5 kg, crosses 24 kg."),
        ("one kilo down on the crosses", "Mains 24 kg, crosses 22.5 kg."),
        ("the same as last time, please", "Mains 24 kg, crosses 23.5 kg."),
        ("2 lb tighter", "Mains 24.9 kg, crosses 24.4 kg."),
        (
            "as last time with two knots",
            "Mains 24 kg, crosses 23.5 kg. One piece, two knots.",
        ),
    ] {
        assert_eq!(resolved(text, &context).read_back, read_back, "{text}");
    }
    assert_eq!(
        resolved("2 lb tighter", &context).cautions,
        ["2 lb was taken as 0.9 kg."]
    );
}

#[test]
fn a_change_without_last_time_or_without_its_unit_is_asked() {
    assert_eq!(asked("one kilo down", &tennis(None)).what, Missing::LastSpec);
    let last = spec(("52", TensionUnit::Lb), ("50", TensionUnit::Lb));
    let context = WishContext {
        last: Some(&last),
        ..tennis(Some(TensionUnit::Kg))
    };
    let needs = asked("one down", &context);
    assert_eq!(needs.what, Missing::Unit);
    assert_eq!(
        read_backs(&needs, &context),
        ["Mains 49.8 lb, crosses 47.8 lb.", "Mains 51 lb, crosses 49 lb."]
    );
}

#[test]
fn what_is_missing_is_asked_with_what_was_understood() {
    let kg = tennis(Some(TensionUnit::Kg));
    let needs = asked("mains 24 kg, two knots; dampener back", &kg);
    assert_eq!(
        needs.understood.as_deref(),
        Some("mains 24 kg; one piece, two knots")
    );
    assert_eq!(
        read_backs(&needs, &kg),
        ["Mains and crosses 24 kg. One piece, two knots; dampener back"]
    );
    let last = spec(("24", TensionUnit::Kg), ("23", TensionUnit::Kg));
    let context = WishContext {
        last: Some(&last),
        ..kg
    };
    let needs = asked("two knots", &context);
    assert_eq!(needs.what, Missing::Tension);
    assert_eq!(
        read_backs(&needs, &context),
        ["Mains 24 kg, crosses 23 kg. One piece, two knots."]
    );
    assert!(asked("", &kg).choices.is_empty());
}

#[test]
fn a_comma_that_can_be_two_things_is_asked() {
    let kg = tennis(Some(TensionUnit::Kg));
    let needs = asked("24,25; grip", &kg);
    assert_eq!(needs.what, Missing::Comma);
    assert_eq!(
        read_backs(&needs, &kg),
        [
            "Mains and crosses 24.25 kg; grip",
            "Mains 24 kg, crosses 25 kg; grip"
        ]
    );
    let needs = asked("one each at 24,25", &kg);
    assert_eq!(
        read_backs(&needs, &kg)[1],
        "Racket 1: mains and crosses 24 kg. Racket 2: mains and crosses 25 kg."
    );
}

#[test]
fn a_fault_says_what_was_understood_and_the_way_out() {
    let kg = tennis(Some(TensionUnit::Kg));
    let fault = resolve_wish("24/23 but gently", &kg).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "\"but\" is not understood here. Understood: mains 24, crosses 23. \
         Leave it out, or write it behind a semicolon as a remark."
    );
    for text in [
        "24-23",
        "24 25",
        "24/",
        "0",
        "24/23, one kilo down",
        "3 knots",
        "two knots, two pieces",
        "not 24",
        "24.12345",
        "one each at",
        "25 at 24",
        "24,5,25",
        "racket 2: 24",
        "24\u{0}",
        "99999999999999999999",
    ] {
        let fault = resolve_wish(text, &kg).expect_err(text);
        assert!(!fault.trouble.is_empty() && !fault.way_out.is_empty(), "{text}");
    }
    let last = spec(("24", TensionUnit::Kg), ("24", TensionUnit::Kg));
    let context = WishContext {
        last: Some(&last),
        ..kg
    };
    assert!(resolve_wish("30 kilo down", &context).is_err());
}
