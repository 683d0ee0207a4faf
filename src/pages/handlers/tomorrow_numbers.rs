//! The numbers of Tomorrow in words: bands, odds, cover.
use crate::craft::rehearse::{Count, HalfHour};
use crate::desk::tomorrow::{Odds, StringLeft, TomorrowFacts};
use crate::pages::parts::{Chip, ChipKind};
use crate::pages::views::tomorrow::charts::{self, Bar};
use crate::pages::views::tomorrow::{Answer, HalfHourLine, OddsLine, StringLine};

/// A common set, mm: by it metres become sets. No source.
const SET_MM: usize = 12_200;
/// From so many rackets late in a hundred on, the plan is at risk, and late. Own choice, no source.
const RISK_PERCENT: f64 = 2.0;
const LATE_PERCENT: f64 = 8.0;
const HALF_HOUR_S: f64 = 1800.0;

/// Everything that is shown.
pub(super) fn answer(facts: &TomorrowFacts, odds: &Odds) -> Answer {
    let staffing = &odds.staffing;
    let hours = &staffing.half_hours;
    let planned = staffing.planned;
    let each = HALF_HOUR_S * count(planned) / staffing.block_s.max(1.0);
    let can = format!("{} can string {each:.1}", charts::stations(planned));
    Answer {
        changed_since: false,
        summary: format!("{} matches, {} rackets", facts.matches, band(&odds.rackets)),
        verdict: verdict(odds),
        verdict_chip: verdict_chip(odds),
        odds: staffing
            .staffed
            .iter()
            .map(|line| odds_line(line, planned))
            .collect(),
        odds_chart: charts::odds(
            &staffing
                .staffed
                .iter()
                .map(|line| (line.stations, line.stations == planned, line.ready_percent.mean))
                .collect::<Vec<_>>(),
        ),
        half_hours: hours
            .iter()
            .map(|one| half_hour(one, staffing.worst_half_hour_s))
            .collect(),
        coming_chart: charts::band(
            "coming",
            "Rackets coming in by half hours",
            &bars(hours, |one| &one.coming),
            None,
        ),
        due_chart: charts::band(
            "due",
            "Rackets due by half hours",
            &bars(hours, |one| &one.due),
            Some((each, &can)),
        ),
        load_chart: charts::load(
            &hours
                .iter()
                .map(|one| (clock(one.from_s), one.busy, one.late_percent))
                .collect::<Vec<_>>(),
            count(planned),
        ),
        checks: checks(odds),
        strings: strings(facts, odds),
        unknown_strings: unknown(&odds.of_unknown_string),
        basis: format!(
            "The day was played {} times: matches along their courts, rackets as their players usually \
             bring them, stringing as uncertain as it is, strung in the order in which this desk hands out work. \
             More stations never give less: one may stay unused.",
            staffing.repetitions
        ),
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts of a day")]
fn count(number: usize) -> f64 {
    number as f64
}

/// "13:00"; past midnight the day goes on to 29:59.
pub(super) fn clock(seconds: i64) -> String {
    format!("{:02}:{:02}", seconds / 3600, seconds % 3600 / 60)
}

/// "18 to 29, about 23".
fn band(count: &Count) -> String {
    if count.low == count.high {
        return count.low.to_string();
    }
    format!("{} to {}, about {}", count.low, count.high, count.middle)
}

fn verdict(odds: &Odds) -> String {
    let staffing = &odds.staffing;
    let planned = staffing
        .staffed
        .iter()
        .find(|line| line.stations == staffing.planned);
    let ready = planned.map_or(0.0, |line| line.ready_percent.mean);
    let worst = staffing.worst_half_hour_s.map_or_else(String::new, |from| {
        format!("; most are late in the half hour from {}", clock(from))
    });
    let stations = charts::stations(staffing.planned);
    format!("With {stations} {ready:.0} of 100 rackets are ready when due{worst}.")
}

fn verdict_chip(odds: &Odds) -> Chip {
    let staffing = &odds.staffing;
    let planned = staffing
        .staffed
        .iter()
        .find(|line| line.stations == staffing.planned);
    let late = 100.0 - planned.map_or(0.0, |line| line.ready_percent.mean);
    let kind = if late >= LATE_PERCENT {
        ChipKind::Late
    } else if late >= RISK_PERCENT {
        ChipKind::Risk
    } else {
        ChipKind::Ready
    };
    Chip::new(kind, format!("{late:.0} % late"))
}

fn odds_line(line: &crate::craft::rehearse::Staffed, planned: usize) -> OddsLine {
    OddsLine {
        stations: line.stations,
        planned: line.stations == planned,
        ready: format!("{:.0} %", line.ready_percent.mean),
        late: format!("about {:.0}", line.late.mean),
    }
}

fn half_hour(one: &HalfHour, worst: Option<i64>) -> HalfHourLine {
    HalfHourLine {
        from: clock(one.from_s),
        coming: band(&one.coming),
        due: band(&one.due),
        busy: format!("{:.1}", one.busy),
        late: if one.late_percent > 0.0 {
            format!("{:.0} %", one.late_percent)
        } else {
            String::new()
        },
        worst: worst == Some(one.from_s),
    }
}

fn bars(hours: &[HalfHour], of: impl Fn(&HalfHour) -> &Count) -> Vec<Bar> {
    let bar = |one: &HalfHour| {
        let band = of(one);
        Bar {
            label: clock(one.from_s),
            low: count(band.low),
            middle: count(band.middle),
            high: count(band.high),
        }
    };
    hours.iter().map(bar).collect()
}

fn checks(odds: &Odds) -> Vec<String> {
    let staffing = &odds.staffing;
    let planned = staffing
        .staffed
        .iter()
        .find(|line| line.stations == staffing.planned);
    let width = planned.map_or(0.0, |line| line.ready_percent.half_width);
    vec![
        format!(
            "With the stations chosen, the share that is ready is sure to ± {width:.1} of 100 (half of a 95 % interval)."
        ),
        format!(
            "To have every racket ready in time, the hours between coming in and due would need {:.1} stations at \
             the least; with fewer, some are late.",
            staffing.necessary
        ),
        format!(
            "Cross-check by Erlang's formula C: a steady day of this load ({:.1} erlang) would let {:.0} in 100 rackets wait \
             for a station. A day is not steady; the odds above count.",
            staffing.load_erlang,
            100.0 * staffing.chance_of_waiting
        ),
    ]
}

fn strings(facts: &TomorrowFacts, odds: &Odds) -> Vec<StringLine> {
    let asked = facts.strings.iter().zip(&odds.asked_mm);
    asked
        .filter(|(_, asked)| asked.high > 0)
        .map(|(string, asked)| string_line(string, asked))
        .collect()
}

fn string_line(string: &StringLeft, asked: &Count) -> StringLine {
    let metres = |millimetres: usize| millimetres.div_ceil(1000);
    let left_mm = usize::try_from(string.left_mm).unwrap_or(0);
    let short_mm = |wanted: usize| wanted.saturating_sub(left_mm);
    let cover = if short_mm(asked.middle) > 0 {
        Chip::new(
            ChipKind::Late,
            format!("{} m short", metres(short_mm(asked.middle))),
        )
    } else if short_mm(asked.high) > 0 {
        let words = format!("may be {} m short", metres(short_mm(asked.high)));
        Chip::new(ChipKind::Risk, words)
    } else {
        Chip::new(ChipKind::Ready, "enough")
    };
    let sets = match asked.middle.div_ceil(SET_MM) {
        1 => "about 1 set".to_owned(),
        sets => format!("about {sets} sets"),
    };
    StringLine {
        name: string.name.clone(),
        asked: format!(
            "{} to {} m, about {} m",
            metres(asked.low),
            metres(asked.high),
            metres(asked.middle)
        ),
        sets,
        left: format!("{}.{} m", left_mm / 1000, left_mm % 1000 / 100),
        cover,
    }
}

fn unknown(rackets: &Count) -> String {
    if rackets.high == 0 {
        return String::new();
    }
    format!(
        "{} rackets more, of players whose strings are not known yet, are not in these metres.",
        band(rackets)
    )
}
