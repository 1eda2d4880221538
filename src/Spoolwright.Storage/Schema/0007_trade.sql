-- Decks, offers, money, listing, sign-off.
-- Every table but pictures: entries that are only added to; a correction names the entry it supersedes.
-- Days are yyyy-MM-dd, decimals and money text (12.50 EUR), lists JSON, truths 0 or 1.

CREATE TABLE deck_owner (
    id         TEXT PRIMARY KEY,
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES deck_owner (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    deck_id    TEXT NOT NULL REFERENCES deck (id),
    name       TEXT NOT NULL,
    since      TEXT,
    contact    TEXT
);
CREATE INDEX deck_owner_by_deck ON deck_owner (deck_id);

CREATE TABLE profile_text (
    id         TEXT PRIMARY KEY,
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES profile_text (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    name       TEXT NOT NULL,
    json       TEXT NOT NULL
);

CREATE TABLE offer (
    id            TEXT PRIMARY KEY,
    entered       TEXT NOT NULL,
    supersedes    TEXT UNIQUE REFERENCES offer (id), -- one successor each: two benches cannot both replace it
    withdrawn     TEXT, -- why it was taken back; NULL: it stands
    profile_name  TEXT NOT NULL,
    serial_number TEXT,
    seller        TEXT NOT NULL,
    asked         TEXT NOT NULL,
    day           TEXT NOT NULL,
    working       TEXT NOT NULL,
    handled       TEXT NOT NULL,
    missing       TEXT,
    parts         TEXT NOT NULL,
    decision      TEXT NOT NULL,
    job_id        TEXT REFERENCES job (id),
    remark        TEXT
);
CREATE INDEX offer_by_job ON offer (job_id);

CREATE TABLE price_fetched (
    id           TEXT PRIMARY KEY,
    entered      TEXT NOT NULL,
    supersedes   TEXT UNIQUE REFERENCES price_fetched (id), -- one successor each: two benches cannot both replace it
    withdrawn    TEXT, -- why it was taken back; NULL: it stands
    profile_name TEXT NOT NULL,
    price        TEXT NOT NULL,
    day          TEXT NOT NULL,
    source       TEXT NOT NULL
);

CREATE TABLE job_cost (
    id         TEXT PRIMARY KEY,
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES job_cost (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    kind       TEXT NOT NULL,
    amount     TEXT NOT NULL,
    day        TEXT NOT NULL,
    what       TEXT NOT NULL
);
CREATE INDEX job_cost_by_job ON job_cost (job_id);

CREATE TABLE sale (
    id              TEXT PRIMARY KEY,
    entered         TEXT NOT NULL,
    supersedes      TEXT UNIQUE REFERENCES sale (id), -- one successor each: two benches cannot both replace it
    withdrawn       TEXT, -- why it was taken back; NULL: it stands
    job_id          TEXT NOT NULL REFERENCES job (id),
    price           TEXT NOT NULL,
    day             TEXT NOT NULL,
    buyer           TEXT NOT NULL,
    warranty_months INTEGER NOT NULL,
    terms           TEXT
);
CREATE INDEX sale_by_job ON sale (job_id);

CREATE TABLE listing_text (
    id         TEXT PRIMARY KEY,
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES listing_text (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    title      TEXT NOT NULL,
    words      TEXT,
    asked      TEXT
);
CREATE INDEX listing_text_by_job ON listing_text (job_id);

CREATE TABLE shop_facts (
    id              TEXT PRIMARY KEY,
    entered         TEXT NOT NULL,
    supersedes      TEXT UNIQUE REFERENCES shop_facts (id), -- one successor each: two benches cannot both replace it
    withdrawn       TEXT, -- why it was taken back; NULL: it stands
    name            TEXT NOT NULL,
    place           TEXT,
    currency        TEXT NOT NULL,
    zone            TEXT NOT NULL,
    warranty_months INTEGER NOT NULL,
    warranty_terms  TEXT
);

CREATE TABLE sign_off (
    id              TEXT PRIMARY KEY,
    entered         TEXT NOT NULL,
    supersedes      TEXT UNIQUE REFERENCES sign_off (id), -- one successor each: two benches cannot both replace it
    withdrawn       TEXT, -- why it was taken back; NULL: it stands
    job_id          TEXT NOT NULL REFERENCES job (id),
    record_sha256   TEXT NOT NULL,
    record_json     TEXT NOT NULL,
    sheet           TEXT NOT NULL,
    key_fingerprint TEXT NOT NULL,
    signed_at       TEXT NOT NULL,
    signed_by       TEXT NOT NULL
);
CREATE INDEX sign_off_by_job ON sign_off (job_id);
