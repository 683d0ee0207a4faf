//! Quantiles of Student's t distribution for whole degrees of freedom.

/// The value below which Student's t with `degrees` lies with probability `p`.
///
/// The distribution is the finite sum for whole degrees of freedom (Abramowitz
/// and Stegun 26.7.3 and 26.7.4, from memory), inverted by bisection. NaN for no
/// degrees of freedom or `p` outside 0 to 1.
#[must_use]
pub fn t_quantile(p: f64, degrees: u32) -> f64 {
    if degrees == 0 || !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    if p < 0.5 {
        return -t_quantile(1.0 - p, degrees);
    }
    // in terms of the angle atan(t / sqrt(degrees)) the whole axis is a finite stretch
    let (mut low, mut high) = (0.0_f64, std::f64::consts::FRAC_PI_2);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if within(middle, degrees) < 2.0 * p - 1.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0.5 * (low + high)).tan() * f64::from(degrees).sqrt()
}

/// The probability that |t| lies within the given angle.
fn within(angle: f64, degrees: u32) -> f64 {
    let (sine, cosine) = angle.sin_cos();
    let odd = degrees % 2 == 1;
    let mut term = if odd { cosine } else { 1.0 };
    let mut sum = if degrees == 1 { 0.0 } else { term };
    let mut power = if odd { 3 } else { 2 };
    while power < degrees {
        // each term is the last one times cos^2 and (power - 1) / power
        let power_f = f64::from(power);
        term *= cosine * cosine * (power_f - 1.0) / power_f;
        sum += term;
        power += 2;
    }
    if odd {
        (angle + sine * sum) * std::f64::consts::FRAC_2_PI
    } else {
        sine * sum
    }
}
