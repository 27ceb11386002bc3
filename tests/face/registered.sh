#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Every table of inputs that the face declares is in season's list of all (so that face.inputs walks
# it), or is that of a list's elements.
#
#   sh tests/face/registered.sh ROOT
set -eu
cd "$1"
look() { # TABLE FILE: is it in the list, or of elements?
    grep -q "&$1,$" "$2" || grep -q "\.item = &$1\b" src/season/*.c
}
n=0 bad=0
for table in $(sed -n 's/^extern const struct spl_inputs \(spl_[a-z_]*\);.*/\1/p' include/simpling/*.h); do
    n=$((n + 1))
    look "$table" src/season/entries.c || {
        echo "$table is not in src/season/entries.c" >&2
        bad=1
    }
done
[ "$n" -gt 80 ] || {
    echo "only $n tables are declared: what is looked for?" >&2
    exit 1
}
# One that is planted is found.
planted=$(mktemp "${TMPDIR:-/tmp}/simpling-entries.XXXXXX")
trap 'rm -f "$planted"' EXIT
grep -v '&spl_harvest_inputs,' src/season/entries.c >"$planted"
if look spl_harvest_inputs "$planted"; then
    echo "a table that is missing was not missed" >&2
    exit 1
fi
exit "$bad"
