#!/bin/sh
# What leaves the log, as programs of other people read it: Python's csv and json, a JSON Schema validator, sha256sum,
# pdfinfo and pdftotext of poppler, and the sqlite3 shell on the log itself.
. "$(dirname "$0")/lib/tap.sh"

XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" XDG_STATE_HOME="$work/state"
export XDG_CONFIG_HOME XDG_DATA_HOME XDG_STATE_HOME
tonebath() { "$TONEBATH" --demo "$@"; }

tonebath log export --out "$work/csv" >/dev/null
check 'export: CSV is written' same 0 $?
tonebath log export --out "$work/json" --format json >/dev/null
check 'export: JSON is written' same 0 $?
log=$(tonebath log where 2>/dev/null)
[ -f "$log" ] || log=$work/state/tonebath/demo.tonebath
check 'export: every noun of the log, with as many records as the sqlite3 shell counts, read by csv and json alike' \
    python3 - "$work" "$log" <<'PY'
import csv, json, os, subprocess, sys
work, log = sys.argv[1:]
csv.field_size_limit(10**8)
bad = records = 0
files = json.load(open(f'{work}/csv/export.json'))['files']
for entry in files:
    table = entry['file'][:-4]
    with open(f'{work}/csv/{table}.csv', newline='', encoding='utf-8') as f:
        rows = list(csv.DictReader(f, strict=True))
    objects = json.load(open(f'{work}/json/{table}.json', encoding='utf-8'))
    counted = int(subprocess.run(['sqlite3', '-readonly', log, f'SELECT count(*) FROM {table}'], capture_output=True, text=True, check=True).stdout)
    if not len(rows) == len(objects) == counted == entry['records']:
        print('#', table, len(rows), len(objects), counted); bad += 1
    for row, one in zip(rows, objects):
        if list(row) != list(one):
            print('# columns of', table); bad += 1; break
        for name, cell in row.items():
            value = one[name]
            text = '' if value is None else 'yes' if value is True else 'no' if value is False else value
            same = float(cell) == value if isinstance(value, (int, float)) and not isinstance(value, bool) else cell == text or cell == "'" + str(text)
            if not same:
                print('#', table, name, repr(cell), repr(value)); bad += 1
    records += len(rows)
print('#', len(files), 'files,', records, 'records')
sys.exit(1 if bad or records < 1000 else 0)
PY
check 'export: no table and no column of the log is left out but what never leaves it' python3 - "$work/csv" "$log" <<'PY'
import csv, glob, os, subprocess, sys
folder, log = sys.argv[1:]
def asked(sql):
    return subprocess.run(['sqlite3', '-readonly', log, sql], capture_output=True, text=True, check=True).stdout.split()
own = {'change', 'change_row', 'setting', 'find_entry'}  # the log's own books, no records
tables = {name for name in asked("SELECT name FROM sqlite_master WHERE type = 'table'") if not name.startswith(('sqlite_', 'find_index'))} - own
files = {os.path.basename(path)[:-4] for path in glob.glob(f'{folder}/*.csv')}
bad = tables ^ files
for table in sorted(tables & files):
    columns = []
    for name in asked(f"SELECT name FROM pragma_table_info('{table}')"):
        name = name.removesuffix('_utc_ms') if name.endswith('_utc_ms') else name
        if not name.endswith('_offset_min') and (table, name) != ('person', 'pin'):
            columns.append(name)
    head = next(csv.reader(open(f'{folder}/{table}.csv', newline='', encoding='utf-8')))
    if sorted(head) != sorted(columns):
        bad.add(f'{table}: {set(head) ^ set(columns)}')
for one in bad:
    print('#', one)
sys.exit(1 if bad or len(tables) < 35 else 0)
PY
check 'export: the sums in its list are those of sha256sum' python3 - "$work/csv" <<'PY'
import json, subprocess, sys
folder = sys.argv[1]
for entry in json.load(open(f'{folder}/export.json'))['files']:
    told = subprocess.run(['sha256sum', f'{folder}/{entry["file"]}'], capture_output=True, text=True, check=True).stdout.split()[0]
    if told != entry['sha256']:
        print('#', entry['file']); sys.exit(1)
PY
check 'export: every file fits its published schema, and one that is spoiled does not' python3 - "$work/json" "$TONEBATH_SOURCE/data/schema" <<'PY'
import glob, json, os, sys
import jsonschema
folder, schemas = sys.argv[1:]
count = 0
for path in sorted(glob.glob(f'{schemas}/*.schema.json')):
    schema = json.load(open(path))
    assert schema['$schema'] == 'https://json-schema.org/draft/2020-12/schema'
    validator = jsonschema.Draft202012Validator(schema)
    jsonschema.Draft202012Validator.check_schema(schema)
    table = os.path.basename(path)[:-len('.schema.json')]
    records = json.load(open(f'{folder}/{table}.json'))
    for error in validator.iter_errors(records):
        print('#', table, error.message[:200]); sys.exit(1)
    if records:
        spoiled = [dict(records[0], id='not an id'), dict(records[0], more=1), {k: v for k, v in records[0].items() if k != 'made'}]
        if any(validator.is_valid([one]) for one in spoiled):
            print('#', table, 'takes a spoiled record'); sys.exit(1)
    count += 1
