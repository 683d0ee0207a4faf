-- The plan of each tournament, and the number of the log it was made from.
CREATE TABLE schedules (
    tournament_id TEXT COLLATE "C" NOT NULL PRIMARY KEY REFERENCES tournaments (id),
    made_from_sequence BIGINT NOT NULL,
    made_at TIMESTAMP NOT NULL,
    record TEXT NOT NULL
);
