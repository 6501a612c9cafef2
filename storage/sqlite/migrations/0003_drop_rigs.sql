-- The rigs of schema 1 are in the journal since schema 2, and nothing reads them
-- here any more.
DROP TABLE rig;
