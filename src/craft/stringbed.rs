//! Vibration and stiffness of a strung bed as a membrane.
//!
//! Compare a reading with the same racket's own history, never with an absolute pass
//! mark: f squared and stiffness follow the mean tension, the absolute value depends on
//! the device. Uniform membrane: Rayleigh, Theory of Sound I, chapter IX.
use std::f64::consts::PI;

/// First zero of the Bessel function J0 (tables).
const J0_FIRST_ZERO: f64 = 2.404_825_557_695_773;

/// First mode, Hz, in the form used for rackets: a square of the same area, equal strings.
///
/// `f = sqrt(T / (4 lambda A))`, R. Cross 2006, Measuring String Tension. Mean tension in N,
/// linear density in kg/m, area in m2.
#[must_use]
pub fn square_form_hz(mean_tension_n: f64, linear_density_kg_per_m: f64, area_m2: f64) -> f64 {
    (mean_tension_n / (4.0 * linear_density_kg_per_m * area_m2)).sqrt()
}

/// Mean tension, N, from a frequency: the inverse of [`square_form_hz`].
#[must_use]
pub fn mean_tension_n(frequency_hz: f64, linear_density_kg_per_m: f64, area_m2: f64) -> f64 {
    4.0 * linear_density_kg_per_m * area_m2 * frequency_hz * frequency_hz
}

/// First mode of a circular membrane of this area, Hz.
///
/// Tension per width in N/m and mass per area in kg/m2, alike in both directions.
#[must_use]
pub fn circle_hz(tension_n_per_m: f64, areal_mass_kg_per_m2: f64, area_m2: f64) -> f64 {
    J0_FIRST_ZERO / (2.0 * PI.sqrt()) * (tension_n_per_m / (areal_mass_kg_per_m2 * area_m2)).sqrt()
}

/// Tension per width of strings `spacing_m` apart, N/m.
#[must_use]
pub fn tension_per_width_n_per_m(tension_n: f64, spacing_m: f64) -> f64 {
    tension_n / spacing_m
}

/// Mass per area of mains and crosses alike, `spacing_m` apart, kg/m2.
#[must_use]
pub fn areal_mass_kg_per_m2(linear_density_kg_per_m: f64, spacing_m: f64) -> f64 {
    2.0 * linear_density_kg_per_m / spacing_m
}

/// Stiffness at the bed's centre under a soft pad that presses alike on a disc, N/m.
///
/// Linear membrane on a circle of the bed's area: `2 pi tau / (ln(R/c) + 1/2)`. A ball's
/// deep dent adds to it. Lengths in m, tensions per width in N/m.
#[must_use]
pub fn stiffness_uniform_n_per_m(tau_x: f64, tau_y: f64, area_m2: f64, patch_radius_m: f64) -> f64 {
    2.0 * PI * (tau_x * tau_y).sqrt() / (log_radii(area_m2, patch_radius_m) + 0.5)
}

/// Stiffness at the bed's centre under a flat rigid disc, N/m; see [`stiffness_uniform_n_per_m`].
#[must_use]
pub fn stiffness_flat_disc_n_per_m(tau_x: f64, tau_y: f64, area_m2: f64, disc_radius_m: f64) -> f64 {
    2.0 * PI * (tau_x * tau_y).sqrt() / log_radii(area_m2, disc_radius_m)
}

fn log_radii(area_m2: f64, patch_radius_m: f64) -> f64 {
    ((area_m2 / PI).sqrt() / patch_radius_m).ln()
}

/// Even powers of x and y in the trial functions: x^(2p) y^(2q), p + q at most 3.
const POWERS: [(u32, u32); 10] = [
    (0, 0),
    (1, 0),
    (0, 1),
    (2, 0),
    (1, 1),
    (0, 2),
    (3, 0),
    (2, 1),
    (1, 2),
    (0, 3),
];
type Matrix = [[f64; POWERS.len()]; POWERS.len()];

/// First mode of an elliptic membrane with unequal tensions, Hz.
///
/// `tau_x_n_per_m` acts along the crosses, `tau_y_n_per_m` along the mains. Ritz's method
/// with the trial functions `(1-r^2) x^(2p) y^(2q)` on the unit disc, whose moments are exact.
#[must_use]
pub fn ellipse_hz(
    tau_x_n_per_m: f64,
    tau_y_n_per_m: f64,
    areal_mass_kg_per_m2: f64,
    length_m: f64,
    width_m: f64,
) -> f64 {
    let along_x = tau_x_n_per_m / (width_m / 2.0).powi(2);
    let along_y = tau_y_n_per_m / (length_m / 2.0).powi(2);
    let mut stiffness: Matrix = [[0.0; POWERS.len()]; POWERS.len()];
    let mut mass = stiffness;
    for (row, one) in POWERS.iter().enumerate() {
        for (column, two) in POWERS.iter().enumerate() {
            let (one, two) = (trial(*one), trial(*two));
            stiffness[row][column] = along_x * product(&slope_x(&one), &slope_x(&two))
                + along_y * product(&slope_y(&one), &slope_y(&two));
            mass[row][column] = areal_mass_kg_per_m2 * product(&one, &two);
        }
    }
    lowest_eigenvalue(&stiffness, &mass).sqrt() / (2.0 * PI)
}

/// A term `factor x^a y^b`.
type Term = (f64, u32, u32);

fn trial((p, q): (u32, u32)) -> [Term; 3] {
    let (a, b) = (2 * p, 2 * q);
    [(1.0, a, b), (-1.0, a + 2, b), (-1.0, a, b + 2)]
}

fn slope_x(terms: &[Term; 3]) -> [Term; 3] {
    terms.map(|(factor, a, b)| (factor * f64::from(a), a.saturating_sub(1), b))
}

