-- What was turned on a deck at the bench, and when: it puts in doubt what was measured before. Written by the program, only ever added to.

CREATE TABLE turned_control (
    id           TEXT PRIMARY KEY,
    root         TEXT NOT NULL REFERENCES turned_control (id),
    entered      TEXT NOT NULL,
    supersedes   TEXT UNIQUE REFERENCES turned_control (id),
    withdrawn    TEXT,
    job_id       TEXT NOT NULL REFERENCES job (id),
    what         TEXT NOT NULL, -- tension, speed, azimuth, level, equalization, bias, record-level, record-equalization
    direction    TEXT NOT NULL,
    speed_cm_per_s DOUBLE PRECISION NOT NULL,
    tape_setting TEXT
);
CREATE INDEX turned_control_by_root ON turned_control (root);
CREATE INDEX turned_control_by_job ON turned_control (job_id);

-- append-only: turned_control
