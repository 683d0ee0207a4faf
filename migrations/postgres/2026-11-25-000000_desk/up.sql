-- All tables of the desk. Twin of the other database's file: same tables, columns and nullability.

CREATE TABLE tournaments (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    name TEXT COLLATE "C" NOT NULL,
    time_zone TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    sequence BIGINT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);

CREATE TABLE accounts (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    sign_in TEXT COLLATE "C" NOT NULL,
    display_name TEXT COLLATE "C" NOT NULL,
    role TEXT COLLATE "C" NOT NULL,
    password_hash TEXT COLLATE "C",
    pin_hash TEXT COLLATE "C",
    stringer_id TEXT COLLATE "C",
    active BOOLEAN NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL,
    UNIQUE (tournament_id, sign_in)
);

CREATE TABLE devices (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    name TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    station_id TEXT COLLATE "C",
    token_hash TEXT COLLATE "C" NOT NULL,
    revoked_at TIMESTAMP,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL,
    UNIQUE (token_hash)
);

CREATE TABLE sessions (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    device_id TEXT COLLATE "C" REFERENCES devices (id),
    refresh_hash TEXT COLLATE "C" NOT NULL,
    started_at TIMESTAMP NOT NULL,
    expires_at TIMESTAMP NOT NULL,
    ended_at TIMESTAMP,
    UNIQUE (refresh_hash)
);
CREATE INDEX sessions_account ON sessions (account_id);

CREATE TABLE set_up_links (
    token_hash TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" REFERENCES tournaments (id),
    expires_at TIMESTAMP NOT NULL,
    used_at TIMESTAMP
);

CREATE TABLE players (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    display_name TEXT COLLATE "C" NOT NULL,
    search_key TEXT COLLATE "C" NOT NULL,
    badge TEXT COLLATE "C",
    link_token TEXT COLLATE "C",
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL,
    UNIQUE (link_token)
);
CREATE INDEX players_tournament ON players (tournament_id, created_at, id);

CREATE TABLE frames (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    sport TEXT COLLATE "C" NOT NULL,
    name TEXT COLLATE "C" NOT NULL,
    search_key TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);
CREATE INDEX frames_tournament ON frames (tournament_id, created_at, id);

CREATE TABLE rackets (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    player_id TEXT COLLATE "C" NOT NULL REFERENCES players (id),
    frame_id TEXT COLLATE "C" NOT NULL REFERENCES frames (id),
    label_code TEXT COLLATE "C",
    custody TEXT COLLATE "C" NOT NULL,
    custody_since TIMESTAMP NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL,
    UNIQUE (tournament_id, label_code)
);
CREATE INDEX rackets_player ON rackets (player_id);

CREATE TABLE strings (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    name TEXT COLLATE "C" NOT NULL,
    search_key TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);

CREATE TABLE stock_pieces (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    string_id TEXT COLLATE "C" NOT NULL REFERENCES strings (id),
    owner_player_id TEXT COLLATE "C" REFERENCES players (id),
    label_code TEXT COLLATE "C",
    kind TEXT COLLATE "C" NOT NULL,
    nominal_mm BIGINT NOT NULL,
    remaining_mm BIGINT NOT NULL,
    closed_at TIMESTAMP,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL,
    UNIQUE (tournament_id, label_code)
);
CREATE INDEX stock_pieces_string ON stock_pieces (string_id);

CREATE TABLE machines (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    name TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    verdict TEXT COLLATE "C",
    cleared_until TIMESTAMP,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);

CREATE TABLE calibrations (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    machine_id TEXT COLLATE "C" NOT NULL REFERENCES machines (id),
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    verdict TEXT COLLATE "C" NOT NULL,
    record TEXT NOT NULL,
    at TIMESTAMP NOT NULL
);
CREATE INDEX calibrations_machine ON calibrations (machine_id, at);

CREATE TABLE stringers (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    name TEXT COLLATE "C" NOT NULL,
    on_shift BOOLEAN NOT NULL,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);

CREATE TABLE stations (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    name TEXT COLLATE "C" NOT NULL,
    machine_id TEXT COLLATE "C" NOT NULL REFERENCES machines (id),
    stringer_id TEXT COLLATE "C" REFERENCES stringers (id),
    open BOOLEAN NOT NULL,
    version BIGINT NOT NULL,
    created_at TIMESTAMP NOT NULL
);

