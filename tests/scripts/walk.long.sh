#!/bin/sh
# The main job from an empty log in the real window, by keys and pointer, and step by step the same by commands in a log of
# their own: make up a bath, three readings, the check, two strips, the plan, a rack of eight, judge, batch spread.
# At the end both logs hold the same facts. With TONEBATH_PICTURES=FOLDER each step leaves a picture there.
. "$(dirname "$0")/lib/tap.sh"

start_display 1280x800x24 || { echo 'not ok 1 - a virtual display starts'; exit 1; }
XDG_DATA_HOME=$work/data XDG_CONFIG_HOME=$work/config XDG_STATE_HOME=$work/state
export XDG_DATA_HOME XDG_CONFIG_HOME XDG_STATE_HOME
typed_log=$work/window.tonebath
said_log=$work/commands.tonebath

step=0
picture() {
    step=$((step + 1))
    [ -z "${TONEBATH_PICTURES-}" ] || import -window root "$TONEBATH_PICTURES/$(printf %02d $step)-$1.png"
}
keys() { xdotool key --delay 120 "$@"; sleep 0.4; }
text() { xdotool type --delay 50 "$1"; sleep 0.2; }
touch_at() { xdotool mousemove "$1" "$2" click 1; sleep 0.6; }
# The same by command, in the other log.
also() { "$TONEBATH" --log "$said_log" "$@" >"$work/said" 2>&1 || { echo "# refused: tonebath $*"; sed 's/^/# /' "$work/said"; said_no=1; }; }
said_no=0
ask() { sqlite3 -readonly "$1" "$2" 2>/dev/null; }
count() { ask "$typed_log" "SELECT count(*) FROM $1"; }
# wrote TABLE N WHAT: waits until the window's log holds N rows.
wrote() { check "$3" wait_until 30 sh -c "[ \"\$(sqlite3 -readonly '$typed_log' 'SELECT count(*) FROM $1' 2>/dev/null)\" = '$2' ]"; }

(shown "$TONEBATH" --log "$typed_log" --size 1280x800 >"$work/out" 2>&1) &
window_pid=$!
check 'the window opens on no log at all' wait_until 60 xdotool search --onlyvisible --name 'Tonebath'
sleep 2
xdotool mousemove 5 400
picture first-start

# ---- the studio's own numbers are asked for first
text '112'
keys ctrl+Return
check 'the emergency number that was asked for is kept' wait_until 10 sh -c "sqlite3 -readonly '$typed_log' 'SELECT * FROM setting' | grep -q 112"
also studio emergency-numbers --emergency 112

# ---- a jar, a person, who is at the bench
keys Return
text 'LS-1'
keys Tab Tab Tab Tab
text '100 g'
keys ctrl+Return
wrote lot 1 'Enter on the first start leads to the jar, and it is written down'
also lot add --number LS-1 --form lump --amount '100 g'
keys slash
text 'write down a person'
keys Return
text MK
keys ctrl+Return
wrote person 1 'a person is found among the actions, and written down'
also person add --initials MK
keys w
text MK
keys ctrl+Return
check 'the person is at the bench' wait_until 10 sh -c "sqlite3 -readonly '$typed_log' 'SELECT * FROM setting' | grep -q ."
also person at-bench --who MK
picture today

