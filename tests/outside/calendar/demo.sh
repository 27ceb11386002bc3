#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The demo season's calendars: they pass our checker, read the same in two libraries of other makers
# (and in a terminal calendar when it is installed), and every window, reminder and alarm stands on the
# day that the book says.
# Usage: demo.sh SIMPLING BUILD
set -eu
here=$(cd "$(dirname "$0")" && pwd)
simpling=$1
NODE_MODULES=$2/node
export NODE_MODULES LC_ALL=C.UTF-8 TZ=Europe/London
/usr/bin/python3 -c "import icalendar" 2>/dev/null || {
    echo "python3-icalendar is not installed"
    exit 77
}
[ -d "$NODE_MODULES/node_modules/ical.js" ] || {
    echo "the npm package ical.js is not installed in $NODE_MODULES"
    exit 77
}
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-demo.XXXXXX")
trap 'rm -rf "$work"' EXIT
"$simpling" demo "$work/demo" >"$work/log" 2>&1 || {
    tail -3 "$work/log"
    exit 1
}
export SIMPLING_BOOK="$work/demo/book.db" SIMPLING_TODAY=2027-06-20
cd "$work/demo"
"$simpling" calendar check herbs.ics
"$simpling" calendar check tasks.ics
# The whole of what the book has today, as a file of its own.
"$simpling" calendar write --as test --out "$work/all.ics" >/dev/null 2>&1
"$simpling" calendar check "$work/all.ics"
"$simpling" window list --json >"$work/windows.json" 2>/dev/null
"$simpling" batch list --all --json >"$work/batches.json" 2>/dev/null
mkdir "$work/batches"
for code in $(/usr/bin/python3 -c 'import json, sys
print(*[batch["code"] for batch in json.load(open(sys.argv[1]))])' "$work/batches.json"); do
    "$simpling" batch show "$code" --json >"$work/batches/$code.json" 2>/dev/null
done
for file in herbs.ics tasks.ics "$work/all.ics"; do
    name=$(basename "$file" .ics)
    /usr/bin/python3 "$here/read_python.py" icalendar "$file" | sort >"$work/$name.python"
    node "$here/read_node.mjs" ical.js "$file" | sort >"$work/$name.node"
    cmp "$work/$name.python" "$work/$name.node"
done
/usr/bin/python3 - "$work" <<'PYTHON'
import datetime, glob, json, re, sys

work = sys.argv[1]
rows = [line.rstrip("\n").split("\t") for line in open(f"{work}/all.python", encoding="utf-8")]
raw = re.sub(r"\r\n[ \t]", "", open(f"{work}/all.ics", newline="", encoding="utf-8").read())
material, stamp = {}, {}
for event in raw.split("BEGIN:VEVENT")[1:]:
    found = {name: value for name, value in
             re.findall(r"^(UID|X-SIMPLING-MATERIAL|X-SIMPLING-USE|DTSTAMP):(.*?)\r?$", event, re.M)}
    stamp[found["UID"]] = datetime.datetime.strptime(found["DTSTAMP"], "%Y%m%dT%H%M%SZ")
    material[found["UID"]] = (found.get("X-SIMPLING-MATERIAL"), found.get("X-SIMPLING-USE"))

def rings(row):
    """At nine on the day before, unless that was over when the entry was written."""
    nine = datetime.datetime.strptime(row[2], "%Y-%m-%d") - datetime.timedelta(hours=15)
    return "900" if nine >= stamp[row[0]] else "0"

# Each window event is a window of the book, on its days, with its alarm at nine the day before.
windows = {(w["site"], w["material"], w["use"], w["likely_start"], w["likely_end"])
           for w in json.load(open(f"{work}/windows.json"))}
events = [row for row in rows if row[9] == "windows" and row[10] == "CONFIRMED"]
assert len(events) > 10, len(events)
for row in events:
    what = material[row[0]]
    assert (row[8], what[0], what[1], row[2], row[3]) in windows, row
    assert row[11] == rings(row), row
# And every window of a place and material that has an event has one.
shown = {(row[8], *material[row[0]], row[2], row[3]) for row in events}
pairs = {(key[0], key[1]) for key in shown}
missing = {key for key in windows if (key[0], key[1]) in pairs} - shown
assert not missing, missing

# Each open step with a day has its reminder on that day, each done one on the day it was done.
steps = {}
for name in glob.glob(f"{work}/batches/*.json"):
    batch = json.load(open(name))
    if batch["state"] in ("discarded", "struck"):
        continue
    for step in batch["steps"]:
        title = step["step"].replace("-", " ").capitalize() + " " + batch["code"] + ": "
        if step["open"] and step["due"]:
            steps[title] = (step["due"], step["alarm"] or step["step"] == "use-by")
        elif not step["open"] and step["done"] and step["done"] >= "2027-01-01":
            steps["Done: " + title] = (step["done"], False)
assert len(steps) > 5, steps
reminders = {}
for row in rows:
    found = re.match(r"((?:Done: )?[A-Z][a-z ]+ [A-Z:]*B\d\d-\d+: )", row[6])
    if found and row[10] == "CONFIRMED":
        reminders[found.group(1)] = (row[2], row[11])
        if found.group(1) in steps:
            day, alarm = steps[found.group(1)]
            steps[found.group(1)] = (day, rings(row) if alarm else "0")
assert reminders == steps, (set(steps.items()) ^ set(reminders.items()))
print(f"demo: {len(events)} windows, {len(steps)} reminders, each on its day")
PYTHON
cp "$work/all.ics" "$work/season.ics"
# The outing that is to come, moved by a day in the person's calendar, moves in the book; cancelled, it is planned no
# more; both only once.
/usr/bin/python3 - "$work/all.ics" <<'PYTHON'
import datetime, re, sys
path = sys.argv[1]
text = open(path, newline="", encoding="utf-8").read()
outing = next(event for event in re.findall("BEGIN:VEVENT.*?END:VEVENT", text, re.S)
              if "SUMMARY:Outing: Scarth Wood" in event)
def later(found):
    day = datetime.datetime.strptime(found.group(2), "%Y%m%d") + datetime.timedelta(days=1)
    return found.group(1) + day.strftime("%Y%m%d")
moved = re.sub(r"(DT(?:START|END);TZID=Europe/London:)(\d+)", later, outing)
open(path, "w", newline="", encoding="utf-8").write(text.replace(outing, moved))
open(path + ".day", "w").write(re.search(r"DTSTART;TZID=Europe/London:(\d+)", moved).group(1))
PYTHON
"$simpling" calendar read "$work/all.ics" --as test --apply --json >"$work/moved.json" 2>/dev/null
"$simpling" calendar read "$work/all.ics" --as test --apply --json >"$work/again.json" 2>/dev/null
"$simpling" calendar write --as other --out "$work/other.ics" >/dev/null 2>&1
/usr/bin/python3 - "$work" <<'PYTHON'
import json, re, sys
work = sys.argv[1]
moved, again = (json.load(open(f"{work}/{name}.json")) for name in ("moved", "again"))
assert [change["kind"] for change in moved["moved"]] == ["outing"], moved
assert not again["moved"] and not again["conflicts"], again
text = open(f"{work}/other.ics", newline="", encoding="utf-8").read()
outing = next(event for event in re.findall("BEGIN:VEVENT.*?END:VEVENT", text, re.S)
              if "SUMMARY:Outing: Scarth Wood" in event)
day = open(f"{work}/all.ics.day").read()
assert f"DTSTART;TZID=Europe/London:{day}" in outing, (day, outing)
open(f"{work}/other.ics", "w", newline="", encoding="utf-8").write(
    text.replace(outing, outing.replace("STATUS:CONFIRMED", "STATUS:CANCELLED")))
PYTHON
"$simpling" calendar read "$work/other.ics" --as other --apply --json >"$work/off.json" 2>/dev/null
"$simpling" calendar write --as third --out "$work/third.ics" >/dev/null 2>&1
grep -q '"kind": "outing"' "$work/off.json"
if grep -q "SUMMARY:Outing: Scarth Wood" "$work/third.ics"; then
    echo "a cancelled outing is still planned"
    exit 1
fi
echo "outing: moved and cancelled"
if command -v khal >/dev/null; then
    export HOME="$work" XDG_DATA_HOME="$work/data" XDG_CONFIG_HOME="$work/config" XDG_CACHE_HOME="$work/cache"
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
    khal -c "$work/khal.conf" import --batch -a season "$work/season.ics" >/dev/null 2>&1
    khal -c "$work/khal.conf" list --notstarted --once --day-format '' \
        --format '{uid} {start-date} {end-date}' 2027-01-01 365d 2>/dev/null | sort -u >"$work/got"
    awk -F '\t' '$2 == "VEVENT" && $3 < "2028-01-01" && $3 >= "2027-01-01" { print $1, $3, $4 }' \
        "$work/all.python" | sort >"$work/wanted"
    cmp "$work/wanted" "$work/got" || {
        diff "$work/wanted" "$work/got" | head -10
        exit 1
    }
    echo "khal: $(wc -l <"$work/wanted") events on their days"
fi
