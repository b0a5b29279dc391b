#!/bin/sh
# Figures for the record, no test: the demo studio's parts (app_measure), and the real window on a virtual display: start
# to the first picture with content, memory, processor time at rest. Needs TONEBATH, TONEBATH_SOURCE and TONEBATH_BUILD:
#   TONEBATH=build/dev/src/tonebath TONEBATH_SOURCE=. TONEBATH_BUILD=build/dev sh tests/scripts/measure.sh
. "$(dirname "$0")/lib/tap.sh"

now_ms() { date +%s%3N; }
has_content() {
    id=$(xdotool search --onlyvisible --name Tonebath 2>/dev/null | head -n 1)
    [ -n "$id" ] && [ "$(import -window "$id" ppm:- 2>/dev/null | identify -format '%k' - 2>/dev/null || echo 0)" -gt 40 ]
}

echo "$(nproc) cores, load $(cut -d ' ' -f 1-3 /proc/loadavg), $(uname -m); program $("$TONEBATH" --version)"
grep -h '^CMAKE_BUILD_TYPE\|^CMAKE_CXX_FLAGS:' "$TONEBATH_BUILD/CMakeCache.txt"
if [ -x "$TONEBATH_BUILD/tests/app/app_measure" ]; then
    "$TONEBATH_BUILD/tests/app/app_measure" "$work/demo.tonebath" "$TONEBATH_SOURCE/data"
fi

export XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" XDG_STATE_HOME="$work/state" XDG_CACHE_HOME="$work/cache"
start_display || exit 1
for round in 'first start, the demo is written' 'second start' 'third start'; do
    began=$(now_ms)
    shown "$TONEBATH" --demo >"$work/out" 2>"$work/err" &
    window_pid=$!
    tries=0
    until has_content || [ "$tries" -gt 600 ]; do
        tries=$((tries + 1))
        sleep 0.01
    done
    echo "$round: $(($(now_ms) - began)) ms to a picture with content, by looking every tenth of a second or so"
    if [ "$round" = 'third start' ]; then
        xdotool mousemove 1399 899
        sleep 5
        rest=${TONEBATH_REST_S:-30}
        before=$(cpu_of "$window_pid")
        sleep "$rest"
        after=$(cpu_of "$window_pid")
        echo "at rest: $(awk "BEGIN { print ($after - $before) / $rest }") % of one core over $rest s"
        awk '/VmRSS|VmHWM|RssAnon/ { print $1, int($2 / 1024), "MB" }' "/proc/$window_pid/status"
    fi
    kill -TERM "$window_pid"
    wait "$window_pid"
    echo "ended with $?"
    sed 's/^/# /' "$work/err"
done
for page in today baths bench pieces tones; do
    began=$(now_ms)
    (shown "$TONEBATH" --demo --page "$page" --screenshot "$work/$page.png") 2>&1
    echo "picture of $page: $(($(now_ms) - began)) ms from start to end of the program"
done
