#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Reads the undefined symbols of a static library and fails on one that the list does not allow.
#
#   sh tests/core_symbols/check.sh LIBRARY LIST
set -eu
library=$1
list=$2

allowed() {
    verdict=1
    while read -r pattern; do
        # The list's lines are patterns on purpose.
        # shellcheck disable=SC2254
        case "$pattern" in
        '' | '#'*) ;;
        '!'*) case "$1" in ${pattern#!}) verdict=1 ;; esac ;;
        *) case "$1" in $pattern) verdict=0 ;; esac ;;
        esac
    done <"$list"
    return $verdict
}

own=$(nm --defined-only -g -P "$library" | sed -n 's/^\([^ ]*\) [A-Za-z] .*/\1/p' | sort -u)
[ -n "$own" ] || {
    echo "$library defines nothing" >&2
    exit 1
}
status=0
for symbol in $(nm -u -P "$library" | sed -n 's/^\([^ ]*\) [Uw].*/\1/p' | sort -u); do
    if printf '%s\n' "$own" | grep -qxF "$symbol"; then
        continue
    fi
    case "$symbol" in
    __asan_* | __ubsan_* | __sanitizer_* | __gcov_* | __start_* | __stop_*) continue ;;
    esac
    if ! allowed "$symbol"; then
        where=$(nm -u -P -A "$library" | sed -n "s/^[^[]*\[\([^]]*\)\]: $symbol [Uw].*/\1/p" | tr '\n' ' ')
        echo "core may not call $symbol (${where% })"
        status=1
    fi
done
exit $status
