-- The service book, first step. Portable: SQLite and PostgreSQL read the same text.
-- Times are UTC in ISO 8601 with seven decimals; ids are UUIDs as text; enumerations are kebab-case words.
-- DOUBLE PRECISION is IEEE 754 binary64 in both, so a figure comes back to the last bit (but for the sign of a zero in SQLite).

CREATE TABLE deck (
    id            TEXT PRIMARY KEY,
    profile_name  TEXT NOT NULL,
    profile_json  TEXT NOT NULL,
    serial_number TEXT NOT NULL,
    description   TEXT NOT NULL,
    UNIQUE (profile_name, serial_number)
);

CREATE TABLE job (
    id      TEXT PRIMARY KEY,
    deck_id TEXT NOT NULL REFERENCES deck (id),
    opened  TEXT NOT NULL,
    closed  TEXT,
    what    TEXT NOT NULL
);
CREATE INDEX job_of_deck ON job (deck_id, opened);

CREATE TABLE instrument (
    id     TEXT PRIMARY KEY,
    kind   TEXT NOT NULL,
    name   TEXT NOT NULL,
    remark TEXT NOT NULL, -- '' where nothing is known, so that the UNIQUE holds (NULLs are all different)
    UNIQUE (kind, name, remark)
);

-- The sound lies beside the book under its hash; here stands what is known of it.
CREATE TABLE capture (
    sha256         TEXT PRIMARY KEY,
    stored_as      TEXT NOT NULL, -- path below the captures folder, always with /
    bytes          BIGINT NOT NULL,
    sample_rate_hz INTEGER NOT NULL,
    channels       INTEGER NOT NULL,
    seconds        DOUBLE PRECISION NOT NULL
);

CREATE TABLE measurement (
    id              TEXT PRIMARY KEY,
    job_id          TEXT NOT NULL REFERENCES job (id),
    sha256          TEXT NOT NULL REFERENCES capture (sha256),
    file_name       TEXT NOT NULL,
    kind            TEXT NOT NULL,
    direction       TEXT NOT NULL,
    speed_cm_per_s  DOUBLE PRECISION NOT NULL,
    tape_setting    TEXT,
    mark            TEXT NOT NULL,
    measured_at     TEXT NOT NULL,
    program_version TEXT NOT NULL,
    limits_json     TEXT NOT NULL,
    supersedes      TEXT UNIQUE REFERENCES measurement (id) -- one successor each: two benches cannot both replace it
);
CREATE INDEX measurement_of_job ON measurement (job_id, measured_at);
CREATE INDEX measurement_of_capture ON measurement (sha256);

CREATE TABLE measurement_instrument (
    measurement_id TEXT NOT NULL REFERENCES measurement (id),
    ordinal        INTEGER NOT NULL,
    instrument_id  TEXT NOT NULL REFERENCES instrument (id),
    PRIMARY KEY (measurement_id, ordinal)
);
CREATE INDEX measurement_by_instrument ON measurement_instrument (instrument_id);

CREATE TABLE reading (
    measurement_id         TEXT NOT NULL REFERENCES measurement (id),
    ordinal                INTEGER NOT NULL,
    quantity               TEXT NOT NULL,
    value                  DOUBLE PRECISION NOT NULL,
    unit                   TEXT NOT NULL,
    uncertainty            DOUBLE PRECISION,
    parts_json             TEXT, -- [[name, expanded or null], …]; NULL: none were given
    channel                TEXT NOT NULL,
    frequency_hz           DOUBLE PRECISION,
    method                 TEXT NOT NULL,
    part                   TEXT,
    confidence             DOUBLE PRECISION,
    judgeable              INTEGER NOT NULL,
    supersedes_measurement TEXT,
    supersedes_ordinal     INTEGER,
    PRIMARY KEY (measurement_id, ordinal),
    FOREIGN KEY (supersedes_measurement, supersedes_ordinal) REFERENCES reading (measurement_id, ordinal)
);
CREATE INDEX reading_by_quantity ON reading (quantity);

CREATE TABLE note (
    measurement_id TEXT NOT NULL REFERENCES measurement (id),
    ordinal        INTEGER NOT NULL,
    severity       TEXT NOT NULL,
    code           TEXT NOT NULL,
    text           TEXT NOT NULL,
    PRIMARY KEY (measurement_id, ordinal)
);

CREATE TABLE trace (
    measurement_id TEXT NOT NULL REFERENCES measurement (id),
    ordinal        INTEGER NOT NULL,
    id             TEXT NOT NULL,
    channel        TEXT NOT NULL,
    x_unit         TEXT NOT NULL,
    y_unit         TEXT NOT NULL,
    points         INTEGER NOT NULL,
    data           BYTEA NOT NULL, -- gzip of all x, then all y, little-endian binary64
    PRIMARY KEY (measurement_id, ordinal)
);

CREATE TABLE unmeasured (
    job_id         TEXT NOT NULL REFERENCES job (id),
    ordinal        INTEGER NOT NULL,
    direction      TEXT NOT NULL,
    speed_cm_per_s DOUBLE PRECISION NOT NULL,
    tape_setting   TEXT,
    mark           TEXT NOT NULL,
    kind           TEXT,
    reason         TEXT NOT NULL,
    PRIMARY KEY (job_id, ordinal)
);
