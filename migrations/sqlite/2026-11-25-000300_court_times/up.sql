-- Orders of play and what happened on the courts. Twin of the other database's file.

CREATE TABLE orders_of_play (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    day TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    changed_at TEXT NOT NULL,
    PRIMARY KEY (tournament_id, day)
) STRICT, WITHOUT ROWID;

CREATE TABLE court_events (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    src TEXT NOT NULL,
    n INTEGER NOT NULL,
    day TEXT NOT NULL,
    at TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    PRIMARY KEY (tournament_id, src, n)
) STRICT, WITHOUT ROWID;
CREATE INDEX court_events_day ON court_events (tournament_id, day, at);
