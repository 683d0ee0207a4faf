//! Probability over whole steps: counts of points, steps of seconds, or minutes.
mod convolution;
pub mod spectrum;

/// Mass on consecutive whole numbers. Need not sum to one: parts of an outcome are kept apart.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Distribution {
    first: i64,
    mass: Vec<f64>,
}

/// Slack for sums of many doubles when a quantile is sought.
const ROUNDING: f64 = 1e-12;

/// The sum of a list: in four parts, for one part alone would wait for each addition.
fn sum(list: &[f64]) -> f64 {
    let mut parts = [0.0; 4];
    let fours = list.chunks_exact(4);
    let rest: f64 = fours.remainder().iter().sum();
    for four in fours {
        for (part, value) in parts.iter_mut().zip(four) {
            *part += value;
        }
    }
    (parts[0] + parts[2]) + (parts[1] + parts[3]) + rest
}

/// A count of bins as an index; what is negative lies before the first bin.
fn place(offset: i64) -> Option<usize> {
    usize::try_from(offset).ok()
}

/// The whole number at or below `value`, within a range no clock leaves.
#[must_use]
pub fn floor(value: f64) -> i64 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "clamped to a range far inside i64"
    )]
    let whole = value.floor().clamp(-9.0e15, 9.0e15) as i64;
    whole
}

impl Distribution {
    /// All mass at one number.
    #[must_use]
    pub fn certain(at: i64) -> Self {
        Self {
            first: at,
            mass: vec![1.0],
        }
    }

    /// The masses at `first`, `first + 1`, ….
    #[must_use]
    pub const fn from_masses(first: i64, mass: Vec<f64>) -> Self {
        Self { first, mass }
    }

    /// The sum of single masses; pairs may repeat a number.
    #[must_use]
    pub fn from_pairs(pairs: &[(i64, f64)]) -> Self {
        let mut sum = Self::default();
        for &(at, mass) in pairs {
            sum.put(at, mass);
        }
        sum
    }

    /// Adds `mass` at one number.
    pub fn put(&mut self, at: i64, mass: f64) {
        self.reach(at, at);
        let index = place(at - self.first).unwrap_or(0);
        self.mass[index] += mass;
    }

    /// Adds the masses of `other` at every number times `factor` plus `offset`, split between bins so that the mean is kept.
    pub fn add_stretched(&mut self, other: &Self, factor: f64, offset: f64) {
        if other.mass.is_empty() {
            return;
        }
        let moved = |number: i64| number as f64 * factor + offset;
        self.reach(floor(moved(other.first)), floor(moved(other.last()).ceil()));
        for (number, mass) in other.iter().filter(|(_, mass)| *mass > 0.0) {
            let at = moved(number);
            let below = floor(at);
            let above = at - below as f64;
            let index = place(below - self.first).unwrap_or(0);
            self.mass[index] += mass * (1.0 - above);
            if above > 0.0 {
                self.mass[index + 1] += mass * above;
            }
        }
    }

    /// Makes room from `first` to `last`.
    fn reach(&mut self, first: i64, last: i64) {
        if self.mass.is_empty() {
            self.first = first;
        }
        if let Some(before) = place(self.first - first).filter(|before| *before > 0) {
            self.mass.splice(0..0, std::iter::repeat_n(0.0, before));
            self.first = first;
        }
        let bins = place(last - self.first + 1).unwrap_or(0);
        if self.mass.len() < bins {
            self.mass.resize(bins, 0.0);
        }
    }

    /// The least number with a bin.
    #[must_use]
    pub const fn first(&self) -> i64 {
        self.first
    }

    /// The greatest number with a bin.
    #[must_use]
    pub fn last(&self) -> i64 {
        self.first + i64::try_from(self.mass.len()).unwrap_or(0) - 1
    }

