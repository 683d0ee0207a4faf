//! A small seeded generator: the same seed draws the same numbers everywhere.
//!
//! xoshiro256++ by Blackman and Vigna (ACM Trans. Math. Software 47(4), 2021),
//! its state filled by splitmix64, as its authors advise. Not for secrets.

/// A stream of numbers that follows from its seed alone.
#[derive(Debug, Clone)]
pub struct Chance {
    state: [u64; 4],
}

impl Chance {
    /// The stream of `seed`.
    #[must_use]
    pub fn from_seed(seed: u64) -> Self {
        let mut word = seed;
        let mut next = || {
            word = word.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut mixed = word;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            mixed ^ (mixed >> 31)
        };
        Self {
            state: [next(), next(), next(), next()],
        }
    }

    /// A stream of its own for one part of a computation: parts may draw in any order.
    #[must_use]
    pub fn for_part(seed: u64, part: u64) -> Self {
        Self::from_seed(seed ^ part.wrapping_add(1).wrapping_mul(0xd1b5_4a32_d192_ed03))
    }

    /// 64 random bits.
    pub fn bits(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let drawn = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (c, d) = (c ^ a, d ^ b);
        self.state = [a ^ d, b ^ c, c ^ (b << 17), d.rotate_left(45)];
        drawn
    }

    /// A number in `0..bound`, each about equally likely (multiply and shift); 0 for a bound of 0.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the upper half of a product by a usize is below that usize"
    )]
    pub fn below(&mut self, bound: usize) -> usize {
        ((u128::from(self.bits()) * bound as u128) >> 64) as usize
    }

    /// A number in `[0, 1)` with 53 random bits.
    pub fn unit(&mut self) -> f64 {
        const STEP: f64 = 1.0 / 9_007_199_254_740_992.0; // 2^-53
        #[expect(clippy::cast_precision_loss, reason = "53 bits are exact in an f64")]
        let draw = (self.bits() >> 11) as f64;
        draw * STEP
    }

    /// A standard normal number (the polar method of Marsaglia and Bray, 1964).
    pub fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (
                2.0f64.mul_add(self.unit(), -1.0),
                2.0f64.mul_add(self.unit(), -1.0),
            );
            let square = x.mul_add(x, y * y);
            if square > 0.0 && square < 1.0 {
                return x * (-2.0 * square.ln() / square).sqrt();
            }
        }
    }

    /// A lognormal number with this mean and coefficient of variation.
    pub fn lognormal(&mut self, mean: f64, variation: f64) -> f64 {
        let variance = variation.mul_add(variation, 1.0).ln();
        mean * variance.sqrt().mul_add(self.normal(), -0.5 * variance).exp()
    }

    /// Puts `items` in random order.
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            let other = self.below(last + 1);
            items.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first numbers of the authors' own C program (xoshiro256plusplus.c) for the state 1, 2, 3, 4.
    #[test]
    fn the_stream_is_the_published_one() {
        let mut chance = Chance { state: [1, 2, 3, 4] };
        let drawn: Vec<u64> = (0..5).map(|_| chance.bits()).collect();
        assert_eq!(
            drawn,
            [
                41_943_041,
                58_720_359,
                3_588_806_011_781_223,
                3_591_011_842_654_386,
                9_228_616_714_210_784_205
            ]
        );
    }

    #[test]
    fn draws_have_the_moments_they_should() {
        let mut chance = Chance::from_seed(7);
        let draws: Vec<f64> = (0..40_000).map(|_| chance.lognormal(100.0, 0.33)).collect();
        let mean = draws.iter().sum::<f64>() / 40_000.0;
        let variance = draws.iter().map(|draw| (draw - mean).powi(2)).sum::<f64>() / 40_000.0;
        assert!((mean - 100.0).abs() < 0.7, "{mean}");
        assert!((variance.sqrt() - 33.0).abs() < 0.8, "{}", variance.sqrt());
        let mut seen = [0; 5];
        for _ in 0..5_000 {
            seen[chance.below(5)] += 1;
        }
        assert!(seen.iter().all(|count| (880..1120).contains(count)), "{seen:?}");
        assert_eq!(chance.below(0), 0);
    }
}
