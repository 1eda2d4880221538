-- Decks, offers, money, listing, sign-off.
-- Every table but pictures: entries that are only added to; a correction names the entry it supersedes.
-- Days are yyyy-MM-dd, decimals and money text (12.50 EUR), lists JSON, truths 0 or 1.

CREATE TABLE deck_owner (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES deck_owner (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES deck_owner (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    deck_id    TEXT NOT NULL REFERENCES deck (id),
    name       TEXT NOT NULL,
    since      TEXT,
    contact    TEXT
);
CREATE INDEX deck_owner_by_root ON deck_owner (root);
CREATE INDEX deck_owner_by_deck ON deck_owner (deck_id);

CREATE TABLE profile_text (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES profile_text (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES profile_text (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    name       TEXT NOT NULL,
    json       TEXT NOT NULL
);
CREATE INDEX profile_text_by_root ON profile_text (root);

CREATE TABLE offer (
    id            TEXT PRIMARY KEY,
    root          TEXT NOT NULL REFERENCES offer (id), -- the first of its line of corrections: what others refer to
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
CREATE INDEX offer_by_root ON offer (root);
CREATE INDEX offer_by_job ON offer (job_id);

CREATE TABLE price_fetched (
    id           TEXT PRIMARY KEY,
    root         TEXT NOT NULL REFERENCES price_fetched (id), -- the first of its line of corrections: what others refer to
    entered      TEXT NOT NULL,
    supersedes   TEXT UNIQUE REFERENCES price_fetched (id), -- one successor each: two benches cannot both replace it
    withdrawn    TEXT, -- why it was taken back; NULL: it stands
    profile_name TEXT NOT NULL,
    price        TEXT NOT NULL,
    day          TEXT NOT NULL,
    source       TEXT NOT NULL
);
CREATE INDEX price_fetched_by_root ON price_fetched (root);

CREATE TABLE job_cost (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES job_cost (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES job_cost (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    kind       TEXT NOT NULL,
    amount     TEXT NOT NULL,
    day        TEXT NOT NULL,
    what       TEXT NOT NULL
);
CREATE INDEX job_cost_by_root ON job_cost (root);
CREATE INDEX job_cost_by_job ON job_cost (job_id);

CREATE TABLE sale (
    id              TEXT PRIMARY KEY,
    root            TEXT NOT NULL REFERENCES sale (id), -- the first of its line of corrections: what others refer to
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
CREATE INDEX sale_by_root ON sale (root);
CREATE INDEX sale_by_job ON sale (job_id);

CREATE TABLE listing_text (
    id         TEXT PRIMARY KEY,
    root       TEXT NOT NULL REFERENCES listing_text (id), -- the first of its line of corrections: what others refer to
    entered    TEXT NOT NULL,
    supersedes TEXT UNIQUE REFERENCES listing_text (id), -- one successor each: two benches cannot both replace it
    withdrawn  TEXT, -- why it was taken back; NULL: it stands
    job_id     TEXT NOT NULL REFERENCES job (id),
    title      TEXT NOT NULL,
    words      TEXT,
    asked      TEXT
);
CREATE INDEX listing_text_by_root ON listing_text (root);
CREATE INDEX listing_text_by_job ON listing_text (job_id);

CREATE TABLE shop_facts (
    id              TEXT PRIMARY KEY,
    root            TEXT NOT NULL REFERENCES shop_facts (id), -- the first of its line of corrections: what others refer to
    entered         TEXT NOT NULL,
    supersedes      TEXT UNIQUE REFERENCES shop_facts (id), -- one successor each: two benches cannot both replace it
    withdrawn       TEXT, -- why it was taken back; NULL: it stands
    name            TEXT NOT NULL,
    place           TEXT,
    currency        TEXT NOT NULL,
    zone            TEXT NOT NULL,
    hourly_wanted   TEXT,
    warranty_months INTEGER NOT NULL,
    warranty_terms  TEXT
);
CREATE INDEX shop_facts_by_root ON shop_facts (root);

CREATE TABLE sign_off (
    id              TEXT PRIMARY KEY,
    root            TEXT NOT NULL REFERENCES sign_off (id), -- the first of its line of corrections: what others refer to
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
CREATE INDEX sign_off_by_root ON sign_off (root);
CREATE INDEX sign_off_by_job ON sign_off (job_id);

-- append-only: deck_owner, profile_text, offer, price_fetched, job_cost, sale, listing_text, shop_facts, sign_off
