-- What the shop keeps: parts and supplies by lot, instruments.
-- Every table but pictures: entries that are only added to; a correction names the entry it supersedes.
-- Days are yyyy-MM-dd, decimals and money text (12.50 EUR), lists JSON, truths 0 or 1.

CREATE TABLE supply (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES supply (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES supply (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    name       TEXT NOT NULL,
    kind       TEXT NOT NULL,
    unit       TEXT NOT NULL,
    reorder_at TEXT NOT NULL,
    remark     TEXT
);
CREATE INDEX supply_by_root ON supply (root);

CREATE TABLE lot (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES lot (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES lot (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    supply_id  TEXT NOT NULL REFERENCES supply (id),
    supplier   TEXT NOT NULL,
    number     TEXT NOT NULL,
    received   TEXT NOT NULL,
    quantity   TEXT NOT NULL,
    unit_price TEXT,
    remark     TEXT
);
CREATE INDEX lot_by_root ON lot (root);
CREATE INDEX lot_by_supply ON lot (supply_id);

CREATE TABLE supply_use (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES supply_use (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES supply_use (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    lot_id     TEXT NOT NULL REFERENCES lot (id),
    job_id     TEXT REFERENCES job (id),
    quantity   TEXT NOT NULL,
    place      TEXT NOT NULL,
    day        TEXT NOT NULL
);
CREATE INDEX supply_use_by_root ON supply_use (root);
CREATE INDEX supply_use_by_lot ON supply_use (lot_id);
CREATE INDEX supply_use_by_job ON supply_use (job_id);

CREATE TABLE lot_doubt (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES lot_doubt (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES lot_doubt (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    lot_id     TEXT NOT NULL REFERENCES lot (id),
    why        TEXT NOT NULL
);
CREATE INDEX lot_doubt_by_root ON lot_doubt (root);
CREATE INDEX lot_doubt_by_lot ON lot_doubt (lot_id);

CREATE TABLE kept_instrument (
    id            TEXT PRIMARY KEY,
    root          TEXT NOT NULL REFERENCES kept_instrument (id), -- the first of its line of corrections: what others refer to
    entered       TEXT NOT NULL,
    supersedes    TEXT UNIQUE REFERENCES kept_instrument (id), -- one successor each: two benches cannot both replace it
    withdrawn     TEXT, -- why it was taken back; NULL: it stands
    kind          TEXT NOT NULL,
    name          TEXT NOT NULL,
    serial_number TEXT,
    json          TEXT,
    certificate   TEXT,
    certified_on  TEXT,
    due_on        TEXT,
    plays_before  INTEGER NOT NULL,
    plays_at_most INTEGER,
    remark        TEXT
);
CREATE INDEX kept_instrument_by_root ON kept_instrument (root);

CREATE TABLE instrument_event (
    id            TEXT PRIMARY KEY,
    root          TEXT NOT NULL REFERENCES instrument_event (id), -- the first of its line of corrections: what others refer to
    entered       TEXT NOT NULL,
    supersedes    TEXT UNIQUE REFERENCES instrument_event (id), -- one successor each: two benches cannot both replace it
    withdrawn     TEXT, -- why it was taken back; NULL: it stands
    instrument_id TEXT NOT NULL REFERENCES kept_instrument (id),
    kind          TEXT NOT NULL,
    since         TEXT NOT NULL,
    due_on        TEXT,
    what          TEXT NOT NULL
);
CREATE INDEX instrument_event_by_root ON instrument_event (root);
CREATE INDEX instrument_event_by_instrument ON instrument_event (instrument_id);

-- append-only: supply, lot, supply_use, lot_doubt, kept_instrument, instrument_event
