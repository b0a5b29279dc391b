-- Bottles, coating evenings, coats, looks at stones afterwards, and the pieces that stones were on before.
CREATE TABLE bottle (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    kind TEXT NOT NULL,
    opened_utc_ms INTEGER,
    opened_offset_min INTEGER CHECK (opened_offset_min BETWEEN -840 AND 840),
    emptied_utc_ms INTEGER,
    emptied_offset_min INTEGER CHECK (emptied_offset_min BETWEEN -840 AND 840),
    recoat_s REAL CHECK (recoat_s >= 0),
    cure_s REAL CHECK (cure_s >= 0),
    solids_percent REAL CHECK (solids_percent BETWEEN 0 AND 100),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((opened_utc_ms IS NULL) = (opened_offset_min IS NULL)),
    CHECK ((emptied_utc_ms IS NULL) = (emptied_offset_min IS NULL))
) STRICT;
CREATE TABLE coating (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    bottle_id TEXT REFERENCES bottle (id),
    started_utc_ms INTEGER NOT NULL,
    started_offset_min INTEGER NOT NULL CHECK (started_offset_min BETWEEN -840 AND 840),
    ended_utc_ms INTEGER,
    ended_offset_min INTEGER CHECK (ended_offset_min BETWEEN -840 AND 840),
    stones INTEGER NOT NULL CHECK (stones >= 1),
    row INTEGER NOT NULL CHECK (row >= 1),
    coats INTEGER NOT NULL CHECK (coats >= 1),
    by_row INTEGER NOT NULL CHECK (by_row IN (0, 1)),
    each_s REAL NOT NULL CHECK (each_s >= 0),
    wait_s REAL NOT NULL CHECK (wait_s >= 0),
    cure_s REAL NOT NULL CHECK (cure_s >= 0),
    room_c REAL CHECK (room_c BETWEEN -273.15 AND 2000),
    humidity_percent REAL CHECK (humidity_percent BETWEEN 0 AND 100),
    laid_out TEXT NOT NULL,
    check_said TEXT NOT NULL,
    who TEXT REFERENCES person (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((ended_utc_ms IS NULL) = (ended_offset_min IS NULL))
) STRICT;
CREATE TABLE coat (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    coating_id TEXT REFERENCES coating (id),
    stone_id TEXT REFERENCES stone (id),
    bottle_id TEXT REFERENCES bottle (id),
    place INTEGER CHECK (place >= 1),
    layer INTEGER NOT NULL CHECK (layer >= 1),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    skipped INTEGER NOT NULL CHECK (skipped IN (0, 1)),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE TABLE follow_up (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    stone_id TEXT NOT NULL REFERENCES stone (id),
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    seen TEXT NOT NULL CHECK (seen IN ('unharmed', 'worn', 'lifted', 'clouded', 'dulled', 'chipped', 'gone', 'not seen')),
    zone TEXT NOT NULL CHECK (zone IN ('unknown', 'point', 'side', 'edge', 'face')),
    who TEXT REFERENCES person (id),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL
) STRICT;
CREATE TABLE stone_stay (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    stone_id TEXT NOT NULL REFERENCES stone (id),
    piece_id TEXT NOT NULL REFERENCES piece (id),
    set_utc_ms INTEGER,
    set_offset_min INTEGER CHECK (set_offset_min BETWEEN -840 AND 840),
    off_utc_ms INTEGER NOT NULL,
    off_offset_min INTEGER NOT NULL CHECK (off_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    CHECK ((set_utc_ms IS NULL) = (set_offset_min IS NULL))
) STRICT;
CREATE INDEX coat_stone ON coat (stone_id) WHERE stone_id IS NOT NULL;
CREATE INDEX coat_coating ON coat (coating_id, place, layer) WHERE coating_id IS NOT NULL;
CREATE INDEX coat_bottle ON coat (bottle_id) WHERE bottle_id IS NOT NULL;
CREATE INDEX coating_bottle ON coating (bottle_id) WHERE bottle_id IS NOT NULL;
CREATE INDEX coating_open ON coating (started_utc_ms) WHERE ended_utc_ms IS NULL;
CREATE INDEX follow_up_stone ON follow_up (stone_id, at_utc_ms);
CREATE INDEX stone_stay_stone ON stone_stay (stone_id);
CREATE INDEX stone_stay_piece ON stone_stay (piece_id);

CREATE TRIGGER bottle_found AFTER INSERT ON bottle BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('bottle', new.id, new.number, new.kind || ' ' || new.note);
END;
CREATE TRIGGER bottle_found_changed AFTER UPDATE OF number, kind, note ON bottle
    WHEN new.number <> old.number OR new.kind <> old.kind OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.kind || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER bottle_found_removed AFTER DELETE ON bottle BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER coating_found AFTER INSERT ON coating BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('coating', new.id, new.number, new.note);
END;
CREATE TRIGGER coating_found_changed AFTER UPDATE OF number, note ON coating
    WHEN new.number <> old.number OR new.note <> old.note BEGIN
    UPDATE find_entry SET title = new.number, words = new.note WHERE record_id = new.id;
END;
CREATE TRIGGER coating_found_removed AFTER DELETE ON coating BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER coat_found AFTER INSERT ON coat
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('coat', new.id, '', new.note);
END;
CREATE TRIGGER coat_found_changed AFTER UPDATE OF note ON coat
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'coat', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER coat_found_removed AFTER DELETE ON coat BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER follow_up_found AFTER INSERT ON follow_up
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('follow_up', new.id, '', new.note);
END;
CREATE TRIGGER follow_up_found_changed AFTER UPDATE OF note ON follow_up
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'follow_up', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER follow_up_found_removed AFTER DELETE ON follow_up BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;

CREATE TRIGGER stone_stay_found AFTER INSERT ON stone_stay
    WHEN new.note <> '' BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words) VALUES ('stone_stay', new.id, '', new.note);
END;
CREATE TRIGGER stone_stay_found_changed AFTER UPDATE OF note ON stone_stay
    WHEN new.note <> old.note BEGIN
    DELETE FROM find_entry WHERE record_id = new.id;
    INSERT INTO find_entry (table_name, record_id, title, words)
        SELECT 'stone_stay', new.id, '', new.note WHERE new.note <> '';
END;
CREATE TRIGGER stone_stay_found_removed AFTER DELETE ON stone_stay BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
