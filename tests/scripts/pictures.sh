#!/bin/sh
# Makes the pictures of docs/pictures again, with the real window on a virtual display: every page on an empty log and on
# the invented studio, dark and light, and at scale 2; the bench in each of its states. No test, run by hand; two minutes
# or so with a release build. The invented studio holds its own clock still, so a picture of it is the same every time:
#   TONEBATH=build/dev/src/tonebath TONEBATH_SOURCE=. TONEBATH_BUILD=build/dev sh tests/scripts/pictures.sh [FOLDER [WHICH [PAGES]]]
# FOLDER: where they go, docs/pictures by default. WHICH: "pages", "explain", "coats", "bench" or "paper" alone.
# PAGES: of the pages only these, "tones pieces".
. "$(dirname "$0")/lib/tap.sh"

source=$(CDPATH='' cd -- "$TONEBATH_SOURCE" && pwd)
folder=${1:-$source/docs/pictures}
which=${2:-all}
mkdir -p "$folder"
folder=$(CDPATH='' cd -- "$folder" && pwd)
TONEBATH=$(CDPATH='' cd -- "$(dirname -- "$TONEBATH")" && pwd)/$(basename -- "$TONEBATH")
export XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" XDG_STATE_HOME="$work/state" XDG_CACHE_HOME="$work/cache"
export TONEBATH_DATA="$source" TZ=Europe/London LC_ALL=C.UTF-8
start_display 2600x1700x24 || exit 1
failed=0
made=0

# picture NAME LOG PAGE THEME SIZE SCALE
picture() {
    if (shown "$TONEBATH" --log "$2" --screenshot "$folder/$1.png" --page "$3" --theme "$4" --size "$5" --scale "$6" 2>"$work/err"); then
        made=$((made + 1))
    else
        echo "not made: $1: $(cat "$work/err")"
        failed=$((failed + 1))
    fi
}
# On a copy each time: a window may write (a backup, its own settings), and the next picture must not show it.
studio() { cp "$work/demo.tonebath" "$work/$1.tonebath"; echo "$work/$1.tonebath"; }
do_it() { "$TONEBATH" --log "$log" "$@" >"$work/said" 2>&1 || { cat "$work/said"; failed=$((failed + 1)); }; }
sql() { sqlite3 "$log" "$1" >/dev/null; }
# The last drop was SECONDS ago by the studio's own clock, and no boot clock is asked about it.
dropped_ago() { sql "UPDATE dip SET dropped_utc_ms = $now_ms - $2 * 1000, dropped_boot_ms = NULL WHERE id = (SELECT id FROM dip WHERE lane = $1 ORDER BY made_utc_ms DESC LIMIT 1)"; }
lifted_ago() { sql "UPDATE dip SET out_utc_ms = $now_ms - $2 * 1000, in_bath_s = $3, clock_gap = 0, dropped_utc_ms = $now_ms - ($2 + $3) * 1000, dropped_boot_ms = NULL WHERE id = (SELECT id FROM dip WHERE lane = $1 ORDER BY made_utc_ms DESC LIMIT 1)"; }
three_ways() {
    picture "$1-slate" "$log" bench slate 1280x800 1
    picture "$1-chalk" "$log" bench chalk 1280x800 1
    picture "$1-slate-2x" "$log" bench slate 1280x800 2
}

"$TONEBATH" demo --out "$work/demo.tonebath" >/dev/null || exit 1
as_of=$(sqlite3 "$work/demo.tonebath" "SELECT value FROM setting WHERE name = 'as_of'" 2>/dev/null ||
    sqlite3 "$work/demo.tonebath" "SELECT * FROM setting" | sed -n 's/^as_of|//p')
now_ms=$(($(date -d "$as_of" +%s) * 1000))

if [ "$which" = all ] || [ "$which" = paper ]; then
    log=$(studio paper)
    picture paper-sheet "$log" paper slate 1280x800 1
    do_it care-card L-058 --paper a5 --out "$work/care.pdf"
    pdftoppm -r 80 -png -singlefile "$work/care.pdf" "$folder/care-card"
fi
if [ "$which" = all ] || [ "$which" = pages ]; then
    for page in ${3:-today bench baths tones pieces stones coats safety}; do
        for theme in slate chalk; do
            for kind in demo empty; do
                log=$work/empty.tonebath
                rm -f "$log"*
                [ $kind = empty ] || log=$(studio "$page")
                picture "$page-$kind-$theme" "$log" "$page" "$theme" 1280x800 1
                picture "$page-$kind-$theme-2x" "$log" "$page" "$theme" 1280x800 2
            done
        done
    done
fi

