-- Marks the file as a record: "PLNT".
PRAGMA application_id = 1347178068;

-- What the device is and where its clock stands.
CREATE TABLE meta (
    name TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- body is the entry's JSON, unknown values byte for byte; digest is the SHA-256 of its canonical form and stands
-- next to it, so that an entry can be told good or bad by itself. The columns after it are read from the body.
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
CREATE INDEX set_by_session ON entry (session, id) WHERE kind = 'set';
CREATE INDEX set_by_movement ON entry (movement, ended_ms, id) WHERE kind = 'set';

-- The snapshot of the open session, if one is open.
CREATE TABLE floor (
    one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    snapshot TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;
