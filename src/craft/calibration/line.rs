//! A straight line by least squares.
use crate::calibration::CalibrationReading;

/// `measured = intercept + slope x nominal`, with what its uncertainty rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedLine {
    /// Where the line starts.
    pub intercept: f64,
    /// How steep it is; 1 for a machine without error.
    pub slope: f64,
    /// Residual standard deviation.
    pub residual_sd: f64,
    /// How many readings it rests on.
    pub readings: usize,
    /// Degrees of freedom: readings less two.
    pub degrees: u32,
    mean_nominal: f64,
    squares_nominal: f64,
}

impl FittedLine {
    /// Standard error of the line's height at the nominal value `at`.
    #[must_use]
    pub fn standard_error_at(&self, at: f64) -> f64 {
        let away = at - self.mean_nominal;
        self.residual_sd * (1.0 / count(self.readings).0 + away * away / self.squares_nominal).sqrt()
    }

    /// Standard error of the slope.
    #[must_use]
    pub fn standard_error_of_slope(&self) -> f64 {
        self.residual_sd / self.squares_nominal.sqrt()
    }
}

/// A number of readings as a float and as an integer.
pub(super) fn count(readings: usize) -> (f64, u32) {
    let whole = u32::try_from(readings).unwrap_or(u32::MAX);
    (f64::from(whole), whole)
}

/// The line through the readings; `None` for fewer than three or one nominal value only.
#[must_use]
pub fn fit_line(readings: &[CalibrationReading]) -> Option<FittedLine> {
    let (many, whole) = count(readings.len());
    let degrees = whole.checked_sub(2).filter(|degrees| *degrees > 0)?;
    let mean = |value: fn(&CalibrationReading) -> f64| readings.iter().map(value).sum::<f64>() / many;
    let (mean_nominal, mean_measured) = (mean(|one| one.nominal), mean(|one| one.measured));
    // sums of deviations, not of squares, so that far-off means lose no digits
    let squares_nominal: f64 = readings
        .iter()
        .map(|one| (one.nominal - mean_nominal).powi(2))
        .sum();
    let first = readings.first()?.nominal;
    if readings.iter().all(|one| one.nominal.total_cmp(&first).is_eq()) || squares_nominal <= 0.0 {
        return None;
    }
    let products = |one: &CalibrationReading| (one.nominal - mean_nominal) * (one.measured - mean_measured);
    let slope = readings.iter().map(products).sum::<f64>() / squares_nominal;
    let intercept = mean_measured - slope * mean_nominal;
    let residual = |one: &CalibrationReading| one.measured - intercept - slope * one.nominal;
    let squares: f64 = readings.iter().map(|one| residual(one).powi(2)).sum();
    let residual_sd = (squares / f64::from(degrees)).sqrt();
    Some(FittedLine {
        intercept,
        slope,
        residual_sd,
        readings: readings.len(),
        degrees,
        mean_nominal,
        squares_nominal,
    })
}
