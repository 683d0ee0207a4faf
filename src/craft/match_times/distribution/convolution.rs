//! The masses of a sum of two independent numbers.
use std::cell::RefCell;

use realfft::RealFftPlanner;
use realfft::num_complex::Complex;

/// From so many products on, the way by Fourier's transform is the shorter one.
const MANY_PRODUCTS: usize = 20_000;
/// A shorter list is never worth a transform.
const FEW: usize = 24;

thread_local! {
    static WORKSHOP: RefCell<Workshop> = RefCell::new(Workshop::default());
}

/// What transforms need and may keep: making it takes longer than using it.
#[derive(Default)]
struct Workshop {
    plans: Option<RealFftPlanner<f64>>,
    samples: Vec<f64>,
    spectra: [Vec<Complex<f64>>; 2],
    spare: Vec<Complex<f64>>,
}

/// The convolution of two lists that are not empty.
pub(super) fn convolved(long: &[f64], short: &[f64]) -> Vec<f64> {
    if short.len() >= FEW && long.len() * short.len() >= MANY_PRODUCTS {
        by_transform(long, short)
    } else {
        one_by_one(long, short)
    }
}

/// Product by product.
pub(super) fn one_by_one(long: &[f64], short: &[f64]) -> Vec<f64> {
    let mut mass = vec![0.0; long.len() + short.len() - 1];
    for (offset, &weight) in short.iter().enumerate() {
        if weight > 0.0 {
            for (slot, value) in mass[offset..].iter_mut().zip(long) {
                *slot += weight * value;
            }
        }
    }
    mass
}

/// By Fourier's transform: what is below 1e-15 of all mass is noise, and no mass becomes negative.
pub(super) fn by_transform(long: &[f64], short: &[f64]) -> Vec<f64> {
    WORKSHOP.with_borrow_mut(|workshop| workshop.convolved(long, short))
}

impl Workshop {
    fn convolved(&mut self, long: &[f64], short: &[f64]) -> Vec<f64> {
        let wanted = long.len() + short.len() - 1;
        let width = quick_width(wanted);
        let plans = self.plans.get_or_insert_with(RealFftPlanner::new);
        let (forward, inverse) = (plans.plan_fft_forward(width), plans.plan_fft_inverse(width));
        let spare = forward.get_scratch_len().max(inverse.get_scratch_len());
        self.spare.resize(spare, Complex::default());
        self.samples.resize(width, 0.0);
        for (list, spectrum) in [long, short].into_iter().zip(&mut self.spectra) {
            spectrum.resize(forward.complex_len(), Complex::default());
            self.samples[..list.len()].copy_from_slice(list);
            self.samples[list.len()..].fill(0.0);
            // the lengths are those that the plan asks for, so that it cannot fail
            let done = forward.process_with_scratch(&mut self.samples, spectrum, &mut self.spare);
            debug_assert!(done.is_ok());
        }
        let [product, other] = &mut self.spectra;
        for (one, other) in product.iter_mut().zip(other) {
            *one *= *other;
        }
        let done = inverse.process_with_scratch(product, &mut self.samples, &mut self.spare);
        debug_assert!(done.is_ok());
        let scale = 1.0 / width as f64;
        let masses = self.samples[..wanted].iter();
        masses.map(|mass| (mass * scale).max(0.0)).collect()
    }
}

/// The least width from `wanted` on that is a power of two times 1, 9/8, 5/4, 3/2 or 7/4.
fn quick_width(wanted: usize) -> usize {
    let power = wanted.next_power_of_two();
    let eighths = [9, 10, 12, 14].map(|eighths| power / 16 * eighths);
    eighths
        .into_iter()
        .find(|width| *width >= wanted)
        .unwrap_or(power)
}
