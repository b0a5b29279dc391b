-- The studio's own figures in the place of what is usual, as records: with who, when, source and trust, in the change log
-- and open to undo.
CREATE TABLE own_figure (
    id TEXT PRIMARY KEY NOT NULL CHECK (length(id) = 36),
    figure TEXT NOT NULL UNIQUE CHECK (figure <> ''),
    middle REAL NOT NULL,
    low REAL,
    high REAL,
    source TEXT NOT NULL,
    trust TEXT NOT NULL,
    at_utc_ms INTEGER NOT NULL,
    at_offset_min INTEGER NOT NULL CHECK (at_offset_min BETWEEN -840 AND 840),
    who TEXT REFERENCES person (id),
    made_utc_ms INTEGER NOT NULL,
    made_offset_min INTEGER NOT NULL CHECK (made_offset_min BETWEEN -840 AND 840)
) STRICT;

-- Until now they were lines of a setting, oldest first: key, moment, middle, low, high, source, parted by tabs; an empty
-- middle: as usual again. The last line of each key is carried over (a backslash in a source becomes a stroke, which the
-- lines' own reading needs); the lines themselves stay under another name.
INSERT INTO own_figure (id, figure, middle, low, high, source, trust, at_utc_ms, at_offset_min, who, made_utc_ms, made_offset_min)
SELECT lower(substr(h, 1, 8) || '-' || substr(h, 9, 4) || '-7' || substr(h, 14, 3) || '-8' || substr(h, 18, 3) || '-' || substr(h, 21, 12)),
       figure, middle, low, high, source, 'own', at_ms, 0, NULL, at_ms, 0
FROM (
    SELECT hex(randomblob(16)) AS h, part ->> 0 AS figure, CAST(part ->> 2 AS REAL) AS middle,
           CASE part ->> 3 WHEN '' THEN NULL ELSE CAST(part ->> 3 AS REAL) END AS low,
           CASE part ->> 4 WHEN '' THEN NULL ELSE CAST(part ->> 4 AS REAL) END AS high,
           part ->> 5 AS source, CAST(strftime('%s', part ->> 1) AS INTEGER) * 1000 AS at_ms,
           part ->> 2 AS written, row_number() OVER (PARTITION BY part ->> 0 ORDER BY line DESC) AS newest
    FROM (
        SELECT lines.key AS line, '[' || replace(json_quote(lines.value), '\t', '","') || ']' AS part
        FROM setting, json_each('[' || replace(json_quote(replace(setting.value, char(92), '/')), '\n', '","') || ']') AS lines
        WHERE setting.key = 'usual' AND json_valid('[' || replace(json_quote(lines.value), '\t', '","') || ']')
              AND json_array_length('[' || replace(json_quote(lines.value), '\t', '","') || ']') = 6
    )
)
WHERE newest = 1 AND written <> '' AND figure <> '' AND at_ms IS NOT NULL;
UPDATE setting SET key = 'usual_lines_before_own_figures' WHERE key = 'usual';
