-- What stands in the sample books: the rows of each schema step, as a program of that step wrote them. tools/sample-book makes a sample from the steps up to one number.
-- A released sample is never made anew.

-- step 1
INSERT INTO deck (id, profile_name, profile_json, serial_number, description)
VALUES ('01970000-0000-7000-8000-000000000001', 'Meridian A7', '[]', 'A7-1', 'Deck “one”, Ärger Ω');
INSERT INTO job (id, deck_id, opened, closed, what)
VALUES ('01980000-0000-7000-8000-000000000001', '01970000-0000-7000-8000-000000000001', '2026-03-14T08:00:00.0000000Z', NULL, 'Belts replaced.');
INSERT INTO instrument (id, kind, name, remark) VALUES ('01950000-0000-7000-8000-000000000001', 'audio-interface', 'Bench interface', '');
INSERT INTO capture (sha256, stored_as, bytes, sample_rate_hz, channels, seconds)
VALUES ('aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa', 'aa/aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa.wav', 100, 96000, 2, 30);
INSERT INTO measurement (id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes)
VALUES ('01990000-0000-7000-8000-000000000001', '01980000-0000-7000-8000-000000000001', 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa',
    'one.wav', 'speed', 'forward', 19.05, NULL, 'as-found', '2026-03-14T10:00:00.0000000Z', '0.1.0', '[]', NULL);
INSERT INTO measurement (id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes)
VALUES ('01990000-0000-7000-8000-000000000002', '01980000-0000-7000-8000-000000000001', 'aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa',
    'one.wav', 'speed', 'forward', 19.05, NULL, 'as-found', '2026-03-14T09:00:00.0000000Z', '0.1.0', '[]', '01990000-0000-7000-8000-000000000001');
INSERT INTO measurement_instrument (measurement_id, ordinal, instrument_id)
VALUES ('01990000-0000-7000-8000-000000000001', 0, '01950000-0000-7000-8000-000000000001');
INSERT INTO reading (measurement_id, ordinal, quantity, value, unit, uncertainty, parts_json, channel, frequency_hz, method, part, confidence, judgeable,
    supersedes_measurement, supersedes_ordinal)
VALUES ('01990000-0000-7000-8000-000000000001', 0, 'speed-error', 0.30000000000000004, '%', 0.002, '[{"name":"noise","expanded":0.002}]', 'both', NULL, 'time mean',
    NULL, NULL, 0, NULL, NULL);
INSERT INTO reading (measurement_id, ordinal, quantity, value, unit, uncertainty, parts_json, channel, frequency_hz, method, part, confidence, judgeable,
    supersedes_measurement, supersedes_ordinal)
VALUES ('01990000-0000-7000-8000-000000000002', 0, 'speed-error', 3, '%', NULL, NULL, 'both', 3150, 'time mean', 'capstan', 0.8, 1,
    '01990000-0000-7000-8000-000000000001', 0);
INSERT INTO note (measurement_id, ordinal, severity, code, text) VALUES ('01990000-0000-7000-8000-000000000001', 0, 'warning', 'clipped', 'Left clips.');
INSERT INTO trace (measurement_id, ordinal, id, channel, x_unit, y_unit, points, data)
VALUES ('01990000-0000-7000-8000-000000000001', 0, 'speed', 'both', 's', '%', 1,
    x'1f8b0800000000000203636000810ff6608a81c501005b4ccf1f10000000');
INSERT INTO unmeasured (job_id, ordinal, direction, speed_cm_per_s, tape_setting, mark, kind, reason)
VALUES ('01980000-0000-7000-8000-000000000001', 0, 'reverse', 9.53, 'Low noise', 'as-found', 'playback', 'No belt.');

-- step 3
INSERT INTO reading (measurement_id, ordinal, quantity, value, unit, uncertainty, parts_json, channel, frequency_hz, method, part, confidence, judgeable,
    supersedes_measurement, supersedes_ordinal, role, class, place, direction)
