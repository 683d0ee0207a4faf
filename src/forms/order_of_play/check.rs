//! From cells to an order of play: every value read, every fault listed.
use std::collections::BTreeMap;

use chrono::NaiveDate;
use chrono_tz::Tz;

use super::sides::is_id;
use super::{Cells, Known, Raw, Read};
use crate::craft::match_times::court_chain::Handover;
use crate::craft::match_times::format::{MatchFormat, known_names, named};
use crate::craft::match_times::order::{DayDefaults, Match, OrderOfPlay, Start, StartRule};
use crate::craft::match_times::order_faults::{Refusal, Spot, faults, remarks};
use crate::craft::match_times::players::PlayerMix;
use crate::craft::match_times::score::LiveScore;
use crate::craft::match_times::venue_time::DayTime;
use crate::craft::sport::Sport;
use crate::forms::place::{FormFault, FormRemark, Place};

pub(super) fn check(raw: &Raw, known: &Known<'_>) -> Result<Read, Vec<FormFault>> {
    let mut checking = Checking {
        faults: raw.faults.clone(),
    };
    let zone = checking.zone(&raw.whole, known);
    let day = checking.day(&raw.whole);
    let version = checking.number(&raw.whole, "version", u32::MAX).unwrap_or(0);
    let defaults = checking.defaults(&raw.whole);
    let courts = checking.courts(raw, known);
    let mixes = checking.mixes(raw);
    let matches: Vec<Match> = raw
        .matches
        .iter()
        .map(|cells| checking.one_match(cells, &mixes, known))
        .collect();
    checking.players(raw, &matches, known);
    let tournament = raw
        .whole
        .get("tournament")
        .map(|cell| cell.text.clone())
        .unwrap_or_default();
    let (Some(zone), Some(day)) = (zone, day) else {
        return Err(checking.faults);
    };
    let order = OrderOfPlay {
        tournament,
        zone,
        day,
        version,
        defaults,
        courts,
        matches,
    };
    for fault in faults(&order) {
        checking.add(fault.refusal, place_of(raw, fault.spot), fault.detail);
    }
    if !checking.faults.is_empty() {
        return Err(checking.faults);
    }
    let remarks = remarks(&order)
        .into_iter()
        .map(|remark| FormRemark {
            remark: remark.remark,
            place: place_of(raw, remark.spot),
            detail: remark.detail,
        })
        .collect();
    Ok(Read { order, remarks })
}

/// Where what a check of the order names stands in the text.
fn place_of(raw: &Raw, spot: Spot) -> Place {
    let of = |cells: Option<&Cells>, members: &[&str]| {
        let Some(cells) = cells else {
            return raw.whole.place.clone();
        };
        let named = members.iter().find_map(|member| cells.named.get(*member));
        named.map_or_else(|| cells.place.clone(), |cell| cell.place.clone())
    };
    match spot {
        Spot::Order(member) => raw.whole.place_of(member),
        Spot::Court(index, member) => of(raw.courts.get(index), &[member]),
        Spot::Match(index, "start") => of(raw.matches.get(index), &["start_time", "start_rule"]),
        Spot::Match(index, "sides") => of(raw.matches.get(index), &["side1", "side2"]),
        Spot::Match(index, member) => of(raw.matches.get(index), &[member]),
    }
}

pub(super) struct Checking {
    faults: Vec<FormFault>,
}

impl Checking {
    pub(super) fn add(&mut self, refusal: Refusal, place: Place, detail: impl Into<String>) {
        self.faults.push(FormFault {
            refusal,
            place,
            detail: detail.into(),
        });
    }

    fn zone(&mut self, whole: &Cells, known: &Known<'_>) -> Option<Tz> {
        match whole.get("tzid") {
            Some(cell) => match cell.text.parse() {
                Ok(zone) => Some(zone),
                Err(_) => {
                    let detail = format!("\"{}\" is no IANA time zone, such as Europe/Paris", cell.text);
                    self.add(Refusal::UnknownZone, cell.place.clone(), detail);
                    None
                }
            },
            None => {
                if known.zone.is_none() {
                    let detail = "no time zone is given; name an IANA zone (--zone on the command line)";
                    self.add(Refusal::UnknownZone, whole.place_of("tzid"), detail);
                }
                known.zone
            }
        }
    }

