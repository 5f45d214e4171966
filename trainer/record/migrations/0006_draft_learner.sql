-- Drafts belong to a learner: those there are, to the one the trainer is set to.

ALTER TABLE draft RENAME TO draft_of_all;

CREATE TABLE draft (
    learner   TEXT NOT NULL,
    scenario  TEXT NOT NULL,
    at        BIGINT NOT NULL,
    units     TEXT NOT NULL,
    typed     TEXT NOT NULL, -- JSON: field key to text as typed
    hinted    TEXT NOT NULL, -- JSON: list of the hints taken
    PRIMARY KEY (learner, scenario)
);

INSERT INTO draft (learner, scenario, at, units, typed, hinted)
SELECT COALESCE((SELECT value FROM setting WHERE key = 'name'), ''), scenario, at, units, typed, hinted FROM draft_of_all;

DROP TABLE draft_of_all;
