#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""Reads a calendar with icalendar and prints the lines of readers.sh. Usage: read_lines.py FILE"""
import datetime
import sys
from zoneinfo import ZoneInfo

import icalendar

LONDON = ZoneInfo("Europe/London")


def when(value, days=0):
    if isinstance(value, datetime.datetime):
        return value.astimezone(LONDON).strftime("%Y-%m-%dT%H:%M")
    return str(value + datetime.timedelta(days=days))


def alarms(part):
    texts = []
    for alarm in part.subcomponents:
        trigger = alarm["TRIGGER"]
        start = trigger.params.get("RELATED", "START") == "START"
        texts.append(f"{'S' if start else 'E'}{int(trigger.dt.total_seconds() // 60)}")
    return ",".join(texts) or "-"


with open(sys.argv[1], "rb") as stream:
    calendar = icalendar.Calendar.from_ical(stream.read())
for part in calendar.walk():
    if part.name not in ("VEVENT", "VTODO"):
        continue
    off = "off" if part["STATUS"] == "CANCELLED" else "-"
    if part.name == "VEVENT":
        fields = [when(part["DTSTART"].dt), when(part["DTEND"].dt, -1), "-"]
    else:
        done = when(part["COMPLETED"].dt)[:10] if "COMPLETED" in part else "-"
        fields = ["-", when(part["DUE"].dt), done]
    print("\t".join([str(part["UID"]), part.name, *fields, off, alarms(part)]))
