//! What nearly every table needs: get, insert and save within one tournament.

/// Writes `find`, `insert` and `save` for a table whose row has `id`,
/// `tournament_id` and `version`.
macro_rules! keeps {
    ($table:ident, $row:ty) => {
        /// The row with this id, if the tournament has it.
        ///
        /// # Errors
        /// [`StoreError`](crate::storage::StoreError) where the query fails.
        pub fn find(db: &mut Db, tournament: &str, id: &str) -> StoreResult<Option<$row>> {
            Ok($table::table
                .find(id)
                .filter($table::tournament_id.eq(tournament))
                .select(<$row>::as_select())
                .first(db)
                .optional()?)
        }

        /// Adds the row.
        ///
        /// # Errors
        /// [`StoreError`](crate::storage::StoreError) where the query fails.
        pub fn insert(db: &mut Db, row: &$row) -> StoreResult<()> {
            diesel::insert_into($table::table).values(row).execute(db)?;
            Ok(())
        }

        /// Saves the row as a new version, unless somebody saved one since it was read.
        ///
        /// # Errors
        /// [`StoreError::Vanished`](crate::storage::StoreError) where that version is not there.
        pub fn save(db: &mut Db, row: &mut $row) -> StoreResult<()> {
            let read = row.version;
            row.version += 1;
            let kept = $table::table
                .filter($table::id.eq(&row.id))
                .filter($table::version.eq(read));
            let saved = diesel::update(kept).set(&*row).execute(db)?;
            if saved == 1 {
                Ok(())
            } else {
                Err($crate::storage::StoreError::Vanished(row.id.clone()))
            }
        }
    };
}
pub(super) use keeps;
