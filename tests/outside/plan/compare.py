# SPDX-License-Identifier: MIT
"""The planner beside the program cbc on the same model, its own first plan and a person's rule.

    compare.py PROGRAM SOURCE-FOLDER [BOOKS [FIRST-SEED [CBC-SECONDS]]]

By hand: it takes minutes. For each invented book one line with what each plan weighs, reckoned by
the measure of the planner's help; then the ratio of each to the best known, mean and worst. The
person's rule: on each day on which one goes, the herb whose likely days end soonest, at the nearest
place that is open and has it, then what else is ready nearby while the hours last; one goes when
something is in the last third of its likely days or two herbs are ready.
"""

import datetime
import json
import os
import re
import subprocess
import sys
import tempfile

import books
from check_plan import Checker, DAYS, PICK_G_PER_H, PROCESS_G_PER_H, date, km_between, SETUP_H

OUTING_H, EDGE_H, SPOIL_H, ASK_H, SMALL_H, OPEN_H, BATCH_H, ENOUGH = 2, 1, 4, .5, .5, 6, 12, .03


def spoils(material, window):
    """Leaves before bloom, flowers and tops before they go over."""
    part = material.split("/")[1]
    stage = window["stage_to"]
    if part in ("flower", "tops", "bud"):
        return True
    return stage is not None and ((part == "leaf" and stage < 60) or (part == "herb" and stage < 70))


class Person(Checker):
    """Plans by the rule, and measures plans."""

    def measure(self, outings, needs):
        """Hours that a plan weighs: [(day, [(site, [(material, grams)])])]."""
        whole = {}
        for need in needs:
            whole[need[0]] = whole.get(need[0], 0) + need[1]
        cost, got = 0, {}
        for day, stops in outings:
            cost += OUTING_H + self.round([s for s, _ in stops])[0]
            for site, takes in stops:
                for material, grams in takes:
                    said = self.ground(site, material, day)
                    asks = sum(r["verdict"] == "ask" for r in said["reasons"])
                    small = any("take less than the share" in c for c in said["cautions"])
                    cost += (asks * ASK_H + small * SMALL_H) * grams / whole[material]
                    cost += self.edge(said, material, day) * grams / whole[material]
                    got[material] = got.get(material, 0) + grams
        return cost + self.left_open(needs, got)

    def edge(self, said, material, day):
        """How early or late, in hours."""
        best = None
        for w in said["window"]:
            first, start, end, last = (date(w[k]) for k in
                                       ("earliest", "likely_start", "likely_end", "latest"))
            if not first <= day <= last:
                continue
            hours = 0
            if day < start:
                hours = EDGE_H * (start - day).days / (start - first).days
            elif day > end:
                hours = (SPOIL_H if spoils(material, w) else EDGE_H) * \
                    (day - end).days / (last - end).days
            best = hours if best is None else min(best, hours)
        return best or 0

    @staticmethod
    def left_open(needs, got):
        """What is not covered, smallest need first."""
        cost, batches = 0, set()
        for material, grams, _, name, _ in sorted(needs, key=lambda n: n[1]):
            part = min(got.get(material, 0), grams)
            got[material] = got.get(material, 0) - part
            cost += OPEN_H * max(grams - part - 1, 0) / grams
            if grams - part > ENOUGH * grams + 1:
                batches.add(name)
        return cost + BATCH_H * len(batches)

    def plan(self, needs):
        """By the rule."""
        windows = {}
        for w in self.json("window", "list", "--year", str(self.book.today.year)):
            if w["use"] == "medicine":
                windows.setdefault((w["site"], w["material"]), []).append(w)
        spare = {(s["site"], s["material"]): s["left_g"] for s in self.json("stand", "list")}
        share = {}
        left = {}
        for need in needs:
            left[need[0]] = left.get(need[0], 0) + need[1]
        due = {n[0]: n[2] for n in needs}
        outings, day = [], self.book.today
        while day < datetime.date(self.book.today.year, 11, 30):
            if not self.wish["days"] or DAYS[day.weekday()] in self.wish["days"]:
                stops = self.day_out(day, windows, spare, share, left, due)
                if stops:
                    outings.append((day, stops))
            day += datetime.timedelta(1)
        return outings

    def ready(self, day, windows, spare, share, left, due):
        """[(days to the end of the likely ones, whether urgent, site, material)]."""
        found = []
        for (site, material), list_ in windows.items():
            if left.get(material, 0) < 1 or spare.get((site, material), 0) < 1 or \
                    share.get((site, material.split("/")[0]), 0) > 0.99 or \
                    (due.get(material) and day > due[material]):
                continue
            for w in list_:
                start, end = date(w["likely_start"]), date(w["likely_end"])
                if start <= day <= end:
                    found.append(((end - day).days, 3 * (end - day).days <= (end - start).days,
                                  site, material))
        return found

    def may(self, site, material, day):
        """Whether check lets one pick."""
        verdict = self.ground(site, material, day)["verdict"]
        return verdict == "clear" or (verdict == "ask" and not self.wish["clear_only"])

    def day_out(self, day, windows, spare, share, left, due):
        """The stops of one day; [] when one stays at home."""
        ready = self.ready(day, windows, spare, share, left, due)
        if not ready or not (any(r[1] for r in ready) or len({r[3] for r in ready}) >= 2):
            return []
        hours = min(self.wish["hours"], self.stretch(day, ready[0][2]))
        urgent = min(ready)[3]
        stops, at, used = [], self.wish["home"], 0
        places = {r[2] for r in ready if r[3] == urgent}
        while places and len(stops) < 4:
            site = min(places, key=lambda s: km_between(at, self.wish["places"][s]))
            places.discard(site)
            if self.may(site, urgent, day):
                way = km_between(at, self.wish["places"][site]) / self.wish["speed"] + SETUP_H
                back = km_between(self.wish["places"][site], self.wish["home"]) / \
                    self.wish["speed"]
                takes = []
                for _, _, where, material in sorted(ready):
                    rate = (1 / (self.rates.get(material) or PICK_G_PER_H) +
                            1 / PROCESS_G_PER_H) / self.wish["pickers"]
                    plant = (site, material.split("/")[0])
                    if where != site or not self.may(site, material, day):
                        continue
                    grams = min(left[material], spare[(where, material)] *
                                (1 - share.get(plant, 0)),
                                (hours - used - way - back -
                                 sum(t[2] for t in takes)) / rate)
                    if grams >= 15:
                        takes.append((material, grams, grams * rate))
                        share[plant] = share.get(plant, 0) + grams / spare[(where, material)]
                        left[material] -= grams
                if takes:
                    used += way + sum(t[2] for t in takes)
                    at = self.wish["places"][site]
                    stops.append((site, [(m, g) for m, g, _ in takes]))
            if not places and stops:
                near = [r for r in ready if left[r[3]] >= 15 and r[2] not in [s for s, _ in stops]]
                places = {r[2] for r in near if km_between(at, self.wish["places"][r[2]]) < 5}
                if near:
                    urgent = min(near)[3]
                if len(stops) >= 4 or used > hours - 0.5:
                    break
        return stops


