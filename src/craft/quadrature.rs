//! Gauss-Legendre quadrature and the gamma function.

/// Nodes and weights on -1..1, one of each mirrored pair (Legendre polynomials, computed by Newton's rule).
const GAUSS_6: [(f64, f64); 3] = [
    (0.932_469_514_203_152, 0.171_324_492_379_170),
    (0.661_209_386_466_265, 0.360_761_573_048_139),
    (0.238_619_186_083_197, 0.467_913_934_572_691),
];
const GAUSS_16: [(f64, f64); 8] = [
    (0.989_400_934_991_650, 0.027_152_459_411_754),
    (0.944_575_023_073_233, 0.062_253_523_938_648),
    (0.865_631_202_387_832, 0.095_158_511_682_493),
    (0.755_404_408_355_003, 0.124_628_971_255_534),
    (0.617_876_244_402_644, 0.149_595_988_816_577),
    (0.458_016_777_657_227, 0.169_156_519_395_003),
    (0.281_603_550_779_259, 0.182_603_415_044_924),
    (0.095_012_509_837_637, 0.189_450_610_455_068),
];

/// Integral of `of` from `from` to `to`, with six nodes or, when `nodes` is more, sixteen.
pub(crate) fn integrate(nodes: usize, from: f64, to: f64, of: impl Fn(f64) -> f64) -> f64 {
    let pairs: &[(f64, f64)] = if nodes > 6 { &GAUSS_16 } else { &GAUSS_6 };
    let (middle, half) = (f64::midpoint(from, to), (to - from) / 2.0);
    let sum: f64 = pairs
        .iter()
        .map(|(node, weight)| weight * (of(middle - half * node) + of(middle + half * node)))
        .sum();
    sum * half
}

/// Lanczos' coefficients for g = 7 (from memory; the tests hold them against exact values).
const LANCZOS_G: f64 = 7.0;
const LANCZOS_FIRST: f64 = 0.999_999_999_999_809_9;
const LANCZOS: [f64; 8] = [
    676.520_368_121_885_1,
    -1_259.139_216_722_402_8,
    771.323_428_777_653_1,
    -176.615_029_162_140_6,
    12.507_343_278_686_905,
    -0.138_571_095_265_720_12,
    9.984_369_578_019_572e-6,
    1.505_632_735_149_311_6e-7,
];

/// The gamma function for arguments of 0.5 and more.
pub(crate) fn gamma(argument: f64) -> f64 {
    let shifted = argument - 1.0;
    let mut place = 0.0;
    let mut sum = LANCZOS_FIRST;
    for coefficient in LANCZOS {
        place += 1.0;
        sum += coefficient / (shifted + place);
    }
    let t = shifted + LANCZOS_G + 0.5;
    (2.0 * std::f64::consts::PI).sqrt() * t.powf(shifted + 0.5) * (-t).exp() * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gamma_agrees_with_its_exact_values() {
        let root_pi = std::f64::consts::PI.sqrt();
        for (argument, value) in [
            (0.5, root_pi),
            (1.0, 1.0),
            (1.5, root_pi / 2.0),
            (2.5, 0.75 * root_pi),
            (5.0, 24.0),
        ] {
            assert!((gamma(argument) / value - 1.0).abs() < 1e-13, "gamma({argument})");
        }
    }

    #[test]
    fn six_nodes_are_exact_up_to_the_eleventh_power_and_sixteen_up_to_the_thirty_first() {
        for (nodes, power) in [(6, 11), (16, 31)] {
            let integral = integrate(nodes, 0.0, 1.0, |x| x.powi(power));
            assert!((integral * f64::from(power + 1) - 1.0).abs() < 1e-12);
        }
    }
}
