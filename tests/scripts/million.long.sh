#!/bin/sh
# A million dips out as CSV and in again: time and memory, beside the sqlite3 shell's own .import of the same file. Export
# must stay in flat memory; the rest is told.
. "$(dirname "$0")/lib/tap.sh"

XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" XDG_STATE_HOME="$work/state"
export XDG_CONFIG_HOME XDG_DATA_HOME XDG_STATE_HOME
rows=${TONEBATH_MILLION:-1000000}
for log in small large; do
    "$TONEBATH" --log "$work/$log.tonebath" piece add --number L-001 >/dev/null
done
fill() { # LOG ROWS: one past bath, its dips of one piece, ids as UUID version 7
    sqlite3 "$1" "
    INSERT INTO bath (id, number, finish_kind, water_source, additives, measure, made_up_utc_ms, made_up_offset_min, past_work, note, made_utc_ms,
        made_offset_min, from_memory) VALUES ('019d0000-0000-7000-8000-000000000001', '1', 'unknown', '', '', '', 1774946520000, 60, 1, '', 1774946520000, 60, '');
    WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < $2)
    INSERT INTO dip (id, bath_id, piece_id, boot_id, dropped_utc_ms, dropped_offset_min, out_utc_ms, out_offset_min, in_bath_s, temp_c, clock_gap, watched, past_work,
        note, made_utc_ms, made_offset_min, from_memory)
        SELECT printf('019d0000-%04x-7%03x-8000-%012x', i >> 12, i & 4095, i), '019d0000-0000-7000-8000-000000000001', (SELECT id FROM piece), '', 1774946520000 + i, 60,
            1774946520000 + i + 40000, 60, 40.0 + (i % 200) / 10.0, 40.0 + (i % 200) / 10.0, 0, 0, 1, '', 1774946520000 + i, 60, '' FROM n;"
}
fill "$work/small.tonebath" 1000 2>/dev/null || true
fill "$work/large.tonebath" "$rows" 2>/dev/null || true
check 'the large log holds them' same "$rows" "$(sqlite3 "$work/large.tonebath" 'SELECT count(*) FROM dip')"

# measured NAME COMMAND...: leaves "seconds kilobytes" in NAME.
measured() {
    name=$1
    shift
    python3 - "$work/$name" "$@" <<'PY'
import resource, subprocess, sys, time
begin = time.monotonic()
code = subprocess.run(sys.argv[2:], stdout=subprocess.DEVNULL).returncode
with open(sys.argv[1], 'w') as out:
    out.write(f'{time.monotonic() - begin:.1f} {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss}')
sys.exit(code)
PY
}
said() { echo "# $1: $(cut -d' ' -f1 "$work/$1") s, $(($(cut -d' ' -f2 "$work/$1") / 1024)) MB"; }

check 'export of a thousand' measured export_small "$TONEBATH" --log "$work/small.tonebath" log export --out "$work/out_small"
check "export of $rows" measured export_large "$TONEBATH" --log "$work/large.tonebath" log export --out "$work/out"
check "all are in the file" same "$((rows + 1))" "$(wc -l <"$work/out/dip.csv" | tr -d ' ')"
small=$(cut -d' ' -f2 "$work/export_small") large=$(cut -d' ' -f2 "$work/export_large")
check 'export: in flat memory' is "$large < $small + 60000"
check "import of $rows" measured import_large "$TONEBATH" --log "$work/again.tonebath" log import "$work/out"
check 'import: all are there' same "$rows" "$(sqlite3 "$work/again.tonebath" 'SELECT count(*) FROM dip')"
check "record pack with $rows" measured pack_large "$TONEBATH" --log "$work/large.tonebath" record-pack --from '1 Jan 2026' --to '31 Dec 2026' --out "$work/pack"
check 'the sqlite3 shell imports the same file' measured sqlite_import sqlite3 "$work/beside.db" '.mode csv' ".import $work/out/dip.csv dip"
for name in export_small export_large import_large pack_large sqlite_import; do said "$name"; done
finish
