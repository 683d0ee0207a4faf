//! The tables, as diesel sees them; the same on both databases.
//!
//! `record` columns hold JSON text. Timestamps are UTC.

diesel::table! {
    tournaments (id) {
        id -> Text, name -> Text, time_zone -> Text, record -> Text,
        sequence -> BigInt, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    accounts (id) {
        id -> Text, tournament_id -> Text, sign_in -> Text, display_name -> Text, role -> Text,
        password_hash -> Nullable<Text>, pin_hash -> Nullable<Text>, stringer_id -> Nullable<Text>,
        active -> Bool, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    devices (id) {
        id -> Text, tournament_id -> Text, name -> Text, kind -> Text, station_id -> Nullable<Text>,
        token_hash -> Text, revoked_at -> Nullable<Timestamp>, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    sessions (id) {
        id -> Text, tournament_id -> Text, account_id -> Nullable<Text>, device_id -> Nullable<Text>,
        refresh_hash -> Text, started_at -> Timestamp, expires_at -> Timestamp, ended_at -> Nullable<Timestamp>,
    }
}
diesel::table! {
    set_up_links (token_hash) {
        token_hash -> Text, tournament_id -> Nullable<Text>, expires_at -> Timestamp, used_at -> Nullable<Timestamp>,
    }
}
diesel::table! {
    players (id) {
        id -> Text, tournament_id -> Text, display_name -> Text, search_key -> Text, badge -> Nullable<Text>,
        link_token -> Nullable<Text>, record -> Text, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    frames (id) {
        id -> Text, tournament_id -> Text, sport -> Text, name -> Text, search_key -> Text,
        record -> Text, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    rackets (id) {
        id -> Text, tournament_id -> Text, player_id -> Text, frame_id -> Text, label_code -> Nullable<Text>,
        custody -> Text, custody_since -> Timestamp, record -> Text, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    strings (id) {
        id -> Text, tournament_id -> Text, name -> Text, search_key -> Text, record -> Text,
        version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    stock_pieces (id) {
        id -> Text, tournament_id -> Text, string_id -> Text, owner_player_id -> Nullable<Text>,
        label_code -> Nullable<Text>, kind -> Text, nominal_mm -> BigInt, remaining_mm -> BigInt,
        closed_at -> Nullable<Timestamp>, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    machines (id) {
        id -> Text, tournament_id -> Text, name -> Text, record -> Text, verdict -> Nullable<Text>,
        cleared_until -> Nullable<Timestamp>, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    calibrations (id) {
        id -> Text, tournament_id -> Text, machine_id -> Text, account_id -> Nullable<Text>,
        verdict -> Text, record -> Text, at -> Timestamp,
    }
}
diesel::table! {
    stringers (id) {
        id -> Text, tournament_id -> Text, name -> Text, on_shift -> Bool, record -> Text,
        version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    stations (id) {
        id -> Text, tournament_id -> Text, name -> Text, machine_id -> Text, stringer_id -> Nullable<Text>,
        open -> Bool, version -> BigInt, created_at -> Timestamp,
    }
}
diesel::table! {
    jobs (id) {
        id -> Text,
        tournament_id -> Text,
        code -> Text,
        racket_id -> Text,
        player_id -> Text,
        state -> Text,
        phase -> Nullable<Text>,
        phase_at -> Nullable<Timestamp>,
        outcome -> Nullable<Text>,
        attempt -> Integer,
        station_id -> Nullable<Text>,
        stringer_id -> Nullable<Text>,
        pinned_station_id -> Nullable<Text>,
        batch_id -> Nullable<Text>,
        batch_place -> Integer,
        spec -> Text,
        spec_version -> BigInt,
        spec_change_unseen -> Bool,
        rush -> Nullable<Text>,
        held_reason -> Nullable<Text>,
        held_until -> Nullable<Timestamp>,
        paused -> Bool,
        recalled -> Bool,
        recorded_late -> Bool,
        work_p90_s -> Integer,
        due_at -> Timestamp,
        promised_at -> Nullable<Timestamp>,
        received_at -> Timestamp,
        state_since -> Timestamp,
        out_at -> Nullable<Timestamp>,
        record -> Text,
        version -> BigInt,
    }
}
diesel::table! {
    attempts (id) {
        id -> Text, tournament_id -> Text, job_id -> Text, number -> Integer, station_id -> Nullable<Text>,
        machine_id -> Nullable<Text>, stringer_id -> Nullable<Text>, started_at -> Timestamp,
        ended_at -> Nullable<Timestamp>, ending -> Nullable<Text>, record -> Text,
    }
}
diesel::table! {
    phases (id) {
        id -> Text, tournament_id -> Text, job_id -> Text, attempt -> Integer, phase -> Text,
        filled -> Bool, at -> Timestamp, device_at -> Nullable<Timestamp>, undone_at -> Nullable<Timestamp>,
    }
}
diesel::table! {
    checks (id) {
        id -> Text, tournament_id -> Text, job_id -> Text, attempt -> Integer, account_id -> Nullable<Text>,
        passed -> Nullable<Bool>, record -> Text, at -> Timestamp,
    }
}
diesel::table! {
    readings (id) {
        id -> Text, tournament_id -> Text, racket_id -> Text, job_id -> Text, account_id -> Nullable<Text>,
        record -> Text, at -> Timestamp,
    }
}
diesel::table! {
    snags (id) {
        id -> Text, tournament_id -> Text, kind -> Text, job_id -> Nullable<Text>, record -> Text,
        opened_at -> Timestamp, decided_at -> Nullable<Timestamp>, version -> BigInt,
    }
}
diesel::table! {
    pickups (id) {
        id -> Text, tournament_id -> Text, account_id -> Nullable<Text>, record -> Text,
        at -> Timestamp, undone_at -> Nullable<Timestamp>, version -> BigInt,
    }
}
diesel::table! {
    codes (tournament_id, code) {
        tournament_id -> Text, code -> Text, job_id -> Nullable<Text>, reserved_at -> Nullable<Timestamp>,
        kept_for -> Nullable<Text>,
    }
}
diesel::table! {
    events (tournament_id, sequence) {
        tournament_id -> Text, sequence -> BigInt, id -> Text, kind -> Text, subject -> Text, at -> Timestamp,
        device_at -> Nullable<Timestamp>, account_id -> Nullable<Text>, device_id -> Nullable<Text>, data -> Text,
    }
}
diesel::table! {
    idempotency_keys (tournament_id, caller, route, key) {
        tournament_id -> Text, caller -> Text, route -> Text, key -> Text, body_hash -> Text,
        status -> Integer, headers -> Text, body -> Text, stored_at -> Timestamp,
    }
}
diesel::table! {
    orders_of_play (tournament_id, day) {
        tournament_id -> Text, day -> Text, record -> Text, version -> BigInt, changed_at -> Timestamp,
    }
}
diesel::table! {
    court_events (tournament_id, src, n) {
        tournament_id -> Text, src -> Text, n -> BigInt, day -> Text, at -> Timestamp, record -> Text,
    }
}
diesel::table! {
    schedules (tournament_id) {
        tournament_id -> Text, made_from_sequence -> BigInt, made_at -> Timestamp, record -> Text,
    }
}
diesel::table! {
    shifts (tournament_id, day) {
        tournament_id -> Text, day -> Text, record -> Text, version -> BigInt, published_at -> Timestamp,
    }
}
diesel::table! {
    photos (id) {
        id -> Text, tournament_id -> Text, racket_id -> Text, job_id -> Nullable<Text>, place -> Nullable<Text>,
        width_px -> Integer, height_px -> Integer, digest -> Text, account_id -> Nullable<Text>,
        kept_at -> Timestamp,
    }
}
diesel::table! {
    photo_files (photo_id) {
        photo_id -> Text, whole -> Binary, small -> Binary,
    }
}
