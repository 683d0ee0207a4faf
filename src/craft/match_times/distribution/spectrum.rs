//! Distributions as spectra: where many sums follow one another, each is one product per frequency.
use std::cell::RefCell;
use std::sync::Arc;

use realfft::num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};

use super::Distribution;

thread_local! {
    /// Transforms by width: to plan one takes longer than to use it.
    static KNOWN: RefCell<Vec<Spectra>> = const { RefCell::new(Vec::new()) };
}

/// Mass that is lost in the rounding of a transform.
const NOISE: f64 = 1e-15;

/// A distribution on 0, 1, … as a spectrum.
#[derive(Debug, Clone)]
pub struct Spectrum(Vec<Complex<f64>>);

/// Spectra of one width, there and back. Whatever is summed must stay below that width.
pub struct Spectra {
    width: usize,
    there: Arc<dyn RealToComplex<f64>>,
    back: Arc<dyn ComplexToReal<f64>>,
    samples: Vec<f64>,
    spare: Vec<Complex<f64>>,
}

impl Spectra {
    /// Works with sums of up to so many bins.
    pub fn with<T>(wanted: usize, work: impl FnOnce(&mut Self) -> T) -> T {
        let width = quick_width(wanted);
        let known = KNOWN.with_borrow_mut(|known| {
            let place = known.iter().position(|spectra| spectra.width == width)?;
            Some(known.swap_remove(place))
        });
        let mut spectra = known.unwrap_or_else(|| Self::of_width(width));
        let done = work(&mut spectra);
        KNOWN.with_borrow_mut(|known| known.push(spectra));
        done
    }

    fn of_width(width: usize) -> Self {
        let mut planner = RealFftPlanner::new();
        let (there, back) = (planner.plan_fft_forward(width), planner.plan_fft_inverse(width));
        let spare = there.get_scratch_len().max(back.get_scratch_len());
        Self {
            width,
            samples: vec![0.0; width],
            spare: vec![Complex::default(); spare],
            there,
            back,
        }
    }

    /// The spectrum of something on 0, 1, ….
    pub fn spectrum(&mut self, of: &Distribution) -> Spectrum {
        self.spectrum_of(usize::try_from(of.first).unwrap_or(0), &of.mass)
    }

    pub(super) fn spectrum_of(&mut self, first: usize, masses: &[f64]) -> Spectrum {
        let mut spectrum = self.there.make_output_vec();
        let end = first + masses.len();
        self.samples[..first].fill(0.0);
        self.samples[first..end].copy_from_slice(masses);
        self.samples[end..].fill(0.0);
        // the lengths are those that the plan asks for, so that it cannot fail
        let done = self
            .there
            .process_with_scratch(&mut self.samples, &mut spectrum, &mut self.spare);
        debug_assert!(done.is_ok());
        Spectrum(spectrum)
    }

    /// The spectrum of all mass at nought, times `mass`.
    #[must_use]
    pub fn nothing_yet(&self, mass: f64) -> Spectrum {
        Spectrum(vec![Complex::new(mass, 0.0); self.there.complex_len()])
    }

    /// What a spectrum stands for; what is below 1e-15 on the outside is noise and left out.
    pub fn distribution(&mut self, spectrum: Spectrum) -> Distribution {
        let mass = self.masses(spectrum, self.width);
        let counts = |mass: &f64| *mass > NOISE;
        let Some(start) = mass.iter().position(counts) else {
            return Distribution::default();
        };
        let end = mass.iter().rposition(counts).map_or(start, |last| last + 1);
        Distribution {
            first: i64::try_from(start).unwrap_or(0),
            mass: mass[start..end].to_vec(),
        }
    }

    /// The masses at 0, 1, …: so many.
    pub(super) fn masses(&mut self, mut spectrum: Spectrum, wanted: usize) -> Vec<f64> {
        let done = self
            .back
            .process_with_scratch(&mut spectrum.0, &mut self.samples, &mut self.spare);
        debug_assert!(done.is_ok());
        let scale = 1.0 / self.width as f64;
        let masses = self.samples[..wanted].iter();
        masses.map(|mass| (mass * scale).max(0.0)).collect()
    }
}

impl Spectrum {
    /// The spectrum of the sum of two independent numbers.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self(
            self.0
                .iter()
                .zip(&other.0)
                .map(|(one, other)| one * other)
                .collect(),
        )
    }

    /// Adds the masses of another.
    pub fn add(&mut self, other: &Self) {
        for (one, other) in self.0.iter_mut().zip(&other.0) {
            *one += *other;
        }
    }

    /// All mass.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.0.first().map_or(0.0, |all| all.re)
    }
}

/// The least width from `wanted` on that is a power of two times 1, 9/8, 5/4, 3/2 or 7/4.
fn quick_width(wanted: usize) -> usize {
    let power = wanted.next_power_of_two().max(16);
    let eighths = [9, 10, 12, 14].map(|eighths| power / 16 * eighths);
    eighths
        .into_iter()
        .find(|width| *width >= wanted)
        .unwrap_or(power)
}
