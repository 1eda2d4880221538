-- Readings typed in come from a sheet without sound, or from no file at all. SQLite cannot take a NOT NULL off a column, so both tables are
-- rebuilt; foreign keys rest meanwhile and are checked before the commit.

CREATE TABLE capture_next (
    sha256         TEXT PRIMARY KEY,
    stored_as      TEXT NOT NULL, -- path below the captures folder, always with /
    bytes          BIGINT NOT NULL,
    sample_rate_hz INTEGER, -- this and the next two NULL: a sheet of typed readings, no sound
    channels       INTEGER,
    seconds        DOUBLE PRECISION,
    CHECK ((sample_rate_hz IS NULL) = (channels IS NULL) AND (channels IS NULL) = (seconds IS NULL))
);
INSERT INTO capture_next (sha256, stored_as, bytes, sample_rate_hz, channels, seconds)
SELECT sha256, stored_as, bytes, sample_rate_hz, channels, seconds FROM capture;
DROP TABLE capture;
ALTER TABLE capture_next RENAME TO capture;

CREATE TABLE measurement_next (
    id              TEXT PRIMARY KEY,
    job_id          TEXT NOT NULL REFERENCES job (id),
    sha256          TEXT REFERENCES capture (sha256), -- NULL: typed in without a file
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
INSERT INTO measurement_next (id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes)
SELECT id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes FROM measurement;
DROP TABLE measurement;
ALTER TABLE measurement_next RENAME TO measurement;
CREATE INDEX measurement_of_job ON measurement (job_id, measured_at);
CREATE INDEX measurement_of_capture ON measurement (sha256);

-- Dropping a table drops its triggers.
CREATE TRIGGER capture_no_update BEFORE UPDATE ON capture BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of capture are superseded, never changed');
END;

CREATE TRIGGER capture_no_delete BEFORE DELETE ON capture BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of capture are superseded, never removed');
END;

CREATE TRIGGER measurement_no_update BEFORE UPDATE ON measurement BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement are superseded, never changed');
END;

CREATE TRIGGER measurement_no_delete BEFORE DELETE ON measurement BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement are superseded, never removed');
END;
