-- A coupon may be welded by hand, live: 'live' is 0 by settings, 1 in real time, 2 or 4
-- so many times slower; 'run' is what the hand did, packed (JSON), '' by settings.

ALTER TABLE attempt ADD COLUMN live INTEGER NOT NULL DEFAULT 0;
ALTER TABLE attempt ADD COLUMN run TEXT NOT NULL DEFAULT '';

DROP INDEX attempt_brief;
CREATE INDEX attempt_brief ON attempt (at, id, learner, scenario, started, revision, seed, joint, metal,
    model_version, mode, guess, hints, outcome, burn_through, lack_of_fusion, oxide, finding, told, live);
