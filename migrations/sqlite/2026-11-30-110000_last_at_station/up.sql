-- What a station began last, so that its next job may need no other string. Twin of the other database's file.
CREATE INDEX attempts_station ON attempts (tournament_id, station_id, started_at);