# answer LIST [--bath 1]: the list that is on the screen, a line at a time as it can be read, by Enter and in words; then the same
# words by command.
stands() { "$TONEBATH" --log "$typed_log" check show "$@" --json 2>/dev/null | sed -n 's/^  "\(asked\|answered\|done\)": \([0-9a-z]*\),.*/\2/p' | tr '\n' ' '; }
answer() {
    list=$1 lines=0
    while :; do
        read -r asked answered done_now <<STATE
$(stands "$@")
STATE
        [ "$done_now" = true ] && break
        [ "$list" = during ] && [ "$asked" = "$answered" ] && break
        [ $lines -ge 12 ] && { echo "# the list $list does not end"; said_no=1; return; }
        sleep 4
        xdotool key Return
        sleep 1
        case $(stands "$@") in *true*) break ;; esac  # the last line closes with Enter alone
        text 'looked at, 40'  # with a figure, for lines that ask one
        keys Return
        lines=$((lines + 1))
    done
    ask "$typed_log" "SELECT substr(item_key, instr(item_key, '.') + 1) || ': ' || response FROM check_answer JOIN check_run ON check_run.id = run_id
        WHERE list_key = '$list' AND state = 'confirmed' ORDER BY check_answer.at_utc_ms, check_answer.id" >"$work/lines"
    shift
    [ $# = 0 ] && set -- --lot LS-1
    set -- --list "$list" "$@" --keep check.quick
    while IFS= read -r line; do set -- "$@" --item "$line"; done <"$work/lines"
    also check confirm "$@"
}

# ---- no bath is made up before its list
keys m Tab
text 'LS-1'
keys ctrl+Return
sleep 1
check 'no bath before its list' same 0 "$(count bath)"
keys Escape Escape 8
sleep 1
picture mixing-list
answer before_mixing
check 'the list before mixing is closed' same 1 "$(count check_run)"

# ---- a bath, typed ten times too strong at first
keys 1 m Tab
text 'LS-1'
keys Tab Tab
text '20 g'
keys Tab Tab
text '400 ml'
keys Tab
text '60'
keys Tab
text '19'
keys ctrl+Return
sleep 1
picture question
check 'ten times the usual strength is asked about, not taken' same 0 "$(count bath)"
keys alt+a
wrote bath 1 'the answer is a key, and the bath is made up'
also bath make-up --number 1 --lot LS-1 --amount '2 g' --water '400 ml' --start-temp 60 --room-temp 19
picture made-up

# ---- three readings, one of them refused first, one in the other unit
keys 3 r
text '59.4'
keys Return
wrote reading 1 'a reading'
also bath read --bath 1 --temp 59.4
sleep 4
keys r
text 'warm'
keys Return
check 'a word is no reading' same 1 "$(count reading)"
text '58.9'
keys Return
wrote reading 2 'typed again over the refused one'
also bath read --bath 1 --temp 58.9
sleep 4
keys r
text '137 F'
keys Return
wrote reading 3 'a reading in degrees Fahrenheit'
also bath read --bath 1 --temp '137 F'
picture baths

# press ACT SUBJECT-OPTION SUBJECT: the one key, and what it did, by command.
presses=0
press() {
    xdotool key space
    presses=$((presses + 1))
    wait_until 15 sh -c "[ \"\$(sqlite3 -readonly '$typed_log' 'SELECT count(*) FROM press' 2>/dev/null)\" = '$presses' ]" || { echo "# press $presses is not in the log"; said_no=1; }
    last=$(ask "$typed_log" "SELECT press.act, press.lane, printf('%f %f %f', planned_low_s, planned_s, planned_high_s), CASE WHEN dip.strip_id IS NULL THEN '--piece' ELSE '--strip' END,
        coalesce(strip.number, piece.number) FROM press JOIN dip ON dip.id = press.dip_id LEFT JOIN strip ON strip.id = dip.strip_id
        LEFT JOIN piece ON piece.id = dip.piece_id ORDER BY press.boot_ms DESC LIMIT 1")
    act=${last%%|*}; rest=${last#*|}
    lane=${rest%%|*}; rest=${rest#*|}
    promise=${rest%%|*}; rest=${rest#*|}
    case $act in
        drop)
            set -- $promise
            also dip drop --bath 1 "${rest%%|*}" "${rest#*|}" --lane "$lane" --aim blue --planned-low "$1" --planned "$2" --planned-high "$3" ;;
        out) also dip out --lane "$lane" ;;
        rinsed) also dip rinsed "${rest%%|*}" "${rest#*|}" ;;
        *) echo "# unknown act $act"; said_no=1 ;;
    esac
}

