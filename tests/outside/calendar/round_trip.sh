#!/bin/sh
# SPDX-License-Identifier: MIT
#
# What we write means the same to a library of another maker: components, days, times, texts, alarms.
# Usage: round_trip.sh WRITER LIBRARY BUILD
set -eu
here=$(dirname "$0")
writer=$1 library=$2
NODE_MODULES=$3/node
export NODE_MODULES

case $library in
icalendar | vobject)
    /usr/bin/python3 -c "import $library" 2>/dev/null || {
        echo "python3-$library is not installed"
        exit 77
    }
    read_file() { /usr/bin/python3 "$here/read_python.py" "$library" "$@"; }
    ;;
*)
    [ -d "$NODE_MODULES/node_modules/$library" ] || {
        echo "the npm package $library is not installed in $NODE_MODULES"
        exit 77
    }
    read_file() { node "$here/read_node.mjs" "$library" "$1"; }
    ;;
esac

work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-calendar.XXXXXX")
trap 'rm -rf "$work"' EXIT
"$writer" "$work"
read_file "$work/season.ics" | sort >"$work/got.tsv"
sort "$work/expected.tsv" >"$work/wanted.tsv"
[ "$(wc -l <"$work/wanted.tsv")" -eq 60 ]
if ! cmp -s "$work/wanted.tsv" "$work/got.tsv"; then
    diff "$work/wanted.tsv" "$work/got.tsv" | head -20
    exit 1
fi
# Each entry by itself as well.
case $library in
icalendar | vobject)
    read_file "$work"/split/*.ics | sort >"$work/got.tsv"
    cmp "$work/wanted.tsv" "$work/got.tsv"
    ;;
esac
echo "$library: 60 entries the same"
