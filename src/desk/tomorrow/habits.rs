//! What is known of the players of a day: what they brought so far, what waits, and who strings for them.
use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Utc};

use crate::craft::dispatch::problem::{Clamp, Station};
use crate::craft::ids::StringId;
use crate::craft::match_times::venue_time::minute_of;
use crate::craft::tomorrow::draw::WaitingRacket;
use crate::craft::tomorrow::habits::{Habit, RacketKind, StringAsked, learned_per_match};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::{PlayerRecord, Purpose};
use crate::desk::refusal::DeskResult;
use crate::desk::station_facts::StationFacts;
use crate::desk::waiting_work::{Kinds, base_s};
use crate::storage::workshop::places;
use crate::storage::{Db, from_record, jobs, players};

/// So many of a player's jobs are looked at.
const JOBS_EACH: i64 = 200;
/// String of one job where no plan told it, mm: a common set for both parts, no source.
const USUAL_SET_MM: i64 = 12_200;

/// What is known.
pub(super) struct KnownWays {
    pub(super) habits: BTreeMap<String, Habit>,
    pub(super) waiting: Vec<WaitingRacket>,
    /// Those with swivel clamps first, so that the first ones can string anything.
    pub(super) stations: Vec<Station>,
}

/// Reads the ways of everybody who may play; `span` is the day's first and last minute.
pub(super) fn read(
    db: &mut Db,
    tournament: &str,
    plays: &[BTreeMap<String, f64>],
    names: &BTreeMap<String, String>,
    string_number: &dyn Fn(&str) -> Option<usize>,
    span: (i64, i64),
    now: DateTime<Utc>,
) -> DeskResult<KnownWays> {
    let mut kinds = Kinds::default();
    let rows = places::all(db, tournament)?;
    let facts = StationFacts::read(db, tournament)?;
    let mut stations = Vec::new();
    for (index, row) in rows.iter().enumerate() {
        stations.push((
            facts.station(index, row, (None, None), now, &mut kinds),
            row.clone(),
        ));
    }
    stations.sort_by_key(|(station, _)| station.clamp != Clamp::Swivel);
    let mut reading = Reading {
        kinds,
        string_number,
        span,
        ways: KnownWays {
            habits: BTreeMap::new(),
            waiting: Vec::new(),
            stations: stations.iter().map(|(station, _)| station.clone()).collect(),
        },
        rows: stations.into_iter().map(|(_, row)| row).collect(),
    };
    let playing: BTreeSet<&String> = plays.iter().flat_map(BTreeMap::keys).collect();
    for name in playing {
        let Some(id) = names.get(name) else { continue };
        let Some(player) = players::find(db, tournament, id)? else {
            continue;
        };
        let filter = jobs::JobFilter {
            player_id: Some(id.clone()),
            ..jobs::JobFilter::default()
        };
        let rows = jobs::list(db, tournament, &filter, JOBS_EACH)?;
        let sheets = JobSheet::for_jobs(db, tournament, rows)?;
        reading.player(name, &from_record(&player.record)?, &sheets);
    }
    Ok(reading.ways)
}

struct Reading<'a> {
    kinds: Kinds,
    string_number: &'a dyn Fn(&str) -> Option<usize>,
    span: (i64, i64),
    ways: KnownWays,
    rows: Vec<places::Station>,
}

impl Reading<'_> {
    fn player(&mut self, name: &str, record: &PlayerRecord, sheets: &[JobSheet]) {
        let stringer = record.regular_stringer_id.as_ref();
        let home = self.rows.iter().position(|station| {
            record.regular_station_id.as_ref() == Some(&station.id)
                || (stringer.is_some() && station.stringer_id.as_ref() == stringer)
        });
        let mut habit = Habit {
            home,
            ..Habit::default()
        };
        let mut days = BTreeSet::new();
        let mut for_matches = 0.0;
        let mut by_racket: BTreeMap<&str, RacketKind> = BTreeMap::new();
        for sheet in sheets.iter().filter(|sheet| sheet.job.state != "cancelled") {
            let kind = self.kind(sheet);
            let due = minute_of(sheet.job.due_at.utc());
            if sheet.record.purpose != Some(Purpose::Practice) {
                for_matches += 1.0;
                days.insert((due - self.span.0).div_euclid(24 * 60));
            }
            let waits = ["waiting", "expected"].contains(&sheet.job.state.as_str());
            if waits && (self.span.0..=self.span.1).contains(&due) {
                self.ways.waiting.push(WaitingRacket {
                    player: name.to_owned(),
                    kind: kind.clone(),
                    due_s: (due - self.span.0) * 60,
                });
            }
            // the latest word on each racket counts
            by_racket.insert(&sheet.job.racket_id, kind);
        }
        if !days.is_empty() {
            #[expect(clippy::cast_precision_loss, reason = "days of a tournament")]
            let days = days.len() as f64;
            habit.per_match = Some(learned_per_match(for_matches, days));
        }
        habit.kinds = by_racket.into_values().collect();
        self.ways.habits.insert(name.to_owned(), habit);
    }

    fn kind(&mut self, sheet: &JobSheet) -> RacketKind {
        let asked = |string_id: Option<&str>, length_mm: i64| {
            let string = (self.string_number)(string_id?)?;
            Some(StringAsked { string, length_mm })
        };
        let mut strings: Vec<StringAsked> = sheet
            .record
            .needs
            .iter()
            .filter_map(|need| {
                let length = need.at_least_mm.map_or(USUAL_SET_MM / 2, i64::from);
                asked(need.string_id.as_deref(), length)
            })
            .collect();
        if strings.is_empty() {
            strings = [&sheet.spec.mains, &sheet.spec.crosses]
                .into_iter()
                .filter_map(|part| {
                    asked(
                        part.string.string_id.as_ref().map(StringId::as_str),
                        USUAL_SET_MM / 2,
                    )
                })
                .collect();
        }
        RacketKind {
            base_s: base_s(sheet),
            swivel: sheet.record.needs_swivel,
            needs: self.kinds.needs(sheet),
            strings,
        }
    }
}
