-- The plan of each tournament, and the number of the log it was made from.
CREATE TABLE schedules (
    tournament_id TEXT NOT NULL PRIMARY KEY REFERENCES tournaments (id),
    made_from_sequence INTEGER NOT NULL,
    made_at TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record))
) STRICT, WITHOUT ROWID;
