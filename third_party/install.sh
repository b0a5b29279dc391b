#!/bin/sh
# Installs the Debian packages that the program needs and that are missing.
#
#   sh third_party/install.sh [--test | --long | --fuzz] [--list]
#
#   --test  what the tests need as well
#   --long  and what their benchmarks need
#   --fuzz  the program and what the fuzzers need
#   --list  print the package names and stop
#
# Nothing is installed, and apt-get is not called, when all is there.
set -eu

here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
groups='build run' list=no
for argument; do
    case $argument in
        --test) groups='build run test' ;;
        --long) groups='build run test long' ;;
        --fuzz) groups='build run fuzz' ;;
        --list) list=yes ;;
        *) echo "install.sh: unknown argument $argument (--test, --long, --fuzz, --list)" >&2; exit 2 ;;
    esac
done

wanted=$(while read -r group name _; do
    case " $groups " in *" $group "*) printf '%s ' "$name" ;; esac
done < "$here/packages.txt")

if [ "$list" = yes ]; then
    for name in $wanted; do echo "$name"; done
    exit 0
fi

tools='g++ cmake ninja pkg-config'
if ! command -v apt-get >/dev/null 2>&1 || ! command -v dpkg-query >/dev/null 2>&1; then
    {
        echo 'This system has no apt-get. Install by its own means what these Debian 12 packages hold:'
        while read -r group name why; do
            case " $groups " in *" $group "*) printf '  %-36s %s\n' "$name" "$why" ;; esac
        done < "$here/packages.txt"
    } >&2
    for tool in $tools; do
        command -v "$tool" >/dev/null 2>&1 || { echo "Not found: $tool. Stopping here." >&2; exit 1; }
    done
    echo 'The build tools are there: going on.' >&2
    exit 0
fi

# shellcheck disable=SC2086  # the names are words without spaces
present=$(dpkg-query -W -f='${Package} ${db:Status-Abbrev}\n' $wanted 2>/dev/null | sed -n 's/ ii *$//p') || true
missing=
for name in $wanted; do
    printf '%s\n' "$present" | grep -Fqx -- "$name" || missing="$missing $name"
done
[ -n "$missing" ] || exit 0

as_root=
if [ "$(id -u)" -ne 0 ]; then
    if command -v sudo >/dev/null 2>&1; then
        as_root=sudo
    else
        echo 'Packages are missing, and neither root nor sudo is at hand. As root, run:' >&2
        echo "  apt-get update && apt-get install --no-install-recommends$missing" >&2
        exit 1
    fi
fi

echo "Installing:$missing" >&2
$as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq >&2
# shellcheck disable=SC2086
$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq -o Dpkg::Use-Pty=0 --no-install-recommends $missing >&2
