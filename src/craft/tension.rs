//! A reference tension as somebody asked for it: a decimal text and a unit.
//!
//! The text is kept as said ("24", "24.5"), so that nothing is lost by
//! converting; the pull in newtons is computed from it.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::units::{NEWTONS_PER_KGF, NEWTONS_PER_LBF, Newtons};

/// The units in which a tension may be asked for or set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
pub enum TensionUnit {
    /// Kilogram-force, as machines label it.
    #[serde(rename = "kg")]
    Kg,
    /// Pound-force, as machines label it.
    #[serde(rename = "lb")]
    Lb,
    /// Newton.
    #[serde(rename = "N")]
    N,
}

impl TensionUnit {
    /// How many newtons one of this unit is.
    #[must_use]
    pub const fn newtons(self) -> f64 {
        match self {
            Self::Kg => NEWTONS_PER_KGF,
            Self::Lb => NEWTONS_PER_LBF,
            Self::N => 1.0,
        }
    }

    /// The unit's symbol on screens and in data.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Kg => "kg",
            Self::Lb => "lb",
            Self::N => "N",
        }
    }
}

/// A tension as asked: decimal text with its unit, never one without the other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(try_from = "TensionParts", into = "TensionParts")]
#[schema(as = Tension, example = json!({"value": "24.0", "unit": "kg"}))]
pub struct Tension {
    value: String,
    unit: TensionUnit,
}

/// The wire form of a [`Tension`]; parsed into one before anybody uses it.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TensionParts {
    value: String,
    unit: TensionUnit,
}

/// Why a text is not a tension.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TensionFault {
    /// Not digits with at most one decimal point.
    #[error("must be a decimal number as text, such as \"24.5\"")]
    NotDecimal,
    /// A decimal comma was used; the API takes a point.
    #[error("uses a decimal comma; write a point, such as \"24.5\"")]
    DecimalComma,
    /// Zero or negative.
    #[error("must be above 0")]
    NotPositive,
    /// More digits than a tension can have.
    #[error("has too many digits; give at most 4 before and 3 after the point")]
    TooLong,
}

impl Tension {
    /// Parses a decimal text such as `"24"` or `"24.5"`.
    ///
    /// # Errors
    /// A [`TensionFault`] that says how to write it.
    pub fn parse(value: &str, unit: TensionUnit) -> Result<Self, TensionFault> {
        let text = value.trim();
        if text.contains(',') {
            return Err(TensionFault::DecimalComma);
        }
        let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        if text.starts_with('-') && digits(whole.trim_start_matches('-')) {
            return Err(TensionFault::NotPositive);
        }
        if !digits(whole) || !digits(fraction) {
            return Err(TensionFault::NotDecimal);
        }
        if whole.len() > 4 || fraction.len() > 3 {
            return Err(TensionFault::TooLong);
        }
        if text.bytes().all(|byte| matches!(byte, b'0' | b'.')) {
            return Err(TensionFault::NotPositive);
        }
        Ok(Self {
            value: text.to_owned(),
            unit,
        })
    }

    /// The text as asked.
    #[must_use]
    pub fn value(&self) -> &str {
        &self.value
    }

    /// The unit as asked.
    #[must_use]
    pub fn unit(&self) -> TensionUnit {
        self.unit
    }

    /// The number, in [`Self::unit`].
    #[must_use]
    pub fn number(&self) -> f64 {
        self.value.parse().unwrap_or(f64::NAN)
    }

    /// The pull this asks for.
    #[must_use]
    pub fn newtons(&self) -> Newtons {
        // a parsed tension has a finite positive number, so the fallback is never taken
        Newtons::new(self.number() * self.unit.newtons()).unwrap_or(Newtons::ZERO)
    }

    /// The number this tension has in `unit`, unrounded.
    #[must_use]
    pub fn in_unit(&self, unit: TensionUnit) -> f64 {
        if unit == self.unit {
            self.number()
        } else {
            self.newtons().get() / unit.newtons()
        }
    }
}

impl TryFrom<TensionParts> for Tension {
    type Error = TensionFault;
    fn try_from(parts: TensionParts) -> Result<Self, TensionFault> {
        Self::parse(&parts.value, parts.unit)
    }
}

impl From<Tension> for TensionParts {
    fn from(tension: Tension) -> Self {
        Self {
            value: tension.value,
            unit: tension.unit,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tension_keeps_what_was_said() {
        let asked = Tension::parse("24.50", TensionUnit::Kg).unwrap();
        assert_eq!(asked.value(), "24.50");
        assert!((asked.newtons().get() - 240.262_925).abs() < 1e-9);
    }

    #[test]
    fn faults_are_told_apart() {
        let fault = |text| Tension::parse(text, TensionUnit::Lb).unwrap_err();
        assert_eq!(fault("24,5"), TensionFault::DecimalComma);
        assert_eq!(fault("NaN"), TensionFault::NotDecimal);
        assert_eq!(fault("-3"), TensionFault::NotPositive);
        assert_eq!(fault("0.0"), TensionFault::NotPositive);
        assert_eq!(fault("1e3"), TensionFault::NotDecimal);
        assert_eq!(fault("24."), TensionFault::NotDecimal);
        assert_eq!(fault("24.12345"), TensionFault::TooLong);
    }
}
