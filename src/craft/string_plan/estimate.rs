//! How long a job takes, by phase, wide until it is measured.
//!
//! Elements are assumed (practised stringers differ by a factor of two); the
//! spread is the prior of a desk that has measured nothing yet, widened by each
//! fact that is not known. The sum of lognormal phases is itself taken as
//! lognormal with the exact mean and variance (Fenton 1960, from memory).
use serde::Serialize;
use utoipa::ToSchema;

use crate::normal::Z90;
use crate::spec::{Pieces, Spec};
use crate::string_plan::steps::Phase;
use crate::weave_method::WeaveMethod;

/// Seconds of one phase or of the whole: half, four in five and nine in ten jobs are done within.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct Quantiles {
    /// Expected, s.
    pub mean_s: f64,
    /// Median, s.
    pub p50_s: f64,
    /// s.
    pub p80_s: f64,
    /// s.
    pub p90_s: f64,
}

/// The estimate of a job.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Estimate {
    /// Start to first main.
    pub prep: Quantiles,
    /// Until the last main is tensioned.
    pub mains: Quantiles,
    /// Until the last cross is tensioned.
    pub crosses: Quantiles,
    /// Until the job is finished.
    pub finish: Quantiles,
    /// All of it.
    pub total: Quantiles,
    /// Where the numbers come from.
    pub source: &'static str,
    /// Mains and crosses are timed as one for this method.
    pub mains_and_crosses_as_one: bool,
    /// How many unknown facts widened it.
    pub unknown_facts: usize,
}

/// What the element sums need.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Work {
    pub(crate) method: WeaveMethod,
    pub(crate) mains: u16,
    pub(crate) crosses: u16,
    pub(crate) weave_s: f64,
    pub(crate) unknown_facts: usize,
    pub(crate) pace_factor: f64,
}

// Seconds per element: assumed, to be replaced by measured times.
const INSPECT_S: f64 = 60.0;
const CUT_OUT_S: f64 = 60.0;
const MOUNT_S: f64 = 80.0;
const CUT_PIECE_S: f64 = 25.0;
const START_S: f64 = 30.0;
const MAIN_S: f64 = 9.0 + 8.0 + 5.0;
/// Pull, clamp, straighten: a cross besides weaving.
const CROSS_S: f64 = 8.0 + 5.0 + 4.0;
const KNOT_S: f64 = 35.0;
/// Re-tension or handling that start-cross methods add.
const START_CROSS_EXTRA_S: f64 = 20.0;
const FINAL_S: f64 = 60.0 + 25.0 + 60.0;
const STENCIL_S: f64 = 60.0;
const HAND_STRETCH_S: f64 = 120.0;

/// Expected seconds of prep, mains, crosses, finish.
pub(crate) fn phase_means(work: &Work, spec: &Spec) -> [f64; 4] {
    use crate::spec::PreStretch::ByHand;
    let pieces = match spec.pieces {
        Pieces::One => 1.0,
        Pieces::Two => 2.0,
    };
    let stretches = [&spec.mains, &spec.crosses]
        .iter()
        .take(if spec.pieces == Pieces::One { 1 } else { 2 })
        .filter(|part| matches!(part.pre_stretch, ByHand { .. }))
        .count();
    let stretch_s = if stretches > 0 { HAND_STRETCH_S } else { 0.0 };
    let prep = INSPECT_S + CUT_OUT_S + MOUNT_S + CUT_PIECE_S * pieces + stretch_s;
    let mains = START_S + f64::from(work.mains) * MAIN_S;
    // all knots but the last are tied before the last cross is pulled
    let knots = match spec.pieces {
        Pieces::One => 1.0,
        Pieces::Two => 3.0,
    };
    let extra = match work.method {
        WeaveMethod::StartCrossBack | WeaveMethod::TopsOnShortSide => START_CROSS_EXTRA_S,
        _ => 0.0,
    };
    let second_start = if spec.pieces == Pieces::Two { START_S } else { 0.0 };
    let crosses = work.weave_s + f64::from(work.crosses) * CROSS_S + knots * KNOT_S + second_start + extra;
    let stencil = if spec.stencil.is_some() { STENCIL_S } else { 0.0 };
    let finish = KNOT_S + FINAL_S + stencil;
    [prep, mains, crosses, finish].map(|seconds| seconds * work.pace_factor)
}

