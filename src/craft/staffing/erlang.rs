//! Waiting for a station on a steady day: Erlang's formula C.
//!
//! A check only: the work before the first matches decides a day, not its mean load.

/// Stations that serve at random arrivals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steady {
    /// How many stations serve.
    pub stations: u32,
    /// Arrivals per mean service time, in erlang.
    pub offered_load: f64,
}

impl Steady {
    /// P(an arrival waits). Without enough stations everybody does.
    ///
    /// By the recursion of formula B: B(k) = a B(k-1) / (k + a B(k-1)), C = B / (1 - (a / S)(1 - B)).
    #[must_use]
    pub fn chance_of_waiting(&self) -> f64 {
        let stations = f64::from(self.stations);
        if self.offered_load >= stations {
            return 1.0;
        }
        let blocked = (1..=self.stations).fold(1.0, |blocked, station| {
            let part = self.offered_load * blocked;
            part / (f64::from(station) + part)
        });
        blocked / (1.0 - self.offered_load / stations * (1.0 - blocked))
    }

    /// Mean wait of all arrivals, in mean service times; endless without enough stations.
    #[must_use]
    pub fn mean_wait(&self) -> f64 {
        let spare = f64::from(self.stations) - self.offered_load;
        if spare <= 0.0 {
            f64::INFINITY
        } else {
            self.chance_of_waiting() / spare
        }
    }

    /// P(wait > `services` mean service times), given that an arrival waits.
    #[must_use]
    pub fn chance_of_longer(&self, services: f64) -> f64 {
        let spare = f64::from(self.stations) - self.offered_load;
        if spare <= 0.0 {
            1.0
        } else {
            (-spare * services).exp()
        }
    }

    /// Mean wait for any spread of arrivals and services (Allen and Cunneen): coefficients of variation.
    #[must_use]
    pub fn mean_wait_for(&self, arrivals: f64, services: f64) -> f64 {
        self.mean_wait() * arrivals.mul_add(arrivals, services * services) / 2.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_cases_are_the_exact_fractions() {
        for (stations, offered_load, exact) in
            [(3, 2.0, 4.0 / 9.0), (2, 1.0, 1.0 / 3.0), (5, 4.0, 128.0 / 231.0)]
        {
            let steady = Steady {
                stations,
                offered_load,
            };
            assert!((steady.chance_of_waiting() - exact).abs() < 1e-12);
        }
    }

    #[test]
    fn without_enough_stations_everybody_waits_for_ever() {
        let steady = Steady {
            stations: 2,
            offered_load: 2.0,
        };
        assert!(steady.chance_of_waiting() >= 1.0 && steady.mean_wait().is_infinite());
    }
}
