-- Schema 1. A released step is never changed: a later schema is one more step.
-- `seq` is one count over chunks, photos and settings: the highest is the newest thing that was kept.
-- `seal` and `hash` are BLAKE3 over every field of the row, so that no flipped byte goes unseen.
CREATE TABLE format (
    one INTEGER PRIMARY KEY CHECK (one = 1),
    schema INTEGER NOT NULL,
    seal BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;

CREATE TABLE job (
    id BLOB PRIMARY KEY NOT NULL CHECK (length(id) = 16),
    made_ms INTEGER,
    seal BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;

CREATE TABLE chunk (
    seq INTEGER PRIMARY KEY,
    job BLOB NOT NULL REFERENCES job (id),
    generation INTEGER NOT NULL,
    place INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('base', 'changes')),
    heads BLOB NOT NULL CHECK (length(heads) % 32 = 0),
    hash BLOB NOT NULL CHECK (length(hash) = 32),
    bytes BLOB NOT NULL
) STRICT;
CREATE UNIQUE INDEX chunk_place ON chunk (job, generation, place);

CREATE TABLE photo (
    id BLOB PRIMARY KEY NOT NULL CHECK (length(id) = 32),
    seq INTEGER NOT NULL,
    media_type TEXT NOT NULL,
    byte_count INTEGER NOT NULL,
    width INTEGER NOT NULL,
    height INTEGER NOT NULL,
    stored_hash BLOB NOT NULL CHECK (length(stored_hash) = 32),
    seal BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;

CREATE TABLE thumbnail (
    photo BLOB NOT NULL REFERENCES photo (id),
    edge INTEGER NOT NULL CHECK (edge IN (256, 1280)),
    seal BLOB NOT NULL CHECK (length(seal) = 32),
    bytes BLOB NOT NULL,
    PRIMARY KEY (photo, edge)
) STRICT;

CREATE TABLE setting (
    key TEXT PRIMARY KEY NOT NULL,
    seq INTEGER NOT NULL,
    value TEXT NOT NULL,
    seal BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;

CREATE TABLE solved (
    job BLOB PRIMARY KEY NOT NULL REFERENCES job (id),
    heads BLOB NOT NULL,
    solver TEXT NOT NULL,
    text TEXT NOT NULL,
    seal BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
