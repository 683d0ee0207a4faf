//! Quantities: a number never travels without its unit.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Builds a newtype over a non-negative finite number whose name is its unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident in $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, ToSchema)]
        #[serde(try_from = "f64", into = "f64")]
        #[schema(value_type = f64)]
        pub struct $name(f64);

        impl $name {
            /// The unit's symbol.
            pub const UNIT: &'static str = $unit;
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// Refuses NaN, infinities and negative numbers at the door.
            pub fn new(value: f64) -> Option<Self> {
                (value.is_finite() && value >= 0.0).then_some(Self(value))
            }

            /// The bare number, in this type's unit.
            #[must_use]
            pub fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = String;
            fn try_from(value: f64) -> Result<Self, String> {
                Self::new(value).ok_or_else(|| format!("must be a finite number of {}, 0 or more", $unit))
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }
    };
}

quantity!(
    /// A length of string or frame.
    Millimetres in "mm"
);
quantity!(
    /// A pull, as the machine's reference tension.
    Newtons in "N"
);
quantity!(
    /// A duration of work.
    Seconds in "s"
);

/// 1 kgf in newtons; exact (3rd CGPM, 1901).
pub const NEWTONS_PER_KGF: f64 = 9.806_65;
/// 1 lbf in newtons; exact (international pound of 1959 times standard gravity).
pub const NEWTONS_PER_LBF: f64 = 4.448_221_615_260_5;
/// 1 lb in kilograms; exact (international yard and pound agreement, 1959).
pub const KG_PER_LB: f64 = 0.453_592_37;
/// 1 inch in millimetres; exact (1959).
pub const MM_PER_INCH: f64 = 25.4;
/// 1 foot in millimetres; exact (1959).
pub const MM_PER_FOOT: f64 = 304.8;
/// 1 square inch in square millimetres; exact.
pub const MM2_PER_SQ_INCH: f64 = 645.16;
