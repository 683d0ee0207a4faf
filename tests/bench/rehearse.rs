//! Whole uncertain days: the live dispatcher against the plain rules, the same worlds for all.
#![expect(
    clippy::expect_used,
    clippy::print_stdout,
    reason = "a benchmark prints, and stops where it cannot set up"
)]
use weftdesk::craft::dispatch::baselines::Rule;
use weftdesk::craft::dispatch::file;
use weftdesk::craft::rehearse::{Dispatcher, Live, Plain, Report, Spread, rehearse};

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/dispatch/days");

fn main() {
    println!(
        "mean ± half of the 95 % interval; weighted tardiness also against earliest due first and against the best plain rule that knows homes (atcsb)"
    );
    for (name, repeat) in [
        ("shop-1", 20),
        ("small-1", 20),
        ("mid-1", 20),
        ("mid-3", 20),
        ("peak-1", 4),
    ] {
        let text = std::fs::read_to_string(format!("{DATA}/{name}.json")).expect("the data");
        let document = serde_json::from_str(&text).expect("JSON");
        let day = file::day(&document).expect("a sound day");
        let mut fresh = |way: &str, repetition: u64| -> Box<dyn Dispatcher> {
            match Rule::ALL.iter().find(|rule| rule.name() == way) {
                Some(rule) => Box::new(Plain::new(*rule)),
                None => Box::new(Live::as_on_the_desk(repetition)),
            }
        };
        let ways = ["edd", "atc", "atcs", "atcsb", "live"];
        let reports = rehearse(&day, &ways, repeat, 1, &mut fresh, &mut || true).expect("nobody stops it");
        println!("{name}, {repeat} repetitions");
        let against = |rule: &str, report: &Report| {
            let other = reports
                .iter()
                .find(|other| other.name == rule)
                .expect("a way of this run");
            let (late, other) = (
                report.weighted_tardiness_min.mean,
                other.weighted_tardiness_min.mean,
            );
            // where nobody is late there is nothing to be less late than
            if other > 0.0 {
                format!("{:+.0} %", 100.0 * (late / other - 1.0))
            } else {
                "-".to_owned()
            }
        };
        for report in &reports {
            let told = |spread: Spread| format!("{:.1} ±{:.1}", spread.mean, spread.half_width);
            println!(
                "  {:<6} ready {} %  on court {} %  weighted tardiness {} min (edd {}, atcsb {})  late {:.1}  breaks {:.1}  set-up {:.0} min  cost {} M",
                report.name,
                told(report.ready_percent),
                report.on_court_ready_percent.map_or_else(|| "-".to_owned(), told),
                told(report.weighted_tardiness_min),
                against("edd", report),
                against("atcsb", report),
                report.late.mean,
                report.breaks.mean,
                report.set_up_min.mean,
                told(report.cost_millions),
            );
        }
    }
}
