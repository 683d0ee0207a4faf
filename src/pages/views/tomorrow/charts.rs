//! The charts of Tomorrow as SVG. Hues come from the page's style sheet; shapes and words tell the same in grey.
use std::fmt::Write;

const WIDTH: f64 = 960.0;
const LEFT: f64 = 48.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 34.0;
const PLOT: f64 = 190.0;
const FOOT: f64 = 34.0;
/// The piece of a level line that stands beside its words.
const KEY: f64 = 44.0;

/// One half hour of a band.
#[derive(Clone, Debug)]
pub struct Bar {
    /// "13:00".
    pub label: String,
    pub low: f64,
    pub middle: f64,
    pub high: f64,
}

struct Plot {
    body: String,
    most: f64,
    step: f64,
}

impl Plot {
    fn new(count: usize, most: f64) -> Self {
        let most = most.max(1.0).ceil();
        let mut plot = Self {
            body: String::new(),
            most,
            step: (WIDTH - LEFT - RIGHT) / wide(count.max(1)),
        };
        let every = (most / 4.0).ceil().max(1.0);
        let mut level = 0.0;
        while level <= most {
            let y = plot.y(level);
            plot.add(format_args!(
                "<line class=\"rule\" x1=\"{LEFT}\" y1=\"{y:.1}\" x2=\"{:.1}\" y2=\"{y:.1}\"/>\
                 <text class=\"level\" x=\"{:.1}\" y=\"{:.1}\">{level:.0}</text>",
                WIDTH - RIGHT,
                LEFT - 8.0,
                y + 5.0
            ));
            level += every;
        }
        plot
    }

    fn add(&mut self, text: std::fmt::Arguments<'_>) {
        // writing to a String cannot fail
        let _ = self.body.write_fmt(text);
    }

    fn x(&self, place: usize) -> f64 {
        self.step.mul_add(wide(place), LEFT)
    }

    fn y(&self, value: f64) -> f64 {
        TOP + PLOT * (1.0 - value / self.most)
    }

    /// Every other full hour is named.
    fn times<'a>(&mut self, labels: impl Iterator<Item = &'a str>) {
        for (place, label) in labels.enumerate() {
            let even = label.get(..2).and_then(|hour| hour.parse::<u32>().ok());
            if label.ends_with(":00") && even.is_some_and(|hour| hour % 2 == 0) {
                let x = self.x(place);
                self.add(format_args!(
                    "<text class=\"time\" x=\"{x:.1}\" y=\"{:.1}\">{label}</text>",
                    TOP + PLOT + 24.0
                ));
            }
        }
    }

    /// A level line. Its words stand above the plot with a piece of the line, where no bar is.
    fn line(&mut self, level: f64, words: &str) {
        let y = self.y(level.min(self.most));
        let end = WIDTH - RIGHT;
        self.add(format_args!(
            "<line class=\"limit\" x1=\"{LEFT}\" y1=\"{y:.1}\" x2=\"{end:.1}\" y2=\"{y:.1}\"/>\
             <line class=\"limit\" x1=\"{:.1}\" y1=\"{:.1}\" x2=\"{end:.1}\" y2=\"{:.1}\"/>\
             <text class=\"words\" x=\"{:.1}\" y=\"{:.1}\">{words}</text>",
            end - KEY,
            TOP - 18.0,
            TOP - 18.0,
            end - KEY - 8.0,
            TOP - 12.0
        ));
    }

    fn svg(&self, id: &str, title: &str) -> String {
        let height = TOP + PLOT + FOOT;
        format!(
            "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" aria-labelledby=\"{id}-name\">\
             <title id=\"{id}-name\">{title}</title>{}</svg>",
            self.body
        )
    }
}

#[expect(clippy::cast_precision_loss, reason = "half hours of a day")]
fn wide(count: usize) -> f64 {
    count as f64
}

