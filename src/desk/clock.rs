//! Two clocks: the desk clock tells the day at the desk, the wall clock tells tokens and keys.
use std::fmt;
use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};

type Tell = Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>;

/// The desk clock (jobs, promises, events) and the wall clock (tokens, idempotency age).
#[derive(Clone)]
pub struct Clock {
    desk: Tell,
    wall: Tell,
    rate: f64,
}

impl Clock {
    /// Both clocks are the machine's.
    #[must_use]
    pub fn real() -> Self {
        Self {
            desk: Arc::new(machine_time),
            wall: Arc::new(machine_time),
            rate: 1.0,
        }
    }

    /// A desk clock that starts at `start` now and runs `rate` times as fast as the wall clock.
    #[must_use]
    pub fn starting_at(start: DateTime<Utc>, rate: f64) -> Self {
        let opened = machine_time();
        let desk = move || {
            let real_ms = machine_time().signed_duration_since(opened).num_milliseconds();
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_precision_loss,
                reason = "days in ms fit"
            )]
            let desk_ms = (real_ms as f64 * rate) as i64;
            start + TimeDelta::milliseconds(desk_ms)
        };
        Self {
            desk: Arc::new(desk),
            wall: Arc::new(machine_time),
            rate,
        }
    }

    /// Clocks that a test moves.
    pub fn told_by(
        desk: impl Fn() -> DateTime<Utc> + Send + Sync + 'static,
        wall: impl Fn() -> DateTime<Utc> + Send + Sync + 'static,
    ) -> Self {
        Self {
            desk: Arc::new(desk),
            wall: Arc::new(wall),
            rate: 1.0,
        }
    }

    /// The time at the desk, cut to the millisecond.
    #[must_use]
    pub fn desk(&self) -> DateTime<Utc> {
        cut((self.desk)())
    }

    /// The time in the world, cut to the millisecond.
    #[must_use]
    pub fn wall(&self) -> DateTime<Utc> {
        cut((self.wall)())
    }

    /// How many desk seconds pass in a wall second.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Clock")
            .field("rate", &self.rate)
            .finish_non_exhaustive()
    }
}

fn cut(moment: DateTime<Utc>) -> DateTime<Utc> {
    DateTime::from_timestamp_millis(moment.timestamp_millis()).unwrap_or(moment)
}

#[expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the machine's clock"
)]
fn machine_time() -> DateTime<Utc> {
    Utc::now()
}
