//! The normal distribution.

/// Nine in ten lie below this many standard deviations above the mean: printed tables give 1.2816, from memory.
pub const Z90: f64 = 1.281_551_565_544_600_4;

/// The share below `z`: Abramowitz and Stegun 26.2.17, within 7.5e-8 (from memory).
#[must_use]
pub fn share_below(z: f64) -> f64 {
    if z < 0.0 {
        return 1.0 - share_below(-z);
    }
    let t = 1.0 / 0.231_641_9f64.mul_add(z, 1.0);
    let series = [
        0.319_381_530,
        -0.356_563_782,
        1.781_477_937,
        -1.821_255_978,
        1.330_274_429,
    ];
    let sum = series.iter().rev().fold(0.0, |sum, factor| (sum + factor) * t);
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    density.mul_add(-sum, 1.0)
}

#[cfg(test)]
mod tests {
    use super::{Z90, share_below};

    /// Printed tables of the normal distribution, from memory.
    #[test]
    fn shares_are_those_of_printed_tables() {
        for (z, share) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746),
            (-1.959_964, 0.025),
            (2.326_348, 0.99),
            (Z90, 0.9),
        ] {
            assert!((share_below(z) - share).abs() < 2e-7, "{z}");
        }
    }
}
