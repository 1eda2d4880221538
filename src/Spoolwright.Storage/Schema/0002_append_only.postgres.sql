-- What was measured is never changed and never removed; a better reading is a new row that names the one it supersedes.

CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'append-only: rows of % are superseded, never %', TG_TABLE_NAME, CASE TG_OP WHEN 'UPDATE' THEN 'changed' ELSE 'removed' END;
END
$$;

-- append-only: capture, measurement, measurement_instrument, reading, note, trace, unmeasured
