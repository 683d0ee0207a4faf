//! The harness itself: what it must not let pass.
use std::collections::BTreeMap;

use crate::answer::answer;
use crate::case::{Case, read};

/// One case of this form, answered with `area` for its input `side`.
fn held(case: &str, area: f64) -> Result<(), String> {
    let cases = read(&format!(r#"{{"cases": [{case}]}}"#))?;
    let case: &Case = cases.first().ok_or("no case")?;
    case.f("side")?;
    case.hold(vec![("area", answer(area))])
}

const SOUND: &str = r#"{"id": "s", "topic": "square", "inputs": {"side": 2, "note": "prose"},
    "outputs": {"area": {"value": 4, "tol_abs": 0.1}}}"#;

#[test]
fn a_sound_answer_holds_and_a_wrong_one_does_not() {
    assert_eq!(held(SOUND, 4.05), Ok(()));
    assert!(held(SOUND, 4.2).is_err());
}

#[test]
fn an_answer_that_is_not_finite_is_refused_before_comparing() {
    for answer in [f64::NAN, f64::INFINITY] {
        assert!(held(SOUND, answer).unwrap_err().contains("finite"));
        let null = SOUND.replace(r#""value": 4, "tol_abs": 0.1"#, r#""value": null, "exact": true"#);
        assert!(held(&null, answer).unwrap_err().contains("finite"));
    }
}

#[test]
fn an_input_nobody_reads_and_an_output_nobody_answers_are_faults() {
    let more = SOUND.replace(r#""side": 2"#, r#""side": 2, "tilt": 1"#);
    assert!(held(&more, 4.0).unwrap_err().contains("unknown input tilt"));
    let more = SOUND.replace(
        r#""outputs": {"#,
        r#""outputs": {"girth": {"value": 8, "tol_abs": 1}, "#,
    );
    assert!(held(&more, 4.0).unwrap_err().contains("unknown output girth"));
}

#[test]
fn an_expectation_without_tolerance_or_with_a_strange_field_is_a_fault() {
    let none = SOUND.replace(r#", "tol_abs": 0.1"#, "");
    assert!(held(&none, 4.0).unwrap_err().contains("no tolerance"));
    let strange = SOUND.replace("tol_abs", "about");
    assert!(held(&strange, 4.0).unwrap_err().contains("unknown field about"));
}

#[test]
fn a_tolerance_of_the_whole_case_counts_for_each_value() {
    let case = |tolerance: &str| {
        format!(
            r#"{{"id": "s", "kind": "square", "input": {{"side": 2}}, "expected": {{"area": 4}}{tolerance}}}"#
        )
    };
    assert_eq!(held(&case(r#", "tolerance_abs": 0.1"#), 4.05), Ok(()));
    assert_eq!(held(&case(r#", "tol": {"rel": 0.1}"#), 4.3), Ok(()));
    assert_eq!(held(&case(r#", "tolerance": {"area_rel": 0.1}"#), 4.3), Ok(()));
    assert!(held(&case(r#", "tol": {"exact": true}"#), 4.05).is_err());
    assert!(held(&case(r#", "tolerance": {"girth_rel": 0.1}"#), 4.0).is_err());
    assert!(held(&case(""), 4.0).is_err());
}

#[test]
fn lists_and_shares_are_compared_member_by_member() {
    let case = r#"{"id": "d", "group": "dice", "input": {}, "expect": {"shares": {"1": 0.5, "2": 0.5}},
        "tolerance_abs": 0.01}"#;
    let cases = read(&format!(r#"{{"cases": [{case}]}}"#)).expect("a case");
    let shares = |pairs: &[(&str, f64)]| {
        let shares: BTreeMap<String, f64> = pairs
            .iter()
            .map(|(name, share)| ((*name).to_owned(), *share))
            .collect();
        cases[0].hold(vec![("shares", answer(shares))])
    };
    assert_eq!(shares(&[("1", 0.505), ("2", 0.495)]), Ok(()));
    assert!(shares(&[("1", 1.0)]).is_err());
    assert!(shares(&[("1", 0.5), ("3", 0.5)]).is_err());
    assert!(read(r#"{"cases": []}"#).is_err());
}
