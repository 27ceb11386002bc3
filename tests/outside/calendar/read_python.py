#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Reads a calendar with a library of another maker and prints the lines of expected.tsv (see
write_calendar.c). Usage: read_python.py icalendar|vobject FILE..."""
import datetime
import sys
from zoneinfo import ZoneInfo

LONDON = ZoneInfo("Europe/London")


def line(uid, kind, start, end, title, text, place, category, status, alarm):
    """Ends of days are exclusive in the file (RFC 5545 3.6.1) and inclusive in the table."""
    if isinstance(start, datetime.datetime):
        start, end = start.astimezone(LONDON), end.astimezone(LONDON)
        days = (start.date(), end.date(), start.strftime("%H:%M"), end.strftime("%H:%M"))
    else:
        days = (start, end - datetime.timedelta(days=1), "-", "-")
    minutes = 0 if alarm is None else int(-alarm.total_seconds() // 60)
    fields = [uid, kind, *map(str, days), title, text.replace("\n", "\\n"), place, category, status,
              str(minutes)]
    print("\t".join(fields))


def after(due):
    """DUE without a time is the day itself: as an exclusive end it is the next."""
    return due if isinstance(due, datetime.datetime) else due + datetime.timedelta(days=1)


def with_icalendar(path):
    import icalendar
    with open(path, "rb") as stream:
        calendar = icalendar.Calendar.from_ical(stream.read())
    for part in calendar.walk():
        if part.name not in ("VEVENT", "VTODO"):
            continue
        if part.errors:
            sys.exit(f"{part['UID']}: {part.errors}")
        alarms = [sub for sub in part.subcomponents if sub.name == "VALARM"]
        category = part["CATEGORIES"].to_ical().decode()
        task = part.name == "VTODO"
        start = part["DTSTART" if "DTSTART" in part else "DUE"].dt
        end = part["DUE" if task else "DTEND"].dt
        line(str(part["UID"]), part.name, start, after(end) if task else end, str(part["SUMMARY"]),
             str(part.get("DESCRIPTION", "")), str(part.get("LOCATION", "")), category,
             str(part["STATUS"]), alarms[0]["TRIGGER"].dt if alarms else None)


def with_vobject(path):
    import vobject
    with open(path, encoding="utf-8", newline="") as stream:
        calendar = vobject.readOne(stream)
    for part in calendar.components():
        if part.name not in ("VEVENT", "VTODO"):
            continue
        alarms = list(part.components())
        text = part.description.value if hasattr(part, "description") else ""
        place = part.location.value if hasattr(part, "location") else ""
        task = part.name == "VTODO"
        start = (part.dtstart if hasattr(part, "dtstart") else part.due).value
        end = after(part.due.value) if task else part.dtend.value
        line(part.uid.value, part.name, start, end, part.summary.value, text,
             place, ",".join(part.categories.value), part.status.value,
             alarms[0].trigger.value if alarms else None)


for file in sys.argv[2:]:
    {"icalendar": with_icalendar, "vobject": with_vobject}[sys.argv[1]](file)