def cbc(path, seconds):
    """(cost, bound) of the program cbc; None: none."""
    out = subprocess.run(["cbc", path, "timeMode", "cpu", "sec", str(seconds), "solve"],
                         capture_output=True, text=True, check=False).stdout
    cost = re.search(r"Objective value:\s+([-\d.]+)", out)
    bound = re.search(r"Lower bound:\s+([-\d.]+)", out)
    if cost is None:
        return None, None
    done = "Optimal solution found" in out
    return float(cost.group(1)), float(cost.group(1)) if done else \
        float(bound.group(1)) if bound else None


def main():
    """The table."""
    program, source = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
    count, first, seconds = (int(sys.argv[i]) if len(sys.argv) > i else other
                             for i, other in ((3, 30), (4, 1), (5, 60)))
    ratios = {}
    print("book  default  seconds  first plan  cbc  cbc's bound  person")
    for seed in range(first, first + count):
        with tempfile.TemporaryDirectory() as folder:
            book, wish, options = books.make(program, folder, seed)
            status, out, _ = book.run("plan", "outings", *options, "--lp", "m.lp", "--json")
            if status != 0 or not os.path.exists(os.path.join(folder, "m.lp")):
                continue
            plan = json.loads(out)
            quick = json.loads(book.run("plan", "outings", *options, "--no-solver", "--json")[1])
            other, bound = cbc(os.path.join(folder, "m.lp"), seconds)
            person = Person(book, wish, source)
            needs = person.needs()
            byhand = person.measure([(date(o["date"]), [
                (s["site"], [(t["material"], t["grams"]) for t in s["takes"]])
                for s in o["sites"]]) for o in plan["outings"]], needs)
            costs = {"default": plan["cost_h"] - plan["reserve_h"],
                     "first plan": quick["cost_h"] - quick["reserve_h"],
                     "cbc": other}
            best = min(c for c in costs.values() if c is not None)
            rule = person.measure(person.plan(needs), needs)
            print(f"{seed:4d} {costs['default']:8.3f} {plan['seconds']:8.2f} "
                  f"{costs['first plan']:10.3f} {other} {bound} {rule:8.3f}"
                  f"  (by hand {byhand:.3f})", flush=True)
            for name, cost in costs.items():
                if cost is not None:
                    ratios.setdefault(name, []).append(cost / best)
            # like with like: by hand a part's last day in a mixed batch is not known
            ratios.setdefault("person", []).append(rule / byhand * costs["default"] / best)
    for name, list_ in ratios.items():
        print(f"{name}: mean {sum(list_) / len(list_):.4f}, worst {max(list_):.4f}, "
              f"{len(list_)} books")


if __name__ == "__main__":
    main()
