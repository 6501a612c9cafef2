-- The rigs of this server. Times are microseconds since 1970 in UTC.
CREATE TABLE rig (
  id         TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
  name       TEXT    NOT NULL,
  document   TEXT    NOT NULL CHECK (json_valid(document)),
  trip       TEXT    NOT NULL CHECK (json_valid(trip)),
  created_us INTEGER NOT NULL,
  updated_us INTEGER NOT NULL,
  revision   INTEGER NOT NULL CHECK (revision >= 1)
) STRICT;
