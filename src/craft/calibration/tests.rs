//! Checked against certified and independently computed values.
use proptest::prelude::*;

use super::*;

/// NIST `StRD`, linear regression, Norris (calibration of ozone monitors): data and certified values.
const NORRIS: [(f64, f64); 36] = [
    (0.2, 0.1),
    (337.4, 338.8),
    (118.2, 118.1),
    (884.6, 888.0),
    (10.1, 9.2),
    (226.5, 228.1),
    (666.3, 668.5),
    (996.3, 998.5),
    (448.6, 449.1),
    (777.0, 778.9),
    (558.2, 559.2),
    (0.4, 0.3),
    (0.6, 0.1),
    (775.5, 778.1),
    (666.9, 668.8),
    (338.0, 339.3),
    (447.5, 448.9),
    (11.6, 10.8),
    (556.0, 557.7),
    (228.1, 228.3),
    (995.8, 998.0),
    (887.6, 888.8),
    (120.2, 119.6),
    (0.3, 0.3),
    (0.3, 0.6),
    (556.8, 557.6),
    (339.1, 339.3),
    (887.2, 888.0),
    (999.0, 998.5),
    (779.0, 778.9),
    (11.1, 10.2),
    (118.3, 117.6),
    (229.2, 228.9),
    (669.1, 668.4),
    (448.9, 449.2),
    (0.5, 0.2),
];

/// A machine read at four tensions, kgf; the expected values are those of statsmodels (OLS and
/// `get_prediction`).
const STATION: [(f64, f64); 12] = [
    (15.0, 14.6),
    (15.0, 14.7),
    (15.0, 14.6),
    (20.0, 19.5),
    (20.0, 19.7),
    (20.0, 19.6),
    (25.0, 24.6),
    (25.0, 24.5),
    (25.0, 24.7),
    (30.0, 29.5),
    (30.0, 29.6),
    (30.0, 29.4),
];

fn readings(pairs: &[(f64, f64)]) -> Vec<CalibrationReading> {
    pairs
        .iter()
        .map(|(nominal, measured)| CalibrationReading {
            nominal: *nominal,
            measured: *measured,
        })
        .collect()
}

fn close(got: f64, expected: f64, relative: f64) {
    assert!(
        (got - expected).abs() <= relative * expected.abs(),
        "{got} is not {expected}"
    );
}

fn half_a_kilo() -> Newtons {
    Newtons::new(USUAL_TOLERANCE_N).unwrap()
}

#[test]
fn the_line_of_norris_is_the_certified_one() {
    let line = fit_line(&readings(&NORRIS)).unwrap();
    close(line.intercept, -0.262_323_073_774_029, 1e-9);
    close(line.slope, 1.002_116_818_020_45, 1e-12);
    close(line.residual_sd, 0.884_796_396_144_373, 1e-9);
    close(line.standard_error_of_slope(), 0.000_429_796_848_199_937, 1e-9);
    close(line.standard_error_at(0.0), 0.232_818_234_301_152, 1e-9);
}

#[test]
fn the_bias_on_a_line_and_its_interval_are_those_of_statsmodels() {
    let line = fit_line(&readings(&STATION)).unwrap();
    let point = judged_on(&line, 24.0, 0.5);
    close(point.bias, -0.428_666_666_666_661_2, 1e-8);
    close(point.low, -0.485_436_372_075_614_74, 1e-8);
    close(point.high, -0.371_896_961_257_707_66, 1e-8);
    close(point.dial.unwrap(), 24.432_123_655_913_973, 1e-8);
    assert_eq!(point.verdict, Verdict::Inside);
    let point = judged_on(&line, 15.0, 0.4);
    close(point.low, -0.448_415_016_860_321_8, 1e-8);
    close(point.high, -0.264_918_316_472_995_13, 1e-8);
    assert_eq!(point.verdict, Verdict::Recheck);
}

#[test]
fn quantiles_of_t_are_those_of_scipy() {
    for (p, degrees, t) in [
        (0.975, 4, 2.7764451051977934),
        (0.95, 10, 1.8124611228116756),
        (0.9, 2, 1.8856180831641272),
    ] {
        close(t_quantile(p, degrees), t, 1e-8);
        close(t_quantile(1.0 - p, degrees), -t, 1e-8);
    }
    // published table (NIST handbook 1.3.6.7.2): 12.706, 4.303, 2.042 at 0.975 for 1, 2, 30
    for (degrees, t) in [(1, 12.706), (2, 4.303), (30, 2.042)] {
        assert!((t_quantile(0.975, degrees) - t).abs() < 5e-4);
    }
}

