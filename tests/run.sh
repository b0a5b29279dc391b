#!/bin/sh
# Installs what is missing, builds once with address and undefined-behaviour sanitizers, and runs every test.
#
#   sh tests/run.sh [--long]
#
#   --long  as well: tests that take long (kill loops of 200 rounds, calibration runs, fuzzing), and benchmarks
#
# The last line is "N passed, N failed"; the exit code is 0 only when none failed.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build/asan
long=no
for argument; do
    case $argument in
        --long) long=yes ;;
        *) echo "run.sh: unknown argument $argument (--long)" >&2; exit 2 ;;
    esac
done
started=$(date +%s)
minutes() { echo "$(( ($(date +%s) - started) / 60 )) min $(( ($(date +%s) - started) % 60 )) s"; }

sh "$root/third_party/install.sh" "$([ "$long" = yes ] && echo --long || echo --test)"

if command -v ccache >/dev/null 2>&1; then
    export CMAKE_CXX_COMPILER_LAUNCHER="${CMAKE_CXX_COMPILER_LAUNCHER-ccache}"
fi
if [ -f "$build/CMakeCache.txt" ] && ! grep -Fqx "CMAKE_HOME_DIRECTORY:INTERNAL=$root" "$build/CMakeCache.txt"; then
    rm -rf "$build"
fi
cmake -S "$root" --preset asan
cmake --build "$build" -j "$(nproc)" || { echo 'The build failed.'; echo '0 passed, 1 failed'; exit 1; }
echo "Built after $(minutes)."

# Sanitizers stop at the first fault; leaks count, but for those that lsan.supp lays at a system library's door.
export ASAN_OPTIONS="detect_leaks=1:strict_string_checks=1:detect_stack_use_after_return=1"
export LSAN_OPTIONS="suppressions=$root/tests/lsan.supp:print_suppressions=0"
export UBSAN_OPTIONS="print_stacktrace=1"

# Tests neither see nor change the records and settings of whoever runs them.
home=$(mktemp -d)
trap 'rm -rf "$home"' EXIT
export HOME="$home" XDG_DATA_HOME="$home/data" XDG_CONFIG_HOME="$home/config" XDG_STATE_HOME="$home/state"

# Property tests draw the same cases each time; with --long, new ones.
leave_out='-LE long'
export RC_PARAMS='seed=20260331'
if [ "$long" = yes ]; then
    leave_out=
    unset RC_PARAMS
    export TONEBATH_LONG=1
fi
status=0
# shellcheck disable=SC2086  # leave_out is two words or none
ctest --test-dir "$build" $leave_out -j 2 --timeout 600 --output-on-failure --no-tests=error || status=$?

if [ "$long" = yes ] && [ -f "$root/tests/bench/CMakeLists.txt" ]; then
    cmake -S "$root" --preset bench
    cmake --build "$root/build/bench" -j "$(nproc)" --target learning_bench
    "$root/build/bench/tests/bench/learning_bench" || status=$?
fi

echo "Done after $(minutes)."
sh "$root/tests/count.sh" "$build" "$status"
