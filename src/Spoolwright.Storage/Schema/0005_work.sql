-- What is done in a job: plan, tasks, hours, function checks, faults, photos.
-- Every table but pictures: entries that are only added to; a correction names the entry it supersedes.
-- Days are yyyy-MM-dd, decimals and money text (12.50 EUR), lists JSON, truths 0 or 1.

CREATE TABLE plan_text (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES plan_text (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES plan_text (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    name       TEXT NOT NULL,
    json       TEXT NOT NULL
);
CREATE INDEX plan_text_by_root ON plan_text (root);

CREATE TABLE job_task (
    id               TEXT PRIMARY KEY,
    root             TEXT NOT NULL REFERENCES job_task (id), -- the first of its line of corrections: what others refer to
    entered          TEXT NOT NULL,
    supersedes       TEXT UNIQUE REFERENCES job_task (id), -- one successor each: two benches cannot both replace it
    withdrawn        TEXT, -- why it was taken back; NULL: it stands
    job_id           TEXT NOT NULL REFERENCES job (id),
    stage            TEXT NOT NULL,
    key              TEXT NOT NULL,
    ordinal          INTEGER NOT NULL,
    title            TEXT NOT NULL,
    why              TEXT NOT NULL,
    cautions         TEXT NOT NULL,
    caution          TEXT,
    before           TEXT NOT NULL,
    minutes_foreseen INTEGER NOT NULL
);
CREATE INDEX job_task_by_root ON job_task (root);
CREATE INDEX job_task_by_job ON job_task (job_id);

CREATE TABLE task_mark (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES task_mark (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES task_mark (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    task_key   TEXT NOT NULL,
    state      TEXT NOT NULL,
    remark     TEXT
);
CREATE INDEX task_mark_by_root ON task_mark (root);
CREATE INDEX task_mark_by_job ON task_mark (job_id);

CREATE TABLE clock_entry (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES clock_entry (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES clock_entry (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    task_key   TEXT NOT NULL,
    day        TEXT NOT NULL,
    started    TEXT,
    ended      TEXT,
    seconds    INTEGER,
    remark     TEXT
);
CREATE INDEX clock_entry_by_root ON clock_entry (root);
CREATE INDEX clock_entry_by_job ON clock_entry (job_id);

CREATE TABLE job_check (
    id           TEXT PRIMARY KEY,
    root         TEXT NOT NULL REFERENCES job_check (id), -- the first of its line of corrections: what others refer to
    entered      TEXT NOT NULL,
    supersedes   TEXT UNIQUE REFERENCES job_check (id), -- one successor each: two benches cannot both replace it
    withdrawn    TEXT, -- why it was taken back; NULL: it stands
    job_id       TEXT NOT NULL REFERENCES job (id),
    key          TEXT NOT NULL,
    ordinal      INTEGER NOT NULL,
    area         TEXT NOT NULL,
    title        TEXT NOT NULL,
    what         TEXT NOT NULL,
    could_record INTEGER NOT NULL
);
CREATE INDEX job_check_by_root ON job_check (root);
CREATE INDEX job_check_by_job ON job_check (job_id);

CREATE TABLE check_result (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES check_result (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES check_result (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    check_key  TEXT NOT NULL,
    mark       TEXT NOT NULL,
    outcome    TEXT NOT NULL,
    note       TEXT
);
CREATE INDEX check_result_by_root ON check_result (root);
CREATE INDEX check_result_by_job ON check_result (job_id);

CREATE TABLE check_acceptance (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES check_acceptance (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES check_acceptance (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    check_key  TEXT NOT NULL,
    words      TEXT NOT NULL
);
CREATE INDEX check_acceptance_by_root ON check_acceptance (root);
CREATE INDEX check_acceptance_by_job ON check_acceptance (job_id);

CREATE TABLE fault (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES fault (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES fault (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    assembly   TEXT NOT NULL,
    what       TEXT NOT NULL,
    found_at   TEXT NOT NULL,
    state      TEXT NOT NULL,
    words      TEXT
);
CREATE INDEX fault_by_root ON fault (root);
CREATE INDEX fault_by_job ON fault (job_id);

CREATE TABLE loaded_tape (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES loaded_tape (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES loaded_tape (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    kind       TEXT NOT NULL,
    name       TEXT
);
CREATE INDEX loaded_tape_by_root ON loaded_tape (root);
CREATE INDEX loaded_tape_by_job ON loaded_tape (job_id);

CREATE TABLE accessory (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES accessory (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES accessory (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    name       TEXT NOT NULL,
    note       TEXT
);
CREATE INDEX accessory_by_root ON accessory (root);
CREATE INDEX accessory_by_job ON accessory (job_id);

CREATE TABLE photo_image (
    sha256 TEXT PRIMARY KEY,
    width  INTEGER NOT NULL,
    height INTEGER NOT NULL,
    jpeg   BYTEA NOT NULL
);

CREATE TABLE photo (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES photo (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES photo (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    mark       TEXT NOT NULL,
    assembly   TEXT NOT NULL,
    caption    TEXT,
    sha256     TEXT NOT NULL REFERENCES photo_image (sha256)
);
CREATE INDEX photo_by_root ON photo (root);
CREATE INDEX photo_by_job ON photo (job_id);

-- append-only: plan_text, job_task, task_mark, clock_entry, job_check, check_result, check_acceptance, fault, loaded_tape, accessory, photo_image, photo