VALUES ('01990000-0000-7000-8000-000000000001', 1, 'tone-level', -20.5, 'dBFS', 0.01, NULL, 'left', 1000, 'sine fit', NULL, NULL, 1, NULL, NULL,
    'reference', 'steady', 'supply, full', 'reverse');

-- step 4
INSERT INTO capture (sha256, stored_as, bytes, sample_rate_hz, channels, seconds)
VALUES ('bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb', 'bb/bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb.json', 50, NULL, NULL, NULL);
INSERT INTO measurement (id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes)
VALUES ('01990000-0000-7000-8000-000000000003', '01980000-0000-7000-8000-000000000001', NULL, '', 'wind-time', 'forward', 19.05, NULL, 'as-left',
    '2026-03-15T10:00:00.0000000Z', '0.1.0', '[]', NULL);

-- step 5
INSERT INTO plan_text (id, root, entered, supersedes, withdrawn, name, json) VALUES ('019c0000-0000-7000-8000-000000000001', '019c0000-0000-7000-8000-000000000001', '2026-03-15T08:00:00.0000000Z', NULL, NULL, 'Our plan', '{}');
INSERT INTO fault (id, root, entered, supersedes, withdrawn, job_id, assembly, what, found_at, state, words)
VALUES ('019c0000-0000-7000-8000-000000000002', '019c0000-0000-7000-8000-000000000002', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01980000-0000-7000-8000-000000000001', 'transport', 'Idler slips', 'as-found', 'open', NULL);
INSERT INTO fault (id, root, entered, supersedes, withdrawn, job_id, assembly, what, found_at, state, words)
VALUES ('019c0000-0000-7000-8000-000000000003', '019c0000-0000-7000-8000-000000000002', '2026-03-15T08:00:00.0000000Z', '019c0000-0000-7000-8000-000000000002', NULL, '01980000-0000-7000-8000-000000000001', 'transport', 'Idler slips in reverse', 'as-found', 'fixed', 'New tyre');
INSERT INTO accessory (id, root, entered, supersedes, withdrawn, job_id, name, note) VALUES ('019c0000-0000-7000-8000-000000000004', '019c0000-0000-7000-8000-000000000004', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01980000-0000-7000-8000-000000000001', 'Lid', NULL);
INSERT INTO photo_image (sha256, width, height, jpeg) VALUES ('dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd', 2, 1, x'ffd8ffd9');
INSERT INTO photo (id, root, entered, supersedes, withdrawn, job_id, mark, assembly, caption, sha256)
VALUES ('019c0000-0000-7000-8000-000000000005', '019c0000-0000-7000-8000-000000000005', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01980000-0000-7000-8000-000000000001', 'as-found', 'heads', 'Worn', 'dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd');

-- step 6
INSERT INTO supply (id, root, entered, supersedes, withdrawn, name, kind, unit, reorder_at, remark)
VALUES ('019c0000-0000-7000-8000-000000000011', '019c0000-0000-7000-8000-000000000011', '2026-03-15T08:00:00.0000000Z', NULL, NULL, 'Flat belt 4 mm', 'belt', 'piece', '2', NULL);
INSERT INTO lot (id, root, entered, supersedes, withdrawn, supply_id, supplier, number, received, quantity, unit_price, remark)
VALUES ('019c0000-0000-7000-8000-000000000012', '019c0000-0000-7000-8000-000000000012', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '019c0000-0000-7000-8000-000000000011', 'Beltshop', 'L-77', '2026-03-01', '10', '2.50 EUR', NULL);
INSERT INTO supply_use (id, root, entered, supersedes, withdrawn, lot_id, job_id, quantity, place, day)
VALUES ('019c0000-0000-7000-8000-000000000013', '019c0000-0000-7000-8000-000000000013', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '019c0000-0000-7000-8000-000000000012', '01980000-0000-7000-8000-000000000001', '1', 'capstan', '2026-03-15');
INSERT INTO lot_doubt (id, root, entered, supersedes, withdrawn, lot_id, why) VALUES ('019c0000-0000-7000-8000-000000000014', '019c0000-0000-7000-8000-000000000014', '2026-03-15T08:00:00.0000000Z', NULL, 'a mistake', '019c0000-0000-7000-8000-000000000012', 'Stretches');
INSERT INTO kept_instrument (id, root, entered, supersedes, withdrawn, kind, name, serial_number, json, certificate, certified_on, due_on, plays_before, plays_at_most, remark)
VALUES ('019c0000-0000-7000-8000-000000000015', '019c0000-0000-7000-8000-000000000015', '2026-03-15T08:00:00.0000000Z', NULL, NULL, 'test-tape', 'Speed tape 3150', NULL, NULL, 'of 2024', '2024-05-01', NULL, 12, 200, NULL);

-- step 7
INSERT INTO deck_owner (id, root, entered, supersedes, withdrawn, deck_id, name, since, contact)
VALUES ('019c0000-0000-7000-8000-000000000021', '019c0000-0000-7000-8000-000000000021', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01970000-0000-7000-8000-000000000001', 'The shop', '2026-02-01', NULL);
INSERT INTO job_cost (id, root, entered, supersedes, withdrawn, job_id, kind, amount, day, what)
VALUES ('019c0000-0000-7000-8000-000000000022', '019c0000-0000-7000-8000-000000000022', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01980000-0000-7000-8000-000000000001', 'parts', '12.50 EUR', '2026-03-15', 'Belts');
INSERT INTO sign_off (id, root, entered, supersedes, withdrawn, job_id, record_sha256, record_json, sheet, key_fingerprint, signed_at, signed_by)
VALUES ('019c0000-0000-7000-8000-000000000023', '019c0000-0000-7000-8000-000000000023', '2026-03-15T08:00:00.0000000Z', NULL, NULL, '01980000-0000-7000-8000-000000000001', 'eeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeee', '{}', '{}', 'ab cd', '2026-03-15T08:00:00.0000000Z', 'bench');

-- step 20
INSERT INTO act (id, at, who, what, undoes) VALUES ('019a0000-0000-7000-8000-000000000001', '2026-03-16T10:00:00.0000000Z', 'bench', 'Closed the job', NULL);
INSERT INTO act (id, at, who, what, undoes) VALUES ('019a0000-0000-7000-8000-000000000002', '2026-03-16T10:01:00.0000000Z', 'bench', 'Undone: Closed the job',
    '019a0000-0000-7000-8000-000000000001');
INSERT INTO act_change (act_id, ordinal, table_name, row_key, before_json, after_json)
VALUES ('019a0000-0000-7000-8000-000000000001', 0, 'job', '{"id":"01980000-0000-7000-8000-000000000001"}', '{"closed":null}', '{"closed":"2026-03-16T10:00:00.0000000Z"}');

-- step 21
INSERT INTO setting (name, value) VALUES ('book', '019b0000-0000-7000-8000-000000000001');
INSERT INTO capture_part (sha256, ordinal, data) VALUES ('cccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccc', 0, x'00ff');

-- step 30
INSERT INTO turned_control (id, root, entered, supersedes, withdrawn, job_id, what, direction, speed_cm_per_s, tape_setting)
VALUES ('019c0000-0000-7000-8000-000000000001', '019c0000-0000-7000-8000-000000000001', '2026-03-14T11:00:00.0000000Z', NULL, NULL,
    '01980000-0000-7000-8000-000000000001', 'bias', 'reverse', 19.05, 'normal');

-- step 31
INSERT INTO cause_lesson (job_id, knowledge, closed, weighed, counts)
VALUES ('01980000-0000-7000-8000-000000000001', 'laws of then', '2026-03-16T10:00:00.0000000Z', '2026-03-17T10:00:00.0000000Z', 'belt 1/2');
