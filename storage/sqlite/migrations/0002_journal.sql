-- Workspaces and their journals. Times named _us are microseconds, those named
-- _ms and wall are milliseconds since 1970 in UTC. The rigs of schema 1 are
-- written into the journal of the default workspace in Go.
CREATE TABLE workspace (
  number     INTEGER PRIMARY KEY,
  id         TEXT    NOT NULL UNIQUE CHECK (length(id) BETWEEN 1 AND 64),
  name       TEXT    NOT NULL,
  created_us INTEGER NOT NULL,
  era        TEXT    NOT NULL,
  -- The number of the newest change.
  cursor     INTEGER NOT NULL DEFAULT 0 CHECK (cursor >= 0),
  -- The clock: the greatest time of any entry, and the server's own.
  wall       INTEGER NOT NULL DEFAULT 0,
  counter    INTEGER NOT NULL DEFAULT 0,
  now_ms     INTEGER NOT NULL DEFAULT 0
) STRICT;

-- Every edit, once. A null value is a removal.
CREATE TABLE entry (
  workspace   INTEGER NOT NULL REFERENCES workspace (number),
  cursor      INTEGER NOT NULL CHECK (cursor >= 1),
  id          TEXT    NOT NULL CHECK (length(id) = 36),
  doc         TEXT    NOT NULL,
  path        TEXT    NOT NULL,
  value       TEXT,
  wall        INTEGER NOT NULL,
  counter     INTEGER NOT NULL,
  device      TEXT    NOT NULL,
  actor       TEXT    NOT NULL,
  received_us INTEGER NOT NULL,
  PRIMARY KEY (workspace, cursor)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX entry_id ON entry (workspace, id);
CREATE INDEX entry_doc ON entry (workspace, doc);

-- Every erasure. It is clean once the values have left the files.
CREATE TABLE erasure (
  workspace     INTEGER NOT NULL REFERENCES workspace (number),
  cursor        INTEGER NOT NULL CHECK (cursor >= 1),
  id            TEXT    NOT NULL CHECK (length(id) = 36),
  doc           TEXT    NOT NULL,
  path          TEXT    NOT NULL,
  upto_wall     INTEGER NOT NULL,
  upto_counter  INTEGER NOT NULL,
  wall          INTEGER NOT NULL,
  counter       INTEGER NOT NULL,
  device        TEXT    NOT NULL,
  reason        TEXT    NOT NULL,
  actor         TEXT    NOT NULL,
  received_us   INTEGER NOT NULL,
  clean         INTEGER NOT NULL CHECK (clean IN (0, 1)),
  PRIMARY KEY (workspace, cursor)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX erasure_id ON erasure (workspace, id);
CREATE INDEX erasure_doc ON erasure (workspace, doc);

-- What the entries of each document make of it, written with them. A null value
-- is a removed document.
CREATE TABLE document (
  workspace  INTEGER NOT NULL REFERENCES workspace (number),
  doc        TEXT    NOT NULL,
  name       TEXT    NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  created_us INTEGER NOT NULL,
  updated_us INTEGER NOT NULL,
  value      TEXT,
  PRIMARY KEY (workspace, doc)
) STRICT;

CREATE TABLE key (
  id         TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
  workspace  INTEGER NOT NULL REFERENCES workspace (number),
  name       TEXT    NOT NULL,
  role       TEXT    NOT NULL CHECK (role IN ('admin', 'editor', 'reader')),
  hash       BLOB    NOT NULL CHECK (length(hash) = 32),
  created_us INTEGER NOT NULL,
  revoked_us INTEGER
) STRICT;
CREATE INDEX key_workspace ON key (workspace);

-- The answers to requests that may be sent twice.
CREATE TABLE answer (
  workspace   INTEGER NOT NULL REFERENCES workspace (number),
  actor       TEXT    NOT NULL,
  key         TEXT    NOT NULL,
  fingerprint BLOB    NOT NULL CHECK (length(fingerprint) = 32),
  status      INTEGER NOT NULL,
  body        BLOB    NOT NULL,
  expires_us  INTEGER NOT NULL,
  PRIMARY KEY (workspace, actor, key)
) STRICT;
CREATE INDEX answer_expiry ON answer (workspace, expires_us);
