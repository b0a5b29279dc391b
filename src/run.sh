#!/bin/sh
# Builds Tonebath and starts it.
#
#   sh src/run.sh [--demo] [arguments]
#
#   --demo     open the demo studio (invented records), never your own log
#   arguments  handed to the program: a command such as "bath list", or --log FILE, --help, ...
#
# On a machine without a display, and with no command given, it prints the demo studio's plan for today.
set -eu

root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build/release

sh "$root/third_party/install.sh"

if command -v ccache >/dev/null 2>&1; then
    export CMAKE_CXX_COMPILER_LAUNCHER="${CMAKE_CXX_COMPILER_LAUNCHER-ccache}"
fi
# A build folder made elsewhere, before the tree was moved or copied, is of no use here.
if [ -f "$build/CMakeCache.txt" ] && ! grep -Fqx "CMAKE_HOME_DIRECTORY:INTERNAL=$root" "$build/CMakeCache.txt"; then
    rm -rf "$build"
fi
# Everything that is not the program's own output goes to stderr.
if [ ! -f "$build/build.ninja" ]; then
    cmake -S "$root" --preset release >&2
fi
if [ ! -x "$build/src/tonebath" ]; then
    echo 'Building: the first time takes a few minutes.' >&2
fi
if ! ninja -C "$build" -n tonebath 2>/dev/null | grep -q 'no work to do'; then
    cmake --build "$build" --target tonebath >&2
fi
program=$build/src/tonebath

# Does the command line need a display? Not for a command, nor for --help and --version.
shown=window own_log=no skip=no
for argument; do
    if [ "$skip" = yes ]; then
        skip=no
        continue
    fi
    case $argument in
        --log) own_log=yes skip=yes ;;
        --log=*) own_log=yes ;;
        --page|--size|--scale|--theme|--units) skip=yes ;;
        --help|-h|--version|--screenshot|--screenshot=*) shown=program ;;
        -*) ;;
        *) shown=program ;;
    esac
done
if [ "$shown" = window ] && [ -z "${DISPLAY-}" ] && [ -z "${WAYLAND_DISPLAY-}" ]; then
    if [ "$own_log" = yes ]; then
        echo 'There is no display here, so no window: this is the plan for today instead.' >&2
        exec "$program" today "$@"
    fi
    echo "There is no display here, so no window: this is the demo studio's plan for today instead." >&2
    exec "$program" today --demo
fi
exec "$program" "$@"
