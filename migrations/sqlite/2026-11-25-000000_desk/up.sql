-- All tables of the desk. Twin of the other database's file: same tables, columns and nullability.

CREATE TABLE tournaments (
    id TEXT NOT NULL PRIMARY KEY,
    name TEXT NOT NULL,
    time_zone TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    sequence INTEGER NOT NULL,
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE accounts (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    sign_in TEXT NOT NULL,
    display_name TEXT NOT NULL,
    role TEXT NOT NULL,
    password_hash TEXT,
    pin_hash TEXT,
    stringer_id TEXT,
    active INTEGER NOT NULL CHECK (active IN (0, 1)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (tournament_id, sign_in)
) STRICT, WITHOUT ROWID;

CREATE TABLE devices (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    station_id TEXT,
    token_hash TEXT NOT NULL,
    revoked_at TEXT,
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (token_hash)
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    account_id TEXT REFERENCES accounts (id),
    device_id TEXT REFERENCES devices (id),
    refresh_hash TEXT NOT NULL,
    started_at TEXT NOT NULL,
    expires_at TEXT NOT NULL,
    ended_at TEXT,
    UNIQUE (refresh_hash)
) STRICT, WITHOUT ROWID;
CREATE INDEX sessions_account ON sessions (account_id);

CREATE TABLE set_up_links (
    token_hash TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT REFERENCES tournaments (id),
    expires_at TEXT NOT NULL,
    used_at TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE players (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    display_name TEXT NOT NULL,
    search_key TEXT NOT NULL,
    badge TEXT,
    link_token TEXT,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (link_token)
) STRICT, WITHOUT ROWID;
CREATE INDEX players_tournament ON players (tournament_id, created_at, id);

CREATE TABLE frames (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    sport TEXT NOT NULL,
    name TEXT NOT NULL,
    search_key TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX frames_tournament ON frames (tournament_id, created_at, id);

CREATE TABLE rackets (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    player_id TEXT NOT NULL REFERENCES players (id),
    frame_id TEXT NOT NULL REFERENCES frames (id),
    label_code TEXT,
    custody TEXT NOT NULL,
    custody_since TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (tournament_id, label_code)
) STRICT, WITHOUT ROWID;
CREATE INDEX rackets_player ON rackets (player_id);

CREATE TABLE strings (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    name TEXT NOT NULL,
    search_key TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE stock_pieces (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    string_id TEXT NOT NULL REFERENCES strings (id),
    owner_player_id TEXT REFERENCES players (id),
    label_code TEXT,
    kind TEXT NOT NULL,
    nominal_mm INTEGER NOT NULL,
    remaining_mm INTEGER NOT NULL,
    closed_at TEXT,
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL,
    UNIQUE (tournament_id, label_code)
) STRICT, WITHOUT ROWID;
CREATE INDEX stock_pieces_string ON stock_pieces (string_id);

CREATE TABLE machines (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    name TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    verdict TEXT,
    cleared_until TEXT,
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE calibrations (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    machine_id TEXT NOT NULL REFERENCES machines (id),
    account_id TEXT REFERENCES accounts (id),
    verdict TEXT NOT NULL,
    record TEXT NOT NULL CHECK (json_valid(record)),
    at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX calibrations_machine ON calibrations (machine_id, at);

CREATE TABLE stringers (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    name TEXT NOT NULL,
    on_shift INTEGER NOT NULL CHECK (on_shift IN (0, 1)),
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE stations (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    name TEXT NOT NULL,
    machine_id TEXT NOT NULL REFERENCES machines (id),
    stringer_id TEXT REFERENCES stringers (id),
    open INTEGER NOT NULL CHECK (open IN (0, 1)),
    version INTEGER NOT NULL,
    created_at TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE jobs (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    code TEXT NOT NULL,
    racket_id TEXT NOT NULL REFERENCES rackets (id),
    player_id TEXT NOT NULL REFERENCES players (id),
    state TEXT NOT NULL,
    phase TEXT,
    phase_at TEXT,
    outcome TEXT,
    attempt INTEGER NOT NULL,
    station_id TEXT REFERENCES stations (id),
    stringer_id TEXT REFERENCES stringers (id),
    pinned_station_id TEXT REFERENCES stations (id),
    batch_id TEXT,
    batch_place INTEGER NOT NULL,
    spec TEXT NOT NULL CHECK (json_valid(spec)),
    spec_version INTEGER NOT NULL,
    spec_change_unseen INTEGER NOT NULL CHECK (spec_change_unseen IN (0, 1)),
    rush TEXT,
    held_reason TEXT,
    held_until TEXT,
    paused INTEGER NOT NULL CHECK (paused IN (0, 1)),
    recalled INTEGER NOT NULL CHECK (recalled IN (0, 1)),
    recorded_late INTEGER NOT NULL CHECK (recorded_late IN (0, 1)),
    work_p90_s INTEGER NOT NULL,
    due_at TEXT NOT NULL,
    promised_at TEXT,
    received_at TEXT NOT NULL,
    state_since TEXT NOT NULL,
    out_at TEXT,
    record TEXT NOT NULL CHECK (json_valid(record)),
    version INTEGER NOT NULL,
    UNIQUE (tournament_id, code)
) STRICT, WITHOUT ROWID;
CREATE INDEX jobs_queue ON jobs (tournament_id, state, due_at, id);
CREATE INDEX jobs_racket ON jobs (racket_id);
CREATE INDEX jobs_player ON jobs (player_id);
CREATE INDEX jobs_received ON jobs (tournament_id, received_at, id);

CREATE TABLE attempts (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    job_id TEXT NOT NULL REFERENCES jobs (id),
    number INTEGER NOT NULL,
    station_id TEXT REFERENCES stations (id),
    machine_id TEXT REFERENCES machines (id),
    stringer_id TEXT REFERENCES stringers (id),
    started_at TEXT NOT NULL,
    ended_at TEXT,
    ending TEXT,
    record TEXT NOT NULL CHECK (json_valid(record))
) STRICT, WITHOUT ROWID;
CREATE INDEX attempts_job ON attempts (job_id, number);

CREATE TABLE phases (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    job_id TEXT NOT NULL REFERENCES jobs (id),
    attempt INTEGER NOT NULL,
    phase TEXT NOT NULL,
    filled INTEGER NOT NULL CHECK (filled IN (0, 1)),
    at TEXT NOT NULL,
    device_at TEXT,
    undone_at TEXT
) STRICT, WITHOUT ROWID;
CREATE INDEX phases_job ON phases (job_id);

CREATE TABLE checks (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    job_id TEXT NOT NULL REFERENCES jobs (id),
    attempt INTEGER NOT NULL,
    account_id TEXT REFERENCES accounts (id),
    passed INTEGER CHECK (passed IN (0, 1)),
    record TEXT NOT NULL CHECK (json_valid(record)),
    at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX checks_job ON checks (job_id);

CREATE TABLE readings (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    racket_id TEXT NOT NULL REFERENCES rackets (id),
    job_id TEXT NOT NULL REFERENCES jobs (id),
    account_id TEXT REFERENCES accounts (id),
    record TEXT NOT NULL CHECK (json_valid(record)),
    at TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX readings_racket ON readings (racket_id, at);

CREATE TABLE snags (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    kind TEXT NOT NULL,
    job_id TEXT REFERENCES jobs (id),
    record TEXT NOT NULL CHECK (json_valid(record)),
    opened_at TEXT NOT NULL,
    decided_at TEXT,
    version INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX snags_open ON snags (tournament_id, decided_at);
CREATE INDEX snags_job ON snags (job_id);

CREATE TABLE pickups (
    id TEXT NOT NULL PRIMARY KEY,
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    account_id TEXT REFERENCES accounts (id),
    record TEXT NOT NULL CHECK (json_valid(record)),
    at TEXT NOT NULL,
    undone_at TEXT,
    version INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX pickups_tournament ON pickups (tournament_id, at);

CREATE TABLE codes (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    code TEXT NOT NULL,
    job_id TEXT,
    reserved_at TEXT,
    PRIMARY KEY (tournament_id, code)
) STRICT, WITHOUT ROWID;

CREATE TABLE events (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    sequence INTEGER NOT NULL,
    id TEXT NOT NULL,
    kind TEXT NOT NULL,
    subject TEXT NOT NULL,
    at TEXT NOT NULL,
    device_at TEXT,
    account_id TEXT,
    device_id TEXT,
    data TEXT NOT NULL CHECK (json_valid(data)),
    PRIMARY KEY (tournament_id, sequence),
    UNIQUE (id)
) STRICT, WITHOUT ROWID;
CREATE INDEX events_subject ON events (tournament_id, subject, sequence);

CREATE TABLE idempotency_keys (
    tournament_id TEXT NOT NULL REFERENCES tournaments (id),
    caller TEXT NOT NULL,
    route TEXT NOT NULL,
    key TEXT NOT NULL,
    body_hash TEXT NOT NULL,
    status INTEGER NOT NULL,
    headers TEXT NOT NULL CHECK (json_valid(headers)),
    body TEXT NOT NULL,
    stored_at TEXT NOT NULL,
    PRIMARY KEY (tournament_id, caller, route, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX idempotency_keys_age ON idempotency_keys (stored_at);
