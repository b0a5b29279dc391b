#!/bin/sh
# Adds up the test cases of one CTest run and prints "N passed, N failed" as its last line.
#
#   sh tests/count.sh BUILD_FOLDER CTEST_STATUS
#
# A Catch2 program counts its cases by its own summary, a script its "ok"/"not ok" lines, anything else counts as one.
# A program that failed without saying which case (a crash, the time limit) counts as one failure.
set -eu

log=$1/Testing/Temporary/LastTest.log
status=$2

counts=$(awk '
    function close_test() {
        if (name == "") return
        if (result == "skipped") { skipped++; name = ""; return }
        if (result == "failed" && bad == 0) bad = 1
        if (result == "passed" && good + bad == 0) good = empty ? 0 : 1
        passed += good; failed += bad
        if (bad > 0) names = names "  " name "\n"
        name = ""
    }
    /^[0-9]+\/[0-9]+ Testing: / { close_test(); name = $3; good = bad = empty = 0; result = "failed"; next }
    /^Test Passed\.$/ { result = "passed" }
    /^Test Skipped\./ { result = "skipped" }
    /^All tests passed \([0-9]+ assertions? in [0-9]+ test cases?\)/ {
        for (i = 1; i <= NF; i++) if ($i == "in") good += $(i + 1)
    }
    /^test cases: / {
        for (i = 1; i < NF; i++) {
            if ($(i + 1) == "passed") good += $i
            if ($(i + 1) == "failed" && $(i + 2) != "as") bad += $i
        }
    }
    /^(No tests ran|No test cases matched)/ { empty = 1 }
    /^ok [0-9]+/ { good++ }
    /^not ok [0-9]+/ { bad++ }
    END { close_test(); printf "%d %d %d\n%s", passed, failed, skipped, names }
' "$log")
first=$(printf '%s\n' "$counts" | head -n 1)
names=$(printf '%s\n' "$counts" | tail -n +2)
# shellcheck disable=SC2086  # three numbers
set -- $first
passed=$1 failed=$2 skipped=$3
if [ "$status" -ne 0 ] && [ "$failed" -eq 0 ]; then
    failed=1
fi
if [ -n "$names" ]; then
    echo 'Failed:'
    printf '%s\n' "$names"
fi
if [ "$skipped" -gt 0 ]; then
    echo "$passed passed, $failed failed, $skipped skipped"
else
    echo "$passed passed, $failed failed"
fi
[ "$failed" -eq 0 ]
