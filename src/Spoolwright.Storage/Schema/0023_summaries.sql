-- What pages of a large book would otherwise add up anew each time. Made from the other rows in the transaction that files them, and made again at will.

-- A measurement that leaned on an instrument, by the instrument's kind as it is compared, its name, and time.
CREATE TABLE leaning (
    kind           TEXT NOT NULL,
    name           TEXT NOT NULL,
    measured_at    TEXT NOT NULL,
    measurement_id TEXT NOT NULL REFERENCES measurement (id),
    deck_id        TEXT NOT NULL REFERENCES deck (id),
    sha256         TEXT, -- NULL: read from no file
    PRIMARY KEY (kind, name, measured_at, measurement_id)
);

-- A job's tasks with the time they took, and its last readings of each quantity: what is laid side by side over all decks of a kind.
CREATE TABLE job_digest (
    job_id   TEXT PRIMARY KEY REFERENCES job (id),
    tasks    TEXT NOT NULL, -- JSON, an array a task
    readings TEXT NOT NULL, -- JSON, an object a measurement
    repeats  TEXT NOT NULL  -- JSON, an array a quantity
);

-- Asked for by kind, where other offers and prices stand in the thousands.
CREATE INDEX offer_by_profile ON offer (profile_name);
CREATE INDEX price_fetched_by_profile ON price_fetched (profile_name);
