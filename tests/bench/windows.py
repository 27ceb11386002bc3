# SPDX-License-Identifier: MIT
"""What one would use instead of `window list` where nothing moves: an almanac of yearly all-day events,
read with icalendar and put into a year, for a number of places.

    python3 windows.py FILE.ics YEAR PLACES      one line a window: material use flush start end
"""

import datetime
import sys

import icalendar

path, year, places = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
with open(path, "rb") as file:
    events = icalendar.Calendar.from_ical(file.read()).walk("VEVENT")
for _ in range(places):
    for event in events:
        start = event.decoded("DTSTART").replace(year=year)
        days = event.decoded("DTEND") - event.decoded("DTSTART")
        print(
            event["X-SIMPLING-MATERIAL"],
            event["X-SIMPLING-USE"],
            event.get("X-SIMPLING-FLUSH", "1"),
            start,
            start + days - datetime.timedelta(days=1),
        )
