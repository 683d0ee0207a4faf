-- Photos of marks on rackets. Twin of the other database's file.
--
-- They are kept here and not as files beside: one backup, one restore and one pg_dump hold
-- them, every instance sees them, and a photo is there exactly if what tells of it is.
-- At most 1600 points a side and gone after some weeks, they stay a small part of it.
CREATE TABLE photos (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    racket_id TEXT COLLATE "C" NOT NULL REFERENCES rackets (id),
    job_id TEXT COLLATE "C" REFERENCES jobs (id),
    place TEXT COLLATE "C",
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    digest TEXT COLLATE "C" NOT NULL,
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    kept_at TIMESTAMP NOT NULL
);
CREATE INDEX photos_racket ON photos (racket_id, kept_at);
CREATE INDEX photos_age ON photos (tournament_id, kept_at);

-- The bytes apart, so that no list ever reads past them.
CREATE TABLE photo_files (
    photo_id TEXT COLLATE "C" NOT NULL PRIMARY KEY REFERENCES photos (id),
    whole BYTEA NOT NULL,
    small BYTEA NOT NULL
);
-- a JPEG does not get any smaller: the server need not try
ALTER TABLE photo_files ALTER COLUMN whole SET STORAGE EXTERNAL;
ALTER TABLE photo_files ALTER COLUMN small SET STORAGE EXTERNAL;
