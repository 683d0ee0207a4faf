//! Machines and their calibrations, stringers, and the stations they make together.
use diesel::prelude::*;

use super::rows::keeps;
use super::schema::{calibrations, machines, stations, stringers};
use super::{At, Db, StoreResult};

/// Machines.
pub mod machinery {
    use super::*;

    /// A stringing machine.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = machines, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Machine {
        pub id: String,
        pub tournament_id: String,
        pub name: String,
        pub record: String,
        pub verdict: Option<String>,
        pub cleared_until: Option<At>,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(machines, Machine);

    /// All of them, by name.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Machine>> {
        Ok(machines::table
            .filter(machines::tournament_id.eq(tournament))
            .order((machines::name, machines::id))
            .select(Machine::as_select())
            .load(db)?)
    }
}

/// Stringers.
pub mod people {
    use super::*;

    /// A person who strings.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = stringers, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Stringer {
        pub id: String,
        pub tournament_id: String,
        pub name: String,
        pub on_shift: bool,
        pub record: String,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(stringers, Stringer);

    /// All of them, by name.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Stringer>> {
        Ok(stringers::table
            .filter(stringers::tournament_id.eq(tournament))
            .order((stringers::name, stringers::id))
            .select(Stringer::as_select())
            .load(db)?)
    }
}

/// Stations.
pub mod places {
    use super::*;

    /// A machine with a stringer on shift at it.
    #[derive(Debug, Clone, Queryable, Selectable, Insertable, AsChangeset)]
    #[diesel(table_name = stations, treat_none_as_null = true)]
    #[expect(missing_docs, reason = "columns, named in schema.rs")]
    pub struct Station {
        pub id: String,
        pub tournament_id: String,
        pub name: String,
        pub machine_id: String,
        pub stringer_id: Option<String>,
        pub open: bool,
        pub version: i64,
        pub created_at: At,
    }

    keeps!(stations, Station);

    /// All of them, by name.
    ///
    /// # Errors
    /// [`StoreError`](crate::storage::StoreError) where the query fails.
    pub fn all(db: &mut Db, tournament: &str) -> StoreResult<Vec<Station>> {
        Ok(stations::table
            .filter(stations::tournament_id.eq(tournament))
            .order((stations::name, stations::id))
            .select(Station::as_select())
            .load(db)?)
    }
}

/// One calibration of a machine.
#[derive(Debug, Clone, Queryable, Selectable, Insertable)]
#[diesel(table_name = calibrations)]
#[expect(missing_docs, reason = "columns, named in schema.rs")]
pub struct Calibration {
    pub id: String,
    pub tournament_id: String,
    pub machine_id: String,
    pub account_id: Option<String>,
    pub verdict: String,
    pub record: String,
    pub at: At,
}

/// Adds a calibration.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn insert_calibration(db: &mut Db, row: &Calibration) -> StoreResult<()> {
    diesel::insert_into(calibrations::table).values(row).execute(db)?;
    Ok(())
}

/// A machine's calibrations, newest first.
///
/// # Errors
/// [`StoreError`](crate::storage::StoreError) where the query fails.
pub fn calibrations_of(
    db: &mut Db,
    tournament: &str,
    machine: &str,
    limit: i64,
) -> StoreResult<Vec<Calibration>> {
    Ok(calibrations::table
        .filter(calibrations::tournament_id.eq(tournament))
        .filter(calibrations::machine_id.eq(machine))
        .order((calibrations::at.desc(), calibrations::id.desc()))
        .limit(limit)
        .select(Calibration::as_select())
        .load(db)?)
}
