//! Whatever is resolved reads back to the same tensions.
use proptest::prelude::*;

use super::*;

fn units() -> impl Strategy<Value = TensionUnit> {
    prop_oneof![Just(TensionUnit::Kg), Just(TensionUnit::Lb), Just(TensionUnit::N)]
}

/// A tension as text: up to four digits and up to three decimals, above 0.
fn decimals() -> impl Strategy<Value = String> {
    prop_oneof!["[1-9][0-9]{0,3}", "[1-9][0-9]{0,3}\\.[0-9]{1,3}"]
}

/// Anything that can be put together from the words of the counter.
fn gibberish() -> impl Strategy<Value = String> {
    let words = [
        "24", "23", "52", "24.5", "24,5", "24,25", "/", ",", ";", "and", "a", "half", "one", "two", "twenty",
        "kilo", "lb", "N", "down", "up", "on", "last", "time", "same", "as", "each", "at", "knots", "piece",
        "mains", "crosses", "racket", "1", "2", ":", "+", "-", "the", "rackets", "four",
    ];
    prop::collection::vec(prop::sample::select(words.to_vec()), 0..9).prop_map(|words| words.join(" "))
}

/// Clauses as they are said, put together in any order; most of these can be resolved.
fn clauses() -> impl Strategy<Value = String> {
    let clauses = [
        "24/23",
        "52 lb",
        "24 and a half",
        "two at 24 kg",
        "one each at 24, 25 and a half and 26/25",
        "mains 24",
        "23.50 kg on the crosses",
        "two knots",
        "four knots",
        "one kilo down on last time",
        "2 lb tighter on the crosses",
        "half down",
        "same as last time",
        "racket 1: 24",
        "racket 2: mains 25 kg, crosses 24",
        "; a spare",
    ];
    prop::collection::vec(prop::sample::select(clauses.to_vec()), 1..4).prop_map(|clauses| clauses.join(", "))
}

/// What is resolved reads back to the same; the choices of a question lead to an answer.
fn holds(text: &str, context: &WishContext<'_>, questions_left: u8) -> Result<(), TestCaseError> {
    match resolve_wish(text, context) {
        Ok(WishAnswer::Resolved(wish)) => {
            let WishAnswer::Resolved(again) = answer(&wish.read_back, context) else {
                return Err(TestCaseError::fail(format!(
                    "{text}: asked about {}",
                    wish.read_back
                )));
            };
            prop_assert_eq!(&again.rackets, &wish.rackets);
            prop_assert_eq!(again.pieces, wish.pieces);
            prop_assert_eq!(again.remarks, wish.remarks);
            prop_assert_eq!(again.read_back, wish.read_back);
        }
        Ok(WishAnswer::Needs(needs)) => {
            prop_assert!(questions_left > 0, "{} is asked about for ever", text);
            for choice in needs.choices {
                holds(&choice.wish, context, questions_left - 1)?;
            }
        }
        Err(fault) => prop_assert!(!fault.way_out.is_empty()),
    }
    Ok(())
}

#[test]
fn the_longest_read_back_is_not_too_long_to_be_resolved() {
    let text = format!(
        "20 at 2345.678/1234.567 lb, four knots; {}",
        "x".repeat(MOST_REMARK_CHARACTERS)
    );
    holds(&text, &tennis(None), 0).unwrap();
}

proptest! {
    #[test]
    fn a_pair_with_its_unit_is_resolved_to_exactly_that(
        mains in decimals(), crosses in decimals(), unit in units(), usual in prop::option::of(units())
    ) {
        let text = format!("{mains}/{crosses} {}", unit.symbol());
        let wish = resolved(&text, &tennis(usual));
        prop_assert_eq!(wish.rackets.len(), 1);
        prop_assert_eq!(&wish.rackets[0].mains, &Tension::parse(&mains, unit).unwrap());
        prop_assert_eq!(&wish.rackets[0].crosses, &Tension::parse(&crosses, unit).unwrap());
        holds(&text, &tennis(usual), 0)?;
    }

    #[test]
    fn a_change_and_its_opposite_lead_back_to_last_time(
        whole in 20_u32..30, step in 1_u32..50, unit in units()
    ) {
        let start = spec((&whole.to_string(), unit), (&whole.to_string(), unit));
        let context = WishContext { last: Some(&start), ..tennis(None) };
        let step = f64::from(step) / 10.0;
        let down = resolved(&format!("{step} {} down", unit.symbol()), &context);
        let lower = spec((down.rackets[0].mains.value(), unit), (down.rackets[0].crosses.value(), unit));
        let context = WishContext { last: Some(&lower), ..tennis(None) };
        let up = resolved(&format!("{step} {} up on last time", unit.symbol()), &context);
        prop_assert_eq!(&up.rackets[0].mains, &start.mains.tension);
        prop_assert_eq!(&up.rackets[0].crosses, &start.crosses.tension);
    }

    #[test]
    fn whatever_is_resolved_reads_back_to_the_same(
        text in prop_oneof![gibberish(), clauses()], usual in prop::option::of(units()), has_last in any::<bool>()
    ) {
        let last = spec(("24.5", TensionUnit::Kg), ("52", TensionUnit::Lb));
        let context = WishContext { last: has_last.then_some(&last), ..tennis(usual) };
        holds(&text, &context, 10)?;
    }

    #[test]
    fn no_text_is_too_odd_to_be_answered(text in "\\PC{0,60}") {
        holds(&text, &tennis(None), 10)?;
    }
}
