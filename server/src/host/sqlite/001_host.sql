-- Marks the file as the store of a host: "PLNH".
PRAGMA application_id = 1347178056;

CREATE TABLE meta (
    name TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- number and bytes are the head of the account: every change of its entries raises number.
CREATE TABLE account (
    id TEXT NOT NULL PRIMARY KEY,
    role TEXT NOT NULL,
    made_ms INTEGER NOT NULL,
    number INTEGER NOT NULL DEFAULT 0,
    bytes INTEGER NOT NULL DEFAULT 0
) STRICT, WITHOUT ROWID;

-- token and next are SHA-256; next is empty while no new token was asked for.
CREATE TABLE device (
    account TEXT NOT NULL,
    key TEXT NOT NULL,
    name TEXT NOT NULL,
    app TEXT NOT NULL,
    token BLOB NOT NULL CHECK (length(token) = 32),
    next BLOB NOT NULL DEFAULT x'',
    paired_ms INTEGER NOT NULL,
    seen_ms INTEGER NOT NULL,
    revoked_ms INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (account, key)
) STRICT, WITHOUT ROWID;

CREATE TABLE offered (
    code BLOB NOT NULL PRIMARY KEY CHECK (length(code) = 32),
    account TEXT NOT NULL,
    until_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- body is the entry's JSON, unknown values byte for byte; digest is the SHA-256 of its canonical form.
CREATE TABLE entry (
    account TEXT NOT NULL,
    id BLOB NOT NULL CHECK (length(id) = 16),
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    number INTEGER NOT NULL,
    by_device TEXT NOT NULL DEFAULT '',
    made_by TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (account, id)
) STRICT;

CREATE UNIQUE INDEX entry_by_number ON entry (account, number);
CREATE INDEX entry_by_kind ON entry (account, kind, id) WHERE kind IN ('grant', 'lifter');

CREATE TABLE kind_sum (
    account TEXT NOT NULL,
    kind TEXT NOT NULL,
    count INTEGER NOT NULL,
    digest BLOB NOT NULL CHECK (length(digest) = 32),
    PRIMARY KEY (account, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE shown (
    account TEXT NOT NULL,
    device TEXT NOT NULL,
    epoch TEXT NOT NULL,
    cursor INTEGER NOT NULL,
    PRIMARY KEY (account, device)
) STRICT, WITHOUT ROWID;

CREATE TABLE voided (
    account TEXT NOT NULL,
    id BLOB NOT NULL CHECK (length(id) = 16),
    stamp TEXT NOT NULL,
    PRIMARY KEY (account, id)
) STRICT, WITHOUT ROWID;

-- Keyed by coach: the lifters whose grants have named it.
CREATE TABLE named (
    coach TEXT NOT NULL,
    lifter TEXT NOT NULL,
    PRIMARY KEY (coach, lifter)
) STRICT, WITHOUT ROWID;

CREATE TABLE audit (
    account TEXT NOT NULL,
    number INTEGER NOT NULL,
    who TEXT NOT NULL,
    did TEXT NOT NULL,
    from_ms INTEGER NOT NULL,
    until_ms INTEGER NOT NULL,
    times INTEGER NOT NULL DEFAULT 1,
    PRIMARY KEY (account, number)
) STRICT, WITHOUT ROWID;
