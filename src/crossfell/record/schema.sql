-- The record of one piece: events are added, never changed.
CREATE TABLE draft (
  hash     TEXT PRIMARY KEY,
  text     TEXT NOT NULL,
  workshop TEXT NOT NULL,
  seen_ms  INTEGER NOT NULL
) STRICT;

CREATE TABLE event (
  number     INTEGER PRIMARY KEY AUTOINCREMENT,
  id         TEXT NOT NULL UNIQUE,
  kind       TEXT NOT NULL,
  utc_ms     INTEGER NOT NULL,
  offset_min INTEGER NOT NULL,
  boot       TEXT NOT NULL,
  run_ms     INTEGER NOT NULL,
  device     TEXT NOT NULL,
  draft      TEXT NOT NULL,
  step       TEXT,
  says       TEXT NOT NULL
) STRICT;

CREATE TRIGGER events_stay BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'the record is only added to'); END;

CREATE TRIGGER events_are_kept BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'the record is only added to'); END;
