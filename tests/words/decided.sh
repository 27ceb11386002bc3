#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Fails on a word that was given up, in a sentence of the program or in what people read beside it.
#
#   sh tests/words/decided.sh ROOT LIST
#
# Read are the literals of src with a space in them, the manual, the readme, the schemas of the inputs
# and the demo. The list of words itself says what was given up: data/manual/words.md is left out.
set -eu
root=$1 list=$2
cd "$root"
sources=$(find src -name '*.[ch]' | sort)
pages=$(find README.md data/manual data/schema/input data/demo calendars -type f ! -name words.md 2>/dev/null | sort)
[ -n "$sources" ] || {
    echo "no sources under $root" >&2
    exit 1
}
# shellcheck disable=SC2086 # file names of the house have no spaces
found=$(LC_ALL=C awk -v list="$list" '
BEGIN {
    while ((getline line < list) > 0) {
        if (line ~ /^#/ || split(line, cell, "\t") != 2) continue
        gone[++n] = cell[1]
        instead[n] = cell[2]
    }
    close(list)
    if (n == 0) { print list ": lists no word"; exit }
}
{
    text = $0
    if (FILENAME ~ /\.[ch]$/) {
        if (text ~ /^[ \t]*(#|\*([ \/]|$)|\/\*)/) next
        code = text
        text = ""
        while (match(code, /"([^"\\]|\\.)*"/)) {
            literal = substr(code, RSTART + 1, RLENGTH - 2)
            if (literal ~ / /) text = text literal "\n"
            code = substr(code, RSTART + RLENGTH)
        }
    }
    if (text == "") next
    for (i = 1; i <= n; i++)
        if (text ~ gone[i]) print FILENAME ":" FNR ": say \"" instead[i] "\""
}
' $sources $pages)
[ -z "$found" ] || {
    echo "$found"
    exit 1
}
