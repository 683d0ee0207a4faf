//! Whether a machine pulls what it shows: bias, its 95 % interval, the verdict.
//!
//! With one nominal value the bias is the mean error; with several a line is
//! fitted by least squares and judged at each of them. The verdict compares the
//! whole interval with the tolerance (the idea of a guard band, ISO 14253-1, from
//! memory): inside, outside, or more readings are needed.
mod line;
mod student;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

pub use line::{FittedLine, fit_line};
pub use student::t_quantile;

use crate::tension::TensionUnit;
use crate::text_enum::text_enum;
use crate::units::{NEWTONS_PER_KGF, Newtons};

/// The usual tolerance, 0.5 kgf in newtons: the desk's own choice, no published one was found.
pub const USUAL_TOLERANCE_N: f64 = 0.5 * NEWTONS_PER_KGF;
/// The fewest readings that are judged.
pub const FEWEST_READINGS: usize = 3;
/// The highest number that is taken for a reading in any unit.
pub const HIGHEST_READING: f64 = 10_000.0;
/// Two-sided 95 %.
const LEVEL_POINT: f64 = 0.975;

/// One reading of a calibrator.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CalibrationReading {
    /// What the machine was set to.
    pub nominal: f64,
    /// What it pulled.
    pub measured: f64,
}

text_enum! {
    /// What a calibration says of the machine.
    pub enum Verdict, "verdict" {
        /// The whole interval is within the tolerance.
        Inside = "inside",
        /// More readings are needed.
        Recheck = "recheck",
        /// The whole interval is beyond the tolerance.
        Outside = "outside",
    }
}

/// The judgement at one nominal value, in the unit of the readings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct JudgedPoint {
    /// The nominal value.
    pub nominal: f64,
    /// How much more the machine pulls than it is set to.
    pub bias: f64,
    /// Lower end of the bias's 95 % interval.
    pub low: f64,
    /// Upper end of the bias's 95 % interval.
    pub high: f64,
    /// What to set the machine to in order to get the nominal value; none where the fitted
    /// line does not rise, so that no setting can be read from it.
    pub dial: Option<f64>,
    /// The verdict here.
    pub verdict: Verdict,
    /// About how many readings would decide, where more are needed and would.
    pub readings_to_decide: Option<u32>,
}

/// The judgement of a machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Calibration {
    /// The worst verdict of all points.
    pub verdict: Verdict,
    /// The tolerance, in the unit of the readings.
    pub tolerance: f64,
    /// One point per nominal value, rising.
    pub points: Vec<JudgedPoint>,
}

/// Why readings cannot be judged.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CalibrationFault {
    /// Too few readings.
    #[error("readings: give at least 3, here are {count}")]
    TooFew {
        /// How many there are.
        count: usize,
    },
    /// A reading that is no pull of a machine.
    #[error("readings[{index}]: nominal and measured must be above 0 and at most 10000")]
    OutOfRange {
        /// Which reading, from 0.
        index: usize,
    },
    /// The tolerance is no positive number.
    #[error("tolerance: must be above 0")]
    Tolerance,
}

/// Judges a machine by `readings` in `unit`.
///
/// # Errors
/// A [`CalibrationFault`] that names the field.
pub fn judge(
    readings: &[CalibrationReading],
    unit: TensionUnit,
    tolerance: Newtons,
) -> Result<Calibration, CalibrationFault> {
    let sound = |value: f64| value > 0.0 && value <= HIGHEST_READING;
    if readings.len() < FEWEST_READINGS {
        return Err(CalibrationFault::TooFew {
            count: readings.len(),
        });
    }
    if let Some(index) = readings
        .iter()
        .position(|one| !sound(one.nominal) || !sound(one.measured))
    {
        return Err(CalibrationFault::OutOfRange { index });
    }
    if !sound(tolerance.get()) {
        return Err(CalibrationFault::Tolerance);
    }
    let tolerance = tolerance.get() / unit.newtons();
    let mut nominals: Vec<f64> = readings.iter().map(|one| one.nominal).collect();
    nominals.sort_by(f64::total_cmp);
    nominals.dedup();
    let points: Vec<_> = match (nominals.as_slice(), fit_line(readings)) {
        (_, Some(line)) => nominals
            .iter()
            .map(|at| judged_on(&line, *at, tolerance))
            .collect(),
        (_, None) => vec![judged_mean(readings, tolerance)],
    };
    let verdict = points
        .iter()
        .map(|point| point.verdict)
        .max()
        .unwrap_or(Verdict::Recheck);
    Ok(Calibration {
        verdict,
        tolerance,
        points,
    })
}

/// The judgement on a fitted line at the nominal value `at`.
#[must_use]
pub fn judged_on(line: &FittedLine, at: f64, tolerance: f64) -> JudgedPoint {
    let bias = line.intercept + (line.slope - 1.0) * at;
    let half = t_quantile(LEVEL_POINT, line.degrees) * line.standard_error_at(at);
    let dial = (line.slope > 0.0).then(|| (at - line.intercept) / line.slope);
    judged(at, bias, half, dial, line.readings, tolerance)
}

/// The judgement of readings at one nominal value.
fn judged_mean(readings: &[CalibrationReading], tolerance: f64) -> JudgedPoint {
    let (count, last) = line::count(readings.len());
    let nominal = readings.first().map_or(f64::NAN, |one| one.nominal);
    let error = |one: &CalibrationReading| one.measured - one.nominal;
    let bias = readings.iter().map(error).sum::<f64>() / count;
    let squares: f64 = readings.iter().map(|one| (error(one) - bias).powi(2)).sum();
    let spread = (squares / (count - 1.0)).sqrt();
    let half = t_quantile(LEVEL_POINT, last.saturating_sub(1)) * spread / count.sqrt();
    judged(
        nominal,
        bias,
        half,
        Some(nominal - bias),
        readings.len(),
        tolerance,
    )
}

fn judged(
    nominal: f64,
    bias: f64,
    half: f64,
    dial: Option<f64>,
    readings: usize,
    tolerance: f64,
) -> JudgedPoint {
    let (low, high) = (bias - half, bias + half);
    let verdict = if low >= -tolerance && high <= tolerance {
        Verdict::Inside
    } else if low > tolerance || high < -tolerance {
        Verdict::Outside
    } else {
        Verdict::Recheck
    };
    let room = (tolerance - bias.abs()).abs();
    let wanted = line::count(readings).0 * (half / room).powi(2);
    // beyond a thousand readings the bias lies on the limit and no number of them decides
    let readings_to_decide = (verdict == Verdict::Recheck && wanted <= 1000.0)
        .then(|| (1_u32..=1001).find(|many| f64::from(*many) >= wanted))
        .flatten();
    JudgedPoint {
        nominal,
        bias,
        low,
        high,
        dial,
        verdict,
        readings_to_decide,
    }
}

#[cfg(test)]
mod tests;
