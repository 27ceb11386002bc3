#!/bin/sh
# SPDX-License-Identifier: MIT
#
# A terminal calendar that keeps a folder of entries: importing our file twice gives no entry more
# than once, every event is on every day of its own, and a changed entry is replaced.
# Usage: khal.sh WRITER
set -eu
command -v khal >/dev/null || {
    echo "khal is not installed"
    exit 77
}
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-khal.XXXXXX")
trap 'rm -rf "$work"' EXIT
export HOME="$work" XDG_DATA_HOME="$work/data" XDG_CONFIG_HOME="$work/config" XDG_CACHE_HOME="$work/cache"
export LC_ALL=C.UTF-8
mkdir -p "$work/calendar"
cat >"$work/khal.conf" <<CONF
[calendars]
[[season]]
path = $work/calendar
[locale]
local_timezone = Europe/London
default_timezone = Europe/London
timeformat = %H:%M
dateformat = %Y-%m-%d
longdateformat = %Y-%m-%d
datetimeformat = %Y-%m-%d %H:%M
longdatetimeformat = %Y-%m-%d %H:%M
firstweekday = 0
[sqlite]
path = $work/khal.db
CONF
"$1" "$work"

events=$(awk -F '\t' '$2 == "VEVENT"' "$work/expected.tsv" | wc -l)
for round in first second; do
    khal -c "$work/khal.conf" import --batch -a season "$work/season.ics" >/dev/null 2>"$work/errors" || {
        cat "$work/errors"
        exit 1
    }
    items=$(find "$work/calendar" -name '*.ics' | wc -l)
    [ "$items" -eq "$events" ] || {
        echo "$round import: $items items, $events events"
        exit 1
    }
done

# Each event on each of its days, and on no other.
khal -c "$work/khal.conf" list --notstarted --once --day-format '' \
    --format '{uid} {start-date} {end-date}' 2027-01-01 800d 2>/dev/null | sort -u >"$work/got"
awk -F '\t' '$2 == "VEVENT" { print $1, $3, $4 }' "$work/expected.tsv" | sort >"$work/wanted"
if ! cmp -s "$work/wanted" "$work/got"; then
    diff "$work/wanted" "$work/got" | head -20
    exit 1
fi
echo "khal: $events events, imported twice, each once and on its days"
