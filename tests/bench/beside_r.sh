#!/bin/sh
# Benchmarks of learning, and R's survreg and lme4 on the same rows in the same run. Not part of any other script.
# Needs, beside what tests/run.sh installs:
#   apt-get install --no-install-recommends libbenchmark-dev r-base-core r-cran-lme4 r-cran-survival
set -e
root=$(cd "$(dirname "$0")/../.." && pwd)
command -v Rscript >/dev/null || { echo "R is not installed: see the head of $0"; exit 2; }
cmake -S "$root" -B "$root/build/bench" -G Ninja -DCMAKE_BUILD_TYPE=Release -DTONEBATH_BENCHMARKS=ON >/dev/null
cmake --build "$root/build/bench" --target learning_bench
rows=$(mktemp -d)
trap 'rm -rf "$rows"' EXIT
"$root/build/bench/tests/bench/learning_bench" write "$rows"
Rscript --vanilla "$root/tests/bench/beside_r.R" "$rows"
"$root/build/bench/tests/bench/learning_bench" "$@"
