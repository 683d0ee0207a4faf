//! Frame models: what the desk knows of them, each value with its source.
use serde_json::json;

use crate::craft::frame::FrameRecord;
use crate::craft::frame::contradictions::contradictions;
use crate::craft::ids::FrameId;
use crate::craft::limits::{self, Bound};
use crate::craft::roles::Role;
use crate::craft::search_key::search_key;
use crate::desk::refusal::{DeskError, DeskResult, MemberFault, Reason, Thing};
use crate::desk::rename::{Named, refuse_twin};
use crate::desk::{Tx, doubtful, frame_in_use, ids, text_member};
use crate::storage::rackets::models::{self, Frame};
use crate::storage::{from_record, to_record};

/// Who may.
pub const KEEPERS: [Role; 3] = [Role::Desk, Role::Coordinator, Role::Stringer];

/// Records a frame model; with a reason also one that is doubtful.
///
/// # Errors
/// [`DeskError::NotAllowed`]; [`DeskError::Rule`] for a record that contradicts itself or is doubtful;
/// [`DeskError::Conflict`] for a name that is taken.
pub fn add_frame(tx: &mut Tx<'_>, record: &FrameRecord, insist: Option<&str>) -> DeskResult<Frame> {
    tx.caller.must_be(&KEEPERS)?;
    refuse_contradictions(record)?;
    refuse_outside_limits(record, "")?;
    doubtful::frame(record, None, insist)?;
    let name = text_member::name(&record.name, "/name")?;
    refuse_twin(tx, Named::Frame, &name, None)?;
    let frame = Frame {
        id: ids::new::<FrameId>(),
        tournament_id: tx.tournament().to_owned(),
        sport: record.sport.name().to_owned(),
        search_key: search_key(&name),
        name,
        record: to_record(record)?,
        version: 1,
        created_at: tx.at(),
    };
    models::insert(tx.db, &frame)?;
    tx.emit("frame.recorded", &frame.id, &doubtful::insisted(insist))?;
    Ok(frame)
}

/// Replaces what is known of a frame model; jobs that wait are planned from the new record.
///
/// # Errors
/// As [`add_frame`], [`DeskError::NotFound`], [`DeskError::Stale`].
pub fn correct_frame(
    tx: &mut Tx<'_>,
    id: &str,
    version: i64,
    record: &FrameRecord,
    insist: Option<&str>,
) -> DeskResult<Frame> {
    let mut frame = models::find(tx.db, tx.tournament(), id)?.ok_or(DeskError::NotFound(Thing::Frame))?;
    tx.caller.must_be(&KEEPERS)?;
    if frame.version != version {
        return Err(DeskError::Stale {
            current: frame.version,
        });
    }
    refuse_contradictions(record)?;
    refuse_outside_limits(record, "")?;
    doubtful::frame(record, Some(&from_record(&frame.record)?), insist)?;
    let name = text_member::name(&record.name, "/name")?;
    refuse_twin(tx, Named::Frame, &name, Some((id, &frame.name)))?;
    frame.name = name;
    frame.search_key = search_key(&frame.name);
    frame.sport = record.sport.name().to_owned();
    frame.record = to_record(record)?;
    models::save(tx.db, &mut frame)?;
    let mut data = doubtful::insisted(insist);
    data["version"] = json!(frame.version);
    tx.emit("frame.corrected", id, &data)?;
    frame_in_use::follow(tx, id, record)?;
    Ok(frame)
}

/// Refuses a frame that is larger than the rules of its sport let it be.
///
/// # Errors
/// [`DeskError::Rule`] with [`Reason::OutsideLimits`], the limit and its source.
pub fn refuse_outside_limits(record: &FrameRecord, pointer: &str) -> DeskResult<()> {
    let (inside, overall) = (record.inside_mm, record.overall_mm);
    let measures = [
        (
            "/overall_mm/length",
            &["overall_length_mm"][..],
            overall.map(|overall| overall.length),
        ),
        (
            "/overall_mm/width",
            &["overall_width_mm"][..],
            overall.map(|overall| overall.width),
        ),
        (
            "/inside_mm/length",
            &["hitting_length_mm", "strung_length_mm", "string_length_mm"][..],
            inside.map(|inside| inside.length),
        ),
        (
            "/inside_mm/width",
            &["hitting_width_mm", "strung_width_mm"][..],
            inside.map(|inside| inside.width),
        ),
    ];
    let mut faults = Vec::new();
    for (member, names, value) in measures {
        let Some(value) = value else { continue };
        let broken = limits::of(record.sport)
            .iter()
            .find(|limit| names.contains(&limit.measure) && !limit.keeps(value));
        if let Some(limit) = broken {
            let bound = match limit.bound {
                Bound::AtMost(bound) | Bound::AtLeast(bound) => bound,
            };
            let detail = format!(
                "{value} mm is more than {bound} mm, the limit of {}. Measure the frame again.",
                limit.source
            );
            faults.push(MemberFault::at(
                format!("{pointer}{member}"),
                "outside_limits",
                detail,
            ));
        }
    }
    if faults.is_empty() {
        return Ok(());
    }
    Err(DeskError::Rule {
        reason: Reason::OutsideLimits,
        detail: faults
            .iter()
            .map(|fault| fault.detail.as_str())
            .collect::<Vec<_>>()
            .join(" "),
        faults,
        insist: None,
    })
}

fn refuse_contradictions(record: &FrameRecord) -> DeskResult<()> {
    let found = contradictions(record);
    if found.is_empty() {
        return Ok(());
    }
    Err(DeskError::Rule {
        reason: Reason::FrameContradicts,
        detail: "The frame record contradicts itself; look at the frame and correct the members named."
            .to_owned(),
        faults: found
            .into_iter()
            .map(|fault| MemberFault::at(fault.pointer, "frame_contradicts", fault.detail))
            .collect(),
        insist: None,
    })
}
