//! The time told to the player: from the queue while no plan holds the job, and what becomes of it later.
use chrono::{DateTime, TimeDelta, Utc};

use crate::dispatch::solver::TAKEN_BY_ARRIVALS;
use crate::match_times::ready_by::HYSTERESIS_MIN;
use crate::normal::Z90;
use crate::units::Seconds;

/// Promises fall on whole five minutes.
const STEP_S: i64 = 300;
/// So many minutes a waiting racket's time must improve before it is told: half of a stringing. Common practice, no
/// source.
pub const SOONER_MIN: i64 = 15;

/// How long a job takes: mean and standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JobTime {
    /// The mean.
    pub mean_s: Seconds,
    /// The standard deviation.
    pub spread_s: Seconds,
}

/// What waits before a job, and where it could be strung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QueueAhead {
    /// Jobs that come first, those on the machines included.
    pub jobs: u32,
    /// Open stations that may do the job.
    pub stations: u32,
    /// How long one of the jobs ahead takes.
    pub each: JobTime,
}

/// The promised time: by then the job is done in nine cases of ten.
///
/// The jobs ahead share the stations, so `jobs / stations` of them come before
/// this one; the sum with the own job is taken as lognormal with the mean and
/// the variance of independent jobs, and what comes in meanwhile takes its share. Rounded up to five minutes of UTC, which
/// are five minutes of every venue's clock too. `None` where no station is open,
/// or the time lies beyond the calendar.
#[must_use]
pub fn promised_at(now: DateTime<Utc>, ahead: QueueAhead, own: JobTime) -> Option<DateTime<Utc>> {
    if ahead.stations == 0 {
        return None;
    }
    let before = f64::from(ahead.jobs) / f64::from(ahead.stations);
    let mean_s = before * ahead.each.mean_s.get() + own.mean_s.get();
    let variance = before * ahead.each.spread_s.get().powi(2) + own.spread_s.get().powi(2);
    round_up(safe_after(now, mean_s, variance, Progress::Waits)?)
}

/// The time by which a job is done in nine cases of ten, when it takes this long from `now` on.
///
/// Taken as lognormal, as the sum of independent jobs is by its first two moments. While it waits, some of what comes
/// in until then goes first: the share that the plan leaves to it too.
#[must_use]
pub fn safe_time(now: DateTime<Utc>, whole: JobTime, progress: Progress) -> Option<DateTime<Utc>> {
    safe_after(now, whole.mean_s.get(), whole.spread_s.get().powi(2), progress)
}

fn safe_after(now: DateTime<Utc>, mean_s: f64, variance: f64, progress: Progress) -> Option<DateTime<Utc>> {
    let taken_s = match progress {
        Progress::Waits => TAKEN_BY_ARRIVALS * mean_s,
        Progress::Begun => 0.0,
    };
    let safe_ms = ((lognormal_p90(mean_s, variance) + taken_s) * 1000.0).ceil();
    now.checked_add_signed(whole_ms(safe_ms)?)
}

/// How far a racket has come, as what is told of it depends on that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// It waits, and others may be strung before it.
    Waits,
    /// A station has it.
    Begun,
}

/// What is told when the safe time is `safe`, after `promised` was told.
///
/// A promise stands while the safe time is no more than [`HYSTERESIS_MIN`] minutes after it, nor sooner than the five
/// minutes from which it was rounded up by more than as many again, or [`SOONER_MIN`] while the racket waits: a sooner
/// time that is taken back when the next racket comes in is worse than none. Beyond that it is rounded up anew.
#[must_use]
pub fn told(
    promised: Option<DateTime<Utc>>,
    safe: DateTime<Utc>,
    progress: Progress,
) -> Option<DateTime<Utc>> {
    let sooner_min = match progress {
        Progress::Waits => SOONER_MIN,
        Progress::Begun => HYSTERESIS_MIN,
    };
    let stands = |promised: &DateTime<Utc>| {
        let early = *promised - TimeDelta::seconds(STEP_S) - TimeDelta::minutes(sooner_min);
        early <= safe && safe <= *promised + TimeDelta::minutes(HYSTERESIS_MIN)
    };
    promised.filter(stands).or_else(|| round_up(safe))
}

/// The 90 % point of the lognormal distribution with this mean and variance.
fn lognormal_p90(mean: f64, variance: f64) -> f64 {
    if mean <= 0.0 {
        return 0.0;
    }
    let log_variance = (variance / (mean * mean)).ln_1p();
    mean * (Z90 * log_variance.sqrt() - log_variance / 2.0).exp()
}

/// A count of milliseconds of at most about a century.
fn whole_ms(ms: f64) -> Option<TimeDelta> {
    const CENTURY_MS: f64 = 3.2e12;
    if !(0.0..CENTURY_MS).contains(&ms) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, reason = "checked to be whole and in range")]
    let whole = ms as i64;
    TimeDelta::try_milliseconds(whole)
}

