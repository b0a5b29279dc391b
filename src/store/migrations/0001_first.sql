-- The first schema of the log. Unknown is NULL, never 0; an unwritten text is ''. Each moment is two columns: UTC in
-- milliseconds and the offset of the place in minutes. Ranges here are those that can never be right; what is only odd
-- is asked about before it comes here. Once released this file never changes.
PRAGMA application_id = 0x746F6E62;

-- Facts of the log as a whole.
CREATE TABLE setting (
    key TEXT PRIMARY KEY NOT NULL CHECK (key <> ''),
    value TEXT NOT NULL
) STRICT;

-- Who wrote what and when. `undoes` names the change that this one takes back.
CREATE TABLE change (
    seq INTEGER PRIMARY KEY NOT NULL,
    id TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    who_id TEXT NOT NULL,
    step TEXT NOT NULL,
    undoes TEXT REFERENCES change (id)
) STRICT;
CREATE INDEX change_undoes ON change (undoes) WHERE undoes IS NOT NULL;
CREATE INDEX change_at ON change (at_utc_ms);

-- What stood before and after in each record that a change touched: columns by name, as JSON.
CREATE TABLE change_row (
    id INTEGER PRIMARY KEY NOT NULL,
    change_seq INTEGER NOT NULL REFERENCES change (seq),
    table_name TEXT NOT NULL,
    record_id TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('insert', 'update', 'delete')),
    before_json TEXT NOT NULL,
    after_json TEXT NOT NULL
) STRICT;
CREATE INDEX change_row_change ON change_row (change_seq);
CREATE INDEX change_row_record ON change_row (record_id);

CREATE TRIGGER change_stays BEFORE DELETE ON change BEGIN SELECT RAISE(ABORT, 'the change log is never shortened'); END;
CREATE TRIGGER change_stands BEFORE UPDATE ON change BEGIN
    SELECT RAISE(ABORT, 'the change log is never rewritten');
END;
CREATE TRIGGER change_row_stays BEFORE DELETE ON change_row BEGIN
    SELECT RAISE(ABORT, 'the change log is never shortened');
END;
CREATE TRIGGER change_row_stands BEFORE UPDATE ON change_row BEGIN
    SELECT RAISE(ABORT, 'the change log is never rewritten');
END;

