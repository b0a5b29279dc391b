#!/bin/sh
# The scripts that a newcomer meets first, each in a small tree with made-up tools: nothing is built or installed here.
. "$(dirname "$0")/lib/tap.sh"

# Tools that only write down how they were called.
tools=$work/tools
mkdir -p "$tools"
tool() { # NAME BODY
    printf '#!/bin/sh\nprintf "%%s\\n" "%s $*" >>"%s/calls"\n%s\n' "$1" "$work" "${2-}" >"$tools/$1"
    chmod +x "$tools/$1"
}
called() { cat "$work/calls" 2>/dev/null; }
forget() { rm -f "$work/calls"; }
for name in sh sed grep env printf cat id dirname date mktemp rm tail head awk; do
    ln -s "$(command -v "$name")" "$tools/$name"
done

# ---- third_party/install.sh
tool dpkg-query 'for p; do case $p in -*) ;; xvfb|g++) ;; *) echo "$p ii " ;; esac; done'
tool apt-get
install_sh="$TONEBATH_SOURCE/third_party/install.sh"

PATH=$tools sh "$install_sh" 2>"$work/err"
check 'install: a missing package is no error' same 0 $?
check 'install: lists are fetched first' holds "$(called)" 'apt-get update -qq'
check 'install: then only what is missing, without recommended extras' holds "$(called)" '--no-install-recommends g++'
check 'install: nothing for tests unless asked' sh -c "! grep -q xvfb '$work/calls'"
forget
PATH=$tools sh "$install_sh" --test 2>/dev/null
check 'install --test: the tests need more' holds "$(called)" 'g++ xvfb'
forget
tool dpkg-query 'for p; do case $p in -*) ;; *) echo "$p ii " ;; esac; done'
PATH=$tools sh "$install_sh" --test
check 'install: nothing is called when all is there' sh -c "! grep -q apt-get '$work/calls'"
forget
tool dpkg-query 'for p; do case $p in -*) ;; g++) echo "g++ rc " ;; *) echo "$p ii " ;; esac; done'
PATH=$tools sh "$install_sh" 2>/dev/null
check 'install: removed, with its settings left, counts as missing' holds "$(called)" '--no-install-recommends g++'
forget
rm "$tools/id"
tool id 'echo 1000'
message=$(PATH=$tools sh "$install_sh" 2>&1)
check 'install: without root and sudo it stops' same 1 $?
check 'install: and prints the command' holds "$message" 'apt-get install --no-install-recommends g++'
check 'install: without running it' sh -c "! grep -q apt-get '$work/calls'"
forget
tool sudo '"$@"'
PATH=$tools sh "$install_sh" 2>/dev/null
check 'install: with sudo it goes through sudo' holds "$(called)" 'sudo env DEBIAN_FRONTEND=noninteractive apt-get install'
rm "$tools/apt-get"
message=$(PATH=$tools sh "$install_sh" 2>&1)
check 'install: without apt-get and a compiler it stops' same 1 $?
check 'install: and lists what is needed' holds "$message" 'libimgui-dev'
for name in g++ cmake ninja pkg-config; do tool "$name"; done
PATH=$tools sh "$install_sh" 2>/dev/null
check 'install: without apt-get but with the tools it goes on' same 0 $?
check 'install: an unknown argument is refused' sh -c "sh '$install_sh' --all 2>/dev/null; [ \$? -eq 2 ]"
check 'install: every line of the list has group, name and reason' same '' \
    "$(grep -vE '^#|^(build|run|test|long|fuzz|extra) +[a-z0-9.+-]+ +[^ ]' "$TONEBATH_SOURCE/third_party/packages.txt")"

# ---- src/run.sh, in a folder with blanks, from another folder
tree="$work/a tree with blanks"
mkdir -p "$tree/src" "$tree/third_party" "$tree/build/release/src"
cp "$TONEBATH_SOURCE/src/run.sh" "$tree/src/"
echo 'exit 0' >"$tree/third_party/install.sh"
printf '#!/bin/sh\nfor a; do printf "[%%s]" "$a"; done\n' >"$tree/build/release/src/tonebath"
chmod +x "$tree/build/release/src/tonebath"
touch "$tree/build/release/build.ninja"
tool ninja 'echo "ninja: no work to do."'
forget
start() { (cd "$work" && env -u WAYLAND_DISPLAY PATH="$tools" sh "$tree/src/run.sh" "$@" 2>"$work/err"); }

DISPLAY=:1
export DISPLAY
check 'run: nothing is built again when nothing changed' sh -c "! grep -q '^cmake' '$work/calls' 2>/dev/null"
check 'run --demo opens the window on the demo' same '[--demo]' "$(start --demo)"
check 'run hands arguments on as they are' same '[bath][list][--note][two words]' "$(start bath list --note 'two words')"
check 'run without arguments opens the window' same '' "$(start)"
unset DISPLAY
check 'run without a display: the demo plan for today' same '[today][--demo]' "$(start)"
check 'run without a display says so' holds "$(cat "$work/err")" 'no display'
check 'run without a display says so in one line' same 1 "$(wc -l <"$work/err" | tr -d ' ')"
check 'run --demo without a display: the same' same '[today][--demo]' "$(start --demo)"
check 'run with a log but without a display: its plan' same '[today][--log][my log]' "$(start --log 'my log')"
check 'run with a command needs no display' same '[bath][list]' "$(start bath list)"
check 'run with an option before the command' same '[--log][x][today]' "$(start --log x today)"
check 'run --version needs no display' same '[--version]' "$(start --version)"
tool ninja 'echo "[1/2] something to do"'
forget
start --version >/dev/null
check 'run builds when there is something to build' holds "$(called)" 'cmake --build'
tool cmake 'exit 1'
start --version >"$work/out"
check 'run stops when the build fails' same 1 $?
check 'run does not start the old program then' same '' "$(cat "$work/out")"
echo 'CMAKE_HOME_DIRECTORY:INTERNAL=/elsewhere' >"$tree/build/release/CMakeCache.txt"
start --version >/dev/null
check 'run throws away a build folder made for another place' test ! -e "$tree/build/release"

# ---- tests/count.sh
mkdir -p "$work/build/Testing/Temporary"
log=$work/build/Testing/Temporary/LastTest.log
count() { sh "$TONEBATH_SOURCE/tests/count.sh" "$work/build" "$1"; }
cat >"$log" <<'LOG'
1/6 Testing: science
All tests passed (1234 assertions in 17 test cases)
All tests passed (12 assertions in 3 test cases)
Test Passed.
2/6 Testing: model
test cases:  9 |  7 passed | 2 failed
Test Failed.
3/6 Testing: script.window
ok 1 - a
not ok 2 - b
Test Failed.
4/6 Testing: plain
Test Passed.
5/6 Testing: crashed
Test Failed.
6/6 Testing: left_out
Test Skipped.
LOG
result=$(count 8)
check 'count: exit code says that some failed' same 1 $?
check 'count: cases, script lines, plain programs and crashes' same '29 passed, 4 failed, 1 skipped' \
    "$(printf '%s\n' "$result" | tail -n 1)"
check 'count: names what failed' holds "$result" '  crashed'
printf '1/1 Testing: a\nAll tests passed (5 assertions in 1 test case)\nTest Passed.\n' >"$log"
check 'count: all passed' same '1 passed, 0 failed' "$(count 0 | tail -n 1)"
check 'count: CTest itself failed' same '1 passed, 1 failed' "$(count 1 | tail -n 1)"
finish
