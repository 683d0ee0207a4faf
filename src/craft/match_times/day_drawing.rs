//! The day as a picture: courts as rows, when matches start as bands, and the line of now. Readable in grey print.
use std::fmt::Write;

use super::day_plan::DayPlan;
use super::day_sheet::DayRow;
use super::day_state::MatchPhase;
use super::forecast::MatchTimes;
use super::venue_time::{at_minute, shown};

const MARGIN_LEFT: f64 = 110.0;
const MARGIN_TOP: f64 = 40.0;
const ROW: f64 = 74.0;
const PER_MINUTE: f64 = 1.6;

struct Sheet {
    from: i64,
    to: i64,
    body: String,
}

impl Sheet {
    fn x(&self, minute: i64) -> f64 {
        (minute.clamp(self.from, self.to) - self.from) as f64 * PER_MINUTE + MARGIN_LEFT
    }

    fn add(&mut self, text: std::fmt::Arguments<'_>) {
        // writing to a String cannot fail
        let _ = self.body.write_fmt(text);
    }
}

/// The day as SVG text.
#[must_use]
pub fn svg(plan: &DayPlan, rows: &[DayRow], times: &[MatchTimes], now: Option<i64>) -> String {
    let first = rows.iter().map(|row| row.walk_on.p05).min().unwrap_or(0);
    let last = rows.iter().map(|row| row.last_point.p95).max().unwrap_or(0);
    let (first, last) = now.map_or((first, last), |now| (first.min(now), last.max(now)));
    let mut sheet = Sheet {
        from: first - first.rem_euclid(60),
        to: (last + 60) - (last + 60).rem_euclid(60),
        body: String::new(),
    };
    let courts: Vec<&str> = plan.order.by_court().keys().copied().collect();
    let height = (courts.len() as f64).mul_add(ROW, MARGIN_TOP);
    hours(plan, &mut sheet, height);
    for (index, court) in courts.iter().enumerate() {
        let top = (index as f64).mul_add(ROW, MARGIN_TOP);
        let label = plan
            .order
            .court(court)
            .map_or(*court, |court| court.label.as_str());
        sheet.add(format_args!(
            "<text class=\"court\" x=\"8\" y=\"{:.0}\">{}</text>\n<line class=\"rule\" x1=\"0\" y1=\"{top:.0}\" x2=\"{:.0}\" y2=\"{top:.0}\"/>\n",
            top + ROW / 2.0, escaped(label), sheet.x(sheet.to)
        ));
        for row in rows
            .iter()
            .filter(|row| plan.order.matches[row.place].court == *court)
        {
            one(plan, row, &times[row.place], top, &mut sheet);
        }
    }
    if let Some(now) = now {
        let x = sheet.x(now);
        sheet.add(format_args!("<line class=\"now\" x1=\"{x:.1}\" y1=\"20\" x2=\"{x:.1}\" y2=\"{height:.0}\"/>\n<text class=\"nowtext\" x=\"{:.1}\" y=\"16\">now</text>\n", x + 3.0));
    }
    let width = sheet.x(sheet.to) + 20.0;
    wrap(plan, width, height + 12.0, &sheet.body)
}

fn hours(plan: &DayPlan, sheet: &mut Sheet, height: f64) {
    let mut minute = sheet.from;
    while minute <= sheet.to {
        let x = sheet.x(minute);
        let time = shown(plan.order.zone, plan.order.day, at_minute(minute))
            .map_or_else(String::new, |time| time.to_string());
        sheet.add(format_args!("<line class=\"hour\" x1=\"{x:.1}\" y1=\"{MARGIN_TOP}\" x2=\"{x:.1}\" y2=\"{height:.0}\"/>\n<text class=\"time\" x=\"{x:.1}\" y=\"34\">{time}</text>\n"));
        minute += 60;
    }
}