fn slope_y(terms: &[Term; 3]) -> [Term; 3] {
    terms.map(|(factor, a, b)| (factor * f64::from(b), a, b.saturating_sub(1)))
}

/// Integral of the product of two polynomials over the unit disc.
fn product(one: &[Term; 3], two: &[Term; 3]) -> f64 {
    let mut sum = 0.0;
    for (f, a, b) in one {
        for (g, c, d) in two {
            let factor = f * g;
            // a factor of 0 marks a term whose slope is nothing
            if factor.abs() > 0.0 {
                sum += factor * moment(a + c, b + d);
            }
        }
    }
    sum
}

/// Integral of x^a y^b over the unit disc, a and b even: `2 (a-1)!! (b-1)!! pi / (2 (a+b)!!) · 2/(a+b+2)`.
fn moment(a: u32, b: u32) -> f64 {
    let odd = |power: u32| (1..power).step_by(2).map(f64::from).product::<f64>();
    let even: f64 = (2..=a + b).step_by(2).map(f64::from).product();
    2.0 * PI * odd(a) * odd(b) / even / f64::from(a + b + 2)
}

/// Lowest eigenvalue of `stiffness x = e mass x` by inverse iteration.
fn lowest_eigenvalue(stiffness: &Matrix, mass: &Matrix) -> f64 {
    const STEPS: usize = 40;
    let mut x = [0.0; POWERS.len()];
    x[0] = 1.0;
    let mut eigenvalue = 0.0;
    for _ in 0..STEPS {
        let load = times(mass, &x);
        let y = solve(*stiffness, load);
        // Rayleigh's quotient of y: y K y = y M x by construction
        eigenvalue = dot(&y, &load) / dot(&y, &times(mass, &y));
        let size = y.iter().fold(0.0_f64, |size, value| size.max(value.abs()));
        x = y.map(|value| value / size);
    }
    eigenvalue
}

fn times(matrix: &Matrix, vector: &[f64; POWERS.len()]) -> [f64; POWERS.len()] {
    matrix.map(|row| dot(&row, vector))
}

fn dot(one: &[f64; POWERS.len()], two: &[f64; POWERS.len()]) -> f64 {
    one.iter().zip(two).map(|(a, b)| a * b).sum()
}

/// Solves a symmetric, positive definite system by elimination.
fn solve(mut matrix: Matrix, mut right: [f64; POWERS.len()]) -> [f64; POWERS.len()] {
    let size = POWERS.len();
    for pivot in 0..size {
        let pivot_row = matrix[pivot];
        for row in pivot + 1..size {
            let factor = matrix[row][pivot] / pivot_row[pivot];
            for (value, above) in matrix[row].iter_mut().zip(&pivot_row) {
                *value -= factor * above;
            }
            right[row] -= factor * right[pivot];
        }
    }
    for row in (0..size).rev() {
        let known: f64 = (row + 1..size)
            .map(|column| matrix[row][column] * right[column])
            .sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rayleigh, Theory of Sound I, ch. IX: a square of side a sounds at sqrt(2 tau / sigma) / (2 a).
    #[test]
    fn the_racket_form_is_the_first_mode_of_a_square_membrane() {
        let (tension_n, density, area_m2, spacing_m) = (180.0, 0.0016, 0.0645, 0.0135);
        let tau = tension_per_width_n_per_m(tension_n, spacing_m);
        let sigma = areal_mass_kg_per_m2(density, spacing_m);
        let square_hz = (2.0 * tau / sigma).sqrt() / (2.0 * f64::sqrt(area_m2));
        let form_hz = square_form_hz(tension_n, density, area_m2);
        assert!((form_hz - square_hz).abs() < 1e-9 * square_hz);
        assert!((mean_tension_n(form_hz, density, area_m2) - tension_n).abs() < 1e-9);
    }

    /// The first zero of J0 is 2.40482 55577 (Abramowitz and Stegun, table 9.5).
    #[test]
    fn a_circle_of_radius_one_sounds_at_the_first_zero_of_the_bessel_function() {
        let expected_hz = 2.404_825_557_7 / (2.0 * PI);
        assert!((circle_hz(1.0, 1.0, PI) - expected_hz).abs() < 1e-10);
    }

    #[test]
    fn an_ellipse_as_long_as_wide_is_a_circle() {
        let ellipse = ellipse_hz(13_300.0, 13_300.0, 0.237, 0.28, 0.28);
        let circle = circle_hz(13_300.0, 0.237, PI * 0.14 * 0.14);
        assert!(
            (ellipse - circle).abs() < 1e-6 * circle,
            "{ellipse} against {circle}"
        );
    }

    /// Stretching the axes by the tensions: twice as wide with four times the tension across is the same membrane.
    #[test]
    fn a_wider_bed_with_more_tension_across_sounds_alike() {
        let narrow = ellipse_hz(10_000.0, 12_000.0, 0.237, 0.32, 0.12);
        let wide = ellipse_hz(40_000.0, 12_000.0, 0.237, 0.32, 0.24);
        assert!((narrow - wide).abs() < 1e-9 * narrow);
    }

    /// Laplace's equation between two circles: 2 pi tau over the logarithm of their radii.
    #[test]
    fn a_disc_of_one_e_th_of_the_radius_feels_two_pi_tau() {
        let radius_m = std::f64::consts::E * 0.03;
        let stiffness = stiffness_flat_disc_n_per_m(900.0, 400.0, PI * radius_m * radius_m, 0.03);
        assert!((stiffness - 2.0 * PI * 600.0).abs() < 1e-6);
        let soft = stiffness_uniform_n_per_m(900.0, 400.0, PI * radius_m * radius_m, 0.03);
        assert!((stiffness / soft - 1.5).abs() < 1e-9);
    }
}
