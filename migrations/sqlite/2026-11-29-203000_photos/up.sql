-- Photos of marks on rackets. Twin of the other database's file.
--
-- They are kept here and not as files beside: one backup, one restore and one pg_dump hold
-- them, every instance sees them, and a photo is there exactly if what tells of it is.
-- At most 1600 points a side and gone after some weeks, they stay a small part of it.
CREATE TABLE photos (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    racket_id TEXT NOT NULL REFERENCES rackets (id),
    job_id TEXT REFERENCES jobs (id),
    place TEXT,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    digest TEXT NOT NULL,
    account_id TEXT REFERENCES accounts (id),
    kept_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX photos_racket ON photos (racket_id, kept_at);
CREATE INDEX photos_age ON photos (tournament_id, kept_at);

-- The bytes apart, so that no list ever reads past them.
CREATE TABLE photo_files (
    photo_id TEXT NOT NULL PRIMARY KEY REFERENCES photos (id),
    whole BLOB NOT NULL,
    small BLOB NOT NULL
) STRICT;
