#!/bin/sh
# SPDX-License-Identifier: MIT
#
# A terminal calendar of the plain kind: our file imports once, whole, every event on every day of
# its own.
# Usage: calcurse.sh WRITER
set -eu
command -v calcurse >/dev/null || {
    echo "calcurse is not installed"
    exit 77
}
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-calcurse.XXXXXX")
trap 'rm -rf "$work"' EXIT
export LC_ALL=C.UTF-8 TZ=Europe/London
mkdir -p "$work/book"
"$1" "$work"
calcurse -D "$work/book" -i "$work/season.ics" >"$work/log" 2>&1 </dev/null || {
    cat "$work/log"
    exit 1
}
events=$(awk -F '\t' '$2 == "VEVENT"' "$work/expected.tsv" | wc -l)
todos=$(awk -F '\t' '$2 == "VTODO"' "$work/expected.tsv" | wc -l)
if [ "$(calcurse -D "$work/book" -t | grep -c '^[0-9]*\. ')" -ne "$todos" ]; then
    echo "not $todos tasks"
    calcurse -D "$work/book" -t
    exit 1
fi
# Day by day: how many events it shows, and how many there are.
/usr/bin/python3 - "$work" <<'PYTHON'
import collections, datetime, subprocess, sys
work = sys.argv[1]
wanted = collections.Counter()
for row in open(f"{work}/expected.tsv", encoding="utf-8"):
    field = row.rstrip("\n").split("\t")
    if field[1] != "VEVENT":
        continue
    day, last = map(datetime.date.fromisoformat, field[2:4])
    while day <= last:
        wanted[day, field[6]] += 1
        day += datetime.timedelta(days=1)
got = collections.Counter()
day = datetime.date(2027, 2, 1)
while day < datetime.date(2028, 3, 1):
    text = subprocess.run(
        ["calcurse", "-D", f"{work}/book", "-d", day.strftime("%m/%d/%Y"), "--format-apt", "%m\n",
         "--format-event", "%m\n", "--format-recur-apt", "%m\n", "--format-recur-event", "%m\n"],
        capture_output=True, text=True, check=True, stdin=subprocess.DEVNULL).stdout
    for line in text.splitlines()[1:]:
        if line.strip():
            got[day, line.strip()] += 1
    day += datetime.timedelta(days=1)
if got != wanted:
    for key in sorted(set(got) | set(wanted)):
        if got[key] != wanted[key]:
            print(key, "shown", got[key], "wanted", wanted[key])
    sys.exit(1)
PYTHON
echo "calcurse: $events events each on its days, $todos tasks"
