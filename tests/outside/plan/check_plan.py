# SPDX-License-Identifier: MIT
"""Holds plans of outings against the book's own answers, with nothing of the planner's in it.

    check_plan.py PROGRAM SOURCE-FOLDER [BOOKS [FIRST-SEED]]

For each invented book (books.py): each outing's day, hours and road are reckoned again; each take is
asked about with `check` on its day and its reserve day; free stretches, dew, allowances shared by
parts of a plant, racks, picking intervals, needs by their days, calls and sums are held against what
the book says elsewhere. Prints what is wrong; status 1 then.
"""

import datetime
import itertools
import json
import math
import os
import re
import sys
import tempfile

import books

SETUP_H = 0.2  # the planner's own figures, as its help and DEVELOPERS say them
PROCESS_G_PER_H = 1500
PICK_G_PER_H = 500
DETOUR = 1.3
RACK_G_PER_M2 = 1500
RACK_DAYS = 7
ENOUGH = 0.03
LEAST_G = 15
DAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


def date(text):
    """An ISO day, or None."""
    return datetime.date.fromisoformat(text) if text else None


def km_between(a, b):
    """Great circle, mean radius of the IUGG."""
    lat1, lon1, lat2, lon2 = map(math.radians, (*a, *b))
    h = math.sin((lat2 - lat1) / 2) ** 2 + \
        math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * 6371.0088 * math.asin(math.sqrt(h)) * DETOUR


def intervals(source):
    """Days between two pickings, by material: the most that an almanac says."""
    found = {}
    path = os.path.join(source, "calendars/britain.ics")
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read().replace("\r\n ", "")
    for event in text.split("BEGIN:VEVENT")[1:]:
        material = re.search(r"X-SIMPLING-MATERIAL:(\S+)", event)
        every = re.search(r"X-SIMPLING-EVERY:(\d+)", event)
        if material and every:
            name = material.group(1).strip()
            found[name] = max(found.get(name, 0), int(every.group(1)))
    return found


