-- Who works at which station on a day, as published. Twin of the other database's file.
CREATE TABLE shifts (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    day TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    published_at TEXT NOT NULL,
    PRIMARY KEY (tournament_id, day)
) STRICT, WITHOUT ROWID;