    fn day(&mut self, whole: &Cells) -> Option<NaiveDate> {
        let Some(cell) = whole.get("day") else {
            self.add(
                Refusal::Missing,
                whole.place_of("day"),
                "the day is missing; write YYYY-MM-DD",
            );
            return None;
        };
        let day = NaiveDate::parse_from_str(&cell.text, "%Y-%m-%d")
            .ok()
            .filter(|_| cell.text.len() == 10);
        if day.is_none() {
            let detail = format!("\"{}\" is no day; write YYYY-MM-DD", cell.text);
            self.add(Refusal::NotAValue, cell.place.clone(), detail);
        }
        day
    }

    /// A whole number from 0 to `most`.
    fn number<N: TryFrom<u32>>(&mut self, cells: &Cells, name: &str, most: u32) -> Option<N> {
        let cell = cells.get(name)?;
        let number = cell.text.parse::<u32>().ok().filter(|number| *number <= most);
        if number.is_none() {
            let detail = format!("\"{}\" is no whole number from 0 to {most}", cell.text);
            self.add(Refusal::NotAValue, cell.place.clone(), detail);
        }
        number.and_then(|number| N::try_from(number).ok())
    }

    fn defaults(&mut self, whole: &Cells) -> DayDefaults {
        let usual = DayDefaults::default();
        let mut minutes = |name: &str| self.number::<u16>(whole, name, 600);
        let warm_up = minutes("warm_up_min").map(i64::from);
        let turnaround = minutes("turnaround_min").map(i64::from);
        DayDefaults {
            handover: Handover {
                warm_up_min: warm_up.unwrap_or(usual.handover.warm_up_min),
                turnaround_min: turnaround.unwrap_or(usual.handover.turnaround_min),
            },
            rest_min: minutes("rest_min").unwrap_or(usual.rest_min),
        }
    }

    pub(super) fn id(&mut self, cells: &Cells, name: &str) -> String {
        let Some(cell) = cells.get(name) else {
            self.add(
                Refusal::Missing,
                cells.place_of(name),
                format!("{name} is missing"),
            );
            return String::new();
        };
        if !is_id(&cell.text) {
            let detail = format!("\"{}\" is no id; use letters, digits, -, _ and .", cell.text);
            self.add(Refusal::NotAValue, cell.place.clone(), detail);
        }
        cell.text.clone()
    }

    pub(super) fn time(&mut self, cells: &Cells, name: &str) -> Option<DayTime> {
        let cell = cells.get(name)?;
        match cell.text.parse() {
            Ok(time) => Some(time),
            Err(why) => {
                let before = cell.text.starts_with('-');
                let refusal = if before {
                    Refusal::BeforeTheDay
                } else {
                    Refusal::NotAValue
                };
                self.add(refusal, cell.place.clone(), format!("\"{}\" {why}", cell.text));
                None
            }
        }
    }

    fn one_match(&mut self, cells: &Cells, mixes: &BTreeMap<String, PlayerMix>, known: &Known<'_>) -> Match {
        let text = |name: &str| cells.get(name).map(|cell| cell.text.clone()).unwrap_or_default();
        let (format_name, format) = self.format(cells);
        if cells.get("seq").is_none() {
            self.add(
                Refusal::Missing,
                cells.place_of("seq"),
                "seq is missing: the place among the court's matches",
            );
        }
        let draw = text("draw");
        Match {
            id: self.id(cells, "id"),
            court: self.id(cells, "court"),
            seq: self.number(cells, "seq", 999).unwrap_or(0),
            sport: self.sport(cells, &format),
            round: text("round"),
            start: self.start(cells),
            sides: [self.side(cells, "side1", known), self.side(cells, "side2", known)],
            rest_min: self.number(cells, "rest_min", 24 * 60),
            after: self.after(cells),
            note: text("note"),
            mix: self.mix(cells).or_else(|| mixes.get(&draw).copied()),
            carried: self.carried(cells, &format),
            draw,
            format_name,
            format,
        }
    }

