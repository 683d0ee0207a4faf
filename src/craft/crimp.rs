//! What weaving over and under does to a string: extra length and wrap angle.
//!
//! Peirce F.T. 1937, The geometry of cloth structure, J. Textile Inst. 28, T45: round,
//! flexible threads in plain weave, crest heights of both directions adding up to the
//! sum of the diameters. The closed form was derived for this program and satisfies
//! both of Peirce's equations.

/// One crossing of a woven string.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crimp {
    /// Steepest angle to the bed's plane, rad.
    pub theta_rad: f64,
    /// Length of string from one crossing to the next, mm.
    pub cell_length_mm: f64,
    /// Extra length over the straight distance, 1 per 1.
    pub crimp_fraction: f64,
    /// Angle by which the string wraps the one it crosses, rad.
    pub wrap_rad: f64,
}

impl Crimp {
    /// The crimp of a string whose crossed strings lie `spacing_mm` apart.
    ///
    /// `sum_of_diameters_mm` of both strings must be below the spacing;
    /// `crest_height_mm` is this string's axis from crest to trough, 0 to the sum.
    #[must_use]
    pub fn of(spacing_mm: f64, sum_of_diameters_mm: f64, crest_height_mm: f64) -> Self {
        let rest = sum_of_diameters_mm - crest_height_mm;
        let c = spacing_mm.hypot(rest);
        let theta_rad = (sum_of_diameters_mm / c).asin() - (rest / spacing_mm).atan();
        let straight = (c * c - sum_of_diameters_mm * sum_of_diameters_mm).sqrt();
        let cell_length_mm = straight + sum_of_diameters_mm * theta_rad;
        Self {
            theta_rad,
            cell_length_mm,
            crimp_fraction: cell_length_mm / spacing_mm - 1.0,
            wrap_rad: 2.0 * theta_rad,
        }
    }
}

/// Crest height of the crosses between tensioned mains, mm; the mains take the rest of the sum.
///
/// Balance of the contact force, small slopes: `T_c h_c / p_m = T_m h_m / p_c`.
#[must_use]
pub fn cross_crest_height_mm(
    sum_of_diameters_mm: f64,
    main_tension_n: f64,
    cross_tension_n: f64,
    main_spacing_mm: f64,
    cross_spacing_mm: f64,
) -> f64 {
    let mains = main_tension_n / cross_spacing_mm;
    let crosses = cross_tension_n / main_spacing_mm;
    sum_of_diameters_mm * mains / (mains + crosses)
}
