# SPDX-License-Identifier: MIT
"""Invented books for the plan's checker: places, stands, words, hazards and planned batches drawn by
chance, the same for the same seed, made through the command line as anyone would."""

import csv
import datetime
import os
import random
import subprocess

TODAY = datetime.date(2027, 3, 10)
HOME = (54.59, -2.60)
SITES = ["Withy Gill", "Low Croft", "Hag Bank", "Scarth Wood", "Mill Holme", "Thrang Lane",
         "Kell Moss", "Brant Fell", "Ash Beck", "Long Garth", "Raven Sike", "Corn Howe"]
HERBS = ["dandelion/flower", "dandelion/leaf", "dandelion/root", "nettle/leaf", "nettle/root",
         "hawthorn/tops", "hawthorn/fruit", "elder/flower", "elder/fruit", "lime/flower",
         "meadowsweet/herb", "yarrow/herb", "ribwort/leaf", "red-clover/flower", "self-heal/herb",
         "raspberry/leaf", "burdock/root", "st-johns-wort/flower", "mullein/leaf",
         "cleavers/herb", "calendula/flower", "chamomile/flower"]


class Book:
    """A book and the program that keeps it."""

    def __init__(self, program, folder, today=TODAY):
        self.program = program
        self.folder = folder
        self.today = today
        self.path = os.path.join(folder, "book.db")
        self.refused = []

    def run(self, *words, today=None):
        """Runs one command; (status, stdout, stderr)."""
        done = subprocess.run(
            [self.program, "--book", self.path, "--today", str(today or self.today), *words],
            capture_output=True, text=True, cwd=self.folder, check=False)
        return done.returncode, done.stdout, done.stderr

    def do(self, *words):
        """Runs a command that may be refused (a plant that nobody may take): kept for a look."""
        status, _, err = self.run(*words)
        if status not in (0, 3, 4):
            self.refused.append((words, err.strip()))
        return status == 0


def rates(source):
    """Picking rates of the tables, g an hour, by material; None: not said."""
    found = {}
    with open(os.path.join(source, "data/materials.csv"), encoding="utf-8") as file:
        for row in csv.DictReader(file):
            rate = row["picking_g_per_h"]
            found[row["plant"] + "/" + row["part"]] = float(rate) if rate else None
    return found


def busy_file(rand, path):
    """A calendar with whole days, working hours and scraps; returns {date: [(from, to)]}."""
    busy = {}
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//invented//plan//EN"]
    day = TODAY
    number = 0
    while day < datetime.date(2027, 11, 30):
        pieces = []
        chance = rand.random()
        if chance < 0.1:
            pieces = [(0, 1440)]
        elif chance < 0.35:
            pieces = [(8 * 60, rand.choice([12, 16, 18]) * 60)]
        elif chance < 0.45:
            pieces = [(11 * 60, 12 * 60 + 30), (15 * 60, 16 * 60)]
        for begin, end in pieces:
            number += 1
            lines += ["BEGIN:VEVENT", f"UID:busy{number}", "DTSTAMP:20270101T000000Z"]
            if end - begin == 1440:
                lines += [f"DTSTART;VALUE=DATE:{day:%Y%m%d}"]
            else:
                lines += [f"DTSTART:{day:%Y%m%d}T{begin // 60:02d}{begin % 60:02d}00",
                          f"DTEND:{day:%Y%m%d}T{end // 60:02d}{end % 60:02d}00"]
            lines += ["SUMMARY:Taken", "END:VEVENT"]
        busy[day] = pieces
        day += datetime.timedelta(1)
    lines += ["END:VCALENDAR"]
    with open(path, "w", encoding="utf-8", newline="") as file:
        file.write("\r\n".join(lines) + "\r\n")
    return busy


def offset(rand, km):
    """A place within `km` of home."""
    return (HOME[0] + rand.uniform(-1, 1) * km / 111.2,
            HOME[1] + rand.uniform(-1, 1) * km / (111.2 * 0.58))


