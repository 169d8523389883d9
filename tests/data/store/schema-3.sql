CREATE TABLE best (
    movement TEXT NOT NULL,
    load_of TEXT NOT NULL,
    repetitions INTEGER NOT NULL,
    amount INTEGER NOT NULL,
    mass TEXT NOT NULL,
    id BLOB NOT NULL,
    PRIMARY KEY (movement, load_of, repetitions)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    id BLOB NOT NULL PRIMARY KEY CHECK (length(id) = 16),
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    session BLOB NOT NULL DEFAULT x'',
    movement TEXT NOT NULL DEFAULT '',
    ended_ms INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE INDEX entry_by_kind ON entry (kind, id) WHERE kind <> 'set';

CREATE TABLE floor (
    one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    snapshot TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;

CREATE TABLE floor_step (
    number INTEGER NOT NULL PRIMARY KEY,
    step TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;

CREATE TABLE meta (
    name TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE movement_sum (
    movement TEXT NOT NULL PRIMARY KEY,
    sets INTEGER NOT NULL,
    last_ms INTEGER NOT NULL,
    last_session BLOB NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE pending (
    id BLOB NOT NULL PRIMARY KEY
) STRICT, WITHOUT ROWID;

CREATE TABLE set_aside (
    id BLOB NOT NULL PRIMARY KEY CHECK (length(id) = 16),
    told TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX set_by_movement ON entry (movement, ended_ms, id) WHERE kind = 'set';

CREATE INDEX set_by_session ON entry (session, id) WHERE kind = 'set';

CREATE TABLE week_sessions (
    week TEXT NOT NULL PRIMARY KEY,
    sessions INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE week_sum (
    week TEXT NOT NULL,
    movement TEXT NOT NULL,
    working INTEGER NOT NULL,
    hard INTEGER NOT NULL,
    PRIMARY KEY (week, movement)
) STRICT, WITHOUT ROWID;
