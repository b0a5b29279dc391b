# For the script tests: "ok N - what" and "not ok N - what" lines, a folder of their own, and a virtual display.
# Use: . "$(dirname "$0")/lib/tap.sh"
set -u

: "${TONEBATH:?path of the program}" "${TONEBATH_SOURCE:?source tree}" "${TONEBATH_BUILD:?build folder}"
tap_count=0
tap_failed=0
work=$(mktemp -d)
display_pid=
cleanup() {
    if [ -n "$display_pid" ]; then
        kill "$display_pid" 2>/dev/null
        wait "$display_pid" 2>/dev/null
    fi
    rm -rf "$work"
}
trap cleanup EXIT
trap 'exit 130' INT TERM

# check WHAT COMMAND...: passes when the command exits 0.
check() {
    what=$1
    shift
    tap_count=$((tap_count + 1))
    if "$@"; then
        echo "ok $tap_count - $what"
    else
        echo "not ok $tap_count - $what"
        tap_failed=$((tap_failed + 1))
    fi
}
# same EXPECTED GOT
same() { [ "$1" = "$2" ] || { echo "# expected: $1"; echo "# got:      $2"; return 1; }; }
# holds TEXT PART
holds() { case $1 in *"$2"*) ;; *) echo "# not found: $2"; echo "# in: $1"; return 1 ;; esac; }
# is EXPRESSION: a condition of numbers, fractions too, as awk understands it.
is() { awk "BEGIN { exit !($1) }" || { echo "# does not hold: $1"; return 1; }; }
finish() {
    echo "1..$tap_count"
    [ "$tap_failed" -eq 0 ]
    exit
}

# Starts a virtual display of its own and sets DISPLAY.
start_display() {
    Xvfb -displayfd 3 -screen 0 "${1:-1400x900x24}" -nolisten tcp 3>"$work/display" 2>"$work/xvfb.log" &
    display_pid=$!
    wait_until 20 test -s "$work/display" || { cat "$work/xvfb.log"; return 1; }
    DISPLAY=:$(cat "$work/display")
    export DISPLAY
    unset WAYLAND_DISPLAY
}
# wait_until SECONDS COMMAND...: tries ten times a second.
wait_until() {
    tries=$(($1 * 10))
    shift
    while [ "$tries" -gt 0 ]; do
        "$@" >/dev/null 2>&1 && return 0
        tries=$((tries - 1))
        sleep 0.1
    done
    return 1
}
# shown PROGRAM ARGUMENTS...: becomes a program with a window; in the background, or in ( ). Where the build has the leak
# check, graphics drivers stay loaded to the end, so that their own memory is known by their name.
shown() {
    if ldd "$1" | grep -q libasan; then
        cp "$TONEBATH_BUILD/tests/shell/libkeep_loaded.so" "$work/keep_loaded.so"
        ASAN_OPTIONS=${ASAN_OPTIONS-}:verify_asan_link_order=0
        LD_PRELOAD=$work/keep_loaded.so
        export ASAN_OPTIONS LD_PRELOAD
    fi
    exec "$@"
}
# Processor time that a process has used so far, in hundredths of a second.
cpu_of() { sed 's/.*) //' "/proc/$1/stat" | awk '{ print $12 + $13 }'; }