class Checker:
    """One plan of one book."""

    def __init__(self, book, wish, source):
        self.book = book
        self.wish = wish
        self.rates = books.rates(source)
        self.every = intervals(source)
        self.wrong = []
        self.asked = {}

    def complain(self, text):
        self.wrong.append(text)

    def json(self, *words):
        """A command's answer."""
        status, out, err = self.book.run(*words, "--json")
        if status not in (0, 3, 4):
            raise RuntimeError(f"{words}: {err}")
        return json.loads(out)

    def ground(self, site, material, day):
        """What check says."""
        key = (site, material, day)
        if key not in self.asked:
            self.asked[key] = self.json("check", site, material, "--on", str(day))
        return self.asked[key]

    # ---- one outing ----

    def round(self, sites):
        """Shortest round in hours and its km, by every order."""
        best = None
        for order in itertools.permutations(sites):
            stops = [self.wish["home"]] + [self.wish["places"][s] for s in order] + \
                [self.wish["home"]]
            km = sum(km_between(a, b) for a, b in zip(stops, stops[1:]))
            if best is None or km < best:
                best = km
        return best / self.wish["speed"] + SETUP_H * len(sites), best

    def work(self, outing):
        """Hours of picking and working up."""
        hours = 0
        for stop in outing["sites"]:
            for take in stop["takes"]:
                rate = self.rates.get(take["material"]) or PICK_G_PER_H
                hours += take["grams"] * (1 / rate + 1 / PROCESS_G_PER_H) / self.wish["pickers"]
        return hours

    def stretch(self, day, site):
        """The longest free stretch between dew and dusk there, in hours."""
        words = self.ground(site, "nettle/leaf", day)["picking"]
        found = re.search(r"from (\d\d):(\d\d).* to (\d\d):(\d\d)", words or "")
        if not found:
            return 24
        begin, end = (int(found.group(i)) * 60 + int(found.group(i + 1)) for i in (1, 3))
        best, at = 0, begin
        for busy_from, busy_to in sorted(self.wish["busy"].get(day, [])):
            best = max(best, min(busy_from, end) - at)
            at = max(at, busy_to)
        return max(best, end - at) / 60

    def check_day(self, outing, day, what):
        """A day on which one could go, long enough."""
        if day < self.book.today:
            self.complain(f"{what} {day} is past")
        if self.wish["days"] and DAYS[day.weekday()] not in self.wish["days"]:
            self.complain(f"{what} {day} is no day on which one goes")
        if outing["hours"] > self.wish["hours"] + 0.06:
            self.complain(f"{what} {day} lasts {outing['hours']} h of {self.wish['hours']}")
        free = self.stretch(day, outing["sites"][0]["site"])
        # the dew is reckoned at home, minutes away
        if outing["hours"] > free + 0.1:
            self.complain(f"{what} {day} lasts {outing['hours']} h, the longest free dry stretch "
                          f"is {free:.2f} h")

    def check_take(self, outing, stop, take):
        """Open on both days, by check, with every question said."""
        worst = "clear"
        for day in (date(outing["date"]), date(outing["reserve"])):
            if day is None:
                continue
            said = self.ground(stop["site"], take["material"], day)
            if said["verdict"] == "closed":
                self.complain(f"{stop['site']} is closed on {day} for {take['material']}")
            if said["verdict"] == "ask":
                worst = "ask"
                for reason in said["reasons"]:
                    if reason["verdict"] == "ask" and reason["what"] not in stop["reasons"]:
                        self.complain(f"{stop['site']} {day}: not said: {reason['what']}")
            if not any(date(w["earliest"]) <= day <= date(w["latest"]) for w in said["window"]):
                self.complain(f"{take['material']} at {stop['site']} on {day}: no window")
        if worst == "ask" and self.wish["clear_only"]:
            self.complain(f"{stop['site']} {outing['date']}: ask, though only clear was wanted")
        if worst == "ask" and stop["verdict"] != "ask":
            self.complain(f"{stop['site']} {outing['date']} is said to be {stop['verdict']}")
        if take["grams"] != round(take["grams"]) or take["grams"] < 1:
            self.complain(f"{take['grams']} g cannot be weighed out")

    def check_outing(self, outing):
        """Everything about one outing alone."""
        sites = [stop["site"] for stop in outing["sites"]]
        if len(sites) > 4 or len(set(sites)) < len(sites):
            self.complain(f"{outing['date']} goes to {sites}")
        hours, km = self.round(sites)
        hours += self.work(outing)
        if abs(hours - outing["hours"]) > 0.1:
            self.complain(f"{outing['date']}: {hours:.2f} h by hand, {outing['hours']} said")
        if abs(km - outing["km"]) > 1:
            self.complain(f"{outing['date']}: {km:.1f} km by hand, {outing['km']} said")
        home = sum(t["grams"] for stop in outing["sites"] for t in stop["takes"])
        if abs(home - outing["home_g"]) > 1:
            self.complain(f"{outing['date']}: {home} g come home, {outing['home_g']} said")
        self.check_day(outing, date(outing["date"]), "outing")
        if outing["reserve"]:
            self.check_day(outing, date(outing["reserve"]), "reserve")
            if outing["reserve"] <= outing["date"]:
                self.complain(f"the reserve {outing['reserve']} is not later")
            next_day = date(outing["date"]) + datetime.timedelta(1)
            if date(outing["reserve"]) == next_day and not outing["reserve_why"]:
                self.complain(f"{outing['date']}: the next day is the reserve without a word")
        elif not outing["reserve_why"]:
            self.complain(f"{outing['date']} has no reserve without a word")
        for stop in outing["sites"]:
            if not stop["takes"]:
                self.complain(f"{outing['date']} stops at {stop['site']} for nothing")
            for take in stop["takes"]:
                self.check_take(outing, stop, take)

    # ---- all together ----

    def takes(self, plan):
        """(outing, stop, take) of all."""
        for outing in plan["outings"]:
            for stop in outing["sites"]:
                for take in stop["takes"]:
                    yield outing, stop, take

    def check_stands(self, plan):
        """The parts of one plant share what it can spare."""
        left = {(s["site"], s["material"]): s["left_g"] for s in self.json("stand", "list")}
        used = {}
        for _, stop, take in self.takes(plan):
            allowance = left.get((stop["site"], take["material"]), 0)
            plant = (stop["site"], take["material"].split("/")[0])
            if allowance <= 0:
                self.complain(f"{stop['site']} spares no {take['material']}")
                continue
            # a gram more by rounding
            used[plant] = used.get(plant, 0) + max(take["grams"] - 1, 0) / allowance
        for plant, share in used.items():
            if share > 1.002:
                self.complain(f"{plant} gives {share:.3f} of what it spares")

    def check_intervals(self, plan):
        """No stand is picked again before its time, whichever outings are rained off."""
        days = {}
        for number, (outing, stop, take) in enumerate(self.takes(plan)):
            for day in (date(outing["date"]), date(outing["reserve"])):
                if day:
                    days.setdefault((stop["site"], take["material"]), []).append(
                        (day, outing["date"], number))
        for (site, material), list_ in days.items():
            every = self.every.get(material, 0)
            for a, b in itertools.combinations(list_, 2):
                if a[1] != b[1] and abs((a[0] - b[0]).days) < every:
                    self.complain(f"{material} at {site}: {a[0]} and {b[0]}, every {every} days")

    def check_racks(self, plan, dried):
        """What lies on the racks, each outing counted on both of its days."""
        if self.wish["racks_m2"] is None:
            return
        loads = []
        for outing, _, take in self.takes(plan):
            if take["material"] in dried:
                loads.append(({date(outing["date"]), date(outing["reserve"])} - {None},
                              take["grams"]))
        for days, _ in loads:
            for day in days:
                held = sum(grams for others, grams in loads
                           if any(0 <= (day - d).days < RACK_DAYS for d in others))
                if held > self.wish["racks_m2"] * RACK_G_PER_M2 + len(loads):
                    self.complain(f"the racks hold {held} g on {day}")

    def needs(self):
        """[(material, grams still to pick, last day or None, batch)] by need, plan list and check."""
        found = []
        for line in self.json("plan", "list"):
            parts = [(m.split(":")[0], float(m.split(":")[1]) if ":" in m else 1.0)
                     for m in line["materials"]]
            whole = sum(share for _, share in parts)
            for material, share in parts:
                words = ["need", material, line["preparation"]]
                if line["yield_ml"] is not None:
                    words += ["--yield", f"{line['yield_ml'] * share / whole:.4f}mL"]
                else:
                    words += ["--yield", f"{line['yield_g'] * share / whole:.4f}g"]
                # of several parts the list says the earliest day only
                by = date(line["gather_by"]) if len(parts) == 1 else None
                found.append((material, self.json(*words)["gross_g"], by, line["name"],
                              line["preparation"]))
        return found

    def check_needs(self, plan, needs):
        """Taken and short together are what is needed, in time; nothing under the floor for nothing."""
        short = {s["material"]: s["grams"] for s in plan["short"]}
        for material in {n[0] for n in needs}:
            wanted = sum(n[1] for n in needs if n[0] == material)
            taken = sum(t["grams"] for _, _, t in self.takes(plan) if t["material"] == material)
            lack = wanted - taken - short.get(material, 0)
            count = sum(1 for _, _, t in self.takes(plan) if t["material"] == material)
            if lack > ENOUGH * wanted + 1.5 or lack < -1 - count:
                self.complain(f"{material}: {wanted:.0f} g needed, {taken:.0f} taken, "
                              f"{short.get(material, 0):.0f} short")
            if short.get(material, 0) > wanted + 1:
                self.complain(f"{material} is short of more than is needed")
        for outing, stop, take in self.takes(plan):
            name = take["for"][0] if take["for"] else None
            if take["grams"] < LEAST_G and not any(
                    n[3] in take["for"] and n[1] * ENOUGH < take["grams"] + 1 for n in needs):
                self.complain(f"{outing['date']} {stop['site']}: {take['grams']} g "
                              f"{take['material']} make nothing whole")
            if name is None:
                self.complain(f"{take['grams']} g {take['material']} are for nothing")
            late = [n[2] for n in needs if n[3] in take["for"] and n[0] == take["material"] and n[2]]
            if late and date(outing["date"]) > max(late):
                self.complain(f"{outing['date']}: {take['material']} after {max(late)}")

    def check_calls(self, plan):
        """Whoever must be asked is on the list in time, with every question."""
        calls = {c["site"]: c for c in plan["call"]}
        for outing in plan["outings"]:
            for stop in outing["sites"]:
                if stop["verdict"] != "ask":
                    continue
                call = calls.get(stop["site"])
                if call is None:
                    self.complain(f"nobody is asked about {stop['site']}")
                    continue
                for _, _, take in [t for t in self.takes(plan) if t[1] is stop]:
                    for day in (outing["date"], outing["reserve"]):
                        said = self.ground(stop["site"], take["material"], day) if day else None
                        for reason in said["reasons"] if said else []:
                            if reason["verdict"] == "ask" and said["verdict"] == "ask" and \
                                    reason["what"] not in call["about"]:
                                self.complain(f"{stop['site']}: not to be asked: {reason['what']}")
                if date(call["by"]) > date(outing["date"]) and call["outing"] == outing["date"]:
                    self.complain(f"{stop['site']} is asked about after the outing")

    def check_sums(self, plan):
        """What is said of the whole adds up."""
        for key in ("hours", "km"):
            total = sum(o[key] for o in plan["outings"])
            if abs(total - plan[key]) > 0.06 * len(plan["outings"]) + (key == "km"):
                self.complain(f"{key}: {total:.2f} by hand, {plan[key]} said")
        weighs = sum(w["hours"] for w in plan["weighs"])
        if abs(weighs - plan["cost_h"]) > 0.01:
            self.complain(f"weighs {weighs:.3f} by hand, {plan['cost_h']} said")
        setting_out = sum(w["hours"] for w in plan["weighs"] if w["what"] == "setting out")
        if abs(setting_out - 2 * len(plan["outings"])) > 1e-6:
            self.complain(f"setting out weighs {setting_out}")
        if plan["cost_bound_h"] is not None and plan["cost_bound_h"] > plan["cost_h"] + 1e-6:
            self.complain(f"no plan weighs less than {plan['cost_bound_h']}, this {plan['cost_h']}")
        if plan["lower_bound"] > plan["outings_count"]:
            self.complain("fewer outings than are needed")
        days = [o["date"] for o in plan["outings"]] + \
            [o["reserve"] for o in plan["outings"] if o["reserve"]]
        if len(set(days)) < len(days):
            self.complain(f"a day is used twice: {sorted(days)}")

    def check(self, plan):
        """Everything."""
        needs = self.needs()
        dried = {n[0] for n in needs if n[4] == "dried-herb"}
        for outing in plan["outings"]:
            self.check_outing(outing)
        self.check_stands(plan)
        self.check_intervals(plan)
        self.check_racks(plan, dried)
        self.check_needs(plan, needs)
        self.check_calls(plan)
        self.check_sums(plan)
        return self.wrong


def main():
    """One line a book."""
    program, source = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 3
    first = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    failed, planned = 0, 0
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory() as folder:
            book, wish, options = books.make(program, folder, seed)
            status, out, err = book.run("plan", "outings", *options, "--json")
            if status == 2 and wish["planned"] == 0:
                continue
            if status != 0:
                print(f"book {seed}: {err.strip()}")
                failed += 1
                continue
            plan = json.loads(out)
            wrong = Checker(book, wish, source).check(plan)
            planned += len(plan["outings"])
            print(f"book {seed}: {len(plan['outings'])} outings, {plan['cost_h']} h, "
                  f"{plan['gap']} gap, {len(plan['short'])} short, {plan['seconds']} s: "
                  f"{len(wrong)} wrong")
            for text in wrong:
                print(f"    {text}")
            failed += bool(wrong)
    if planned < count:
        print(f"only {planned} outings in {count} books: they test nothing")
        failed += 1
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