# ---- the check before the bath, and two strips, both pulled as blue came
keys 2 s Tab
text sterling
keys Tab Tab
text blue
keys ctrl+Return
wrote strip 1 'a strip is laid out'
also strip lay-out --bath 1 --metal sterling --aim blue
picture check
xdotool key space
sleep 1
check 'no drop before the check' same 0 "$(count press)"
answer before_session --bath 1
check 'the list before the session is closed' same 2 "$(ask "$typed_log" 'SELECT count(*) FROM check_run WHERE done_utc_ms IS NOT NULL')"
picture bench
press
sleep 13
picture out
press
sleep 5
press
picture judging
touch_at 844 528
keys p
wrote judgement 1 'two touches: where the strip is, and that it was pulled as the tone came'
also judgement add --strip 1 --tone blue --watched yes
keys s Tab
text sterling
keys Tab Tab
text blue
keys ctrl+Return
wrote strip 2 'a second strip'
also strip lay-out --bath 1 --metal sterling --aim blue
sleep 1
picture during
answer during --bath 1
press
sleep 14
press
sleep 5
press
touch_at 844 528
keys p
wrote judgement 2 'the second strip is judged'
also judgement add --strip 2 --tone blue --watched yes

# ---- the plan
keys 4
sleep 3
picture plan
"$TONEBATH" --log "$typed_log" plan --bath 1 --tone blue --metal sterling --json >"$work/plan_w" 2>&1
"$TONEBATH" --log "$said_log" plan --bath 1 --tone blue --metal sterling --json >"$work/plan_c" 2>&1
out_w=$(sed -n 's/^ *"out_s": \([0-9.]*\).*/\1/p' "$work/plan_w" | head -n 1)
out_c=$(sed -n 's/^ *"out_s": \([0-9.]*\).*/\1/p' "$work/plan_c" | head -n 1)
echo "# plan: $out_w s by the window's log, $out_c s by the commands' log"
check 'both logs plan the same time, give or take what a hand was late' is "${out_w:-0} > 5 && (${out_w:-0} - ${out_c:-99}) ^ 2 < 2.25"

# ---- a batch of eight, and the rack
keys 5 b
text '31'
keys Tab
text Limpet
keys ctrl+Return
wrote batch 1 'a batch'
also batch add --number 31 --design Limpet
keys a
text 'L-131..L-138'
keys Tab
text Limpet
keys Tab
text sterling
keys Tab Tab Tab
text '31'
keys ctrl+Return
wrote piece 8 'eight pieces at once'
also piece add --number L-131..L-138 --design Limpet --metal sterling --batch 31
picture pieces
keys 2 l Tab
text '31'
keys Tab Tab Tab Tab
text blue
keys Tab
text '6 s'
keys ctrl+Return
sleep 2
also bench lay-out --bath 1 --batch 31 --aim blue --every '6 s'
picture rack
more=0
while [ "$(ask "$typed_log" "SELECT count(*) FROM press WHERE act = 'rinsed'")" -lt 10 ] && [ $more -lt 40 ]; do
    press
    more=$((more + 1))
    [ $more = 6 ] && picture lanes
    sleep 4.3
done
check 'eight pieces were dropped, lifted out and rinsed by the one key' same '10|10|10' \
    "$(ask "$typed_log" "SELECT sum(act = 'drop'), sum(act = 'out'), sum(act = 'rinsed') FROM press")"

# ---- judge them on the strip: six as aimed, one lighter, one over
i=0
for x in 844 844 844 730 844 844 960 844; do
    touch_at $x 528
    [ $i = 0 ] && picture judge-piece
    keys space
    i=$((i + 1))
    sleep 0.6
done
wrote judgement 10 'eight judgements by two touches each'
ask "$typed_log" "SELECT piece.number, tone.word, judgement.fraction FROM judgement JOIN piece ON piece.id = judgement.piece_id
    JOIN tone ON tone.id = judgement.tone_id ORDER BY judgement.at_utc_ms" >"$work/judged"
while IFS='|' read -r number word fraction; do
    also judgement add --piece "$number" --tone "$word" --fraction "$fraction" --keep tone.inverted
