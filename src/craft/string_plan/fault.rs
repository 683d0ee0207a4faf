//! Why no plan is made: the field, the reason, the way out.
use serde::Serialize;
use utoipa::ToSchema;

use crate::tension::{Tension, TensionUnit};

/// One reason not to make a plan.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PlanFault {
    /// JSON Pointer into the request.
    pub pointer: String,
    /// Stable code.
    pub code: FaultCode,
    /// What is wrong and the way out.
    pub detail: String,
    /// What was probably meant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub suggestion: Option<Suggestion>,
    /// Whether a person may insist with a reason (`override`).
    pub override_allowed: bool,
}

/// Stable codes of [`PlanFault`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FaultCode {
    /// Outside the frame's range, or the sport's when the frame has none on record.
    TensionOutOfRange,
    /// Outside the range, and inside it in another unit.
    UnitSuspect,
    /// The frame record contradicts itself.
    FrameContradictsItself,
    /// The frame is larger than the sport allows.
    OutsideSportLimits,
    /// The wished method cannot be used here.
    MethodNotAllowed,
    /// No method can be used here.
    NoMethodAllowed,
    /// A value is outside what it can be.
    ValueOutOfRange,
}

impl FaultCode {
    /// The code as text.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::TensionOutOfRange => "tension_out_of_range",
            Self::UnitSuspect => "unit_suspect",
            Self::FrameContradictsItself => "frame_contradicts_itself",
            Self::OutsideSportLimits => "outside_sport_limits",
            Self::MethodNotAllowed => "method_not_allowed",
            Self::NoMethodAllowed => "no_method_allowed",
            Self::ValueOutOfRange => "value_out_of_range",
        }
    }
}

/// The tension that was probably meant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct Suggestion {
    /// Decimal text.
    pub value: String,
    /// Its unit.
    pub unit: TensionUnit,
}

impl PlanFault {
    /// A fault nobody may overrule.
    #[must_use]
    pub fn firm(pointer: impl Into<String>, code: FaultCode, detail: impl Into<String>) -> Self {
        Self {
            pointer: pointer.into(),
            code,
            detail: detail.into(),
            suggestion: None,
            override_allowed: false,
        }
    }
}

impl From<&Tension> for Suggestion {
    fn from(tension: &Tension) -> Self {
        Self {
            value: tension.value().to_owned(),
            unit: tension.unit(),
        }
    }
}
