#!/bin/sh
# Feeds the doors where files come in with inputs that libFuzzer makes, led by the code that they reach.
#
#   sh tests/fuzz/run.sh [SECONDS] [DOOR ...]      60 seconds a door where nothing is said; 1800 is the long run
#
# Begins with tests/cases/fuzz and the program's own files, keeps what reached new code in build/fuzz/corpus, and leaves an
# input that crashed, leaked or hung in build/fuzz/found. The exit code is 0 only when there was none. What is found goes,
# once mended, into tests/cases/fuzz, where the everyday test feeds it for ever. Needs clang and its run-time library.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)
build=$root/build/fuzz
seconds=${1:-60}
[ $# -eq 0 ] || shift
doors=${*:-csv json toml log}

sh "$root/third_party/install.sh" --fuzz
cmake -S "$root" --preset fuzz >/dev/null
targets=
for door in $doors; do targets="$targets fuzz_$door"; done
# shellcheck disable=SC2086  # a list of words
cmake --build "$build" -j "$(nproc)" --target $targets

export ASAN_OPTIONS=detect_leaks=1
status=0
for door in $doors; do
    mkdir -p "$build/corpus/$door" "$build/found/$door"
    own=$build/corpus/$door
    case $door in
        csv) own="$own $root/data" ;;
        toml) own="$own $root/checklists $root/data" ;;
    esac
    [ "$door" = log ] || own="$own $root/tests/cases/fuzz/$door"
    # shellcheck disable=SC2086
    (cd "$build" && tests/fuzz/fuzz_"$door" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=2048 -max_len=65536 \
        -artifact_prefix="found/$door/" -print_final_stats=1 -verbosity=1 $own >"found/$door.txt" 2>&1) || status=1
    echo "$door: $(grep -E 'number_of_executed_units|new_units_added|peak_rss' "$build/found/$door.txt" | sed 's/.*stat:://; s/: */ /' | tr '\n' ' ')"
    tail -n 1 "$build/found/$door.txt" | grep -q 'stat::' || tail -n 20 "$build/found/$door.txt"
done
exit $status
