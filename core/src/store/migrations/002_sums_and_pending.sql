-- What is not yet known to have reached the server.
CREATE TABLE pending (
    id BLOB NOT NULL PRIMARY KEY
) STRICT, WITHOUT ROWID;

-- Running sums, kept with every write, so that no screen of the history scans. All of it can be made again from the
-- entries.
CREATE TABLE movement_sum (
    movement TEXT NOT NULL PRIMARY KEY,
    sets INTEGER NOT NULL,
    last_ms INTEGER NOT NULL,
    last_session BLOB NOT NULL
) STRICT, WITHOUT ROWID;

-- The heaviest load for each number of repetitions; amount is in 1e-10 kg and only compared.
CREATE TABLE best (
    movement TEXT NOT NULL,
    load_of TEXT NOT NULL,
    repetitions INTEGER NOT NULL,
    amount INTEGER NOT NULL,
    mass TEXT NOT NULL,
    id BLOB NOT NULL,
    PRIMARY KEY (movement, load_of, repetitions)
) STRICT, WITHOUT ROWID;

CREATE TABLE week_sum (
    week TEXT NOT NULL,
    movement TEXT NOT NULL,
    working INTEGER NOT NULL,
    hard INTEGER NOT NULL,
    PRIMARY KEY (week, movement)
) STRICT, WITHOUT ROWID;

CREATE TABLE week_sessions (
    week TEXT NOT NULL PRIMARY KEY,
    sessions INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

INSERT INTO pending (id) SELECT id FROM entry;
