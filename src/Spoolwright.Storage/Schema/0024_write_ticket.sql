-- A row of each writing transaction's own, by which a bench that lost its server in the commit finds out whether it was committed. Taken out by the bench's next
-- transaction once the answer was heard. A file has no server to lose, so there the table stays empty.

CREATE TABLE write_ticket (
    id TEXT PRIMARY KEY,
    at TEXT NOT NULL
);
