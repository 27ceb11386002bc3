#!/bin/sh
# SPDX-License-Identifier: MIT
#
# cppcheck over the rooms, but for what tests/lint/cppcheck.txt explains, and a planted mistake is
# found.
#
#   sh tests/lint/cppcheck.sh SOURCE-FOLDER
set -eu
command -v cppcheck >/dev/null 2>&1 || {
    echo "cppcheck is not installed"
    exit 77
}
cd "$1"
planted=$(mktemp -d "${TMPDIR:-/tmp}/simpling-cppcheck.XXXXXX")
trap 'rm -rf "$planted"' EXIT

# look FOLDER...
look() {
    cppcheck -q --enable=warning,performance,portability --inline-suppr --std=c11 --library=gtk \
        --suppressions-list=tests/lint/cppcheck.txt --error-exitcode=1 \
        -Isrc -Iinclude --template='{file}:{line}: {severity}: {message} [{id}]' "$@"
}

printf 'int f(void);\nint f(void) { int a[3] = {0}; return a[3]; }\n' >"$planted/planted.c"
if look "$planted" >/dev/null 2>&1; then
    echo "cppcheck does not find a planted mistake"
    exit 1
fi
look src include
