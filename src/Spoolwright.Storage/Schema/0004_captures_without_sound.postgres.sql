-- Readings typed in come from a sheet without sound, or from no file at all.

ALTER TABLE capture ALTER COLUMN sample_rate_hz DROP NOT NULL;
ALTER TABLE capture ALTER COLUMN channels DROP NOT NULL;
ALTER TABLE capture ALTER COLUMN seconds DROP NOT NULL;
ALTER TABLE capture ADD CHECK ((sample_rate_hz IS NULL) = (channels IS NULL) AND (channels IS NULL) = (seconds IS NULL));
ALTER TABLE measurement ALTER COLUMN sha256 DROP NOT NULL;
