//! The masses of a sum of two independent numbers.
use super::spectrum::Spectra;

/// From so many products on, the way by Fourier's transform is the shorter one.
const MANY_PRODUCTS: usize = 20_000;
/// A shorter list is never worth a transform.
const FEW: usize = 24;

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
    let wanted = long.len() + short.len() - 1;
    Spectra::with(wanted, |spectra| {
        let sum = spectra.spectrum_of(0, long).plus(&spectra.spectrum_of(0, short));
        spectra.masses(sum, wanted)
    })
}