done <"$work/judged"
picture after-judging
keys 5
sleep 2
picture spread
"$TONEBATH" --log "$typed_log" spread --batch 31 >"$work/spread_w" 2>&1
"$TONEBATH" --log "$said_log" spread --batch 31 >"$work/spread_c" 2>&1
sed 's/^/# /' "$work/spread_w"
check 'the spread of the batch is told' holds "$(cat "$work/spread_w")" 'L-13'
check 'and is the same by both logs' same "$(cat "$work/spread_w")" "$(cat "$work/spread_c")"

kill -TERM "$window_pid"
check 'the window ends' wait_until 20 sh -c "! kill -0 $window_pid 2>/dev/null"
wait "$window_pid" 2>/dev/null

# ---- the same facts: all but ids, moments, and how late a hand was
check 'no command was refused' same 0 "$said_no"
facts() {
    sqlite3 -readonly "$1" <<'Q'
SELECT 'lot', number, form, bought_amount, unit FROM lot;
SELECT 'person', initials FROM person;
SELECT 'bath', bath.number, lot.number, bath.amount, water_ml, start_temp_c, room_temp_c, initials, bath.past_work FROM bath JOIN lot ON lot.id = bath.lot_id LEFT JOIN person ON person.id = bath.who;
SELECT 'reading', round(temp_c, 2), reheated, kept, initials, from_memory FROM reading LEFT JOIN person ON person.id = reading.who ORDER BY at_utc_ms;
SELECT 'check', count(*) FROM check_run;
SELECT 'answer', item_key, level FROM check_answer ORDER BY 2;
SELECT 'strip', number, metal.name FROM strip LEFT JOIN metal ON metal.id = strip.metal_id ORDER BY 2;
SELECT 'piece', piece.number, piece.design, batch.number FROM piece LEFT JOIN batch ON batch.id = piece.batch_id ORDER BY 2;
SELECT 'part', piece.number, part.name, metal.name FROM part JOIN piece ON piece.id = part.piece_id LEFT JOIN metal ON metal.id = part.metal_id ORDER BY 2;
SELECT 'dip', coalesce(strip.number, piece.number), lane, watched, dip.past_work, tone.word, planned_s IS NOT NULL, clock_gap FROM dip
    LEFT JOIN strip ON strip.id = dip.strip_id LEFT JOIN piece ON piece.id = dip.piece_id LEFT JOIN tone ON tone.id = dip.aim_tone_id ORDER BY dropped_utc_ms;
SELECT 'press', act, lane, undone FROM press ORDER BY boot_ms;
SELECT 'rinse', count(*) FROM rinse;
SELECT 'judgement', coalesce(strip.number, piece.number), tone.word, sense, round(fraction, 3), place, moment FROM judgement
    LEFT JOIN strip ON strip.id = judgement.strip_id LEFT JOIN piece ON piece.id = judgement.piece_id JOIN tone ON tone.id = judgement.tone_id ORDER BY at_utc_ms;
Q
}
facts "$typed_log" >"$work/facts_w"
facts "$said_log" >"$work/facts_c"
echo "# $(wc -l <"$work/facts_w") facts"
check 'there are facts to compare' is "$(wc -l <"$work/facts_w") > 70"
check 'both logs hold the same facts' diff "$work/facts_w" "$work/facts_c"
late=$(printf 'ATTACH "%s" AS other;
SELECT max(abs(a.in_bath_s - b.in_bath_s)) FROM (SELECT row_number() OVER (ORDER BY dropped_utc_ms) AS n, in_bath_s FROM main.dip) a
JOIN (SELECT row_number() OVER (ORDER BY dropped_utc_ms) AS n, in_bath_s FROM other.dip) b ON a.n = b.n;\n' "$said_log" | sqlite3 "$typed_log")
echo "# seconds in the bath differ by at most $late"
check 'and the same seconds, but for the hand of the script' is "${late:-99} < 2.5"
check 'both logs are whole' same 'ok ok' "$(sqlite3 "$typed_log" 'PRAGMA integrity_check') $(sqlite3 "$said_log" 'PRAGMA integrity_check')"
finish
