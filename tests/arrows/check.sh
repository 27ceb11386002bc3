#!/bin/sh
# SPDX-License-Identifier: MIT
#
# Reads the #include lines of the rooms under ROOT and fails on one that tests/arrows/allowed.txt
# does not allow, on SQL outside the book, and on a room other than command that prints or exits.
#
#   sh tests/arrows/check.sh ROOT TABLE
set -eu
root=$1
table=$2
cd "$root"

files=$(find src include -name '*.[ch]' | sort)
[ -n "$files" ] || {
    echo "no sources under $root" >&2
    exit 1
}
bad=$(mktemp "${TMPDIR:-/tmp}/simpling-arrows.XXXXXX")
trap 'rm -f "$bad"' EXIT

# shellcheck disable=SC2086 # file names of the house have no spaces
awk -v table="$table" '
function like(pattern, text) { # a shell pattern with * only
    gsub(/[.]/, "[.]", pattern)
    gsub(/[*]/, ".*", pattern)
    return text ~ ("^" pattern "$")
}
function room_of_header(name, parts) {
    if (name ~ /^simpling\/((customs|error|day|input|row)[.]h|record\/.*)$/) return "base"
    if (name ~ /^simpling\//) return "season"
    split(name, parts, "/")
    return (name ~ /\//) ? parts[1] : ""
}
BEGIN {
    while ((getline line < table) > 0) {
        sub(/#.*/, "", line)
        n = split(line, word, /[ \t]+/)
        if (word[1] ~ /^<.*>$/) {
            patterns[++n_patterns] = substr(word[1], 2, length(word[1]) - 2)
            for (i = 2; i <= n; i++) library[n_patterns, word[i]] = 1
        } else if (word[1] ~ /:$/) {
            room = substr(word[1], 1, length(word[1]) - 1)
            known[room] = 1
            allowed[room, room] = 1
            for (i = 2; i <= n; i++) if (word[i] != "") allowed[room, word[i]] = 1
        }
    }
    close(table)
}
FNR == 1 {
    if (FILENAME ~ /^include\//) {
        room = room_of_header(substr(FILENAME, 9))
    } else {
        split(FILENAME, path, "/")
        room = FILENAME ~ /src.programs.simpling-(solve|fetch|photo)\.c$/ ? "helper" : path[2]
    }
    if (!(room in known)) print FILENAME ": room " room " is not in the table of arrows"
}
/^[ \t]*#[ \t]*include/ {
    if (match($0, /"[^"]*"/)) {
        name = substr($0, RSTART + 1, RLENGTH - 2)
        target = room_of_header(name)
        if (target == "") {
            print FILENAME ":" FNR ": include \"" name "\" with its room: \"ROOM/" name "\""
        } else if (!((room, target) in allowed)) {
            print FILENAME ":" FNR ": " room " may not see " target " (" name ")"
        } else if (room ~ /^(command|desk)$/ && name ~ /^season\//) {
            print FILENAME ":" FNR ": " room " may see no more of season than its face (" name ")"
        } else if (FILENAME ~ /^include\// && name !~ /^simpling\//) {
            print FILENAME ":" FNR ": a public header may not need the private " name
        }
    } else if (match($0, /<[^>]*>/)) {
        name = substr($0, RSTART + 1, RLENGTH - 2)
        for (i = 1; i <= n_patterns; i++)
            if (like(patterns[i], name) && !((i, room) in library))
                print FILENAME ":" FNR ": " room " may not use <" name ">"
    }
}
room != "book" && /"(SELECT|INSERT|UPDATE|DELETE FROM|CREATE TABLE|PRAGMA|BEGIN IMMEDIATE) / {
    print FILENAME ":" FNR ": SQL outside the book"
}
{
    code = $0 # without strings and comments
    gsub(/"([^"\\]|\\.)*"/, "\"\"", code)
    gsub(/\/\*.*\*\//, "", code)
    sub(/(\/\*|\/\/).*$/, "", code)
    if (code ~ /^[ \t]*\*[ \t]/) code = ""
}
room !~ /^(command|programs|helper)$/ && code ~ /(^|[^a-z_0-9>.])(printf|puts|putchar|perror|exit|_exit|abort|g_print|g_printerr|g_error|g_warning|g_message) *\(/ {
    print FILENAME ":" FNR ": only command prints or exits"
}
room !~ /^(command|programs|helper)$/ && code ~ /(^|[^a-z_0-9])(stdout|stderr)([^a-z_0-9]|$)/ {
    print FILENAME ":" FNR ": only command knows stdout and stderr"
}
' $files >"$bad"

if [ -s "$bad" ]; then
    cat "$bad"
    exit 1
fi
