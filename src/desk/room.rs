//! The room that a plan is made for: its open jobs and its stations, as they are or as they would be.
use crate::craft::job::JobState;
use crate::desk::job_sheet::JobSheet;
use crate::desk::refusal::{DeskError, DeskResult, Thing};
use crate::storage::workshop::places::{self, Station};
use crate::storage::{Db, jobs};

/// States of a job that a station still has work with.
const OPEN: [&str; 3] = ["waiting", "assigned", "on_machine"];

/// Jobs and stations. Changing them here changes nothing that is stored.
#[derive(Debug, Clone)]
pub struct Room {
    /// What waits, is assigned or is on a machine.
    pub sheets: Vec<JobSheet>,
    /// All stations, open or not, by name.
    pub stations: Vec<Station>,
}

impl Room {
    /// The room as it is.
    ///
    /// # Errors
    /// [`DeskError::Storage`].
    pub fn now(db: &mut Db, tournament: &str) -> DeskResult<Self> {
        let rows = jobs::in_states(db, tournament, &OPEN)?;
        Ok(Self {
            sheets: JobSheet::for_jobs(db, tournament, rows)?,
            stations: places::all(db, tournament)?,
        })
    }

    /// A job of it.
    ///
    /// # Errors
    /// [`DeskError::NotFound`].
    pub fn job(&mut self, id: &str) -> DeskResult<&mut JobSheet> {
        let found = self.sheets.iter_mut().find(|sheet| sheet.job.id == id);
        found.ok_or(DeskError::NotFound(Thing::Job))
    }

    /// A station of it.
    ///
    /// # Errors
    /// [`DeskError::NotFound`].
    pub fn station(&mut self, id: &str) -> DeskResult<&mut Station> {
        let found = self.stations.iter_mut().find(|station| station.id == id);
        found.ok_or(DeskError::NotFound(Thing::Station))
    }

    /// The job that a station has, assigned or on its machine.
    #[must_use]
    pub fn present(&self, station_id: &str) -> Option<&JobSheet> {
        self.sheets.iter().find(|sheet| {
            sheet.job.state != JobState::Waiting.as_str()
                && sheet.job.station_id.as_deref() == Some(station_id)
        })
    }

    /// Takes a job's place away if it has not been begun; it waits.
    pub fn put_back(sheet: &mut JobSheet) {
        if sheet.job.state == JobState::Assigned.as_str() {
            JobState::Waiting.as_str().clone_into(&mut sheet.job.state);
            sheet.job.station_id = None;
            sheet.job.stringer_id = None;
        }
    }

    /// Gives a job to a station as a coordinator would: at once where it is free, pinned where it is not.
    ///
    /// # Errors
    /// [`DeskError::NotFound`].
    pub fn give(&mut self, job_id: &str, station_id: &str) -> DeskResult<()> {
        let station = self.station(station_id)?.clone();
        Self::put_back(self.job(job_id)?);
        let free = station.open && self.present(station_id).is_none();
        let sheet = self.job(job_id)?;
        sheet.record.refusals.retain(|one| one.station_id != station_id);
        if free {
            JobState::Assigned.as_str().clone_into(&mut sheet.job.state);
            sheet.job.station_id = Some(station.id);
            sheet.job.stringer_id = station.stringer_id;
        } else {
            sheet.job.pinned_station_id = Some(station.id);
        }
        Ok(())
    }

    /// Closes a station as its stringer goes off: what was not begun there waits for any station again.
    ///
    /// # Errors
    /// [`DeskError::NotFound`].
    pub fn close(&mut self, station_id: &str) -> DeskResult<()> {
        let station = self.station(station_id)?;
        station.open = false;
        station.stringer_id = None;
        for sheet in &mut self.sheets {
            if sheet.job.station_id.as_deref() == Some(station_id) {
                Self::put_back(sheet);
            }
            if sheet.job.pinned_station_id.as_deref() == Some(station_id) {
                sheet.job.pinned_station_id = None;
            }
        }
        Ok(())
    }

    /// Opens a station with a stringer.
    ///
    /// # Errors
    /// [`DeskError::NotFound`].
    pub fn open(&mut self, station_id: &str, stringer_id: &str) -> DeskResult<()> {
        let station = self.station(station_id)?;
        station.open = true;
        station.stringer_id = Some(stringer_id.to_owned());
        Ok(())
    }
}