#[test]
fn three_pulls_at_one_tension_are_judged_by_their_mean() {
    // by hand: errors 0.1, 0.2, 0.3; mean 0.2, sd 0.1; half = 4.302653 x 0.1 / sqrt 3 = 0.248414
    let pulls = readings(&[(24.0, 24.1), (24.0, 24.2), (24.0, 24.3)]);
    let calibration = judge(&pulls, TensionUnit::Kg, half_a_kilo()).unwrap();
    let point = calibration.points[0];
    assert!((point.bias - 0.2).abs() < 1e-9);
    assert!((point.high - 0.448_414).abs() < 1e-6);
    assert_eq!(calibration.verdict, Verdict::Inside);
    let off = readings(&[(24.0, 22.9), (24.0, 22.8), (24.0, 22.9)]);
    assert_eq!(
        judge(&off, TensionUnit::Kg, half_a_kilo()).unwrap().verdict,
        Verdict::Outside
    );
    let unsure = readings(&[(24.0, 24.1), (24.0, 24.4), (24.0, 24.6)]);
    let unsure = judge(&unsure, TensionUnit::Kg, half_a_kilo()).unwrap();
    assert_eq!(unsure.verdict, Verdict::Recheck);
    assert!(unsure.points[0].readings_to_decide.is_some_and(|many| many > 3));
}

#[test]
fn the_worst_tension_decides() {
    let bent = readings(&[
        (15.0, 15.0),
        (15.0, 15.01),
        (20.0, 20.7),
        (20.0, 20.71),
        (25.0, 26.4),
        (25.0, 26.41),
    ]);
    let calibration = judge(&bent, TensionUnit::Kg, half_a_kilo()).unwrap();
    let verdicts: Vec<_> = calibration.points.iter().map(|point| point.verdict).collect();
    assert_eq!(verdicts, [Verdict::Inside, Verdict::Outside, Verdict::Outside]);
    assert_eq!(calibration.verdict, Verdict::Outside);
}

#[test]
fn a_machine_that_pulls_less_the_more_it_is_set_to_gets_no_dial_value() {
    let falling = readings(&[(20.0, 25.0), (22.5, 22.5), (25.0, 20.0)]);
    let calibration = judge(&falling, TensionUnit::Kg, half_a_kilo()).unwrap();
    assert!(calibration.points.iter().all(|point| point.dial.is_none()));
    assert_eq!(calibration.verdict, Verdict::Outside);
}

#[test]
fn the_tolerance_is_read_in_the_unit_of_the_readings() {
    let pulls = readings(&[(52.0, 52.9), (52.0, 53.0), (52.0, 52.95)]);
    let calibration = judge(&pulls, TensionUnit::Lb, half_a_kilo()).unwrap();
    assert!((calibration.tolerance - 0.5 / 0.453_592_37).abs() < 1e-9);
    assert_eq!(calibration.verdict, Verdict::Inside);
}

#[test]
fn what_cannot_be_judged_is_named() {
    let few = judge(&readings(&[(24.0, 24.0)]), TensionUnit::Kg, half_a_kilo());
    assert_eq!(few, Err(CalibrationFault::TooFew { count: 1 }));
    let odd = judge(
        &readings(&[(24.0, 24.0), (24.0, f64::NAN), (24.0, 24.0)]),
        TensionUnit::Kg,
        half_a_kilo(),
    );
    assert_eq!(odd, Err(CalibrationFault::OutOfRange { index: 1 }));
    let none = judge(&readings(&STATION), TensionUnit::Kg, Newtons::ZERO);
    assert_eq!(none, Err(CalibrationFault::Tolerance));
}

proptest! {
    #[test]
    fn shifting_a_machine_shifts_its_bias(shift in -1.0_f64..1.0) {
        let moved: Vec<_> = STATION.iter().map(|(nominal, measured)| (*nominal, measured + shift)).collect();
        let before = judge(&readings(&STATION), TensionUnit::Kg, half_a_kilo()).unwrap();
        let after = judge(&readings(&moved), TensionUnit::Kg, half_a_kilo()).unwrap();
        for (one, other) in before.points.iter().zip(&after.points) {
            prop_assert!((other.bias - one.bias - shift).abs() < 1e-9);
            prop_assert!((other.high - other.low - (one.high - one.low)).abs() < 1e-9);
        }
    }
}
