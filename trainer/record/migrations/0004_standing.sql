-- How the joints stand is counted off this index alone: the start of the trainer
-- with a hundred thousand coupons.

DROP INDEX attempt_learner;
CREATE INDEX attempt_standing ON attempt (learner, scenario, at, outcome);
