-- What a pull and the return of its job to the queue send to PostgreSQL, for pgbench.
--
-- The same statements in the same order as the desk sends them; values of an UPDATE come from
-- the row itself. pgbench keeps the last row of the queue where the desk keeps the first.
BEGIN;
UPDATE tournaments SET sequence = sequence + 0 WHERE id = :tournament RETURNING sequence AS sequence \gset
SELECT id AS station, tournament_id, name, machine_id AS machine, stringer_id AS stringer, open, version AS station_version, created_at FROM stations WHERE tournament_id = :tournament AND name = 'Station ' || (:client_id::int + 1) \gset
SELECT * FROM jobs WHERE tournament_id = :tournament AND station_id = :station AND state IN ('assigned', 'on_machine') LIMIT 1;
SELECT id AS job, code, pinned_station_id, rush, held_reason, held_until, due_at, received_at, record FROM jobs WHERE tournament_id = :tournament AND state = 'waiting' ORDER BY due_at, id \aset
SELECT * FROM machines WHERE id = :machine AND tournament_id = :tournament LIMIT 1;
SELECT player_id AS player, racket_id AS racket FROM (SELECT * FROM jobs WHERE id = :job AND tournament_id = :tournament LIMIT 1) AS one \gset
SELECT * FROM players WHERE id IN (:player);
SELECT frame_id AS frame FROM rackets WHERE id IN (:racket) \gset
SELECT * FROM frames WHERE id IN (:frame);
SELECT * FROM stations WHERE tournament_id = :tournament ORDER BY name, id;
SELECT * FROM stringers WHERE tournament_id = :tournament ORDER BY name, id;
SELECT * FROM jobs WHERE tournament_id = :tournament AND station_id = :station AND state IN ('assigned', 'on_machine') LIMIT 1;
SELECT * FROM tournaments WHERE id = :tournament LIMIT 1;
UPDATE jobs SET tournament_id = tournament_id, code = code, racket_id = racket_id, player_id = player_id, state = 'assigned', phase = phase, phase_at = phase_at, outcome = outcome, attempt = attempt, station_id = :station, stringer_id = :stringer, pinned_station_id = NULL, batch_id = batch_id, batch_place = batch_place, spec = spec, spec_version = spec_version, spec_change_unseen = spec_change_unseen, rush = rush, held_reason = held_reason, held_until = held_until, paused = paused, recalled = recalled, recorded_late = recorded_late, work_p90_s = work_p90_s, due_at = due_at, promised_at = promised_at, received_at = received_at, state_since = now(), out_at = out_at, record = record, version = version + 1 WHERE id = :job;
INSERT INTO events (tournament_id, sequence, id, kind, subject, at, device_at, account_id, device_id, data) VALUES (:tournament, :sequence::bigint + 1, gen_random_uuid()::text, 'job.assigned', :job, now(), NULL, 'acc_bench', NULL, '{"attempt": 1,"from":"waiting","racket_id":"rkt_0123456789abcdefghijklmnop","state":"assigned","station_id":"stn_0123456789abcdefghijklmnop","stringer_id":"str_0123456789abcdefghijklmnop"}');
UPDATE tournaments SET sequence = :sequence::bigint + 1 WHERE id = :tournament;
COMMIT;
BEGIN;
UPDATE tournaments SET sequence = sequence + 0 WHERE id = :tournament RETURNING sequence AS sequence \gset
SELECT player_id AS player, racket_id AS racket FROM (SELECT * FROM jobs WHERE id = :job AND tournament_id = :tournament LIMIT 1) AS one \gset
SELECT * FROM players WHERE id IN (:player);
SELECT frame_id AS frame FROM rackets WHERE id IN (:racket) \gset
SELECT * FROM frames WHERE id IN (:frame);
SELECT * FROM stations WHERE tournament_id = :tournament ORDER BY name, id;
SELECT * FROM stringers WHERE tournament_id = :tournament ORDER BY name, id;
UPDATE jobs SET tournament_id = tournament_id, code = code, racket_id = racket_id, player_id = player_id, state = 'waiting', phase = phase, phase_at = phase_at, outcome = outcome, attempt = attempt, station_id = NULL, stringer_id = NULL, pinned_station_id = NULL, batch_id = batch_id, batch_place = batch_place, spec = spec, spec_version = spec_version, spec_change_unseen = spec_change_unseen, rush = rush, held_reason = held_reason, held_until = held_until, paused = paused, recalled = recalled, recorded_late = recorded_late, work_p90_s = work_p90_s, due_at = due_at, promised_at = promised_at, received_at = received_at, state_since = now(), out_at = out_at, record = record, version = version + 1 WHERE id = :job;
INSERT INTO events (tournament_id, sequence, id, kind, subject, at, device_at, account_id, device_id, data) VALUES (:tournament, :sequence::bigint + 1, gen_random_uuid()::text, 'job.unassigned', :job, now(), NULL, 'acc_bench', NULL, '{"at_station_id":"stn_0123456789abcdefghijklmnop","attempt": 1,"from":"assigned","racket_id":"rkt_0123456789abcdefghijklmnop","reason":"another first","state":"waiting","station_id": null}');
UPDATE tournaments SET sequence = :sequence::bigint + 1 WHERE id = :tournament;
COMMIT;
