//! How far a string of a wish stretches, and where that number comes from.
use crate::elongation::least_strain;
use crate::spec::{Material, StringFacts};
use crate::sport::Sport;
use crate::string_plan::plan::ValueSource;
use crate::string_plan::validate::gauge_mm;
use crate::tension::Tension;

/// The stretch that a cut counts on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    /// 1 per 1.
    pub(crate) strain: f64,
    /// Measured here, computed from the material, or assumed.
    pub(crate) source: ValueSource,
}

/// The string an ordinary racket of the sport carries when nobody says which.
///
/// A badminton job fits its set only with its stretch counted, and multifilament is what
/// badminton strings are (common practice, no source). In tennis and squash the materials
/// differ too much: no stretch is counted, which is the safe side.
pub(crate) const fn ordinary_material(sport: Sport) -> Option<Material> {
    match sport {
        Sport::Badminton => Some(Material::Multifilament),
        Sport::Tennis | Sport::Squash => None,
    }
}

/// How the bench calls a material.
pub(crate) const fn material_label(material: Material) -> &'static str {
    match material {
        Material::NaturalGut => "natural gut",
        Material::Multifilament => "multifilament",
        Material::Nylon => "nylon",
        Material::Polyester => "polyester",
        Material::Aramid => "aramid",
    }
}

/// The string's diameter: on record, else an ordinary one of the sport.
pub(crate) fn diameter_mm(sport: Sport, string: &StringFacts) -> f64 {
    string
        .gauge_mm
        .as_deref()
        .and_then(gauge_mm)
        .unwrap_or(sport.defaults().string_diameter_mm)
}

/// The stretch of `string` under `tension`: measured, else the least its material may show.
pub(crate) fn stretch(sport: Sport, string: &StringFacts, tension: &Tension) -> Stretch {
    if let Some(percent) = string.stretch_percent {
        return Stretch {
            strain: percent / 100.0,
            source: ValueSource::Measured,
        };
    }
    let of = |material| least_strain(material, diameter_mm(sport, string), tension.newtons().get());
    match (string.material, ordinary_material(sport)) {
        (Some(material), _) => Stretch {
            strain: of(material),
            source: ValueSource::Computed,
        },
        (None, Some(material)) => Stretch {
            strain: of(material),
            source: ValueSource::Assumed,
        },
        (None, None) => Stretch {
            strain: 0.0,
            source: ValueSource::Unknown,
        },
    }
}
