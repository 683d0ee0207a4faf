//! Try limits for sign-ins, PINs and pickup codes: a bucket of tries per name.
//!
//! Kept in memory: a restart forgives, which is harmless against guessing at this
//! pace. The rates are our own choice, without a source.
use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use chrono::{DateTime, Utc};

use super::refused::Refused;

/// How many tries at once, and how long until one more is granted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate {
    pub burst: u32,
    pub refill_s: u32,
}

/// Ten passwords at once, then one each 30 s, per account name.
pub const SIGN_IN: Rate = Rate {
    burst: 10,
    refill_s: 30,
};
/// Five PINs at once, then one a minute, per device.
pub const PIN: Rate = Rate {
    burst: 5,
    refill_s: 60,
};
/// Ten pickup codes at once, then one each 20 s, per device or link.
pub const PICKUP_CODE: Rate = Rate {
    burst: 10,
    refill_s: 20,
};

/// Names beyond this many make the limiter forget those whose bucket is full again.
const TIDY_ABOVE: usize = 10_000;

/// The buckets of one kind of try.
#[derive(Debug)]
pub struct TryLimiter {
    rate: Rate,
    buckets: Mutex<HashMap<String, Bucket>>,
}

/// The limits of this process, shared by its workers.
#[derive(Debug)]
pub struct Tries {
    /// Passwords, by account name.
    pub sign_in: TryLimiter,
    /// PINs, by device.
    pub pin: TryLimiter,
    /// Pickup codes, by device or link.
    pub pickup_code: TryLimiter,
}

impl Default for Tries {
    fn default() -> Self {
        Self {
            sign_in: TryLimiter::new(SIGN_IN),
            pin: TryLimiter::new(PIN),
            pickup_code: TryLimiter::new(PICKUP_CODE),
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct Bucket {
    /// When the bucket will be full again, in milliseconds since 1970.
    full_at_ms: i64,
}

impl TryLimiter {
    /// Empty-handed: every name starts with a full bucket.
    pub fn new(rate: Rate) -> Self {
        Self {
            rate,
            buckets: Mutex::new(HashMap::new()),
        }
    }

    /// Takes one try of `name` at `now`.
    ///
    /// # Errors
    /// [`Refused::TooManyTries`] when none is left; that refusal costs nothing.
    pub fn take(&self, name: &str, now: DateTime<Utc>) -> Result<(), Refused> {
        let now_ms = now.timestamp_millis();
        let step_ms = i64::from(self.rate.refill_s) * 1000;
        let capacity_ms = step_ms * i64::from(self.rate.burst);
        let mut buckets = self.buckets.lock().unwrap_or_else(PoisonError::into_inner);
        if buckets.len() > TIDY_ABOVE {
            buckets.retain(|_, bucket| bucket.full_at_ms > now_ms);
        }
        let bucket = buckets
            .entry(name.to_owned())
            .or_insert(Bucket { full_at_ms: now_ms });
        // a wall clock set back must not lock anybody out for longer than an empty bucket
        let full_at_ms = bucket.full_at_ms.clamp(now_ms, now_ms + capacity_ms);
        let wait_ms = full_at_ms + step_ms - capacity_ms - now_ms;
        if wait_ms > 0 {
            let wait_s = u64::try_from((wait_ms + 999) / 1000).unwrap_or(1);
            return Err(Refused::TooManyTries { wait_s });
        }
        bucket.full_at_ms = full_at_ms + step_ms;
        Ok(())
    }

    /// Gives `name` a full bucket: a right answer clears the wrong ones before it.
    pub fn clear(&self, name: &str) {
        self.buckets
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .remove(name);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(second: i64) -> DateTime<Utc> {
        DateTime::from_timestamp(1_777_723_200 + second, 0).unwrap()
    }

    fn wait_s(limiter: &TryLimiter, name: &str, second: i64) -> Option<u64> {
        match limiter.take(name, at(second)) {
            Err(Refused::TooManyTries { wait_s }) => Some(wait_s),
            _ => None,
        }
    }

    #[test]
    fn five_pins_at_once_then_one_a_minute() {
        let limiter = TryLimiter::new(PIN);
        for _ in 0..5 {
            assert_eq!(wait_s(&limiter, "dev_1", 0), None);
        }
        assert_eq!(wait_s(&limiter, "dev_1", 0), Some(60));
        assert_eq!(wait_s(&limiter, "dev_1", 59), Some(1));
        assert_eq!(wait_s(&limiter, "dev_2", 59), None);
        assert_eq!(wait_s(&limiter, "dev_1", 60), None);
        assert_eq!(wait_s(&limiter, "dev_1", 60), Some(60));
    }

    #[test]
    fn a_right_answer_clears_and_a_clock_set_back_does_not_lock() {
        let limiter = TryLimiter::new(PIN);
        for _ in 0..5 {
            assert_eq!(wait_s(&limiter, "dev_1", 1_000_000), None);
        }
        assert_eq!(wait_s(&limiter, "dev_1", 0), Some(60));
        limiter.clear("dev_1");
        assert_eq!(wait_s(&limiter, "dev_1", 0), None);
    }
}
