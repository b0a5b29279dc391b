#!/bin/sh
# `stones grid` on 100,000 stones, each time by a program that starts anew, and where its time goes. Not part of any other script.
# Needs, beside what tests/run.sh installs: apt-get install --no-install-recommends libbenchmark-dev
# usage: stones_cold.sh LOG [TIMES]     LOG is made where it is not there (some 700 MB)
set -e
root=$(cd "$(dirname "$0")/../.." && pwd)
log=$1 times=${2:-11}
cmake -S "$root" -B "$root/build/bench" -G Ninja -DCMAKE_BUILD_TYPE=Release -DTONEBATH_BENCHMARKS=ON >/dev/null
cmake --build "$root/build/bench" --target stones_bench tonebath >/dev/null
bench=$root/build/bench/tests/bench/stones_bench tonebath=$root/build/bench/src/tonebath
[ -f "$log" ] || "$bench" --log "$log"
middle() { sort -n | sed -n "$((times / 2 + 1))p"; }
wall() {
    for _ in $(seq "$times"); do
        from=$(date +%s%N)
        "$@" >/dev/null
        echo $((($(date +%s%N) - from) / 1000))
    done | middle
}
echo "start alone (--version): $(wall "$tonebath" --version) us"
echo "stones grid: $(wall "$tonebath" --log "$log" stones grid) us"
echo "stones grid, four filters: $(wall "$tonebath" --log "$log" stones grid --kind "foil crystal" --finish liver_of_sulfur_lump --bottle LQ-3 --coats 3) us"
for _ in 1 2 3; do "$bench" --log "$log" --once; done
