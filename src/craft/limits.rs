//! The rules' limits on a racket's size.
//!
//! "Shall not exceed": a measure equal to its limit is allowed.
use crate::sport::Sport;

/// One measure that a sport's rules limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What is measured, with its unit at the end of the name.
    pub measure: &'static str,
    /// The bound, in the unit of the name.
    pub bound: Bound,
    /// Which rule says so.
    pub source: &'static str,
}

/// A bound; the value itself is allowed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// At most this.
    AtMost(f64),
    /// At least this.
    AtLeast(f64),
}

const fn at_most(measure: &'static str, value: f64, source: &'static str) -> Limit {
    Limit {
        measure,
        bound: Bound::AtMost(value),
        source,
    }
}

const fn at_least(measure: &'static str, value: f64, source: &'static str) -> Limit {
    Limit {
        measure,
        bound: Bound::AtLeast(value),
        source,
    }
}

const ITF: &str = "ITF Rules of Tennis, appendix II, b and c";
const BWF: &str = "BWF Laws of Badminton 4.1 and 4.2, by two reprints";
const WSF: &str = "WSF rules of squash, racket appendix, by a reprint of an older edition";

const TENNIS: [Limit; 4] = [
    at_most("overall_length_mm", 737.0, ITF),
    at_most("overall_width_mm", 317.0, ITF),
    at_most("hitting_length_mm", 394.0, ITF),
    at_most("hitting_width_mm", 292.0, ITF),
];
const BADMINTON: [Limit; 6] = [
    at_most("overall_length_mm", 680.0, BWF),
    at_most("overall_width_mm", 230.0, BWF),
    at_most("strung_length_mm", 280.0, BWF),
    at_most("strung_width_mm", 220.0, BWF),
    at_most("extension_width_mm", 35.0, BWF),
    at_most("total_strung_length_mm", 330.0, BWF),
];
const SQUASH: [Limit; 9] = [
    at_most("overall_length_mm", 686.0, WSF),
    at_most("overall_width_mm", 215.0, WSF),
    at_most("string_length_mm", 390.0, WSF),
    at_most("strung_area_cm2", 500.0, WSF),
    at_most("mass_g", 255.0, WSF),
    at_least("min_frame_width_mm", 7.0, WSF),
    at_most("max_frame_depth_mm", 26.0, WSF),
    at_least("min_outside_curvature_radius_mm", 50.0, WSF),
    at_least("min_edge_radius_mm", 2.0, WSF),
];

/// What the rules of a sport limit.
#[must_use]
pub const fn of(sport: Sport) -> &'static [Limit] {
    match sport {
        Sport::Tennis => &TENNIS,
        Sport::Badminton => &BADMINTON,
        Sport::Squash => &SQUASH,
    }
}

impl Limit {
    /// Whether a measured value, in the unit of the name, keeps the limit; a value that is no number does not.
    #[must_use]
    pub fn keeps(&self, value: f64) -> bool {
        match self.bound {
            Bound::AtMost(most) => value <= most,
            Bound::AtLeast(least) => value >= least,
        }
    }
}

/// A measure that a sport's rules do not limit.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the rules of {sport} limit no \"{measure}\"")]
pub struct NoSuchLimit {
    /// The measure asked for.
    pub measure: String,
    /// The sport's word.
    pub sport: &'static str,
}

/// The measures that break their limit, sorted by name.
///
/// # Errors
/// [`NoSuchLimit`] for a measure that the sport's rules do not name.
pub fn violations(sport: Sport, measures: &[(&str, f64)]) -> Result<Vec<&'static str>, NoSuchLimit> {
    let mut broken = Vec::new();
    for (measure, value) in measures {
        let limit = of(sport)
            .iter()
            .find(|limit| limit.measure == *measure)
            .ok_or_else(|| NoSuchLimit {
                measure: (*measure).to_owned(),
                sport: sport.name(),
            })?;
        if !limit.keeps(*value) {
            broken.push(limit.measure);
        }
    }
    broken.sort_unstable();
    Ok(broken)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bounds as printed: ITF Rules of Tennis, appendix II b-c (73.7, 31.7, 39.4, 29.2 cm); BWF
    /// Laws 4.1-4.2 (680, 230, 280, 220 mm); WSF racket appendix (686, 215, 390 mm, 500 cm2).
    #[test]
    fn a_measure_at_its_printed_limit_passes_and_the_next_tenth_does_not() {
        let printed = [
            (Sport::Tennis, "overall_length_mm", 737.0),
            (Sport::Tennis, "overall_width_mm", 317.0),
            (Sport::Tennis, "hitting_length_mm", 394.0),
            (Sport::Tennis, "hitting_width_mm", 292.0),
            (Sport::Badminton, "overall_length_mm", 680.0),
            (Sport::Badminton, "overall_width_mm", 230.0),
            (Sport::Badminton, "strung_length_mm", 280.0),
            (Sport::Badminton, "strung_width_mm", 220.0),
            (Sport::Squash, "overall_length_mm", 686.0),
            (Sport::Squash, "overall_width_mm", 215.0),
            (Sport::Squash, "string_length_mm", 390.0),
            (Sport::Squash, "strung_area_cm2", 500.0),
        ];
        for (sport, measure, most) in printed {
            assert_eq!(violations(sport, &[(measure, most)]), Ok(vec![]), "{measure}");
            assert_eq!(violations(sport, &[(measure, most + 0.1)]), Ok(vec![measure]));
        }
    }

    #[test]
    fn a_least_measure_is_broken_from_below() {
        // WSF racket appendix: frame width at least 7 mm
        let width = |mm| violations(Sport::Squash, &[("min_frame_width_mm", mm)]);
        assert_eq!(width(7.0), Ok(vec![]));
        assert_eq!(width(6.9), Ok(vec!["min_frame_width_mm"]));
    }

    #[test]
    fn a_measure_without_limit_is_named_and_no_number_breaks_one() {
        let asked = violations(Sport::Tennis, &[("mass_g", 300.0)]);
        assert_eq!(
            asked.map_err(|fault| fault.to_string()),
            Err("the rules of tennis limit no \"mass_g\"".to_owned())
        );
        assert_eq!(
            violations(Sport::Tennis, &[("overall_width_mm", f64::NAN)]),
            Ok(vec!["overall_width_mm"])
        );
    }
}