    /// A name, or the format itself as JSON.
    fn format(&mut self, cells: &Cells) -> (Option<String>, MatchFormat) {
        let otherwise = (None, crate::craft::match_times::format::NAMED[0].1);
        let Some(cell) = cells.get("format") else {
            self.add(Refusal::Missing, cells.place_of("format"), "format is missing");
            return otherwise;
        };
        if let Some(format) = named(&cell.text) {
            return (Some(cell.text.clone()), format);
        }
        if !cell.text.starts_with('{') {
            let detail = format!(
                "format \"{}\" is not known; use one of {}, or its fields",
                cell.text,
                known_names()
            );
            self.add(Refusal::UnknownFormat, cell.place.clone(), detail);
            return otherwise;
        }
        match serde_json::from_str::<MatchFormat>(&cell.text) {
            Ok(format) => {
                if let Some((member, why)) = format.fault() {
                    self.add(
                        Refusal::UnknownFormat,
                        cell.place.clone(),
                        format!("{member} {why}"),
                    );
                }
                (None, format)
            }
            Err(why) => {
                self.add(Refusal::UnknownFormat, cell.place.clone(), why.to_string());
                otherwise
            }
        }
    }

    /// The sport as told; else that of a format that only one has.
    fn sport(&mut self, cells: &Cells, format: &MatchFormat) -> Sport {
        let by_format = match format {
            MatchFormat::Sets(_) => Sport::Tennis,
            MatchFormat::Rally(rally) if rally.pts > 15 => Sport::Badminton,
            MatchFormat::Rally(_) => Sport::Squash,
        };
        match cells
            .get("discipline")
            .map(|cell| (cell.text.as_str(), cell.place.clone()))
        {
            None => by_format,
            Some(("tennis", _)) => Sport::Tennis,
            Some(("badminton", _)) => Sport::Badminton,
            Some(("squash", _)) => Sport::Squash,
            Some((other, place)) => {
                self.add(
                    Refusal::NotAValue,
                    place,
                    format!("\"{other}\" is not tennis, badminton or squash"),
                );
                by_format
            }
        }
    }

    fn start(&mut self, cells: &Cells) -> Start {
        let rule = match cells
            .get("start_rule")
            .map(|cell| (cell.text.parse::<StartRule>(), cell.place.clone()))
        {
            Some((Ok(rule), _)) => rule,
            Some((Err(why), place)) => {
                self.add(Refusal::NotAValue, place, why.to_string());
                StartRule::Tba
            }
            None => {
                self.add(
                    Refusal::Missing,
                    cells.place_of("start_rule"),
                    "the start rule is missing",
                );
                StartRule::Tba
            }
        };
        let time = self.time(cells, "start_time");
        // a time that cannot be read is one fault, not two
        let unread = time.is_none() && cells.get("start_time").is_some();
        let rule = if unread { StartRule::Tba } else { rule };
        Start { rule, time }
    }

    fn after(&mut self, cells: &Cells) -> Vec<String> {
        let Some(cell) = cells.get("after") else {
            return Vec::new();
        };
        let ids: Vec<String> = cell
            .text
            .split(';')
            .map(|id| id.trim().to_owned())
            .filter(|id| !id.is_empty())
            .collect();
        if let Some(wrong) = ids.iter().find(|id| !is_id(id)) {
            self.add(
                Refusal::NotAValue,
                cell.place.clone(),
                format!("\"{wrong}\" is no match id"),
            );
        }
        ids
    }

    fn carried(&mut self, cells: &Cells, format: &MatchFormat) -> Option<LiveScore> {
        let cell = cells.get("score")?;
        let score: Result<LiveScore, String> =
            serde_json::from_str(&cell.text).map_err(|why| why.to_string());
        let checked = score.and_then(|score| match score.standing(format) {
            Ok(_) => Ok(score),
            Err(why) => Err(why.to_string()),
        });
        checked
            .map_err(|why| self.add(Refusal::NotAScore, cell.place.clone(), why))
            .ok()
    }
}
