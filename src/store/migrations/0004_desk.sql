-- The safety desk: rooms, classes and their seats, local rules, chemicals and instruments in the studio, the book of near
-- misses; and what checks, disposals, baths and persons carry with them.
CREATE TABLE room (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    volume_m3 REAL NOT NULL CHECK (volume_m3 > 0),
    flow_m3_h REAL CHECK (flow_m3_h >= 0),
    flow_known TEXT NOT NULL CHECK (flow_known IN ('measured', 'smoke-tested', 'assumed')),
    still_per_h REAL CHECK (still_per_h >= 0),
    mixing REAL CHECK (mixing > 0),
    openings TEXT NOT NULL,
    opening_m2 REAL CHECK (opening_m2 > 0),
    distance_m REAL CHECK (distance_m >= 0),
    seat_limit INTEGER CHECK (seat_limit >= 1),
    limit_by TEXT REFERENCES person (id),
    limit_set_utc_ms INTEGER,
    limit_set_offset_min INTEGER CHECK (limit_set_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((limit_set_utc_ms IS NULL) = (limit_set_offset_min IS NULL))
) STRICT;
CREATE TABLE class_session (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    title TEXT NOT NULL,
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    started_utc_ms INTEGER,
    started_offset_min INTEGER CHECK (started_offset_min BETWEEN -840 AND 840),
    ended_utc_ms INTEGER,
    ended_offset_min INTEGER CHECK (ended_offset_min BETWEEN -840 AND 840),
    room_id TEXT REFERENCES room (id),
    seat_limit INTEGER NOT NULL CHECK (seat_limit >= 1),
    supervisor TEXT REFERENCES person (id),
    second TEXT REFERENCES person (id),
    handed_out_utc_ms INTEGER,
    handed_out_offset_min INTEGER CHECK (handed_out_offset_min BETWEEN -840 AND 840),
    aim_id TEXT REFERENCES tone (id),
    every_s REAL CHECK (every_s > 0),
    past_work INTEGER NOT NULL CHECK (past_work IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((started_utc_ms IS NULL) = (started_offset_min IS NULL)),
    CHECK ((ended_utc_ms IS NULL) = (ended_offset_min IS NULL)),
    CHECK ((handed_out_utc_ms IS NULL) = (handed_out_offset_min IS NULL))
) STRICT;
CREATE TABLE seat (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    class_id TEXT NOT NULL REFERENCES class_session (id),
    number INTEGER NOT NULL CHECK (number >= 1),
    seat_use TEXT NOT NULL CHECK (seat_use IN ('in use', 'watching', 'empty')),
    person_id TEXT REFERENCES person (id),
    briefed_utc_ms INTEGER,
    briefed_offset_min INTEGER CHECK (briefed_offset_min BETWEEN -840 AND 840),
    briefed_by TEXT REFERENCES person (id),
    over_limit_by TEXT REFERENCES person (id),
    over_limit_why TEXT NOT NULL,
    aim_id TEXT REFERENCES tone (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    UNIQUE (class_id, number),
    CHECK ((briefed_utc_ms IS NULL) = (briefed_offset_min IS NULL))
) STRICT;
CREATE TABLE local_rule (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    said_by TEXT NOT NULL,
    said_utc_ms INTEGER,
    said_offset_min INTEGER CHECK (said_offset_min BETWEEN -840 AND 840),
    covers TEXT NOT NULL,
    route TEXT NOT NULL,
    limit_kg REAL CHECK (limit_kg > 0),
    ended_utc_ms INTEGER,
    ended_offset_min INTEGER CHECK (ended_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((said_utc_ms IS NULL) = (said_offset_min IS NULL)),
    CHECK ((ended_utc_ms IS NULL) = (ended_offset_min IS NULL))
) STRICT;
CREATE TABLE chemical (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    finish_kind TEXT NOT NULL,
    lot_id TEXT REFERENCES lot (id),
    opened_utc_ms INTEGER,
    opened_offset_min INTEGER CHECK (opened_offset_min BETWEEN -840 AND 840),
    hazards TEXT NOT NULL,
    sheet_utc_ms INTEGER,
    sheet_offset_min INTEGER CHECK (sheet_offset_min BETWEEN -840 AND 840),
    read_utc_ms INTEGER,
    read_offset_min INTEGER CHECK (read_offset_min BETWEEN -840 AND 840),
    strength_percent REAL CHECK (strength_percent > 0 AND strength_percent <= 100),
    place TEXT NOT NULL,
    locked INTEGER NOT NULL CHECK (locked IN (0, 1)),
    on_bench_utc_ms INTEGER,
    on_bench_offset_min INTEGER CHECK (on_bench_offset_min BETWEEN -840 AND 840),
    gone_utc_ms INTEGER,
    gone_offset_min INTEGER CHECK (gone_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((opened_utc_ms IS NULL) = (opened_offset_min IS NULL)),
    CHECK ((sheet_utc_ms IS NULL) = (sheet_offset_min IS NULL)),
    CHECK ((read_utc_ms IS NULL) = (read_offset_min IS NULL)),
    CHECK ((on_bench_utc_ms IS NULL) = (on_bench_offset_min IS NULL)),
    CHECK ((gone_utc_ms IS NULL) = (gone_offset_min IS NULL))
) STRICT;
CREATE TABLE instrument (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    name TEXT NOT NULL UNIQUE CHECK (name <> ''),
    kind TEXT NOT NULL,
    alarm_ppm REAL CHECK (alarm_ppm > 0),
    tested_utc_ms INTEGER,
    tested_offset_min INTEGER CHECK (tested_offset_min BETWEEN -840 AND 840),
    gone_utc_ms INTEGER,
    gone_offset_min INTEGER CHECK (gone_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((tested_utc_ms IS NULL) = (tested_offset_min IS NULL)),
    CHECK ((gone_utc_ms IS NULL) = (gone_offset_min IS NULL))
) STRICT;
CREATE TABLE near_miss (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    kind TEXT NOT NULL CHECK (kind IN ('stop', 'near miss', 'incident')),
    words TEXT NOT NULL,
    bath_id TEXT REFERENCES bath (id),
    class_id TEXT REFERENCES class_session (id),
    who TEXT REFERENCES person (id),
    comment TEXT NOT NULL,
    commented_utc_ms INTEGER,
    commented_offset_min INTEGER CHECK (commented_offset_min BETWEEN -840 AND 840),
    withdrawn_by TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((commented_utc_ms IS NULL) = (commented_offset_min IS NULL))
) STRICT;

ALTER TABLE bath ADD COLUMN class_id TEXT REFERENCES class_session (id);
ALTER TABLE person ADD COLUMN pin TEXT NOT NULL DEFAULT '';
ALTER TABLE check_run ADD COLUMN finish_kind TEXT NOT NULL DEFAULT '';
ALTER TABLE check_run ADD COLUMN room_id TEXT REFERENCES room (id);
ALTER TABLE check_run ADD COLUMN coating_id TEXT REFERENCES coating (id);
ALTER TABLE check_run ADD COLUMN class_id TEXT REFERENCES class_session (id);
ALTER TABLE check_run ADD COLUMN second TEXT REFERENCES person (id);
ALTER TABLE check_run ADD COLUMN comment TEXT NOT NULL DEFAULT '';
ALTER TABLE check_answer ADD COLUMN state TEXT NOT NULL DEFAULT 'confirmed'
    CHECK (state IN ('confirmed', 'passed over', 'left', 'no meter'));
ALTER TABLE check_answer ADD COLUMN number REAL;
ALTER TABLE check_answer ADD COLUMN unit TEXT NOT NULL DEFAULT '';
ALTER TABLE check_answer ADD COLUMN quick INTEGER NOT NULL DEFAULT 0 CHECK (quick IN (0, 1));
ALTER TABLE disposal ADD COLUMN rule_id TEXT REFERENCES local_rule (id);
ALTER TABLE disposal ADD COLUMN finish_kind TEXT NOT NULL DEFAULT '';
ALTER TABLE disposal ADD COLUMN mass_kg REAL CHECK (mass_kg > 0);
ALTER TABLE disposal ADD COLUMN past_work INTEGER NOT NULL DEFAULT 0 CHECK (past_work IN (0, 1));
ALTER TABLE disposal ADD COLUMN baths TEXT NOT NULL DEFAULT '';

CREATE INDEX bath_class ON bath (class_id) WHERE class_id IS NOT NULL;
CREATE INDEX check_run_coating ON check_run (coating_id) WHERE coating_id IS NOT NULL;
CREATE INDEX check_run_class ON check_run (class_id) WHERE class_id IS NOT NULL;
CREATE INDEX check_run_list ON check_run (list_key, bath_id, who, at_utc_ms, id);
CREATE INDEX check_answer_item ON check_answer (item_key, who, at_utc_ms, id);
CREATE INDEX class_at ON class_session (at_utc_ms);
CREATE INDEX seat_person ON seat (person_id) WHERE person_id IS NOT NULL;
CREATE INDEX chemical_lot ON chemical (lot_id) WHERE lot_id IS NOT NULL;
CREATE INDEX near_miss_waits ON near_miss (at_utc_ms) WHERE comment = '' AND withdrawn_by = '';

CREATE TRIGGER near_miss_stays BEFORE DELETE ON near_miss BEGIN
    SELECT RAISE(ABORT, 'near misses are withdrawn, never removed');
END;

CREATE TRIGGER room_found AFTER INSERT ON room BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('room', new.id, new.name, new.openings || ' ' || new.note);
END;
CREATE TRIGGER room_found_changed AFTER UPDATE OF name, openings, note ON room BEGIN
    UPDATE find_entry SET title = new.name, words = new.openings || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER room_found_removed AFTER DELETE ON room BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER class_session_found AFTER INSERT ON class_session BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('class_session', new.id, new.number, new.title || ' ' || new.note);
END;
CREATE TRIGGER class_session_found_changed AFTER UPDATE OF number, title, note ON class_session BEGIN
    UPDATE find_entry SET title = new.number, words = new.title || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER class_session_found_removed AFTER DELETE ON class_session BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER seat_found AFTER INSERT ON seat
    WHEN new.note <> '' OR new.over_limit_why <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('seat', new.id, '', new.over_limit_why || ' ' || new.note);
END;
CREATE TRIGGER seat_found_changed AFTER UPDATE OF over_limit_why, note ON seat
    WHEN new.note <> old.note OR new.over_limit_why <> old.over_limit_why BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'seat', new.id, '', new.over_limit_why || ' ' || new.note
            WHERE new.note <> '' OR new.over_limit_why <> '';
END;
CREATE TRIGGER seat_found_removed AFTER DELETE ON seat BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER local_rule_found AFTER INSERT ON local_rule BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('local_rule', new.id, new.name, new.said_by || ' ' || new.covers || ' ' || new.route || ' ' || new.note);
END;
CREATE TRIGGER local_rule_found_changed AFTER UPDATE OF name, said_by, covers, route, note ON local_rule BEGIN
    UPDATE find_entry SET title = new.name,
        words = new.said_by || ' ' || new.covers || ' ' || new.route || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER local_rule_found_removed AFTER DELETE ON local_rule BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER chemical_found AFTER INSERT ON chemical BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('chemical', new.id, new.name, new.hazards || ' ' || new.place || ' ' || new.note);
END;
CREATE TRIGGER chemical_found_changed AFTER UPDATE OF name, hazards, place, note ON chemical BEGIN
    UPDATE find_entry SET title = new.name, words = new.hazards || ' ' || new.place || ' ' || new.note
        WHERE record_id = new.id;
END;
CREATE TRIGGER chemical_found_removed AFTER DELETE ON chemical BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER instrument_found AFTER INSERT ON instrument BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('instrument', new.id, new.name, new.note);
END;
CREATE TRIGGER instrument_found_changed AFTER UPDATE OF name, note ON instrument BEGIN
    UPDATE find_entry SET title = new.name, words = new.note WHERE record_id = new.id;
END;
CREATE TRIGGER instrument_found_removed AFTER DELETE ON instrument BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
CREATE TRIGGER near_miss_found AFTER INSERT ON near_miss BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('near_miss', new.id, new.number, new.words || ' ' || new.comment);
END;
CREATE TRIGGER near_miss_found_changed AFTER UPDATE OF words, comment ON near_miss BEGIN
    UPDATE find_entry SET words = new.words || ' ' || new.comment WHERE record_id = new.id;
END;
