-- What was measured is never changed and never removed; a better reading is a new row that names the one it supersedes.
-- Triggers differ by engine, so this step has a file for each.

CREATE TRIGGER capture_no_update BEFORE UPDATE ON capture BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of capture are superseded, never changed');
END;

CREATE TRIGGER capture_no_delete BEFORE DELETE ON capture BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of capture are superseded, never removed');
END;

CREATE TRIGGER measurement_no_update BEFORE UPDATE ON measurement BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement are superseded, never changed');
END;

CREATE TRIGGER measurement_no_delete BEFORE DELETE ON measurement BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement are superseded, never removed');
END;

CREATE TRIGGER measurement_instrument_no_update BEFORE UPDATE ON measurement_instrument BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement_instrument are superseded, never changed');
END;

CREATE TRIGGER measurement_instrument_no_delete BEFORE DELETE ON measurement_instrument BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of measurement_instrument are superseded, never removed');
END;

CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of reading are superseded, never changed');
END;

CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of reading are superseded, never removed');
END;

CREATE TRIGGER note_no_update BEFORE UPDATE ON note BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of note are superseded, never changed');
END;

CREATE TRIGGER note_no_delete BEFORE DELETE ON note BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of note are superseded, never removed');
END;

CREATE TRIGGER trace_no_update BEFORE UPDATE ON trace BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of trace are superseded, never changed');
END;

CREATE TRIGGER trace_no_delete BEFORE DELETE ON trace BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of trace are superseded, never removed');
END;

CREATE TRIGGER unmeasured_no_update BEFORE UPDATE ON unmeasured BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of unmeasured are superseded, never changed');
END;

CREATE TRIGGER unmeasured_no_delete BEFORE DELETE ON unmeasured BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of unmeasured are superseded, never removed');
END;
