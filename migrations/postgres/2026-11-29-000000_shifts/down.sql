DROP TABLE shifts;
