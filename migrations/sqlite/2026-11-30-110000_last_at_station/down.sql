DROP INDEX attempts_station;