CREATE TABLE jobs (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    code TEXT COLLATE "C" NOT NULL,
    racket_id TEXT COLLATE "C" NOT NULL REFERENCES rackets (id),
    player_id TEXT COLLATE "C" NOT NULL REFERENCES players (id),
    state TEXT COLLATE "C" NOT NULL,
    phase TEXT COLLATE "C",
    phase_at TIMESTAMP,
    outcome TEXT COLLATE "C",
    attempt INTEGER NOT NULL,
    station_id TEXT COLLATE "C" REFERENCES stations (id),
    stringer_id TEXT COLLATE "C" REFERENCES stringers (id),
    pinned_station_id TEXT COLLATE "C" REFERENCES stations (id),
    batch_id TEXT COLLATE "C",
    batch_place INTEGER NOT NULL,
    spec TEXT NOT NULL,
    spec_version BIGINT NOT NULL,
    spec_change_unseen BOOLEAN NOT NULL,
    rush TEXT COLLATE "C",
    held_reason TEXT COLLATE "C",
    held_until TIMESTAMP,
    paused BOOLEAN NOT NULL,
    recalled BOOLEAN NOT NULL,
    recorded_late BOOLEAN NOT NULL,
    work_p90_s INTEGER NOT NULL,
    due_at TIMESTAMP NOT NULL,
    promised_at TIMESTAMP,
    received_at TIMESTAMP NOT NULL,
    state_since TIMESTAMP NOT NULL,
    out_at TIMESTAMP,
    record TEXT NOT NULL,
    version BIGINT NOT NULL,
    UNIQUE (tournament_id, code)
);
CREATE INDEX jobs_queue ON jobs (tournament_id, state, due_at, id);
CREATE INDEX jobs_racket ON jobs (racket_id);
CREATE INDEX jobs_player ON jobs (player_id);
CREATE INDEX jobs_received ON jobs (tournament_id, received_at, id);

CREATE TABLE attempts (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    job_id TEXT COLLATE "C" NOT NULL REFERENCES jobs (id),
    number INTEGER NOT NULL,
    station_id TEXT COLLATE "C" REFERENCES stations (id),
    machine_id TEXT COLLATE "C" REFERENCES machines (id),
    stringer_id TEXT COLLATE "C" REFERENCES stringers (id),
    started_at TIMESTAMP NOT NULL,
    ended_at TIMESTAMP,
    ending TEXT COLLATE "C",
    record TEXT NOT NULL
);
CREATE INDEX attempts_job ON attempts (job_id, number);

CREATE TABLE phases (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    job_id TEXT COLLATE "C" NOT NULL REFERENCES jobs (id),
    attempt INTEGER NOT NULL,
    phase TEXT COLLATE "C" NOT NULL,
    filled BOOLEAN NOT NULL,
    at TIMESTAMP NOT NULL,
    device_at TIMESTAMP,
    undone_at TIMESTAMP
);
CREATE INDEX phases_job ON phases (job_id);

CREATE TABLE checks (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    job_id TEXT COLLATE "C" NOT NULL REFERENCES jobs (id),
    attempt INTEGER NOT NULL,
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    passed BOOLEAN,
    record TEXT NOT NULL,
    at TIMESTAMP NOT NULL
);
CREATE INDEX checks_job ON checks (job_id);

CREATE TABLE readings (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    racket_id TEXT COLLATE "C" NOT NULL REFERENCES rackets (id),
    job_id TEXT COLLATE "C" NOT NULL REFERENCES jobs (id),
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    record TEXT NOT NULL,
    at TIMESTAMP NOT NULL
);
CREATE INDEX readings_racket ON readings (racket_id, at);

CREATE TABLE snags (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    kind TEXT COLLATE "C" NOT NULL,
    job_id TEXT COLLATE "C" REFERENCES jobs (id),
    record TEXT NOT NULL,
    opened_at TIMESTAMP NOT NULL,
    decided_at TIMESTAMP,
    version BIGINT NOT NULL
);
CREATE INDEX snags_open ON snags (tournament_id, decided_at);
CREATE INDEX snags_job ON snags (job_id);

CREATE TABLE pickups (
    id TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    account_id TEXT COLLATE "C" REFERENCES accounts (id),
    record TEXT NOT NULL,
    at TIMESTAMP NOT NULL,
    undone_at TIMESTAMP,
    version BIGINT NOT NULL
);
CREATE INDEX pickups_tournament ON pickups (tournament_id, at);

CREATE TABLE codes (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    code TEXT COLLATE "C" NOT NULL,
    job_id TEXT COLLATE "C",
    reserved_at TIMESTAMP,
    PRIMARY KEY (tournament_id, code)
);

CREATE TABLE events (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    sequence BIGINT NOT NULL,
    id TEXT COLLATE "C" NOT NULL,
    kind TEXT COLLATE "C" NOT NULL,
    subject TEXT COLLATE "C" NOT NULL,
    at TIMESTAMP NOT NULL,
    device_at TIMESTAMP,
    account_id TEXT COLLATE "C",
    device_id TEXT COLLATE "C",
    data TEXT NOT NULL,
    PRIMARY KEY (tournament_id, sequence),
    UNIQUE (id)
);
CREATE INDEX events_subject ON events (tournament_id, subject, sequence);

CREATE TABLE idempotency_keys (
    tournament_id TEXT COLLATE "C" NOT NULL REFERENCES tournaments (id),
    caller TEXT COLLATE "C" NOT NULL,
    route TEXT COLLATE "C" NOT NULL,
    key TEXT COLLATE "C" NOT NULL,
    body_hash TEXT COLLATE "C" NOT NULL,
    status INTEGER NOT NULL,
    headers TEXT NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    stored_at TIMESTAMP NOT NULL,
    PRIMARY KEY (tournament_id, caller, route, key)
);
CREATE INDEX idempotency_keys_age ON idempotency_keys (stored_at);
