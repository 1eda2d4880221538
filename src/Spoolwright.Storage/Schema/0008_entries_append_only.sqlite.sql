-- Entries are superseded, never changed or removed: the database itself refuses it, as for what was measured.

CREATE TRIGGER plan_text_no_update BEFORE UPDATE ON plan_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of plan_text are superseded, never changed');
END;

CREATE TRIGGER plan_text_no_delete BEFORE DELETE ON plan_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of plan_text are superseded, never removed');
END;

CREATE TRIGGER job_task_no_update BEFORE UPDATE ON job_task BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_task are superseded, never changed');
END;

CREATE TRIGGER job_task_no_delete BEFORE DELETE ON job_task BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_task are superseded, never removed');
END;

CREATE TRIGGER task_mark_no_update BEFORE UPDATE ON task_mark BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of task_mark are superseded, never changed');
END;

CREATE TRIGGER task_mark_no_delete BEFORE DELETE ON task_mark BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of task_mark are superseded, never removed');
END;

CREATE TRIGGER clock_entry_no_update BEFORE UPDATE ON clock_entry BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of clock_entry are superseded, never changed');
END;

CREATE TRIGGER clock_entry_no_delete BEFORE DELETE ON clock_entry BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of clock_entry are superseded, never removed');
END;

CREATE TRIGGER job_check_no_update BEFORE UPDATE ON job_check BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_check are superseded, never changed');
END;

CREATE TRIGGER job_check_no_delete BEFORE DELETE ON job_check BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_check are superseded, never removed');
END;

CREATE TRIGGER check_result_no_update BEFORE UPDATE ON check_result BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of check_result are superseded, never changed');
END;

CREATE TRIGGER check_result_no_delete BEFORE DELETE ON check_result BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of check_result are superseded, never removed');
END;

CREATE TRIGGER check_acceptance_no_update BEFORE UPDATE ON check_acceptance BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of check_acceptance are superseded, never changed');
END;

CREATE TRIGGER check_acceptance_no_delete BEFORE DELETE ON check_acceptance BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of check_acceptance are superseded, never removed');
END;

CREATE TRIGGER fault_no_update BEFORE UPDATE ON fault BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of fault are superseded, never changed');
END;

CREATE TRIGGER fault_no_delete BEFORE DELETE ON fault BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of fault are superseded, never removed');
END;

CREATE TRIGGER loaded_tape_no_update BEFORE UPDATE ON loaded_tape BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of loaded_tape are superseded, never changed');
END;

CREATE TRIGGER loaded_tape_no_delete BEFORE DELETE ON loaded_tape BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of loaded_tape are superseded, never removed');
END;

CREATE TRIGGER accessory_no_update BEFORE UPDATE ON accessory BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of accessory are superseded, never changed');
END;

CREATE TRIGGER accessory_no_delete BEFORE DELETE ON accessory BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of accessory are superseded, never removed');
END;

CREATE TRIGGER photo_image_no_update BEFORE UPDATE ON photo_image BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of photo_image are superseded, never changed');
END;

CREATE TRIGGER photo_image_no_delete BEFORE DELETE ON photo_image BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of photo_image are superseded, never removed');
END;

CREATE TRIGGER photo_no_update BEFORE UPDATE ON photo BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of photo are superseded, never changed');
END;

CREATE TRIGGER photo_no_delete BEFORE DELETE ON photo BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of photo are superseded, never removed');
END;

CREATE TRIGGER supply_no_update BEFORE UPDATE ON supply BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of supply are superseded, never changed');
END;

CREATE TRIGGER supply_no_delete BEFORE DELETE ON supply BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of supply are superseded, never removed');
END;

CREATE TRIGGER lot_no_update BEFORE UPDATE ON lot BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of lot are superseded, never changed');
END;

CREATE TRIGGER lot_no_delete BEFORE DELETE ON lot BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of lot are superseded, never removed');
END;

CREATE TRIGGER supply_use_no_update BEFORE UPDATE ON supply_use BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of supply_use are superseded, never changed');
END;

CREATE TRIGGER supply_use_no_delete BEFORE DELETE ON supply_use BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of supply_use are superseded, never removed');
END;

CREATE TRIGGER lot_doubt_no_update BEFORE UPDATE ON lot_doubt BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of lot_doubt are superseded, never changed');
END;

CREATE TRIGGER lot_doubt_no_delete BEFORE DELETE ON lot_doubt BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of lot_doubt are superseded, never removed');
END;

CREATE TRIGGER kept_instrument_no_update BEFORE UPDATE ON kept_instrument BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of kept_instrument are superseded, never changed');
END;

CREATE TRIGGER kept_instrument_no_delete BEFORE DELETE ON kept_instrument BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of kept_instrument are superseded, never removed');
END;

CREATE TRIGGER instrument_event_no_update BEFORE UPDATE ON instrument_event BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of instrument_event are superseded, never changed');
END;

CREATE TRIGGER instrument_event_no_delete BEFORE DELETE ON instrument_event BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of instrument_event are superseded, never removed');
END;

CREATE TRIGGER deck_owner_no_update BEFORE UPDATE ON deck_owner BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of deck_owner are superseded, never changed');
END;

CREATE TRIGGER deck_owner_no_delete BEFORE DELETE ON deck_owner BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of deck_owner are superseded, never removed');
END;

CREATE TRIGGER profile_text_no_update BEFORE UPDATE ON profile_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of profile_text are superseded, never changed');
END;

CREATE TRIGGER profile_text_no_delete BEFORE DELETE ON profile_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of profile_text are superseded, never removed');
END;

CREATE TRIGGER offer_no_update BEFORE UPDATE ON offer BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of offer are superseded, never changed');
END;

CREATE TRIGGER offer_no_delete BEFORE DELETE ON offer BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of offer are superseded, never removed');
END;

CREATE TRIGGER price_fetched_no_update BEFORE UPDATE ON price_fetched BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of price_fetched are superseded, never changed');
END;

CREATE TRIGGER price_fetched_no_delete BEFORE DELETE ON price_fetched BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of price_fetched are superseded, never removed');
END;

CREATE TRIGGER job_cost_no_update BEFORE UPDATE ON job_cost BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_cost are superseded, never changed');
END;

CREATE TRIGGER job_cost_no_delete BEFORE DELETE ON job_cost BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of job_cost are superseded, never removed');
END;

CREATE TRIGGER sale_no_update BEFORE UPDATE ON sale BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of sale are superseded, never changed');
END;

CREATE TRIGGER sale_no_delete BEFORE DELETE ON sale BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of sale are superseded, never removed');
END;

CREATE TRIGGER listing_text_no_update BEFORE UPDATE ON listing_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of listing_text are superseded, never changed');
END;

CREATE TRIGGER listing_text_no_delete BEFORE DELETE ON listing_text BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of listing_text are superseded, never removed');
END;

CREATE TRIGGER shop_facts_no_update BEFORE UPDATE ON shop_facts BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of shop_facts are superseded, never changed');
END;

CREATE TRIGGER shop_facts_no_delete BEFORE DELETE ON shop_facts BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of shop_facts are superseded, never removed');
END;

CREATE TRIGGER sign_off_no_update BEFORE UPDATE ON sign_off BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of sign_off are superseded, never changed');
END;

CREATE TRIGGER sign_off_no_delete BEFORE DELETE ON sign_off BEGIN
    SELECT RAISE(ABORT, 'append-only: rows of sign_off are superseded, never removed');
END;
