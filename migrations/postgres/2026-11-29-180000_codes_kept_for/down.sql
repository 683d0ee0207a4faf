ALTER TABLE codes DROP COLUMN kept_for;
