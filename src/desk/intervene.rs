//! Doing what was priced: one intervention of a coordinator, by the use case it stands for.
use crate::desk::court_times::due_by::DueBy;
use crate::desk::court_times::stop_courts;
use crate::desk::refusal::DeskResult;
use crate::desk::what_if::WhatIf;
use crate::desk::{CourtMemory, Tx, shifts, steer_job};

/// Does it.
///
/// # Errors
/// Those of the use case: a hold needs a reason, the state table may forbid the rest.
pub fn intervene(tx: &mut Tx<'_>, what: &WhatIf, reason: &str, memory: &CourtMemory) -> DeskResult<()> {
    match what {
        WhatIf::Rush { job_id, level } => steer_job::rush_job(tx, job_id, *level).map(drop),
        WhatIf::Unrush { job_id } => steer_job::unrush_job(tx, job_id).map(drop),
        WhatIf::Hold { job_id, until } => steer_job::hold_job(tx, job_id, reason, *until).map(drop),
        WhatIf::Release { job_id } => steer_job::release_job(tx, job_id).map(drop),
        WhatIf::Move { job_id, station_id } => steer_job::move_to_station(tx, job_id, station_id).map(drop),
        WhatIf::Due { job_id, due_at } => steer_job::change_due(tx, job_id, &DueBy::Time(*due_at)).map(drop),
        WhatIf::CloseStation { station_id } => shifts::close_station(tx, station_id).map(drop),
        WhatIf::OpenStation {
            station_id,
            stringer_id,
        } => shifts::open_station(tx, station_id, stringer_id).map(drop),
        WhatIf::StringerOff { stringer_id } => shifts::stringer_off(tx, stringer_id).map(drop),
        WhatIf::StopCourts {
            courts,
            expected_resume_at,
        } => stop_courts::stop_courts(tx, courts.clone(), reason, *expected_resume_at, memory).map(drop),
    }
}
