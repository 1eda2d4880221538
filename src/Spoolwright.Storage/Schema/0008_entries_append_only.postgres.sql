-- Entries are superseded, never changed or removed: the database itself refuses it, as for what was measured.

CREATE FUNCTION entry_append_only() RETURNS trigger AS $$
BEGIN
    RAISE EXCEPTION 'append-only: rows of % are superseded, never %', TG_TABLE_NAME, CASE TG_OP WHEN 'UPDATE' THEN 'changed' ELSE 'removed' END;
END;
$$ LANGUAGE plpgsql;

CREATE TRIGGER plan_text_no_change BEFORE UPDATE OR DELETE ON plan_text FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER job_task_no_change BEFORE UPDATE OR DELETE ON job_task FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER task_mark_no_change BEFORE UPDATE OR DELETE ON task_mark FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER clock_entry_no_change BEFORE UPDATE OR DELETE ON clock_entry FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER job_check_no_change BEFORE UPDATE OR DELETE ON job_check FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER check_result_no_change BEFORE UPDATE OR DELETE ON check_result FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER check_acceptance_no_change BEFORE UPDATE OR DELETE ON check_acceptance FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER fault_no_change BEFORE UPDATE OR DELETE ON fault FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER loaded_tape_no_change BEFORE UPDATE OR DELETE ON loaded_tape FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER accessory_no_change BEFORE UPDATE OR DELETE ON accessory FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER photo_image_no_change BEFORE UPDATE OR DELETE ON photo_image FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER photo_no_change BEFORE UPDATE OR DELETE ON photo FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER supply_no_change BEFORE UPDATE OR DELETE ON supply FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER lot_no_change BEFORE UPDATE OR DELETE ON lot FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER supply_use_no_change BEFORE UPDATE OR DELETE ON supply_use FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER lot_doubt_no_change BEFORE UPDATE OR DELETE ON lot_doubt FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER kept_instrument_no_change BEFORE UPDATE OR DELETE ON kept_instrument FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER instrument_event_no_change BEFORE UPDATE OR DELETE ON instrument_event FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER deck_owner_no_change BEFORE UPDATE OR DELETE ON deck_owner FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER profile_text_no_change BEFORE UPDATE OR DELETE ON profile_text FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER offer_no_change BEFORE UPDATE OR DELETE ON offer FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER price_fetched_no_change BEFORE UPDATE OR DELETE ON price_fetched FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER job_cost_no_change BEFORE UPDATE OR DELETE ON job_cost FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER sale_no_change BEFORE UPDATE OR DELETE ON sale FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER listing_text_no_change BEFORE UPDATE OR DELETE ON listing_text FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER shop_facts_no_change BEFORE UPDATE OR DELETE ON shop_facts FOR EACH ROW EXECUTE FUNCTION entry_append_only();

CREATE TRIGGER sign_off_no_change BEFORE UPDATE OR DELETE ON sign_off FOR EACH ROW EXECUTE FUNCTION entry_append_only();
