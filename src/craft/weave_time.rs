//! Seconds of weaving: setting up, going over and under, pulling the rest through.
use crate::spacing::number;

/// Elements of weaving; assumed, to be replaced by a desk's measured times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeaveElements {
    /// Each cross, s.
    pub setup_per_cross_s: f64,
    /// Each crossing, s.
    pub per_crossing_s: f64,
    /// Speed of pulling string through the bed, m/s.
    pub pull_m_per_s: f64,
    /// Speed of pulling in the shoulder zone, cross 1 to the start cross, m/s.
    pub shoulder_pull_m_per_s: f64,
}

impl WeaveElements {
    /// A practised stringer: assumed, not measured.
    pub const ASSUMED: Self = Self {
        setup_per_cross_s: 3.0,
        per_crossing_s: 1.0,
        pull_m_per_s: 0.6,
        shoulder_pull_m_per_s: 0.3,
    };

    /// Seconds to pull `length_mm` through the shoulder zone.
    #[must_use]
    pub fn shoulder_pull_s(&self, length_mm: f64) -> f64 {
        length_mm / 1000.0 / self.shoulder_pull_m_per_s
    }

    /// Seconds of weaving all crosses.
    ///
    /// `crossings` are the mains met by each cross, `moving_mm` the string dragged
    /// through for it; both from cross 1. Tensioning, clamping and knots are not in it.
    #[must_use]
    pub fn weave_s(&self, crossings: &[usize], moving_mm: &[f64], start_cross: usize) -> f64 {
        let crosses = crossings.iter().zip(moving_mm).enumerate();
        crosses
            .map(|(index, (met, length_mm))| {
                let pull_s = if index < start_cross {
                    self.shoulder_pull_s(*length_mm)
                } else {
                    length_mm / 1000.0 / self.pull_m_per_s
                };
                self.setup_per_cross_s + self.per_crossing_s * number(*met) + pull_s
            })
            .sum()
    }
}
