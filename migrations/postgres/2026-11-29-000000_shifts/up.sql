-- Who works at which station on a day, as published. Twin of the other database's file.
CREATE TABLE shifts (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    day TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    published_at TIMESTAMP NOT NULL,
    PRIMARY KEY (tournament_id, day)
);
