-- The journal: every change to a row that people may edit, with the row before and after. What one click changed is one act, undone as one.

CREATE TABLE act (
    id     TEXT PRIMARY KEY,
    at     TEXT NOT NULL,
    who    TEXT NOT NULL, -- the person or bench
    what   TEXT NOT NULL, -- in words, such as "Closed the job"
    undoes TEXT UNIQUE REFERENCES act (id) -- one undoing each: two benches cannot both take it back
);
CREATE INDEX act_by_time ON act (at, id);

CREATE TABLE act_change (
    act_id      TEXT NOT NULL REFERENCES act (id),
    ordinal     INTEGER NOT NULL,
    table_name  TEXT NOT NULL,
    row_key     TEXT NOT NULL, -- JSON object of the key's columns, by name
    before_json TEXT, -- JSON object of every column; NULL: the row was added
    after_json  TEXT, -- NULL: the row was removed
    PRIMARY KEY (act_id, ordinal)
);
CREATE INDEX act_change_of_row ON act_change (table_name, row_key);

-- append-only: act, act_change
