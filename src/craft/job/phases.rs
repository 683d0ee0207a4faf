//! Phases go forward; those skipped are filled in.
use crate::job::{JobPhase, Refusal, RefusalCode};

/// The phases to record when `tapped` is tapped after `current`: those skipped
/// in their order, then `tapped` itself as the last one.
///
/// # Errors
/// [`RefusalCode::PhaseBackwards`] if `tapped` is `current` or lies before it.
pub fn phases_up_to(current: Option<JobPhase>, tapped: JobPhase) -> Result<Vec<JobPhase>, Refusal> {
    if let Some(current) = current
        && tapped <= current
    {
        return Err(Refusal::state(
            RefusalCode::PhaseBackwards,
            format!(
                "The job is at \"{}\" already; phases only go forward. Take the last tap back \
                 within 60 s, or ask an admin to correct the job.",
                current.words()
            ),
        ));
    }
    let phases = JobPhase::ALL.iter().copied();
    Ok(phases
        .filter(|phase| Some(*phase) > current && *phase <= tapped)
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skipped_phases_are_filled_in() {
        let filled = phases_up_to(Some(JobPhase::Mounted), JobPhase::CrossesDone).unwrap();
        assert_eq!(
            filled,
            [JobPhase::MainsStarted, JobPhase::MainsDone, JobPhase::CrossesDone]
        );
        assert_eq!(phases_up_to(None, JobPhase::TiedOff).unwrap(), JobPhase::ALL);
    }

    #[test]
    fn a_phase_never_goes_back_nor_repeats() {
        for current in JobPhase::ALL {
            for tapped in JobPhase::ALL {
                match phases_up_to(Some(*current), *tapped) {
                    Ok(filled) => {
                        assert!(tapped > current);
                        assert_eq!(filled.last(), Some(tapped));
                        assert!(filled.windows(2).all(|pair| pair[0].next() == Some(pair[1])));
                        assert_eq!(current.next().as_ref(), filled.first());
                    }
                    Err(refusal) => {
                        assert!(tapped <= current);
                        assert_eq!(refusal.code, RefusalCode::PhaseBackwards);
                    }
                }
            }
        }
    }
}
