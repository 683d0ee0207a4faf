-- Orders of play and what happened on the courts. Twin of the other database's file.

CREATE TABLE orders_of_play (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    day TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    changed_at TIMESTAMP NOT NULL,
    PRIMARY KEY (tournament_id, day)
);

CREATE TABLE court_events (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    src TEXT COLLATE "C" NOT NULL,
    n BIGINT NOT NULL,
    day TEXT COLLATE "C" NOT NULL,
    at TIMESTAMP NOT NULL,
    record TEXT NOT NULL,
    PRIMARY KEY (tournament_id, src, n)
);
CREATE INDEX court_events_day ON court_events (tournament_id, day, at);