/// The next whole five minutes, or this instant if it is one.
fn round_up(at: DateTime<Utc>) -> Option<DateTime<Utc>> {
    let past_ms = at.timestamp_millis().rem_euclid(STEP_S * 1000);
    if past_ms == 0 {
        return DateTime::from_timestamp_millis(at.timestamp_millis());
    }
    DateTime::from_timestamp_millis(at.timestamp_millis().checked_add(STEP_S * 1000 - past_ms)?)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn job(mean_s: f64, spread_s: f64) -> JobTime {
        JobTime {
            mean_s: Seconds::new(mean_s).unwrap(),
            spread_s: Seconds::new(spread_s).unwrap(),
        }
    }

    fn at(text: &str) -> DateTime<Utc> {
        text.parse().unwrap()
    }

    #[test]
    fn six_jobs_over_three_stations_are_two_before_the_own_one() {
        let ahead = QueueAhead {
            jobs: 6,
            stations: 3,
            each: job(1500.0, 0.0),
        };
        // 2 x 25 min + 25 min after 13:02 is 14:17, and a tenth of these 75 min for what comes in meanwhile 14:24:30
        let promised = promised_at(at("2031-06-04T13:02:00Z"), ahead, job(1500.0, 0.0));
        assert_eq!(promised, Some(at("2031-06-04T14:25:00Z")));
    }

    #[test]
    fn a_time_on_the_grid_stays_there() {
        let on_it = at("2031-06-04T13:10:00Z");
        assert_eq!(told(None, on_it, Progress::Waits), Some(on_it));
    }

    #[test]
    fn what_is_begun_gives_way_to_nothing_that_comes_in() {
        let (now, hour) = (at("2031-06-04T13:00:00Z"), job(3600.0, 0.0));
        for (progress, safe) in [
            (Progress::Begun, "2031-06-04T14:00:00Z"),
            (Progress::Waits, "2031-06-04T14:06:00Z"),
        ] {
            assert_eq!(safe_time(now, hour, progress), Some(at(safe)));
        }
    }

    #[test]
    fn without_an_open_station_nothing_is_promised() {
        let ahead = QueueAhead {
            jobs: 0,
            stations: 0,
            each: job(1.0, 0.0),
        };
        assert_eq!(
            promised_at(at("2031-06-04T13:00:00Z"), ahead, job(600.0, 0.0)),
            None
        );
    }

    #[test]
    fn the_ninety_percent_point_is_that_of_the_standard_lognormal() {
        // exact: mu = 0, sigma = 1 has mean e^(1/2), variance (e - 1) e and the point e^1.28155 = 3.60222
        let e = std::f64::consts::E;
        assert!((lognormal_p90(e.sqrt(), (e - 1.0) * e) - 3.602_224_479).abs() < 1e-8);
        assert!((lognormal_p90(1500.0, 0.0) - 1500.0).abs() < 1e-9);
    }

    #[test]
    fn a_promise_is_told_anew_only_when_the_safe_time_has_left_its_surroundings() {
        let promised = Some(at("2031-06-04T14:20:00Z"));
        for (safe, expected) in [
            ("2031-06-04T14:18:00Z", "2031-06-04T14:20:00Z"),
            ("2031-06-04T14:25:00Z", "2031-06-04T14:20:00Z"),
            ("2031-06-04T14:25:01Z", "2031-06-04T14:30:00Z"),
            ("2031-06-04T14:10:00Z", "2031-06-04T14:20:00Z"),
            ("2031-06-04T14:09:59Z", "2031-06-04T14:10:00Z"),
        ] {
            let after = told(promised, at(safe), Progress::Begun);
            assert_eq!(after, Some(at(expected)), "{safe}");
        }
        assert_eq!(told(None, at("2031-06-04T14:16:00Z"), Progress::Waits), promised);
    }

    #[test]
    fn a_waiting_racket_is_told_a_sooner_time_only_for_a_quarter_of_an_hour() {
        let promised = Some(at("2031-06-04T14:20:00Z"));
        for (safe, expected) in [
            ("2031-06-04T14:00:00Z", "2031-06-04T14:20:00Z"),
            ("2031-06-04T13:59:59Z", "2031-06-04T14:00:00Z"),
            ("2031-06-04T14:25:01Z", "2031-06-04T14:30:00Z"),
        ] {
            let after = told(promised, at(safe), Progress::Waits);
            assert_eq!(after, Some(at(expected)), "{safe}");
        }
    }

    #[test]
    fn a_safe_time_that_wavers_by_a_few_minutes_is_told_once() {
        let mut promised = None;
        let mut times_told = 0;
        for minute in [12, 16, 13, 18, 11, 17, 15] {
            let safe = at(&format!("2031-06-04T14:{minute}:00Z"));
            let next = told(promised, safe, Progress::Begun);
            times_told += usize::from(next != promised);
            promised = next;
        }
        assert_eq!(times_told, 1);
    }

    proptest! {
        #[test]
        fn a_promise_is_on_the_grid_after_now_and_never_sooner_for_more_work(
            now_ms in 0_i64..4_000_000_000_000,
            jobs in 0_u32..200,
            stations in 1_u32..20,
            mean in 300.0_f64..4000.0,
            share in 0.0_f64..0.6,
        ) {
            let now = DateTime::from_timestamp_millis(now_ms).unwrap();
            let each = job(mean, mean * share);
            let promised = promised_at(now, QueueAhead { jobs, stations, each }, each).unwrap();
            prop_assert_eq!(promised.timestamp_millis() % 300_000, 0);
            prop_assert!(promised > now);
            let more = promised_at(now, QueueAhead { jobs: jobs + stations, stations, each }, each).unwrap();
            prop_assert!(more >= promised);
        }
    }
}
