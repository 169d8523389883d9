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

CREATE TABLE meta (
    name TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX set_by_movement ON entry (movement, ended_ms, id) WHERE kind = 'set';

CREATE INDEX set_by_session ON entry (session, id) WHERE kind = 'set';
