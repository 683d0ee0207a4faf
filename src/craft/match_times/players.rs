//! How strong unknown players are, and how unequal.
use crate::sport::Sport;
use crate::text_enum::text_enum;

text_enum! {
    /// Whose matches they are: decides how points on serve are won.
    pub enum PlayerMix, "player mix" {
        /// Men's singles of professionals.
        Men = "men",
        /// Women's singles of professionals.
        Women = "women",
        /// Doubles of professionals.
        Doubles = "doubles",
        /// Club players, juniors, whoever has no better mix.
        Club = "club",
        /// Badminton.
        Badminton = "badminton",
        /// Squash.
        Squash = "squash",
    }
}

/// Chances of a point on serve: their mean over both players, and the difference between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strengths {
    /// Mean of (p + q) / 2.
    pub mean: f64,
    /// Its standard deviation from match to match.
    pub sd_mean: f64,
    /// Standard deviation of p - q, whose mean is zero.
    pub sd_difference: f64,
}

/// One pair of players and how much it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// A's chance of a point on A's serve.
    pub p: f64,
    /// B's chance of a point on B's serve.
    pub q: f64,
    /// Its share among all pairs.
    pub weight: f64,
}

impl PlayerMix {
    /// The mix of a draw by its usual letters: men's and women's singles, doubles, else club.
    #[must_use]
    pub fn of_draw(draw: &str, sport: Sport) -> Self {
        match (sport, draw) {
            (Sport::Badminton, _) => Self::Badminton,
            (Sport::Squash, _) => Self::Squash,
            (Sport::Tennis, "MS") => Self::Men,
            (Sport::Tennis, "WS") => Self::Women,
            (Sport::Tennis, "MD" | "WD" | "XD") => Self::Doubles,
            (Sport::Tennis, _) => Self::Club,
        }
    }

    /// The strengths of this mix.
    ///
    /// Men and women: fitted to the serve percentages of 943 matches of 2013, "Tennis
    /// Major Tournament Match Statistics" (UCI ML Repository), with the binomial noise
    /// taken out; the lengths that follow agree with the same data. The others are assumptions.
    #[must_use]
    pub const fn strengths(self) -> Strengths {
        let (mean, sd_mean, sd_difference) = match self {
            Self::Men => (0.630, 0.031, 0.13),
            Self::Women => (0.558, 0.029, 0.147),
            Self::Doubles => (0.64, 0.03, 0.10),
            Self::Club => (0.54, 0.03, 0.16),
            Self::Badminton => (0.5, 0.0, 0.09),
            Self::Squash => (0.5, 0.0, 0.10),
        };
        Strengths {
            mean,
            sd_mean,
            sd_difference,
        }
    }
}

impl Strengths {
    /// Pairs that stand for all, at so many means and differences.
    #[must_use]
    pub fn pairs(&self, means: usize, differences: usize) -> Vec<Pair> {
        let chance = |value: f64| value.clamp(0.03, 0.97);
        let mean_nodes = if self.sd_mean > 0.0 {
            normal_nodes(means)
        } else {
            normal_nodes(1)
        };
        let mut pairs = Vec::new();
        for &(mean_z, mean_weight) in &mean_nodes {
            for (difference_z, difference_weight) in normal_nodes(differences) {
                let mean = mean_z.mul_add(self.sd_mean, self.mean);
                let half = difference_z * self.sd_difference / 2.0;
                pairs.push(Pair {
                    p: chance(mean + half),
                    q: chance(mean - half),
                    weight: mean_weight * difference_weight,
                });
            }
        }
        pairs
    }
}

/// Points and weights that integrate against the standard normal (Gauss-Hermite quadrature), upwards.
///
/// Exact for polynomials up to degree 2n - 1.
#[must_use]
pub fn normal_nodes(count: usize) -> Vec<(f64, f64)> {
    /// He(n) and He(n - 1) at `x`, by their recursion.
    fn hermite(count: usize, x: f64) -> (f64, f64) {
        let (mut before, mut last, mut degree) = (0.0, 1.0, 0.0);
        for _ in 0..count {
            (before, last) = (last, x.mul_add(last, -degree * before));
            degree += 1.0;
        }
        (last, before)
    }
    let n = count as f64;
    let factorial: f64 = (1..=count).map(|factor| factor as f64).product();
    let weight = |x: f64| factorial / (n * n * hermite(count, x).1.powi(2));
    let mut nodes = Vec::with_capacity(count);
    if count % 2 == 1 {
        nodes.push((0.0, weight(0.0)));
    }
    // all roots are real, apart by much more than a step, and lie within 2 sqrt(n)
    let step = 0.01;
    let mut x = step / 2.0;
    while x < 2.0 * n.sqrt() + 1.0 {
        let (mut low, mut high) = (x, x + step);
        if hermite(count, low).0 * hermite(count, high).0 < 0.0 {
            for _ in 0..60 {
                let middle = f64::midpoint(low, high);
                if hermite(count, low).0 * hermite(count, middle).0 <= 0.0 {
                    high = middle;
                } else {
                    low = middle;
                }
            }
            nodes.push((low, weight(low)));
            nodes.insert(0, (-low, weight(low)));
        }
        x += step;
    }
    nodes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nodes_give_the_moments_of_the_normal_distribution() {
        // exact: 1, 0, 1, 0, 3, 0, 15
        for count in [3, 5, 7, 9] {
            let nodes = normal_nodes(count);
            assert_eq!(nodes.len(), count);
            let moment = |power: i32| -> f64 { nodes.iter().map(|(x, w)| w * x.powi(power)).sum() };
            assert!((moment(0) - 1.0).abs() < 1e-12, "{count}");
            assert!((moment(2) - 1.0).abs() < 1e-12, "{count}");
            assert!((moment(4) - 3.0).abs() < 1e-11, "{count}");
            if count > 3 {
                assert!((moment(6) - 15.0).abs() < 1e-10, "{count}");
            }
        }
    }

    #[test]
    fn a_draw_names_its_players() {
        assert_eq!(PlayerMix::of_draw("MS", Sport::Tennis), PlayerMix::Men);
        assert_eq!(PlayerMix::of_draw("XD", Sport::Tennis), PlayerMix::Doubles);
        assert_eq!(PlayerMix::of_draw("U14", Sport::Tennis), PlayerMix::Club);
        assert_eq!(PlayerMix::of_draw("MS", Sport::Squash), PlayerMix::Squash);
    }
}
