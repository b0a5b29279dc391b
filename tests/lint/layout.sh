#!/bin/sh
# Every C++ file is laid out as .clang-format says (where clang-format is installed).
#
#   sh tests/lint/layout.sh CLANG_FORMAT SOURCE_TREE [--fix]
set -eu
cd "$2"
if [ "${3-}" = --fix ]; then
    find src tests -name '*.[ch]pp' -exec "$1" -i --style=file {} +
else
    find src tests -name '*.[ch]pp' -exec "$1" --dry-run --Werror --style=file {} +
fi
