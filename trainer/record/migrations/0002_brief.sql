-- An attempt is kept with the joint it was welded on, so that it can be shown and
-- welded again when its scenario has changed; and in brief, so that a list need
-- not read the metal. 'told' is every finding, worst first, as severity:rule.

ALTER TABLE attempt ADD COLUMN started BIGINT NOT NULL DEFAULT 0; -- 0: not known
ALTER TABLE attempt ADD COLUMN seed BIGINT NOT NULL DEFAULT 0;
ALTER TABLE attempt ADD COLUMN title TEXT NOT NULL DEFAULT '';
ALTER TABLE attempt ADD COLUMN task TEXT NOT NULL DEFAULT ''; -- JSON; '': not known

ALTER TABLE attempt ADD COLUMN joint TEXT NOT NULL DEFAULT '';
ALTER TABLE attempt ADD COLUMN metal TEXT NOT NULL DEFAULT '';
ALTER TABLE attempt ADD COLUMN outcome TEXT NOT NULL DEFAULT '';
ALTER TABLE attempt ADD COLUMN burn_through DOUBLE PRECISION NOT NULL DEFAULT 0;
ALTER TABLE attempt ADD COLUMN lack_of_fusion DOUBLE PRECISION NOT NULL DEFAULT 0;
ALTER TABLE attempt ADD COLUMN oxide DOUBLE PRECISION NOT NULL DEFAULT 0;
ALTER TABLE attempt ADD COLUMN finding TEXT NOT NULL DEFAULT ''; -- the rule that rejected it
ALTER TABLE attempt ADD COLUMN told TEXT NOT NULL DEFAULT '';

-- Only SQLite holds attempts from before this, so this speaks as it does.
UPDATE attempt SET
    outcome = COALESCE(json_extract(verdict, '$.Outcome'), ''),
    burn_through = COALESCE(json_extract(verdict, '$.Scores.BurnThrough'), 0),
    lack_of_fusion = COALESCE(json_extract(verdict, '$.Scores.LackOfFusion'), 0),
    oxide = COALESCE(json_extract(verdict, '$.Scores.Oxide'), 0),
    finding = CASE WHEN json_extract(verdict, '$.Outcome') = 'reject'
        THEN COALESCE(json_extract(verdict, '$.Findings[0].Rule'), '') ELSE '' END,
    told = COALESCE((
        SELECT group_concat(json_extract(value, '$.Severity') || ':' || json_extract(value, '$.Rule'), ' ')
        FROM json_each(verdict, '$.Findings')), '')
WHERE json_valid(verdict);

-- Holds every column of the brief: the rows themselves, which are a hundred times
-- as long, are not read.
DROP INDEX attempt_at;
CREATE INDEX attempt_brief ON attempt (at, id, learner, scenario, started, revision, seed, joint, metal,
    model_version, mode, guess, hints, outcome, burn_through, lack_of_fusion, oxide, finding, told);
