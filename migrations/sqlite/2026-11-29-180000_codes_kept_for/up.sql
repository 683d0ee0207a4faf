-- Who keeps a reserved code ready: an account or device that asked for it; nobody means the paper kit.
ALTER TABLE codes ADD COLUMN kept_for TEXT;