# What the explainers show, and the other views of the stones. The promises take seconds to work out: once is enough.
if [ "$which" = all ] || [ "$which" = explain ]; then
    explain() {
        log=$(studio "$1")
        picture "$1-slate" "$log" "$2" slate 1280x800 1
        [ "$1" = tones-promises ] && return
        picture "$1-chalk" "$log" "$2" chalk 1280x800 1
        picture "$1-slate-2x" "$log" "$2" slate 1280x800 2
    }
    explain pieces-why pieces/why/L-058
    explain pieces-matched pieces/matched/L-058
    explain pieces-rescue pieces/rescue/L-058
    explain tones-drift tones/drift
    explain tones-groups tones/groups
    explain tones-promises tones/promises
    explain stones-times stones/times
    explain stones-gate stones/gate
    explain stones-due stones/due
    explain stones-where stones/where
    explain stones-figures stones/figures
    explain stones-register stones/register/F-097
    explain coats-bottles coats/bottles
    explain coats-seals coats/seals
    explain class-demo today/class
    explain safety-air safety/air
    explain safety-winter safety/winter/8
    explain baths-jar baths/jar
    explain safety-bottles safety/bottles
    explain safety-book safety/book
    explain safety-waste safety/waste
    explain work-demo work/minutes
    "$TONEBATH" demo --travelling-bench --out "$work/away.tonebath" >/dev/null || failed=$((failed + 1))
    before=$(pwd)  # names as they would be typed
    cd "$work"
    studio() { cp demo.tonebath log.tonebath; echo log.tonebath; }
    explain log-demo log/away.tonebath
    cd "$before"
    studio() { cp "$work/demo.tonebath" "$work/$1.tonebath"; echo "$work/$1.tonebath"; }
fi

# An evening at its 58th press, as it would stand: 36 stones, the second coat, the last press a moment ago.
if [ "$which" = all ] || [ "$which" = coats ]; then
    log=$(studio coats-live)
    do_it check confirm --list lacquer --item 'ignition: all off' --item 'air: fan on, window open' --item 'no_oxidiser: none here' --item 'ppe: letter I' \
        --item 'small: 5 mL' --item 'people: notice shown' --item 'waste: can 1' --item 'done: 19:00'
    do_it coating begin --stones 36 --bottle LQ-2 --room-temp 20.5 --humidity 47 --wait '12 min'
    open="coating_id = (SELECT id FROM coating WHERE ended_utc_ms IS NULL)"
    for stone in $(seq 1 57); do sql "UPDATE coat SET at_utc_ms = at_utc_ms - 1000 WHERE $open"; do_it coat on; done
    sql "UPDATE coat SET at_utc_ms = $now_ms - (58 - ((layer - 1) * 36 + place)) * 25000 WHERE $open"
    sql "UPDATE coating SET started_utc_ms = $now_ms - 1500000 WHERE ended_utc_ms IS NULL"
    for way in "slate 1" "chalk 1" "slate 2"; do
        set -- $way
        picture "coats-live-$1$([ "$2" = 2 ] && echo -2x)" "$log" coats "$1" 1280x800 "$2"
    done
fi

if [ "$which" = all ] || [ "$which" = bench ]; then
    lid='L-067 lid'
    lay_out() {
        log=$(studio "bench-$1")
        shift
        do_it bench lay-out --bath 46 --aim blue "$@"
        # Laid out ten minutes ago, so that dips moved back below still belong to it.
        sql "UPDATE setting SET value = replace(value, 'T09:42:', 'T09:32:') WHERE value LIKE 'bath %'"
        do_it bath read --bath 46 --temp 54.6
    }
    confirm() {
        do_it check confirm --list before_session --bath 46 --item 'acid_away: no pickle used' --item 'air: tissue drifts away from me' --item 'room: one' \
            --item 'eyes_hands: worn, nitrile' --item 'knows: neighbour' --item 'eyewash: 6 s' --item 'go: now'
    }
    drop() { do_it dip drop --bath 46 --lane "$1" --part "$2" --aim blue; }
    lay_out one --part "$lid"
    confirm
    three_ways bench-waiting
    drop 1 "$lid"
    dropped_ago 1 20
    three_ways bench-demo
    dropped_ago 1 72
    three_ways bench-out
    do_it dip out --lane 1 --part "$lid"
    lifted_ago 1 8 44
    three_ways bench-rinse
    do_it dip rinsed --lane 1 --part "$lid"
    three_ways bench-judging
    lay_out lanes --every 15 --part "$(for number in 067 068 069 070 071 072 073 074 075 076 077 078; do echo "L-$number lid"; done)"
    confirm
    for lane in 1 2 3 4 5; do
        drop "$lane" "$(printf 'L-%03d lid' $((66 + lane)))"
    done
    do_it dip out --lane 1 --part 'L-067 lid'
    lifted_ago 1 9 44
    dropped_ago 2 40
    dropped_ago 3 29
    dropped_ago 4 15
    dropped_ago 5 3
    three_ways bench-lanes
fi
echo "$made pictures in $folder, $failed not made"
[ "$failed" -eq 0 ]