/// A band by half hours, with the middle as a line, and what can be done as a level.
pub fn band(id: &str, title: &str, bars: &[Bar], can: Option<(f64, &str)>) -> String {
    let highest = bars.iter().map(|bar| bar.high).fold(0.0, f64::max);
    let mut plot = Plot::new(
        bars.len(),
        highest.max(can.map_or(0.0, |(level, _)| level)) * 1.08,
    );
    let step = plot.step;
    for (place, bar) in bars.iter().enumerate() {
        let (x, top, foot, middle) = (
            plot.x(place),
            plot.y(bar.high),
            plot.y(bar.low),
            plot.y(bar.middle),
        );
        plot.add(format_args!(
            "<rect class=\"span\" x=\"{x:.1}\" y=\"{top:.1}\" width=\"{step:.1}\" height=\"{:.1}\"/>\
             <line class=\"middle\" x1=\"{x:.1}\" y1=\"{middle:.1}\" x2=\"{:.1}\" y2=\"{middle:.1}\"/>",
            (foot - top).max(0.0),
            x + step
        ));
    }
    if let Some((level, words)) = can {
        plot.line(level, words);
    }
    plot.times(bars.iter().map(|bar| bar.label.as_str()));
    plot.svg(id, title)
}

/// Stations at work against those that are planned; half hours in which rackets are late are hatched.
pub fn load(bars: &[(String, f64, f64)], planned: f64) -> String {
    let mut plot = Plot::new(bars.len(), planned * 1.2);
    plot.add(format_args!(
        "<defs><pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"rotate(45)\"><rect class=\"hatch-ground\" width=\"7\" height=\"7\"/>\
         <line class=\"hatch-line\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\"/></pattern></defs>"
    ));
    let wide = (plot.step - 2.0).max(1.0);
    for (place, (_, busy, late)) in bars.iter().enumerate() {
        let (x, top) = (plot.x(place) + 1.0, plot.y(*busy));
        let class = if *late >= 0.5 { "work late" } else { "work" };
        plot.add(format_args!(
            "<rect class=\"{class}\" x=\"{x:.1}\" y=\"{top:.1}\" width=\"{wide:.1}\" height=\"{:.1}\"/>",
            (TOP + PLOT - top).max(0.0)
        ));
        if *late >= 0.5 {
            plot.add(format_args!(
                "<text class=\"mark\" x=\"{:.1}\" y=\"{:.1}\">▲</text>",
                x + wide / 2.0,
                top - 4.0
            ));
        }
    }
    plot.line(planned, &format!("{planned:.0} chosen"));
    plot.times(bars.iter().map(|(label, _, _)| label.as_str()));
    plot.svg(
        "load",
        "Stations at work in each half hour, against those that are chosen",
    )
}

/// "1 station", "3 stations".
pub fn stations(count: usize) -> String {
    match count {
        1 => "1 station".to_owned(),
        many => format!("{many} stations"),
    }
}

/// Percent ready when due, by number of stations; the planned one has a thick edge.
pub fn odds(bars: &[(usize, bool, f64)]) -> String {
    const ROW: f64 = 36.0;
    let height = ROW.mul_add(wide(bars.len()), 8.0);
    let full = WIDTH - 290.0;
    let mut body = String::new();
    for (row, (stations, planned, ready)) in bars.iter().enumerate() {
        let y = ROW.mul_add(wide(row), 6.0);
        let class = if *planned { "odds planned" } else { "odds" };
        let _ = write!(
            body,
            "<text class=\"name\" x=\"0\" y=\"{0:.1}\">{4}{1}</text>\
             <rect class=\"whole\" x=\"170\" y=\"{y:.1}\" width=\"{full:.1}\" height=\"26\"/>\
             <rect class=\"{class}\" x=\"170\" y=\"{y:.1}\" width=\"{2:.1}\" height=\"26\"/>\
             <text class=\"name\" x=\"{3:.1}\" y=\"{0:.1}\">{ready:.0} %</text>",
            y + 19.0,
            if *planned { ", chosen" } else { "" },
            full * ready / 100.0,
            full + 182.0,
            self::stations(*stations)
        );
    }
    format!(
        "<svg class=\"chart\" viewBox=\"0 0 {WIDTH} {height:.0}\" role=\"img\" aria-labelledby=\"odds-name\">\
         <title id=\"odds-name\">Rackets ready when due, per cent, by number of stations</title>{body}</svg>"
    )
}
