-- What each write changed of the snapshot of the open session since it was last written whole, numbered from 1.
CREATE TABLE floor_step (
    number INTEGER NOT NULL PRIMARY KEY,
    step TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;

-- Entries that the server did not take, with its reason. They stay in the record and wait for an edit.
CREATE TABLE set_aside (
    id BLOB NOT NULL PRIMARY KEY CHECK (length(id) = 16),
    told TEXT NOT NULL
) STRICT, WITHOUT ROWID;