def add_sites(book, rand):
    """Places, and what was said of them."""
    places = {}
    for name in rand.sample(SITES, rand.randint(4, len(SITES))):
        lat, lon = offset(rand, 12)
        own = rand.random() < 0.15
        words = ["site", "add", name, "--at", f"{lat:.4f},{lon:.4f}", "--elevation",
                 str(rand.randint(90, 350)), "--accuracy", "10"]
        if not book.do(*words, *(["--own"] if own else [])):
            continue
        places[name] = (round(lat, 4), round(lon, 4))
        if rand.random() < 0.75:
            until = rand.choice(["2027-05-31", "2027-07-15", "2028-12-31", "2028-12-31"])
            book.do("site", "permit", name, "--given", "--by", f"the owner of {name}", "--parts",
                    "any" if rand.random() < 0.5 else "leaf,flower,fruit", "--until", until)
        elif rand.random() < 0.2:
            book.do("site", "permit", name, "--refused", "--by", f"the owner of {name}")
        if rand.random() < 0.6:
            book.do("spray", "note", name, "--kind", "unsprayed", "--since", "2015-01-01",
                    "--source", f"the tenant of {name}", "--on",
                    str(TODAY - datetime.timedelta(rand.randint(0, 50))))
        if rand.random() < 0.15:
            book.do("spray", "note", name, "--kind", "planned", "--on",
                    f"2027-0{rand.randint(5, 8)}-10", "--source", "the contractor")
    return places


def make(program, folder, seed):
    """Makes the book of a seed; gives it and the words for `plan outings`."""
    rand = random.Random(seed)
    book = Book(program, folder)
    book.do("book", "init", "--mark", "TST")
    hours = rand.choice([4, 5, 6])
    pickers = rand.choice([1, 1, 2])
    racks = rand.choice([None, None, 1, 3])
    speed = rand.choice([25, 30, 40])
    for key, value in (("home", f"{HOME[0]},{HOME[1]}"), ("zone", "Europe/London"),
                       ("country", "GB"), ("speed", speed), ("hours", hours),
                       ("pickers", pickers), ("press", "hand"), ("dew", "3")):
        book.do("book", "set", key, str(value))
    if racks is not None:
        book.do("book", "set", "racks", f"{racks}m2")
    places = add_sites(book, rand)
    herbs = rand.sample(HERBS, rand.randint(4, 12))
    for herb in herbs:
        plant, part = herb.split("/")
        for name in rand.sample(sorted(places), min(len(places), rand.randint(1, 4))):
            if rand.random() < 0.6:
                book.do("stand", "set", name, plant, "--plants",
                        str(rand.choice([15, 40, 85, 150, 400, 900, 2500])))
            else:
                book.do("stand", "set", name, plant, "--grams",
                        str(rand.choice([1000, 3000, 9000])), "--part", part)
    planned = 0
    for herb in herbs:
        part = herb.split("/")[1]
        name = herb.replace("/", " ")
        by = rand.choice([[], [], ["--by", "2027-09-30"], ["--by", "2027-12-01"]])
        if rand.random() < 0.35 and part in ("flower", "leaf", "herb", "root"):
            made = book.do("plan", "add", name, "dried-herb", herb, "--yield",
                           f"{rand.choice([30, 80, 200])}g", *by)
        elif rand.random() < 0.2 and len(herbs) > 5:
            other = rand.choice([h for h in herbs if h != herb])
            made = book.do("plan", "add", name + " mixed", "tincture", f"{herb}:1", f"{other}:2",
                           "--yield", f"{rand.choice([400, 1000])}mL", *by)
        else:
            made = book.do("plan", "add", name, "tincture", herb, "--yield",
                           f"{rand.choice([250, 500, 1000, 2000])}mL", *by)
        planned += made
    options = []
    wish = {"hours": hours, "pickers": pickers, "speed": speed, "racks_m2": racks,
            "places": places, "home": HOME, "days": None, "busy": {}, "clear_only": False,
            "planned": planned}
    if rand.random() < 0.5:
        wish["days"] = rand.choice([["sat", "sun"], ["sat", "sun", "wed"], ["mon", "thu"]])
        options += ["--days", ",".join(wish["days"])]
    if rand.random() < 0.4:
        wish["busy"] = busy_file(rand, os.path.join(folder, "busy.ics"))
        options += ["--busy", "busy.ics"]
    if rand.random() < 0.15:
        wish["clear_only"] = True
        options += ["--clear-only"]
    return book, wish, options
