//! How far a string stretches under its pull, and so how much less of it is cut.
use crate::spec::Material;

/// Tension that stretches a string to twice its length, N: E times the section.
///
/// `modulus_gpa` is Young's modulus in `GPa` (N/mm2 / 1000), the section a solid circle
/// of `diameter_mm`.
#[must_use]
pub fn axial_stiffness_n(modulus_gpa: f64, diameter_mm: f64) -> f64 {
    modulus_gpa * 1000.0 * section_mm2(diameter_mm)
}

/// Section of a solid round string, mm2.
#[must_use]
pub fn section_mm2(diameter_mm: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter_mm * diameter_mm
}

/// Strain under a pull: Hooke's law, 1 per 1.
#[must_use]
pub fn strain(tension_n: f64, axial_stiffness_n: f64) -> f64 {
    tension_n / axial_stiffness_n
}

/// Length at rest of what measures `path_mm` under tension, mm.
#[must_use]
pub fn unstretched_mm(path_mm: f64, strain: f64) -> f64 {
    path_mm / (1.0 + strain)
}

/// Young's modulus of a fibre, `GPa`: specific modulus in N/tex times specific gravity.
///
/// 1 N/tex is 1 `GPa` per g/cm3.
#[must_use]
pub fn modulus_gpa(specific_modulus_n_per_tex: f64, specific_gravity: f64) -> f64 {
    specific_modulus_n_per_tex * specific_gravity
}

/// Mass of a solid round string, g/m: 1 g/cm3 is 1 g/m on a section of 1 mm2.
#[must_use]
pub fn linear_density_g_per_m(specific_gravity: f64, diameter_mm: f64) -> f64 {
    specific_gravity * section_mm2(diameter_mm)
}

/// Young's modulus of a string material: what a plan reckons with while nobody has measured the string.
///
/// Replace it by a desk's own measurement: mark 1 m, pull at the reference tension,
/// read after 10 s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModulusRange {
    /// Of the string that stretches most, `GPa`.
    pub most_stretch_gpa: f64,
    /// Of an ordinary string, `GPa`.
    pub ordinary_gpa: f64,
    /// Of the string that stretches least, `GPa`; cuts reckon with it so that none comes out short.
    pub least_stretch_gpa: f64,
}

impl ModulusRange {
    const fn new(most_stretch_gpa: f64, ordinary_gpa: f64, least_stretch_gpa: f64) -> Self {
        Self {
            most_stretch_gpa,
            ordinary_gpa,
            least_stretch_gpa,
        }
    }

    /// The range of a material.
    ///
    /// From memory, but for two upper bounds: nylon 3.0-4.4 N/tex and polyester 10.6 N/tex
    /// as drawn textile fibre (Morton and Hearle, Physical Properties of Textile Fibres,
    /// table 13.2), times the specific gravities 1.14 and 1.38.
    #[must_use]
    pub const fn of(material: Material) -> Self {
        match material {
            Material::NaturalGut => Self::new(3.0, 4.0, 5.5),
            Material::Multifilament => Self::new(2.0, 2.8, 4.0),
            Material::Nylon => Self::new(2.4, 3.2, 5.0),
            Material::Polyester => Self::new(4.0, 6.0, 14.6),
            Material::Aramid => Self::new(8.0, 15.0, 40.0),
        }
    }
}

/// The least strain a string of this material and gauge is expected to show under `tension_n`.
#[must_use]
pub fn least_strain(material: Material, diameter_mm: f64, tension_n: f64) -> f64 {
    let modulus_gpa = ModulusRange::of(material).least_stretch_gpa;
    strain(tension_n, axial_stiffness_n(modulus_gpa, diameter_mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_multifilament_of_badminton_gauge_stretches_seven_and_a_half_percent_at_least() {
        let least = least_strain(Material::Multifilament, 0.68, 111.0);
        assert!((least - 0.076_4).abs() < 1e-4, "{least}");
    }
}
