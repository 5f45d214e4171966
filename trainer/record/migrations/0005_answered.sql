-- Questions about coupons that were answered. They are no coupons: no list of those
-- shows them. 'replies' and 'rules' are JSON lists; 'share' is what was right, 0 to 1.

CREATE TABLE answered (
    id             TEXT NOT NULL PRIMARY KEY,
    at             BIGINT NOT NULL,
    learner        TEXT NOT NULL,
    scenario       TEXT NOT NULL,
    revision       INTEGER NOT NULL,
    kind           TEXT NOT NULL,
    seed           BIGINT NOT NULL,
    model_version  TEXT NOT NULL,
    replies        TEXT NOT NULL,
    rules          TEXT NOT NULL,
    share          DOUBLE PRECISION NOT NULL
);

CREATE INDEX answered_learner ON answered (learner, at, id);