    /// Whether there is no bin at all.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.mass.is_empty()
    }

    /// The numbers with their masses, upwards.
    pub fn iter(&self) -> impl Iterator<Item = (i64, f64)> + '_ {
        (self.first..).zip(self.mass.iter().copied())
    }

    /// The mass at one number.
    #[must_use]
    pub fn at(&self, number: i64) -> f64 {
        place(number - self.first)
            .and_then(|index| self.mass.get(index))
            .copied()
            .unwrap_or(0.0)
    }

    /// All mass.
    #[must_use]
    pub fn total(&self) -> f64 {
        sum(&self.mass)
    }

    /// The mean of the mass there is.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let sum: f64 = self.iter().map(|(at, mass)| at as f64 * mass).sum();
        sum / self.total()
    }

    /// The variance of the mass there is.
    #[must_use]
    pub fn variance(&self) -> f64 {
        let mean = self.mean();
        let sum: f64 = self
            .iter()
            .map(|(at, mass)| (at as f64 - mean).powi(2) * mass)
            .sum();
        sum / self.total()
    }

    /// P(X <= number).
    #[must_use]
    pub fn at_most(&self, number: i64) -> f64 {
        let bins = place(number - self.first + 1).unwrap_or(0).min(self.mass.len());
        sum(&self.mass[..bins])
    }

    /// The least number with at least the share `alpha` of all mass at or below it.
    #[must_use]
    pub fn quantile(&self, alpha: f64) -> i64 {
        let wanted = alpha * self.total() - ROUNDING;
        let mut sum = 0.0;
        for (at, mass) in self.iter() {
            sum += mass;
            if sum >= wanted && sum > 0.0 {
                return at;
            }
        }
        self.last()
    }

    /// Every number moved by `by`.
    #[must_use]
    pub fn shifted(mut self, by: i64) -> Self {
        self.first += by;
        self
    }

    /// Every mass times `by`.
    #[must_use]
    pub fn scaled(mut self, by: f64) -> Self {
        for mass in &mut self.mass {
            *mass *= by;
        }
        self
    }

    /// Adds the masses of `other`, each times `weight`.
    pub fn add(&mut self, other: &Self, weight: f64) {
        if other.mass.is_empty() {
            return;
        }
        self.reach(other.first, other.last());
        let start = place(other.first - self.first).unwrap_or(0);
        for (slot, mass) in self.mass[start..].iter_mut().zip(&other.mass) {
            *slot += weight * mass;
        }
    }

    /// One of two numbers, each moved by some steps and with its own weight.
    #[must_use]
    pub fn mixed(one: (&Self, i64, f64), other: (&Self, i64, f64)) -> Self {
        let both = || [one, other].into_iter().filter(|(of, ..)| !of.is_empty());
        let first = both().map(|(of, by, _)| of.first + by).min().unwrap_or(0);
        let last = both()
            .map(|(of, by, _)| of.last() + by)
            .max()
            .unwrap_or(first - 1);
        let mut mass = vec![0.0; place(last - first + 1).unwrap_or(0)];
        for (of, by, weight) in both() {
            let start = place(of.first + by - first).unwrap_or(0);
            for (slot, mass) in mass[start..].iter_mut().zip(&of.mass) {
                *slot += weight * mass;
            }
        }
        Self { first, mass }
    }

    /// The sum of two independent numbers.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        let (long, short) = if self.mass.len() < other.mass.len() {
            (other, self)
        } else {
            (self, other)
        };
        if short.mass.is_empty() {
            return Self::default();
        }
        Self {
            first: long.first + short.first,
            mass: convolution::convolved(&long.mass, &short.mass),
        }
    }

    /// The later of two independent numbers: the product of their distribution functions.
    #[must_use]
    pub fn later_of(&self, other: &Self) -> Self {
        if self.mass.is_empty() || other.mass.is_empty() {
            return if self.mass.is_empty() {
                other.clone()
            } else {
                self.clone()
            };
        }
        let first = self.first.max(other.first);
        let last = self.last().max(other.last());
        let (mut one, mut two) = (self.at_most(first - 1), other.at_most(first - 1));
        let mut before = one * two;
        let mut mass = Vec::with_capacity(place(last - first + 1).unwrap_or(0));
        for number in first..=last {
            one += self.at(number);
            two += other.at(number);
            mass.push((one * two - before).max(0.0));
            before = one * two;
        }
        Self { first, mass }
    }

    /// Nothing before `floor`: what lay below falls onto it.
    #[must_use]
    pub fn not_before(self, floor: i64) -> Self {
        if self.mass.is_empty() || floor <= self.first {
            return self;
        }
        let below = self.at_most(floor);
        let rest = place(floor - self.first + 1).unwrap_or(0).min(self.mass.len());
        let mut mass = vec![below];
        mass.extend_from_slice(&self.mass[rest..]);
        Self { first: floor, mass }
    }

    /// Given that the number is above `bound`; nothing when it cannot be.
    #[must_use]
    pub fn given_above(&self, bound: i64) -> Option<Self> {
        let cut = place(bound - self.first + 1).unwrap_or(0);
        let mass = self.mass.get(cut..)?.to_vec();
        let left = sum(&mass);
        let first = self.first.max(bound + 1);
        (left > 1e-9 * self.total()).then(|| Self { first, mass }.scaled(1.0 / left))
    }

    /// Both tails of at most `share` each folded onto the outermost bin that stays.
    #[must_use]
    pub fn trimmed(mut self, share: f64) -> Self {
        let cut = share * self.total();
        let mut head = 0.0;
        let mut start = 0;
        while start + 1 < self.mass.len() && head + self.mass[start] < cut {
            head += self.mass[start];
            start += 1;
        }
        let mut tail = 0.0;
        let mut end = self.mass.len();
        while end > start + 1 && tail + self.mass[end - 1] < cut {
            tail += self.mass[end - 1];
            end -= 1;
        }
        if end == 0 {
            return self;
        }
        self.mass.truncate(end);
        self.mass.drain(..start);
        self.first += i64::try_from(start).unwrap_or(0);
        self.mass[0] += head;
        if let Some(last) = self.mass.last_mut() {
            *last += tail;
        }
        self
    }

    /// Every number times `factor`, split between bins so that the mean is kept.
    #[must_use]
    pub fn stretched(&self, factor: f64) -> Self {
        let mut stretched = Self::default();
        stretched.add_stretched(self, factor, 0.0);
        stretched
    }

    /// The number times one that is uniform on 0..1: play that stops at any point of its course.
    #[must_use]
    pub fn cut_short(&self) -> Self {
        let mut cut = Self::default();
        for (at, mass) in self.iter() {
            let each = mass / (at.max(0) + 1) as f64;
            cut.add(
                &Self::from_masses(0, vec![each; place(at.max(0) + 1).unwrap_or(1)]),
                1.0,
            );
        }
        cut
    }
}

#[cfg(test)]
mod tests;
