-- Drafts: what has been typed at a joint and is not yet a coupon, one a joint.

CREATE TABLE draft (
    scenario  TEXT NOT NULL PRIMARY KEY,
    at        BIGINT NOT NULL,
    units     TEXT NOT NULL,
    typed     TEXT NOT NULL, -- JSON: field key to text as typed
    hinted    TEXT NOT NULL  -- JSON: list of the hints taken
);