/// One match: the density of its start as a band, its median as a tick, its median play as a bar.
fn one(plan: &DayPlan, row: &DayRow, times: &MatchTimes, top: f64, sheet: &mut Sheet) {
    let played = &plan.order.matches[row.place];
    let floor = top + ROW - 14.0;
    let gone = matches!(row.phase, MatchPhase::Walkover | MatchPhase::Cancelled);
    let sure = row.walk_on.p95 - row.walk_on.p05 < 2;
    sheet.add(format_args!("<g class=\"{}\">\n", row.phase));
    sheet.add(format_args!(
        "<title>{} {} to {}, {}</title>\n",
        escaped(&played.id),
        clock(plan, row.walk_on.p05),
        clock(plan, row.walk_on.p95),
        row.phase
    ));
    if !sure && !gone {
        let peak = times.walk_on.iter().map(|(_, mass)| mass).fold(1e-9, f64::max);
        let mut outline = format!("M{:.1} {floor:.1}", sheet.x(row.walk_on.p05));
        for (minute, mass) in times
            .walk_on
            .iter()
            .filter(|(minute, _)| (row.walk_on.p05..=row.walk_on.p95).contains(minute))
        {
            let _ = write!(
                outline,
                " L{:.1} {:.1}",
                sheet.x(minute),
                floor - 24.0 * mass / peak
            );
        }
        let _ = write!(outline, " L{:.1} {floor:.1} Z", sheet.x(row.walk_on.p95));
        sheet.add(format_args!("<path class=\"band\" d=\"{outline}\"/>\n"));
    }
    let (start, end) = (sheet.x(row.walk_on.p50), sheet.x(row.last_point.p50));
    if !gone {
        sheet.add(format_args!(
            "<rect class=\"play\" x=\"{start:.1}\" y=\"{floor:.1}\" width=\"{:.1}\" height=\"6\"/>\n",
            (end - start).max(1.0)
        ));
    }
    sheet.add(format_args!(
        "<line class=\"median\" x1=\"{start:.1}\" y1=\"{:.1}\" x2=\"{start:.1}\" y2=\"{:.1}\"/>\n<text class=\"match\" x=\"{:.1}\" y=\"{:.1}\">{}{}</text>\n</g>\n",
        top + 22.0, floor + 6.0, start + 3.0, top + 32.0, escaped(&played.id), mark(row.phase)
    ));
}

/// A match that is not simply planned says so beside its id.
const fn mark(phase: MatchPhase) -> &'static str {
    match phase {
        MatchPhase::Planned => "",
        MatchPhase::Called => " called",
        MatchPhase::OnCourt => " on court",
        MatchPhase::Stopped => " stopped",
        MatchPhase::Finished => " over",
        MatchPhase::Retired => " retired",
        MatchPhase::Walkover => " walkover",
        MatchPhase::Cancelled => " cancelled",
    }
}

/// A minute on the venue's clock.
#[must_use]
pub fn clock(plan: &DayPlan, minute: i64) -> String {
    let at = at_minute(minute);
    shown(plan.order.zone, plan.order.day, at)
        .map_or_else(|| at.format("%m-%d %H:%MZ").to_string(), |time| time.to_string())
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

fn wrap(plan: &DayPlan, width: f64, height: f64, body: &str) -> String {
    let zone = plan.order.zone.name();
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" role=\"img\" font-family=\"sans-serif\">\n\
         <title>When matches start on {}, {zone}</title>\n\
         <desc>One row per court. A hill shows where a match may start, from 5 to 95 in 100; the tick is the median, the bar the match from median start to median end.</desc>\n\
         <style>.time{{font-size:12px;text-anchor:middle}}.court{{font-size:14px;font-weight:bold}}.match{{font-size:12px}}.nowtext{{font-size:12px}}\
         .hour,.rule{{stroke:#bbb;stroke-width:0.5}}.band{{fill:#ccc;stroke:#000;stroke-width:0.6}}.play{{fill:#000}}.median{{stroke:#000;stroke-width:1.5}}\
         .now{{stroke:#000;stroke-width:1.5;stroke-dasharray:5 3}}.finished .play,.retired .play{{fill:#888}}.stopped .play{{fill:#fff;stroke:#000}}</style>\n\
         <rect width=\"{width:.0}\" height=\"{height:.0}\" fill=\"#fff\"/>\n{body}</svg>\n",
        plan.order.day
    )
}
