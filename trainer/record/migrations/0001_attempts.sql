-- Attempts and settings. Types and statements are those that SQLite and
-- PostgreSQL both read; times are milliseconds since 1970 in UTC.

CREATE TABLE attempt (
    id             TEXT NOT NULL PRIMARY KEY,
    at             BIGINT NOT NULL,
    learner        TEXT NOT NULL,
    scenario       TEXT NOT NULL,
    revision       INTEGER NOT NULL,
    model_version  TEXT NOT NULL,
    mode           TEXT NOT NULL,
    guess          TEXT NOT NULL,
    hints          INTEGER NOT NULL,
    answer         TEXT NOT NULL, -- JSON: field key to exact text
    verdict        TEXT NOT NULL  -- JSON: the whole verdict, to be shown again as it was
);

CREATE INDEX attempt_at ON attempt (at, id);
CREATE INDEX attempt_learner ON attempt (learner, scenario, at);

CREATE TABLE setting (
    key    TEXT NOT NULL PRIMARY KEY,
    value  TEXT NOT NULL
);