print('#', count, 'schemas')
sys.exit(0 if count > 35 else 1)
PY

"$TONEBATH" --log "$work/again.tonebath" log import "$work/csv" >/dev/null
check 'import: taken' same 0 $?
"$TONEBATH" --log "$work/again.tonebath" log export --out "$work/second" >/dev/null
check 'import: exported again, byte for byte the same' same '' \
    "$(cd "$work/csv" && for f in *.csv; do cmp -s "$f" "$work/second/$f" || echo "$f"; done)"
check 'import: the log is whole for the sqlite3 shell too' same ok "$(sqlite3 "$work/again.tonebath" 'PRAGMA integrity_check')"

tonebath record-pack --from '1 Jan 2026' --to '31 Mar 2026' --out "$work/pack" --json >"$work/pack.json"
check 'record pack: written' same 0 $?
check 'record pack: sha256sum -c finds every file as it was' sh -c "cd '$work/pack' && sha256sum --quiet -c SHA256SUMS"
check 'record pack: and knows all files but itself' same "$(ls "$work/pack" | wc -l | tr -d ' ')" "$(($(wc -l <"$work/pack/SHA256SUMS") + 1))"
pages=$(pdfinfo "$work/pack/record-pack.pdf" | sed -n 's/^Pages: *//p')
check 'record pack: pages by pdfinfo' test "$pages" -ge 2
first=$(pdftotext -f 1 -l 1 "$work/pack/record-pack.pdf" - | tr '\n' ' ')
all=$(pdftotext -layout "$work/pack/record-pack.pdf" -)
check 'record pack: dated and paginated' holds "$all" "page 1 of $pages"
check 'record pack: says that the studio is invented' holds "$first" 'invented'
printf '%s' "$first" >"$work/first.txt"
check 'record pack: every gap stands on page one' python3 - "$work/pack.json" "$work/first.txt" <<'PY'
import json, re, sys
squeeze = lambda text: re.sub(r'\s+', '', text)
gaps = json.load(open(sys.argv[1]))['gaps']
page = squeeze(open(sys.argv[2]).read())
missing = [gap for gap in gaps if squeeze(gap) not in page]
for gap in missing:
    print('#', gap)
print('#', len(gaps), 'gaps')
sys.exit(1 if missing or len(gaps) < 3 else 0)
PY
check 'record pack: the near miss of December is not in these three months' sh -c \
    "! pdftotext -layout '$work/pack/record-pack.pdf' - | grep -q '14 Dec 2025'"
check 'record pack: the local rule stands beside the disposals' holds "$all" 'letter of'
check 'record pack: who decides stands in it' holds "$all" 'local'
check 'record pack: a range without records is refused' sh -c \
    "'$TONEBATH' --demo record-pack --from '1 Jan 2001' --to '2 Jan 2001' --out '$work/none' 2>&1 | grep -q 'nothing was written down'"
check 'record pack: CSV holds what the log holds in that time' python3 - "$work/pack" "$log" <<'PY'
import csv, datetime, subprocess, sys
folder, log = sys.argv[1:]
def rows(name):
    return list(csv.DictReader(open(f'{folder}/{name}.csv', newline='', encoding='utf-8'), strict=True))
def counted(sql):
    return int(subprocess.run(['sqlite3', '-readonly', log, sql], capture_output=True, text=True, check=True).stdout)
begin = int(datetime.datetime.fromisoformat('2026-01-01T00:00:00+01:00').timestamp() * 1000)
end = int(datetime.datetime.fromisoformat('2026-04-01T00:00:00+01:00').timestamp() * 1000)
bad = 0
for table in ['check_run', 'check_answer', 'disposal', 'reading', 'near_miss', 'lot_weighing']:
    here, there = len(rows(table)), counted(f'SELECT count(*) FROM {table} WHERE at_utc_ms >= {begin} AND at_utc_ms < {end}')
    print('#', table, here, there)
    bad += here != there
bad += len(rows('person')) != counted('SELECT count(*) FROM person')
sys.exit(1 if bad else 0)
PY
tonebath record-pack check "$work/pack" >/dev/null
check 'record pack: looked at again, as it was' same 0 $?
printf x >>"$work/pack/disposal.csv"
check 'record pack: a changed file is found' holds "$(tonebath record-pack check "$work/pack")" 'disposal.csv is not as it was written'
finish
