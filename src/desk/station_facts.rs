//! Who and what works at a station: its machine's clamps and its stringer's pace, read at once for all.
use std::collections::HashMap;

use chrono::{DateTime, Utc};

use crate::craft::dispatch::problem::{Clamp, Station, Window};
use crate::craft::machine::{ClampKind, MachineFacts};
use crate::desk::job_sheet::JobSheet;
use crate::desk::records::StringerRecord;
use crate::desk::refusal::DeskResult;
use crate::desk::waiting_work::{Kinds, REACH_S, base_s};
use crate::storage::workshop::{machinery, people, places};
use crate::storage::{Db, from_record};

/// A job that should have ended ends this much later, again and again.
const ANY_MOMENT_S: i64 = 60;

/// Machines and stringers of the workshop.
pub(super) struct StationFacts {
    machines: HashMap<String, MachineFacts>,
    /// Per mille of the usual time.
    paces: HashMap<String, i64>,
}

impl StationFacts {
    /// Reads all of them.
    pub(super) fn read(db: &mut Db, tournament: &str) -> DeskResult<Self> {
        let mut facts = Self {
            machines: HashMap::new(),
            paces: HashMap::new(),
        };
        for machine in machinery::all(db, tournament)? {
            facts
                .machines
                .insert(machine.id, from_record::<MachineFacts>(&machine.record)?);
        }
        for stringer in people::all(db, tournament)? {
            let record: StringerRecord = from_record(&stringer.record)?;
            facts.paces.insert(stringer.id, per_mille(record.pace_factor));
        }
        Ok(facts)
    }

    /// A station as the dispatcher sees it, with what it has begun; without any, what it strung last is still on it.
    pub(super) fn station(
        &self,
        index: usize,
        station: &places::Station,
        (present, last): (Option<&JobSheet>, Option<&JobSheet>),
        now: DateTime<Utc>,
        kinds: &mut Kinds,
    ) -> Station {
        let machine = self.machines.get(&station.machine_id);
        let stringer = station.stringer_id.as_ref();
        let pace = stringer.and_then(|id| self.paces.get(id)).copied();
        let pace = pace.unwrap_or_else(|| per_mille(1.0));
        let from = present.map_or(0, |sheet| {
            let since = now
                .signed_duration_since(sheet.job.state_since.utc())
                .num_seconds();
            let passed = if sheet.job.state == "on_machine" { since } else { 0 };
            (base_s(sheet) * pace / 1000 - passed).max(ANY_MOMENT_S)
        });
        Station {
            id: i64::try_from(index).unwrap_or(i64::MAX),
            clamp: match machine.map(|facts| facts.clamps) {
                Some(ClampKind::FixedSwivel) => Clamp::Swivel,
                _ => Clamp::Glide,
            },
            pace,
            windows: vec![Window { from, to: REACH_S }],
            loaded: present.or(last).map(|sheet| kinds.needs(sheet)),
            first: Vec::new(),
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "pace factors lie between 0.3 and 3"
)]
fn per_mille(factor: f64) -> i64 {
    (factor.clamp(0.1, 10.0) * 1000.0).round() as i64
}