-- People, by initials, and what they may do.
CREATE TABLE person (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    initials TEXT NOT NULL UNIQUE CHECK (initials <> ''),
    role TEXT NOT NULL,
    may_make_up INTEGER NOT NULL CHECK (may_make_up IN (0, 1)),
    may_dip_alone INTEGER NOT NULL CHECK (may_dip_alone IN (0, 1)),
    may_coat INTEGER NOT NULL CHECK (may_coat IN (0, 1)),
    may_dispose INTEGER NOT NULL CHECK (may_dispose IN (0, 1)),
    may_supervise INTEGER NOT NULL CHECK (may_supervise IN (0, 1)),
    blanked INTEGER NOT NULL CHECK (blanked IN (0, 1)),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;

-- Jars and bottles as bought.
CREATE TABLE lot (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    finish_kind TEXT NOT NULL CHECK (finish_kind <> ''),
    form TEXT NOT NULL CHECK (form IN ('lump', 'gel', 'liquid', 'solution', 'other')),
    bought_utc_ms INTEGER,
    bought_offset_min INTEGER CHECK (bought_offset_min BETWEEN -840 AND 840),
    opened_utc_ms INTEGER,
    opened_offset_min INTEGER CHECK (opened_offset_min BETWEEN -840 AND 840),
    unit TEXT NOT NULL CHECK (unit IN ('g', 'ml', 'drops')),
    bought_amount REAL CHECK (bought_amount > 0),
    usual_per_litre REAL CHECK (usual_per_litre > 0),
    place TEXT NOT NULL,
    note TEXT NOT NULL,
    retired_utc_ms INTEGER,
    retired_offset_min INTEGER CHECK (retired_offset_min BETWEEN -840 AND 840),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((bought_utc_ms IS NULL) = (bought_offset_min IS NULL)),
    CHECK ((opened_utc_ms IS NULL) = (opened_offset_min IS NULL)),
    CHECK ((retired_utc_ms IS NULL) = (retired_offset_min IS NULL))
) STRICT;

-- Weighings of a lot, and what befell it.
CREATE TABLE lot_weighing (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    lot_id TEXT NOT NULL REFERENCES lot (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    left_amount REAL CHECK (left_amount >= 0),
    spoiled_amount REAL CHECK (spoiled_amount >= 0),
    event TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX lot_weighing_lot ON lot_weighing (lot_id, at_utc_ms);

-- Vessels.
CREATE TABLE vessel (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    kind TEXT NOT NULL,
    volume_ml REAL CHECK (volume_ml > 0),
    cooling_per_min REAL CHECK (cooling_per_min >= 0 AND cooling_per_min <= 1),
    covered INTEGER NOT NULL CHECK (covered IN (0, 1)),
    strips_only INTEGER NOT NULL CHECK (strips_only IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;

-- Thermometers, and their checks in ice or boiling water.
CREATE TABLE thermometer (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    note TEXT NOT NULL,
    in_use_from_utc_ms INTEGER,
    in_use_from_offset_min INTEGER CHECK (in_use_from_offset_min BETWEEN -840 AND 840),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    CHECK ((in_use_from_utc_ms IS NULL) = (in_use_from_offset_min IS NULL))
) STRICT;
CREATE TABLE thermometer_check (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    thermometer_id TEXT NOT NULL REFERENCES thermometer (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    applies_from_utc_ms INTEGER NOT NULL,
    applies_from_offset_min INTEGER NOT NULL CHECK (applies_from_offset_min BETWEEN -840 AND 840),
    reads_c REAL NOT NULL CHECK (reads_c BETWEEN -273.15 AND 2000),
    truth_c REAL NOT NULL CHECK (truth_c BETWEEN -273.15 AND 2000),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;
CREATE INDEX thermometer_check_thermometer ON thermometer_check (thermometer_id, applies_from_utc_ms);

-- Metals, their tone scales, the tones on them, and the tones aimed at.
CREATE TABLE metal (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    film TEXT NOT NULL CHECK (film IN ('silver', 'none')),
    base_under TEXT NOT NULL,
    bare_colour TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;
CREATE TABLE tone_scale (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    metal_id TEXT NOT NULL REFERENCES metal (id),
    surface TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    UNIQUE (metal_id, surface)
) STRICT;
CREATE TABLE tone (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    scale_id TEXT NOT NULL REFERENCES tone_scale (id),
    position INTEGER NOT NULL CHECK (position >= 0),
    word TEXT NOT NULL CHECK (word <> ''),
    colour TEXT NOT NULL,
    ceiling INTEGER NOT NULL CHECK (ceiling IN (0, 1)),
    lab_l REAL CHECK (lab_l BETWEEN 0 AND 100),
    lab_a REAL CHECK (lab_a BETWEEN -200 AND 200),
    lab_b REAL CHECK (lab_b BETWEEN -200 AND 200),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    CHECK ((lab_l IS NULL) = (lab_a IS NULL) AND (lab_l IS NULL) = (lab_b IS NULL)),
    UNIQUE (scale_id, word)
) STRICT;
CREATE INDEX tone_scale_position ON tone (scale_id, position);
CREATE TABLE target (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    scale_id TEXT NOT NULL REFERENCES tone_scale (id),
    tone_id TEXT NOT NULL REFERENCES tone (id),
    place TEXT NOT NULL CHECK (place IN ('whole', 'recess', 'high point')),
    moment TEXT NOT NULL CHECK (moment IN ('before relief', 'after relief', 'after sealing')),
    dose_s REAL CHECK (dose_s > 0),
    tolerance_steps REAL CHECK (tolerance_steps >= 0),
    keep_piece TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX target_tone ON target (tone_id);
CREATE INDEX target_scale ON target (scale_id);

-- Orders (the plain word is one of SQL's own), batches, pieces with their parts, and stones.
CREATE TABLE client_order (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    repeat_of TEXT REFERENCES client_order (id),
    target_id TEXT REFERENCES target (id),
    received_utc_ms INTEGER,
    received_offset_min INTEGER CHECK (received_offset_min BETWEEN -840 AND 840),
    wanted_by_utc_ms INTEGER,
    wanted_by_offset_min INTEGER CHECK (wanted_by_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((received_utc_ms IS NULL) = (received_offset_min IS NULL)),
    CHECK ((wanted_by_utc_ms IS NULL) = (wanted_by_offset_min IS NULL))
) STRICT;
CREATE INDEX client_order_repeat ON client_order (repeat_of) WHERE repeat_of IS NOT NULL;
CREATE TABLE batch (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    design TEXT NOT NULL,
    order_id TEXT REFERENCES client_order (id),
    target_id TEXT REFERENCES target (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;
CREATE INDEX batch_order ON batch (order_id) WHERE order_id IS NOT NULL;
CREATE TABLE piece (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    design TEXT NOT NULL,
    batch_id TEXT REFERENCES batch (id),
    rack INTEGER CHECK (rack >= 1),
    order_id TEXT REFERENCES client_order (id),
    target_id TEXT REFERENCES target (id),
    assembled_utc_ms INTEGER,
    assembled_offset_min INTEGER CHECK (assembled_offset_min BETWEEN -840 AND 840),
    sold_utc_ms INTEGER,
    sold_offset_min INTEGER CHECK (sold_offset_min BETWEEN -840 AND 840),
    keep_piece INTEGER NOT NULL CHECK (keep_piece IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((assembled_utc_ms IS NULL) = (assembled_offset_min IS NULL)),
    CHECK ((sold_utc_ms IS NULL) = (sold_offset_min IS NULL))
) STRICT;
CREATE INDEX piece_batch ON piece (batch_id, rack) WHERE batch_id IS NOT NULL;
CREATE INDEX piece_order ON piece (order_id) WHERE order_id IS NOT NULL;
CREATE INDEX piece_made ON piece (made_utc_ms);
CREATE INDEX piece_design ON piece (design);
CREATE TABLE part (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    piece_id TEXT NOT NULL REFERENCES piece (id),
    name TEXT NOT NULL CHECK (name <> ''),
    metal_id TEXT REFERENCES metal (id),
    surface TEXT NOT NULL,
    area_cm2 REAL CHECK (area_cm2 > 0),
    assembled_utc_ms INTEGER,
    assembled_offset_min INTEGER CHECK (assembled_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((assembled_utc_ms IS NULL) = (assembled_offset_min IS NULL)),
    UNIQUE (piece_id, name)
) STRICT;
CREATE INDEX part_metal ON part (metal_id);
CREATE INDEX part_made ON part (made_utc_ms);
CREATE TABLE stone (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    kind TEXT NOT NULL,
    shape TEXT NOT NULL,
    size_mm REAL CHECK (size_mm > 0),
    backing TEXT NOT NULL CHECK (backing IN ('none', 'foil', 'vacuum metal', 'coating', 'doublet', 'unknown')),
    source_lot TEXT NOT NULL,
    piece_id TEXT REFERENCES piece (id),
    set_utc_ms INTEGER,
    set_offset_min INTEGER CHECK (set_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((set_utc_ms IS NULL) = (set_offset_min IS NULL))
) STRICT;
CREATE INDEX stone_piece ON stone (piece_id) WHERE piece_id IS NOT NULL;

-- Test strips.
CREATE TABLE strip (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    metal_id TEXT NOT NULL REFERENCES metal (id),
    surface TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX strip_metal ON strip (metal_id, surface);

-- Baths of any finish kind, top-ups and readings.
CREATE TABLE bath (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    finish_kind TEXT NOT NULL CHECK (finish_kind <> ''),
    lot_id TEXT REFERENCES lot (id),
    amount REAL CHECK (amount > 0),
    water_ml REAL CHECK (water_ml > 0),
    start_temp_c REAL CHECK (start_temp_c BETWEEN -273.15 AND 2000),
    room_temp_c REAL CHECK (room_temp_c BETWEEN -273.15 AND 2000),
    vessel_id TEXT REFERENCES vessel (id),
    water_source TEXT NOT NULL,
    additives TEXT NOT NULL,
    agitation TEXT CHECK (agitation IN ('still', 'gentle', 'brisk')),
    who TEXT REFERENCES person (id),
    measure TEXT NOT NULL,
    measure_value REAL,
    made_up_utc_ms INTEGER NOT NULL,
    made_up_offset_min INTEGER NOT NULL CHECK (made_up_offset_min BETWEEN -840 AND 840),
    ended_utc_ms INTEGER,
    ended_offset_min INTEGER CHECK (ended_offset_min BETWEEN -840 AND 840),
    kept_back_ml REAL CHECK (kept_back_ml >= 0),
    past_work INTEGER NOT NULL CHECK (past_work IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((ended_utc_ms IS NULL) = (ended_offset_min IS NULL))
) STRICT;
CREATE INDEX bath_made ON bath (made_utc_ms);
CREATE INDEX bath_made_up ON bath (made_up_utc_ms);
CREATE INDEX bath_in_use ON bath (made_up_utc_ms) WHERE ended_utc_ms IS NULL;
CREATE INDEX bath_lot ON bath (lot_id) WHERE lot_id IS NOT NULL;
CREATE INDEX bath_vessel ON bath (vessel_id) WHERE vessel_id IS NOT NULL;
CREATE TABLE top_up (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    bath_id TEXT NOT NULL REFERENCES bath (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    amount REAL CHECK (amount > 0),
    water_added_ml REAL,
    volume_now_ml REAL CHECK (volume_now_ml > 0),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX top_up_bath ON top_up (bath_id, at_utc_ms);
CREATE TABLE reading (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    bath_id TEXT NOT NULL REFERENCES bath (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    temp_c REAL NOT NULL CHECK (temp_c BETWEEN -273.15 AND 2000),
    thermometer_id TEXT REFERENCES thermometer (id),
    reheated INTEGER NOT NULL CHECK (reheated IN (0, 1)),
    kept INTEGER NOT NULL CHECK (kept IN (0, 1)),
    note TEXT NOT NULL,
    who TEXT REFERENCES person (id),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX reading_bath ON reading (bath_id, at_utc_ms);

-- Times in the bath. A dip runs while it was dropped, not taken out and no length is known.
CREATE TABLE dip (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    bath_id TEXT NOT NULL REFERENCES bath (id),
    strip_id TEXT REFERENCES strip (id),
    piece_id TEXT REFERENCES piece (id),
    part_id TEXT REFERENCES part (id),
    lane INTEGER CHECK (lane >= 1),
    dropped_utc_ms INTEGER,
    dropped_offset_min INTEGER CHECK (dropped_offset_min BETWEEN -840 AND 840),
    dropped_boot_ms INTEGER,
    boot_id TEXT NOT NULL,
    out_utc_ms INTEGER,
    out_offset_min INTEGER CHECK (out_offset_min BETWEEN -840 AND 840),
    in_bath_s REAL CHECK (in_bath_s >= 0),
    at_about_utc_ms INTEGER,
    at_about_offset_min INTEGER CHECK (at_about_offset_min BETWEEN -840 AND 840),
    temp_c REAL CHECK (temp_c BETWEEN -273.15 AND 2000),
    clock_gap INTEGER NOT NULL CHECK (clock_gap IN (0, 1)),
    agitation TEXT CHECK (agitation IN ('still', 'gentle', 'brisk')),
    watched INTEGER NOT NULL CHECK (watched IN (0, 1)),
    target_id TEXT REFERENCES target (id),
    aim_tone_id TEXT REFERENCES tone (id),
    planned_low_s REAL CHECK (planned_low_s >= 0),
    planned_s REAL CHECK (planned_s >= 0),
    planned_high_s REAL CHECK (planned_high_s >= 0),
    who TEXT REFERENCES person (id),
    past_work INTEGER NOT NULL CHECK (past_work IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((dropped_utc_ms IS NULL) = (dropped_offset_min IS NULL)),
    CHECK ((out_utc_ms IS NULL) = (out_offset_min IS NULL)),
    CHECK ((at_about_utc_ms IS NULL) = (at_about_offset_min IS NULL)),
    CHECK ((strip_id IS NOT NULL) + (piece_id IS NOT NULL) + (part_id IS NOT NULL) = 1),
    CHECK (planned_low_s <= planned_s AND planned_s <= planned_high_s)
) STRICT;
CREATE INDEX dip_bath ON dip (bath_id, dropped_utc_ms);
CREATE INDEX dip_strip ON dip (strip_id) WHERE strip_id IS NOT NULL;
CREATE INDEX dip_piece ON dip (piece_id) WHERE piece_id IS NOT NULL;
CREATE INDEX dip_part ON dip (part_id) WHERE part_id IS NOT NULL;
CREATE INDEX dip_made ON dip (made_utc_ms);
CREATE INDEX dip_running ON dip (lane) WHERE out_utc_ms IS NULL AND dropped_utc_ms IS NOT NULL AND in_bath_s IS NULL;
CREATE TABLE rinse (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    dip_id TEXT NOT NULL REFERENCES dip (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    length_s REAL CHECK (length_s >= 0),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX rinse_dip ON rinse (dip_id);

-- What tone came of it.
CREATE TABLE judgement (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    strip_id TEXT REFERENCES strip (id),
    piece_id TEXT REFERENCES piece (id),
    part_id TEXT REFERENCES part (id),
    dip_id TEXT REFERENCES dip (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    tone_id TEXT REFERENCES tone (id),
    sense TEXT NOT NULL CHECK (sense IN ('is', 'lighter than', 'gone over')),
    fraction REAL CHECK (fraction BETWEEN 0 AND 1),
    place TEXT NOT NULL CHECK (place IN ('whole', 'recess', 'high point')),
    moment TEXT NOT NULL CHECK (moment IN ('before relief', 'after relief', 'after sealing')),
    lab_l REAL CHECK (lab_l BETWEEN 0 AND 100),
    lab_a REAL CHECK (lab_a BETWEEN -200 AND 200),
    lab_b REAL CHECK (lab_b BETWEEN -200 AND 200),
    blotch TEXT NOT NULL,
    who TEXT REFERENCES person (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((lab_l IS NULL) = (lab_a IS NULL) AND (lab_l IS NULL) = (lab_b IS NULL)),
    CHECK ((strip_id IS NOT NULL) + (piece_id IS NOT NULL) + (part_id IS NOT NULL) = 1)
) STRICT;
CREATE INDEX judgement_strip ON judgement (strip_id) WHERE strip_id IS NOT NULL;
CREATE INDEX judgement_piece ON judgement (piece_id) WHERE piece_id IS NOT NULL;
CREATE INDEX judgement_part ON judgement (part_id) WHERE part_id IS NOT NULL;
CREATE INDEX judgement_dip ON judgement (dip_id) WHERE dip_id IS NOT NULL;
CREATE INDEX judgement_tone ON judgement (tone_id) WHERE tone_id IS NOT NULL;

-- What is done to a surface before and after the bath.
CREATE TABLE preparation (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    strip_id TEXT REFERENCES strip (id),
    piece_id TEXT REFERENCES piece (id),
    part_id TEXT REFERENCES part (id),
    batch_id TEXT REFERENCES batch (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    surface TEXT NOT NULL,
    degreased TEXT NOT NULL CHECK (degreased IN ('unknown', 'no', 'yes')),
    degreased_how TEXT NOT NULL,
    water_sheeted TEXT NOT NULL CHECK (water_sheeted IN ('unknown', 'no', 'yes')),
    pickled TEXT NOT NULL CHECK (pickled IN ('unknown', 'no', 'yes')),
    rinses_after_pickle INTEGER CHECK (rinses_after_pickle >= 0),
    who TEXT REFERENCES person (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((strip_id IS NOT NULL) + (piece_id IS NOT NULL) + (part_id IS NOT NULL) + (batch_id IS NOT NULL) = 1)
) STRICT;
CREATE INDEX preparation_strip ON preparation (strip_id) WHERE strip_id IS NOT NULL;
CREATE INDEX preparation_piece ON preparation (piece_id) WHERE piece_id IS NOT NULL;
CREATE INDEX preparation_part ON preparation (part_id) WHERE part_id IS NOT NULL;
CREATE INDEX preparation_batch ON preparation (batch_id) WHERE batch_id IS NOT NULL;
CREATE TABLE after_work (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    piece_id TEXT REFERENCES piece (id),
    part_id TEXT REFERENCES part (id),
    batch_id TEXT REFERENCES batch (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    step TEXT NOT NULL CHECK (step IN ('rinsed', 'stop bath', 'dried', 'rubbed back', 'brushed', 'tumbled', 'sealed')),
    used TEXT NOT NULL,
    length_s REAL CHECK (length_s >= 0),
    who TEXT REFERENCES person (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((piece_id IS NOT NULL) + (part_id IS NOT NULL) + (batch_id IS NOT NULL) = 1)
) STRICT;
CREATE INDEX after_work_piece ON after_work (piece_id) WHERE piece_id IS NOT NULL;
CREATE INDEX after_work_part ON after_work (part_id) WHERE part_id IS NOT NULL;
CREATE INDEX after_work_batch ON after_work (batch_id) WHERE batch_id IS NOT NULL;

-- Checks answered, disposals, and presses of the bench key: never removed, only withdrawn.
CREATE TABLE check_run (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    list_key TEXT NOT NULL CHECK (list_key <> ''),
    list_version INTEGER NOT NULL CHECK (list_version >= 1),
    bath_id TEXT REFERENCES bath (id),
    who TEXT REFERENCES person (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    done_utc_ms INTEGER,
    done_offset_min INTEGER CHECK (done_offset_min BETWEEN -840 AND 840),
    withdrawn_by TEXT NOT NULL,
    withdrawn_utc_ms INTEGER,
    withdrawn_offset_min INTEGER CHECK (withdrawn_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    CHECK ((done_utc_ms IS NULL) = (done_offset_min IS NULL)),
    CHECK ((withdrawn_utc_ms IS NULL) = (withdrawn_offset_min IS NULL))
) STRICT;
CREATE INDEX check_run_bath ON check_run (bath_id) WHERE bath_id IS NOT NULL;
CREATE TABLE check_answer (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    run_id TEXT NOT NULL REFERENCES check_run (id),
    item_key TEXT NOT NULL CHECK (item_key <> ''),
    item_text TEXT NOT NULL,
    level TEXT NOT NULL CHECK (level IN ('stop', 'must', 'advise')),
    response TEXT NOT NULL,
    reason TEXT NOT NULL,
    who TEXT REFERENCES person (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;
CREATE INDEX check_answer_run ON check_answer (run_id);
CREATE TABLE disposal (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    bath_id TEXT REFERENCES bath (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    volume_ml REAL CHECK (volume_ml > 0),
    route TEXT NOT NULL,
    rule TEXT NOT NULL,
    who TEXT REFERENCES person (id),
    withdrawn_by TEXT NOT NULL,
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE INDEX disposal_bath ON disposal (bath_id) WHERE bath_id IS NOT NULL;
CREATE TABLE press (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    boot_ms INTEGER NOT NULL,
    boot_id TEXT NOT NULL,
    act TEXT NOT NULL CHECK (act <> ''),
    lane INTEGER CHECK (lane >= 1),
    dip_id TEXT NOT NULL,
    undone INTEGER NOT NULL CHECK (undone IN (0, 1)),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;
CREATE INDEX press_at ON press (at_utc_ms);
CREATE TRIGGER check_run_stays BEFORE DELETE ON check_run BEGIN
    SELECT RAISE(ABORT, 'checks are withdrawn, never removed');
END;
CREATE TRIGGER check_answer_stays BEFORE DELETE ON check_answer BEGIN
    SELECT RAISE(ABORT, 'answers of checks are withdrawn, never removed');
END;
CREATE TRIGGER disposal_stays BEFORE DELETE ON disposal BEGIN
    SELECT RAISE(ABORT, 'disposals are withdrawn, never removed');
END;
CREATE TRIGGER press_stays BEFORE DELETE ON press BEGIN
    SELECT RAISE(ABORT, 'presses of the bench key are withdrawn, never removed');
END;

-- Free-text find. `find_entry` holds one row for each record that has words in it, kept by triggers; `find_index` is its
-- full-text index, which holds no text of its own.
CREATE TABLE find_entry (
    id INTEGER PRIMARY KEY NOT NULL,
    table_name TEXT NOT NULL,
    record_id TEXT NOT NULL UNIQUE,
    title TEXT NOT NULL COLLATE NOCASE,
    words TEXT NOT NULL
) STRICT;
CREATE INDEX find_entry_title ON find_entry (title) WHERE title <> '';
CREATE VIRTUAL TABLE find_index USING fts5 (title, words, content='find_entry', content_rowid='id',
                                            tokenize='unicode61 remove_diacritics 2', prefix='2 3');
CREATE TRIGGER find_entry_added AFTER INSERT ON find_entry BEGIN
    INSERT INTO find_index (rowid, title, words) VALUES (new.id, new.title, new.words);
END;
CREATE TRIGGER find_entry_removed AFTER DELETE ON find_entry BEGIN
    INSERT INTO find_index (find_index, rowid, title, words) VALUES ('delete', old.id, old.title, old.words);
END;
CREATE TRIGGER find_entry_changed AFTER UPDATE ON find_entry BEGIN
    INSERT INTO find_index (find_index, rowid, title, words) VALUES ('delete', old.id, old.title, old.words);
    INSERT INTO find_index (rowid, title, words) VALUES (new.id, new.title, new.words);
END;

CREATE TRIGGER person_found AFTER INSERT ON person BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('person', new.id, new.initials, new.role);
END;
CREATE TRIGGER person_found_changed AFTER UPDATE OF initials, role ON person
    WHEN new.initials <> old.initials OR new.role <> old.role BEGIN
    UPDATE find_entry SET title = new.initials, words = new.role WHERE record_id = new.id;
END;
CREATE TRIGGER person_found_removed AFTER DELETE ON person BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER lot_found AFTER INSERT ON lot BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('lot', new.id, new.number, new.finish_kind || ' ' || new.place || ' ' || new.note);
END;
CREATE TRIGGER lot_found_changed AFTER UPDATE OF number, finish_kind, place, note ON lot
    WHEN new.number <> old.number OR new.finish_kind <> old.finish_kind OR new.place <> old.place OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number,
        words = new.finish_kind || ' ' || new.place || ' ' || new.note
    WHERE record_id = new.id;
END;
CREATE TRIGGER lot_found_removed AFTER DELETE ON lot BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER vessel_found AFTER INSERT ON vessel BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('vessel', new.id, new.number, new.kind || ' ' || new.note);
END;
CREATE TRIGGER vessel_found_changed AFTER UPDATE OF number, kind, note ON vessel
    WHEN new.number <> old.number OR new.kind <> old.kind OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.kind || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER vessel_found_removed AFTER DELETE ON vessel BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER thermometer_found AFTER INSERT ON thermometer BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('thermometer', new.id, new.number, new.note);
END;
CREATE TRIGGER thermometer_found_changed AFTER UPDATE OF number, note ON thermometer
    WHEN new.number <> old.number OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.note WHERE record_id = new.id;
END;
CREATE TRIGGER thermometer_found_removed AFTER DELETE ON thermometer BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER metal_found AFTER INSERT ON metal BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('metal', new.id, new.name, new.base_under || ' ' || new.note);
END;
CREATE TRIGGER metal_found_changed AFTER UPDATE OF name, base_under, note ON metal
    WHEN new.name <> old.name OR new.base_under <> old.base_under OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.name, words = new.base_under || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER metal_found_removed AFTER DELETE ON metal BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER tone_found AFTER INSERT ON tone BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('tone', new.id, new.word, '');
END;
CREATE TRIGGER tone_found_changed AFTER UPDATE OF word ON tone
    WHEN new.word <> old.word BEGIN
    UPDATE find_entry SET title = new.word, words = '' WHERE record_id = new.id;
END;
CREATE TRIGGER tone_found_removed AFTER DELETE ON tone BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER target_found AFTER INSERT ON target BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('target', new.id, new.name, new.keep_piece || ' ' || new.note);
END;
CREATE TRIGGER target_found_changed AFTER UPDATE OF name, keep_piece, note ON target
    WHEN new.name <> old.name OR new.keep_piece <> old.keep_piece OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.name, words = new.keep_piece || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER target_found_removed AFTER DELETE ON target BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER client_order_found AFTER INSERT ON client_order BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('client_order', new.id, new.number, new.note);
END;
CREATE TRIGGER client_order_found_changed AFTER UPDATE OF number, note ON client_order
    WHEN new.number <> old.number OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.note WHERE record_id = new.id;
END;
CREATE TRIGGER client_order_found_removed AFTER DELETE ON client_order BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER batch_found AFTER INSERT ON batch BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('batch', new.id, new.number, new.design || ' ' || new.note);
END;
CREATE TRIGGER batch_found_changed AFTER UPDATE OF number, design, note ON batch
    WHEN new.number <> old.number OR new.design <> old.design OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.design || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER batch_found_removed AFTER DELETE ON batch BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER piece_found AFTER INSERT ON piece BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('piece', new.id, new.number, new.design || ' ' || new.note);
END;
CREATE TRIGGER piece_found_changed AFTER UPDATE OF number, design, note ON piece
    WHEN new.number <> old.number OR new.design <> old.design OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.design || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER piece_found_removed AFTER DELETE ON piece BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER part_found AFTER INSERT ON part BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('part', new.id, new.name, new.surface || ' ' || new.note);
END;
CREATE TRIGGER part_found_changed AFTER UPDATE OF name, surface, note ON part
    WHEN new.name <> old.name OR new.surface <> old.surface OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.name, words = new.surface || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER part_found_removed AFTER DELETE ON part BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER stone_found AFTER INSERT ON stone BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('stone', new.id, new.number, new.kind || ' ' || new.shape || ' ' || new.source_lot || ' ' || new.note);
END;
CREATE TRIGGER stone_found_changed AFTER UPDATE OF number, kind, shape, source_lot, note ON stone
    WHEN new.number <> old.number OR new.kind <> old.kind OR new.shape <> old.shape OR new.source_lot <> old.source_lot OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number,
        words = new.kind || ' ' || new.shape || ' ' || new.source_lot || ' ' || new.note
    WHERE record_id = new.id;
END;
CREATE TRIGGER stone_found_removed AFTER DELETE ON stone BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER strip_found AFTER INSERT ON strip BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('strip', new.id, new.number, new.surface || ' ' || new.note);
END;
CREATE TRIGGER strip_found_changed AFTER UPDATE OF number, surface, note ON strip
    WHEN new.number <> old.number OR new.surface <> old.surface OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.surface || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER strip_found_removed AFTER DELETE ON strip BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER bath_found AFTER INSERT ON bath BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('bath', new.id, new.number, new.finish_kind || ' ' || new.water_source || ' ' || new.additives || ' ' || new.measure || ' ' || new.note);
END;
CREATE TRIGGER bath_found_changed AFTER UPDATE OF number, finish_kind, water_source, additives, measure, note ON bath
    WHEN new.number <> old.number OR new.finish_kind <> old.finish_kind OR new.water_source <> old.water_source OR new.additives <> old.additives OR new.measure <> old.measure OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number,
        words = new.finish_kind || ' ' || new.water_source || ' ' || new.additives || ' ' || new.measure || ' ' || new.note
    WHERE record_id = new.id;
END;
CREATE TRIGGER bath_found_removed AFTER DELETE ON bath BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER top_up_found AFTER INSERT ON top_up
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('top_up', new.id, '', new.note);
END;
CREATE TRIGGER top_up_found_changed AFTER UPDATE OF note ON top_up
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'top_up', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER top_up_found_removed AFTER DELETE ON top_up BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER reading_found AFTER INSERT ON reading
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('reading', new.id, '', new.note);
END;
CREATE TRIGGER reading_found_changed AFTER UPDATE OF note ON reading
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'reading', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER reading_found_removed AFTER DELETE ON reading BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER dip_found AFTER INSERT ON dip
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('dip', new.id, '', new.note);
END;
CREATE TRIGGER dip_found_changed AFTER UPDATE OF note ON dip
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'dip', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER dip_found_removed AFTER DELETE ON dip BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER rinse_found AFTER INSERT ON rinse
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('rinse', new.id, '', new.note);
END;
CREATE TRIGGER rinse_found_changed AFTER UPDATE OF note ON rinse
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'rinse', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER rinse_found_removed AFTER DELETE ON rinse BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER judgement_found AFTER INSERT ON judgement
    WHEN new.blotch || new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('judgement', new.id, '', new.blotch || ' ' || new.note);
END;
CREATE TRIGGER judgement_found_changed AFTER UPDATE OF blotch, note ON judgement
    WHEN new.blotch <> old.blotch OR new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'judgement', new.id, '', new.blotch || ' ' || new.note WHERE new.blotch || new.note <> '';
END;
CREATE TRIGGER judgement_found_removed AFTER DELETE ON judgement BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER preparation_found AFTER INSERT ON preparation
    WHEN new.surface || new.degreased_how || new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('preparation', new.id, '', new.surface || ' ' || new.degreased_how || ' ' || new.note);
END;
CREATE TRIGGER preparation_found_changed AFTER UPDATE OF surface, degreased_how, note ON preparation
    WHEN new.surface <> old.surface OR new.degreased_how <> old.degreased_how OR new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'preparation', new.id, '', new.surface || ' ' || new.degreased_how || ' ' || new.note WHERE new.surface || new.degreased_how || new.note <> '';
END;
CREATE TRIGGER preparation_found_removed AFTER DELETE ON preparation BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER after_work_found AFTER INSERT ON after_work
    WHEN new.used || new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('after_work', new.id, '', new.used || ' ' || new.note);
END;
CREATE TRIGGER after_work_found_changed AFTER UPDATE OF used, note ON after_work
    WHEN new.used <> old.used OR new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'after_work', new.id, '', new.used || ' ' || new.note WHERE new.used || new.note <> '';
END;
CREATE TRIGGER after_work_found_removed AFTER DELETE ON after_work BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER lot_weighing_found AFTER INSERT ON lot_weighing
    WHEN new.event || new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('lot_weighing', new.id, '', new.event || ' ' || new.note);
END;
CREATE TRIGGER lot_weighing_found_changed AFTER UPDATE OF event, note ON lot_weighing
    WHEN new.event <> old.event OR new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'lot_weighing', new.id, '', new.event || ' ' || new.note WHERE new.event || new.note <> '';
END;
CREATE TRIGGER lot_weighing_found_removed AFTER DELETE ON lot_weighing BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER thermometer_check_found AFTER INSERT ON thermometer_check
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('thermometer_check', new.id, '', new.note);
END;
CREATE TRIGGER thermometer_check_found_changed AFTER UPDATE OF note ON thermometer_check
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'thermometer_check', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER thermometer_check_found_removed AFTER DELETE ON thermometer_check BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER check_run_found AFTER INSERT ON check_run
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('check_run', new.id, '', new.note);
END;
CREATE TRIGGER check_run_found_changed AFTER UPDATE OF note ON check_run
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'check_run', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER check_run_found_removed AFTER DELETE ON check_run BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER disposal_found AFTER INSERT ON disposal
    WHEN new.route || new.rule || new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('disposal', new.id, '', new.route || ' ' || new.rule || ' ' || new.note);
END;
CREATE TRIGGER disposal_found_changed AFTER UPDATE OF route, rule, note ON disposal
    WHEN new.route <> old.route OR new.rule <> old.rule OR new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'disposal', new.id, '', new.route || ' ' || new.rule || ' ' || new.note WHERE new.route || new.rule || new.note <> '';
END;
CREATE TRIGGER disposal_found_removed AFTER DELETE ON disposal BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
