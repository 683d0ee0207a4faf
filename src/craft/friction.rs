//! Friction at the crossings.
//!
//! The Euler-Eytelwein (capstan) relation is a quasi-static lower bound: straightening
//! and vibration while pulling let string through. Use it as an index, not a promise.

/// Tension at the far end after `wrap_rad` of wrap, N, for a pull and a coefficient of friction.
#[must_use]
pub fn far_tension_n(pull_n: f64, friction: f64, wrap_rad: f64) -> f64 {
    pull_n * (-friction * wrap_rad).exp()
}

/// Tensions of the segments between crossings, from the pulled end, N.
///
/// `wraps_rad` are the wraps of the crossings from the pulled end; there is one more
/// segment than crossings and the first carries the pull.
#[must_use]
pub fn tension_profile_n(pull_n: f64, friction: f64, wraps_rad: &[f64]) -> Vec<f64> {
    let mut tension_n = pull_n;
    let mut profile = Vec::with_capacity(wraps_rad.len() + 1);
    profile.push(tension_n);
    for wrap_rad in wraps_rad {
        tension_n = far_tension_n(tension_n, friction, *wrap_rad);
        profile.push(tension_n);
    }
    profile
}

/// Lateral stiffness of a taut string at a point between two supports, N/mm.
#[must_use]
pub fn lateral_stiffness_n_per_mm(tension_n: f64, near_end_mm: f64, far_end_mm: f64) -> f64 {
    tension_n * (1.0 / near_end_mm + 1.0 / far_end_mm)
}

/// Pinch: lateral stiffness at a point relative to the middle of the same string, 1 and more.
#[must_use]
pub fn pinch(near_end_mm: f64, far_end_mm: f64) -> f64 {
    (1.0 / near_end_mm + 1.0 / far_end_mm) * (near_end_mm + far_end_mm) / 4.0
}
