-- Entries that the server did not take, with its reason. They stay in the record and wait for an edit.
CREATE TABLE set_aside (
    id BLOB NOT NULL PRIMARY KEY CHECK (length(id) = 16),
    told TEXT NOT NULL
) STRICT, WITHOUT ROWID;
