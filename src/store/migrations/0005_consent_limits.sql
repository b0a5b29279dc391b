-- Limits of the air that the studio types in itself, from sheets that may not be passed on.
CREATE TABLE own_limit (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    number TEXT NOT NULL UNIQUE CHECK (number <> ''),
    substance TEXT NOT NULL,
    body TEXT NOT NULL,
    limit_kind TEXT NOT NULL CHECK (limit_kind IN ('ceiling', '15 min', '8 h')),
    ppm REAL NOT NULL CHECK (ppm > 0),
    year TEXT NOT NULL,
    source TEXT NOT NULL,
    ended_utc_ms INTEGER,
    ended_offset_min INTEGER CHECK (ended_offset_min BETWEEN -840 AND 840),
    note TEXT NOT NULL,
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840),
    from_memory TEXT NOT NULL,
    CHECK ((ended_utc_ms IS NULL) = (ended_offset_min IS NULL))
) STRICT;
CREATE TRIGGER own_limit_found AFTER INSERT ON own_limit BEGIN
    INSERT INTO find_entry (table_name, record_id, title, words)
        VALUES ('own_limit', new.id, new.number, new.substance || ' ' || new.body || ' ' || new.source || ' ' || new.note);
END;
CREATE TRIGGER own_limit_found_changed AFTER UPDATE OF number, substance, body, source, note ON own_limit BEGIN
    UPDATE find_entry SET title = new.number,
        words = new.substance || ' ' || new.body || ' ' || new.source || ' ' || new.note WHERE record_id = new.id;
END;
CREATE TRIGGER own_limit_found_removed AFTER DELETE ON own_limit BEGIN
    DELETE FROM find_entry WHERE record_id = old.id;
END;
-- Minors in a class, where the venue asks for the consent of whoever answers for them: whether it is asked, who is a minor, and who
-- saw the paper when.
ALTER TABLE class_session ADD COLUMN consent_asked INTEGER NOT NULL DEFAULT 0 CHECK (consent_asked IN (0, 1));
ALTER TABLE seat ADD COLUMN minor INTEGER NOT NULL DEFAULT 0 CHECK (minor IN (0, 1));
ALTER TABLE seat ADD COLUMN consent_utc_ms INTEGER;
ALTER TABLE seat ADD COLUMN consent_offset_min INTEGER CHECK (consent_offset_min BETWEEN -840 AND 840)
    CHECK ((consent_utc_ms IS NULL) = (consent_offset_min IS NULL));
ALTER TABLE seat ADD COLUMN consent_by TEXT REFERENCES person (id);
