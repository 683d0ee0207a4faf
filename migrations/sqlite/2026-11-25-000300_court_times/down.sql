DROP TABLE court_events;
DROP TABLE orders_of_play;
