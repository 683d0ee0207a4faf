//! The sports whose rackets the desk strings, and what is assumed of a frame nobody has measured.
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A sport played with a strung racket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Sport {
    /// Tennis.
    Tennis,
    /// Badminton.
    Badminton,
    /// Squash.
    Squash,
}

/// What is assumed of a frame when its record is silent.
///
/// Ratios are fitted so that ordinary frames come out as the bench knows them;
/// sizes are from memory. A measured value always wins over one of these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SportDefaults {
    /// Head area inside the hoop of an ordinary frame, mm2.
    pub head_area_mm2: f64,
    /// Inside length over inside width of the hoop.
    pub length_over_width: f64,
    /// Exponent of the hoop's curve above its widest height.
    pub exponent_head: f64,
    /// Exponent of the hoop's curve below its widest height.
    pub exponent_throat: f64,
    /// Widest height above mid length, as a share of the inside length.
    pub widest_y_over_length: f64,
    /// Outermost main's distance from the centre line over half the inside width.
    pub outer_main_over_half_width: f64,
    /// First cross below the head's inside edge, as a share of the inside length.
    pub head_offset_over_length: f64,
    /// Last cross above the throat's inside edge, as a share of the inside length.
    pub throat_offset_over_length: f64,
    /// Outermost gap between mains over the centre gap.
    pub main_edge_over_centre_gap: f64,
    /// Outermost gap between crosses over the tightest one.
    pub cross_edge_over_centre_gap: f64,
    /// From the hoop's inside to the line on which the string bears outside.
    pub wall_mm: f64,
    /// Diameter of a string of unknown gauge.
    pub string_diameter_mm: f64,
    /// Length of one set of string as sold.
    pub set_m: f64,
    /// Length of one racket, the bench's own measuring stick.
    pub racket_mm: f64,
    /// An ordinary reference tension.
    pub tension_n: f64,
}

/// How fast gaps widen from the middle of the bed to its edge (fitted; for every sport).
pub const GAP_POWER: f64 = 2.0;
/// Where along the crosses the gaps are tightest: the middle (fitted; for every sport).
pub const CROSSES_DENSEST_AT: f64 = 0.5;

// Racket length 27 in: common practice, no source. Sets of 12 m and 10 m: common practice, no source.
// Head areas from memory: 100 square inches, a hoop of 236 x 186 mm, 490 square centimetres.
const TENNIS: SportDefaults = SportDefaults {
    head_area_mm2: 64_516.0,
    length_over_width: 1.34,
    exponent_head: 2.4,
    exponent_throat: 2.1,
    widest_y_over_length: 0.02,
    outer_main_over_half_width: 0.80,
    head_offset_over_length: 0.055,
    throat_offset_over_length: 0.085,
    main_edge_over_centre_gap: 1.6,
    cross_edge_over_centre_gap: 1.5,
    wall_mm: 9.5,
    string_diameter_mm: 1.27,
    set_m: 12.0,
    racket_mm: 686.0,
    tension_n: 245.0,
};
const BADMINTON: SportDefaults = SportDefaults {
    head_area_mm2: 36_633.0,
    length_over_width: 1.26,
    exponent_head: 2.5,
    exponent_throat: 2.3,
    widest_y_over_length: 0.02,
    outer_main_over_half_width: 0.88,
    head_offset_over_length: 0.055,
    throat_offset_over_length: 0.07,
    main_edge_over_centre_gap: 1.3,
    cross_edge_over_centre_gap: 1.4,
    wall_mm: 4.5,
    string_diameter_mm: 0.68,
    set_m: 10.0,
    racket_mm: 675.0,
    tension_n: 111.0,
};
const SQUASH: SportDefaults = SportDefaults {
    head_area_mm2: 49_000.0,
    length_over_width: 1.75,
    exponent_head: 2.2,
    exponent_throat: 1.7,
    widest_y_over_length: 0.12,
    outer_main_over_half_width: 0.80,
    head_offset_over_length: 0.045,
    throat_offset_over_length: 0.16,
    main_edge_over_centre_gap: 1.4,
    cross_edge_over_centre_gap: 1.5,
    wall_mm: 8.0,
    string_diameter_mm: 1.2,
    set_m: 10.0,
    racket_mm: 686.0,
    tension_n: 120.0,
};

impl Sport {
    /// Every sport, for screens and tables.
    pub const ALL: [Self; 3] = [Self::Tennis, Self::Badminton, Self::Squash];

    /// The word used in data.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tennis => "tennis",
            Self::Badminton => "badminton",
            Self::Squash => "squash",
        }
    }

    /// What is assumed of this sport's frames when a record is silent.
    #[must_use]
    pub const fn defaults(self) -> SportDefaults {
        match self {
            Self::Tennis => TENNIS,
            Self::Badminton => BADMINTON,
            Self::Squash => SQUASH,
        }
    }
}
