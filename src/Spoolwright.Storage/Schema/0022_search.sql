-- Words to search by. Made from the other rows and made again at will; each entry stands for one row that people look for.

CREATE TABLE search_entry (
    number  BIGINT PRIMARY KEY,
    kind    TEXT NOT NULL, -- deck, job, measurement, …
    ref     TEXT NOT NULL, -- the row's id
    deck_id TEXT,
    job_id  TEXT,
    title   TEXT NOT NULL,
    body    TEXT NOT NULL,
    at      TEXT NOT NULL,
    UNIQUE (kind, ref)
);

CREATE TABLE search_word (
    word  TEXT NOT NULL, -- lower case, without accents
    entry BIGINT NOT NULL REFERENCES search_entry (number),
    PRIMARY KEY (word, entry)
);
CREATE INDEX search_word_of_entry ON search_word (entry, word);
CREATE INDEX search_entry_by_time ON search_entry (at, number);
