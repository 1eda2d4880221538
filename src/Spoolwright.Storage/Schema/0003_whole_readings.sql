-- What a reading gained since the first step: what its tone is there for, its class among several, and where and in which direction a typed reading was taken.

ALTER TABLE reading ADD COLUMN role TEXT;
ALTER TABLE reading ADD COLUMN class TEXT;
ALTER TABLE reading ADD COLUMN place TEXT;
ALTER TABLE reading ADD COLUMN direction TEXT; -- NULL: the measurement's own
