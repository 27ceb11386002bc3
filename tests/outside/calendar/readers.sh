#!/bin/sh
# SPDX-License-Identifier: MIT
#
# The demo season's calendars, with tasks and with reminders at an hour, read by programs of other
# makers: python's icalendar, KCalendarCore, Data::ICal. They agree on days and hours, alarms, what is
# due, done and off; an entry a line:
#   UID  VEVENT|VTODO  start  last day or end, or due  done on  off  alarms ("S-900": minutes from the start)
# Usage: readers.sh SIMPLING
set -eu
here=$(cd "$(dirname "$0")" && pwd)
simpling=$(readlink -f "$1")
export LC_ALL=C.UTF-8 TZ=Europe/London
need() { eval "$2" >/dev/null 2>&1 || { echo "$1 is not installed"; exit 77; }; }
need python3-icalendar '/usr/bin/python3 -c "import icalendar"'
need libdata-ical-perl '/usr/bin/perl -MData::ICal -e 1'
need libkf5calendarcore-dev 'test -d /usr/include/KF5/KCalendarCore'
need g++ 'command -v g++'
work=$(mktemp -d "${TMPDIR:-/tmp}/simpling-readers.XXXXXX")
trap 'rm -rf "$work"' EXIT
# shellcheck disable=SC2046
g++ -std=c++17 -fPIC -I/usr/include/KF5/KCalendarCore -I/usr/include/KF5 \
    $(pkg-config --cflags Qt5Core Qt5Gui) "$here/read_kde.cpp" -o "$work/read_kde" \
    -lKF5CalendarCore $(pkg-config --libs Qt5Core)
"$simpling" demo "$work/demo" >"$work/log" 2>&1 || { tail -3 "$work/log"; exit 1; }
export SIMPLING_BOOK="$work/demo/book.db" SIMPLING_TODAY=2027-06-20
cd "$work"
cp demo/herbs.ics demo/tasks.ics .
"$simpling" calendar write --tasks --out both.ics >/dev/null 2>&1
"$simpling" calendar write --tasks --at 08:00 --zone Europe/London --out timed.ics >/dev/null 2>&1
"$simpling" batch step B27-004 shake --drop --why "enough" >/dev/null 2>&1
"$simpling" calendar write --tasks --out both.ics >/dev/null 2>&1
for file in herbs tasks both timed; do
    /usr/bin/python3 "$here/read_lines.py" $file.ics | sort >$file.python
    QT_LOGGING_RULES='*=false' ./read_kde $file.ics | sort >$file.kde
    /usr/bin/perl "$here/read_perl.pl" $file.ics | sort >$file.perl
    for reader in kde perl; do
        cmp -s $file.python $file.$reader || {
            echo "$file.ics: $reader reads it otherwise"
            diff $file.python $file.$reader | head -10
            exit 1
        }
    done
    echo "$file.ics: $(wc -l <$file.python) entries, the same for all"
done
# What must be among them: tasks due and done, alarms of both kinds, hours, what is off.
grep -q "	VTODO	.*	E-900$" both.python
grep -q "	VTODO	-	2027-[0-9-]*	2027-[0-9-]*	-	-$" both.python
grep -q "	off	-$" both.python
grep -q "	VEVENT	2027-[0-9-]*T08:00	.*	S-10$" timed.python
grep -q "	VEVENT	2027-07-03T07:4[0-9]	" herbs.python
