//! A schedule as a drawing: stations as rows, jobs as blocks with their due marks.
use std::fmt::Write;

use crate::dispatch::problem::Problem;
use crate::dispatch::schedule::{Op, Schedule};

const LEFT: i64 = 90;
const WIDTH: i64 = 1400;
const ROW: i64 = 46;
const TOP: i64 = 30;

/// Draws the schedule as SVG. A late block has a thick edge and a line back to its due mark.
#[must_use]
pub fn svg(problem: &Problem, schedule: &Schedule) -> String {
    let scale = Scale::of(problem, schedule);
    let height = TOP + ROW * i64::try_from(problem.stations.len()).unwrap_or(0) + 20;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {height}\" font-family=\"sans-serif\" \
         font-size=\"11\" role=\"img\">\n<title>Stations and their jobs</title>\n<style>.w{{fill:#eef1f4}}\
         .b{{fill:#9cc3e6;stroke:#23415c}}.l{{fill:#f4b183;stroke:#7a2e0e;stroke-width:3}}\
         .d{{stroke:#111;stroke-width:2}}.t{{stroke:#ccc}}</style>\n",
        LEFT + WIDTH + 20
    );
    let mut hour = scale.from.div_euclid(3600) + 1;
    while hour * 3600 <= scale.to {
        let x = scale.x(hour * 3600);
        let _ = writeln!(
            out,
            "<line class=\"t\" x1=\"{x}\" y1=\"{TOP}\" x2=\"{x}\" y2=\"{}\"/><text x=\"{x}\" y=\"20\" \
             text-anchor=\"middle\">{hour:02}:00</text>",
            height - 20
        );
        hour += 1;
    }
    for (index, station) in problem.stations.iter().enumerate() {
        let y = TOP + ROW * i64::try_from(index).unwrap_or(0);
        let _ = writeln!(
            out,
            "<text x=\"4\" y=\"{}\">station {}</text>",
            y + 26,
            station.id
        );
        for window in &station.windows {
            let (from, to) = (window.from.max(scale.from), window.to.min(scale.to));
            if from < to {
                let (x, wide) = (scale.x(from), scale.x(to) - scale.x(from));
                let _ = writeln!(
                    out,
                    "<rect class=\"w\" x=\"{x}\" y=\"{}\" width=\"{wide}\" height=\"34\"/>",
                    y + 4
                );
            }
        }
        for op in schedule.ops.iter().filter(|op| op.station == index) {
            block(&mut out, problem, &scale, op, y);
        }
    }
    out.push_str("</svg>\n");
    out
}

fn block(out: &mut String, problem: &Problem, scale: &Scale, op: &Op, y: i64) {
    let job = &problem.jobs[op.job];
    let (x, end, due) = (scale.x(op.start), scale.x(op.end), scale.x(job.due));
    let class = if op.end > job.due { "l" } else { "b" };
    let _ = writeln!(
        out,
        "<g><title>job {} ({}): {} to {}, due {}</title><rect class=\"{class}\" x=\"{x}\" y=\"{}\" width=\"{}\" \
         height=\"24\"/><text x=\"{}\" y=\"{}\">{}</text>",
        job.id,
        escaped(&job.class),
        clock(op.start),
        clock(op.end),
        clock(job.due),
        y + 9,
        (end - x).max(1),
        x + 2,
        y + 25,
        job.id
    );
    if op.end > job.due {
        let _ = writeln!(
            out,
            "<line class=\"d\" x1=\"{due}\" y1=\"{0}\" x2=\"{end}\" y2=\"{0}\"/>",
            y + 36
        );
    }
    let _ = writeln!(
        out,
        "<line class=\"d\" x1=\"{due}\" y1=\"{}\" x2=\"{due}\" y2=\"{}\"/></g>",
        y + 31,
        y + 40
    );
}

struct Scale {
    from: i64,
    to: i64,
}

impl Scale {
    /// From the first to the last that happens; due marks beyond stand at the edge.
    fn of(problem: &Problem, schedule: &Schedule) -> Self {
        let from = schedule.ops.iter().map(|op| op.start).min().unwrap_or(problem.t0);
        let to = schedule
            .ops
            .iter()
            .map(|op| op.end)
            .max()
            .unwrap_or(problem.horizon);
        Self {
            from: from.min(problem.t0.max(from - 3600)),
            to: to.max(from + 3600),
        }
    }

    fn x(&self, time: i64) -> i64 {
        let time = time.clamp(self.from, self.to);
        LEFT + (time - self.from) * WIDTH / (self.to - self.from).max(1)
    }
}

fn clock(seconds: i64) -> String {
    format!(
        "{:02}:{:02}",
        seconds.div_euclid(3600),
        seconds.rem_euclid(3600) / 60
    )
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}
