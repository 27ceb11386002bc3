#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The tests of core under valgrind's memcheck: no read of what was never written, none outside its
# block, nothing lost.
#
#   sh tests/core/memcheck.sh TEST-PROGRAM...
#
# Of the programs that repeat one path thousands of times only a part is run, named below.
set -eu
command -v valgrind >/dev/null || {
    echo "valgrind is not installed"
    exit 77
}

# The part of a program: a pattern of names of its tests.
part_of() {
    case $1 in
    */core_degree_day) echo '*published*' ;;
    */core_outing_search) echo '*part_of_the_model*' ;;
    */core_state_property) echo '*for_outside_only*' ;;
    *) echo '*' ;;
    esac
}

if [ "${1-}" = --one ]; then
    log=$2/$(basename "$3").log
    valgrind -q --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite \
        "$3" "$(part_of "$3")" >"$log" 2>&1 || { echo "$3:" && cat "$log"; } >"$log.failed"
    exit 0
fi
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-memcheck.XXXXXX")
trap 'rm -rf "$work"' EXIT

# A read outside its block must be found, or none of this means anything.
printf "#include <stdlib.h>\nint main(void) { int *p = malloc(8), i = p[2]; free(p); return i - i; }\n" \
    >"$work/planted.c"
cc -g -O0 -o "$work/core_planted" "$work/planted.c"
sh "$0" --one "$work" "$work/core_planted"
rm "$work/core_planted.log.failed" || {
    echo "valgrind does not find the planted fault"
    exit 1
}
for program in "$@"; do
    sh "$0" --one "$work" "$program"
done
! cat "$work"/*.failed 2>/dev/null || exit 1
echo "$# programs hold"
