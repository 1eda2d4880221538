-- What holds for every bench that uses the book, and captures that lie in the database itself.

CREATE TABLE setting (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
);

-- A capture in parts of 1 MiB, the last one shorter. Written before the measurement that names it, so no key leads to capture; known by its hash, which is checked
-- on each reading.
CREATE TABLE capture_part (
    sha256  TEXT NOT NULL,
    ordinal INTEGER NOT NULL,
    data    BYTEA NOT NULL,
    PRIMARY KEY (sha256, ordinal)
);