// Prior spread of the logarithm of time, assumed: desk, stringer, job; phase; residual by phase.
const DESK_SD: f64 = 0.15;
const STRINGER_SD: f64 = 0.20;
const JOB_SD: f64 = 0.06;
const PHASE_SD: f64 = 0.20;
const RESIDUAL_SD: [f64; 4] = [0.20, 0.12, 0.12, 0.18];
/// Material and machine, in mains and crosses.
const STRING_AND_MACHINE_SD: f64 = 0.122;
/// The method, in crosses.
const METHOD_SD: f64 = 0.15;
/// Each unknown fact widens all phases alike by this; more than six make no difference.
const UNKNOWN_SD: f64 = 0.08;
const UNKNOWN_CAP: usize = 6;

// Standard normal quantile (tables).
const Z_80: f64 = 0.841_621_2;

/// The estimate for `work`.
pub(crate) fn estimate(work: &Work, spec: &Spec) -> Estimate {
    let means = phase_means(work, spec);
    let unknown = work.unknown_facts.min(UNKNOWN_CAP);
    let unknown_var = (0..unknown).fold(0.0, |sum, _| sum + UNKNOWN_SD.powi(2));
    let shared = DESK_SD.powi(2) + STRINGER_SD.powi(2) + JOB_SD.powi(2) + unknown_var;
    let own = |phase: usize| {
        let bed = if phase == 1 || phase == 2 {
            STRING_AND_MACHINE_SD.powi(2)
        } else {
            0.0
        };
        let method = if phase == 2 { METHOD_SD.powi(2) } else { 0.0 };
        PHASE_SD.powi(2) + RESIDUAL_SD[phase].powi(2) + bed + method
    };
    let [prep, mains, crosses, finish] = [0, 1, 2, 3].map(|phase| {
        let variance = shared + own(phase);
        quantiles(means[phase] * (variance / 2.0).exp(), variance)
    });
    let expected = [prep, mains, crosses, finish].map(|phase| phase.mean_s);
    let sum: f64 = expected.iter().sum();
    let mut variance = 0.0;
    for (row, one) in expected.iter().enumerate() {
        for (column, other) in expected.iter().enumerate() {
            let covariance = shared + if row == column { own(row) } else { 0.0 };
            variance += one * other * covariance.exp_m1();
        }
    }
    Estimate {
        prep,
        mains,
        crosses,
        finish,
        total: quantiles(sum, (variance / (sum * sum)).ln_1p()),
        source: "assumed elements, not yet measured at this desk",
        mains_and_crosses_as_one: matches!(work.method, WeaveMethod::TopsOnShortSide | WeaveMethod::Around),
        unknown_facts: work.unknown_facts,
    }
}

/// Quantiles of a lognormal with this mean and this variance of its logarithm.
fn quantiles(mean_s: f64, log_variance: f64) -> Quantiles {
    let sd = log_variance.sqrt();
    let median = mean_s * (-log_variance / 2.0).exp();
    Quantiles {
        mean_s,
        p50_s: median,
        p80_s: median * (Z_80 * sd).exp(),
        p90_s: median * (Z90 * sd).exp(),
    }
}

impl Estimate {
    /// The estimate of one phase.
    #[must_use]
    pub const fn phase(&self, phase: Phase) -> Quantiles {
        match phase {
            Phase::Prep => self.prep,
            Phase::Mains => self.mains,
            Phase::Crosses => self.crosses,
            Phase::Finish => self.finish,
        }
    }
}
