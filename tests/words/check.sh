#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Reads the string literals outside src/command and src/programs and fails on one that speaks the
# command line's language: an option word ("--weight"), or a command line (simpling and a command, or
# the words of a command that has two). An error names an input by its key, and what to do next in
# words; each face says it in its own way.
#
#   sh tests/words/check.sh ROOT ALLOWED
#
# ALLOWED lists files that are not held to it yet, one path a line, `#` begins a comment. One that is
# clean already is only said: the list is to become empty.
set -eu
root=$1 allowed=$2
cd "$root"
files=$(find src include -name '*.[ch]' ! -path 'src/command/*' ! -path 'src/programs/*' | sort)
[ -n "$files" ] || {
    echo "no sources under $root" >&2
    exit 1
}
commands=$(grep -hoE '^ *\.words = "[a-z]+ [a-z ]+"' src/command/*.c | sed 's/.*"\(.*\)"/\1/' | sort -u)
first=$(grep -hoE '^ *\.words = "[a-z]+' src/command/*.c | sed 's/.*"//' | sort -u | tr '\n' '|')
[ -n "$commands" ] || {
    echo "no commands under $root/src/command" >&2
    exit 1
}
bad=$(mktemp "${TMPDIR:-/tmp}/simpling-words.XXXXXX")
trap 'rm -f "$bad"' EXIT

# shellcheck disable=SC2086 # file names of the house have no spaces
awk -v commands="$commands" -v first="${first%|}" -v allowed="$allowed" '
BEGIN {
    n = split(commands, command, "\n")
    while ((getline line < allowed) > 0) {
        sub(/[ \t]*#.*/, "", line)
        if (line != "") free[line] = 1
    }
    close(allowed)
}
FILENAME in free { held[FILENAME] = held[FILENAME] + 0 }
/^[ \t]*#[ \t]*include/ { next }
{
    code = $0
    # Only what stands between quotes; comments hold no literals of ours that matter.
    text = ""
    if (code ~ /^[ \t]*(\*([ \/]|$)|\/\*)/) next # "*offer == …" is no comment
    # A literal that goes on from the line before is one with it.
    before = code ~ /^[ \t]*"/ ? carried : ""
    carried = ""
    while (match(code, /"([^"\\]|\\.)*"/)) {
        carried = substr(code, RSTART + 1, RLENGTH - 2)
        text = text " " before carried " "
        before = ""
        code = substr(code, RSTART + RLENGTH)
    }
    if (code !~ /^[ \t]*$/) carried = ""
    if (text == "") next
    found = ""
    if (text ~ /(^|[^-a-zA-Z0-9<!])--[a-z%]/) found = "an option word"
    else if (text ~ ("(^|[^a-z_-])simpling (" first ")[^a-z]")) found = "a command line"
    else for (i = 1; i <= n; i++)
        if (text ~ ("(^|[^a-z_-])" command[i] "([^a-z_-]|$)")) { found = "the command \"" command[i] "\""; break }
    if (found == "") next
    if (FILENAME in free) held[FILENAME]++
    else print FILENAME ":" FNR ": " found
}
END {
    for (file in held) if (held[file] == 0) print file ": is clean; take it off the list" >"/dev/stderr"
}
' $files >"$bad"
while read -r path; do
    path=${path%%#*}
    path=$(echo "$path" | tr -d ' \t')
    [ -z "$path" ] || [ -e "$path" ] || echo "$path: is on the list and does not exist" >>"$bad"
done <"$allowed"
if [ -s "$bad" ]; then
    sort "$bad"
    exit 1
fi
