#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Every form of the desk is reached from one page, opens, and says what is missing when it is sent empty; those of
what is bought, poured, planned and kept write what the command line then shows.

    forms.py SIMPLING-PROGRAM
"""
import http.client
import os
import re
import shutil
import signal
import sys
import uuid

from served import Desk

desk = Desk(sys.argv[1])
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def written(act, **fields):
    answer = desk.act(act, **fields)
    check(answer.status == 303, f"{act} is written", answer.status, re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text))[:600])
    page = desk.get(answer.headers["Location"]) if answer.status == 303 else answer
    check(page.status == 200 and 'class="done"' in page.text, f"{act} is confirmed", page.status)


desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()
acts = re.findall(r'href="(/act/[a-z-]+)"', desk.get("/files").text)
check(len(acts) == len(set(acts)) >= 40, "all forms are on one page, once", len(acts))
for act in acts:
    check(desk.get(act).status == 200, f"{act} opens")
    answer = desk.act(act.removeprefix("/act/"))
    check(answer.status == 422 and 'class="summary"' in answer.text, f"{act} sent empty says what is missing", answer.status)
written("stand-taken", site="Low Croft", plant="nettle", grams="100g", part="leaf", on="2027-06-19")
written("purchase-add", material="nettle leaf", weight="200g", supplier="a friend", number="7", remark="from their garden")
check(any(entry["supplier"] == "a friend" for entry in desk.json("purchase", "list")), "what was given is in the log")
written("liquid-add", kind="spirit", amount="1L", strength="90%", supplier="a wine merchant", number="9")
written("liquid-use", kind="spirit", amount="50mL", supplier="a wine merchant", number="9", why="spilt")
left = [line for line in desk.json("liquid", "list")["liquids"] if line["number"] == "9"]
check(left and abs(left[0]["left"] - 950) < 1e-6, "1000 less 50", left)
written("plan-add", **{"name": "one too many", "preparation": "vinegar", "materials": "dandelion/flower", "yield": "250mL"})
check("one too many" in desk.simpling("plan", "list"), "it is in the plan")
written("plan-drop", **{"name": "one too many", "why": "enough on the shelf"})
check("one too many" not in desk.simpling("plan", "list"), "and out of it")
for day, year in (("2027-06-20", "2027"), ("2027-12-01", "2028")):
    told = desk.get(f"/place/Low%20Croft?on={day}").text.split("Windows to come")[1].split("</table>")[0]
    over = re.findall(r'data-head="mostly over"><time datetime="([^"]*)"', told)
    check(over and min(over) >= day and any(end.startswith(year) for end in over), f"on {day} the windows that are not over", over)
# The tables are read once, and again when a file of them is another.
own = f"{desk.folder}/simpling/presses.csv"
os.makedirs(os.path.dirname(own), exist_ok=True)


def with_own_press():
    told = desk.get("/reckon?what=herb&material=nettle+leaf&preparation=tincture&jar=500mL&press=cider").text
    return told.split("What it needs")[1].split("<h2")[0] if "What it needs" in told else None


check(with_own_press() is None, "a press that no table has")
yields = []
for kept in ("0.5", "0.9"):
    with open(own, "w", encoding="utf-8") as file:
        file.write("press,name,retained_fresh_ml_per_g,retained_fresh_low_ml_per_g,retained_fresh_high_ml_per_g,retained_dry_ml_per_g,"
                   f"retained_dry_low_ml_per_g,retained_dry_high_ml_per_g,source\ncider,cider press,{kept},0.4,1,0.8,0.6,1,fresh=mine; dry=mine\n")
    yields.append(with_own_press())
check(None not in yields and yields[0] != yields[1], "one's own press, and its figure put right", yields)
os.remove(own)
check(with_own_press() is None, "and gone again")
jar = desk.json("batch", "list")[0]["code"]
written("recipe-keep", code=jar, **{"name": "as we make it"})
check("as we make it" in desk.simpling("recipe", "list"), "the recipe is kept")
written("recipe-drop", **{"name": "as we make it", "why": "not so good"})
check("as we make it" not in desk.simpling("recipe", "list"), "and taken back")
check(desk.simpling("book", "check") is not None, "the book is sound")

def together(path, windows):
    """The page as so many windows get it that ask while the desk sleeps."""
    there = [http.client.HTTPConnection("127.0.0.1", int(desk.host.rsplit(":", 1)[1]), timeout=60) for _ in range(windows)]
    heads = {"Host": desk.host, "Cookie": desk.cookie}
    for each in there:  # they are known before
        each.request("GET", "/help", headers=heads)
        each.getresponse().read()
    os.kill(desk.pid(), signal.SIGSTOP)
    for each in there:
        each.request("GET", path, headers=heads)
    os.kill(desk.pid(), signal.SIGCONT)
    return [each.getresponse().read().decode() for each in there]


# Windows that ask for one page at once see one page, and what each of them sends is its own.
IDENTITY = 'name="form" value="([^"]*)"'
pages = together("/", 8)
forms = [form for text in pages for form in re.findall(IDENTITY, text)]
check(len(set(re.sub(IDENTITY, "", text) for text in pages)) == 1, "eight windows that ask together see one page")
check(len(forms) >= 8 and len(forms) == len(set(forms)), "and each form of each is another", len(forms), len(set(forms)))
check(all(str(uuid.UUID(form)) == form for form in forms), "which the desk takes", forms[:1])
before = together("/log?all=1", 4)
# Today's order follows the year: ground in May, racks and jars in July, straining and roots in October, the shelf in January.
written("harvest-add", site="Low Croft", material="nettle leaf", bags="2", stage="half grown", named_by="Edda", signs="stinging hairs")
code = desk.json("harvest", "list")[-1]["code"]
after = together("/log?all=1", 4)
check(all(code not in text for text in before) and all(code in text for text in after), "what was written meanwhile is on the next", code)
GROUPS = {"ground": ("Calls to make", "Can be gathered", "Opens soon", "Runs short"), "herb": ("Weights missing", "Picked, and not put up yet", "On the racks"),
          "jars": ("Steps due", "Runs out, and a jar is ready"), "shelf": ("Out of date, or soon", "Giving out")}
for day, order in (("2027-07-10", "herb jars ground shelf"), ("2027-10-15", "jars ground herb shelf"), ("2028-01-20", "shelf jars ground herb"),
                   ("2028-05-10", "ground herb jars shelf")):
    desk.child.terminate()
    check(desk.child.wait(20) == 0, "the desk ends well")
    desk.env["SIMPLING_TODAY"] = day
    said = desk.begin().get("/").text
    first = {group: min((said.find(f">{words}<") for words in heads if f">{words}<" in said), default=-1) for group, heads in GROUPS.items()}
    told = " ".join(sorted((group for group in first if first[group] >= 0), key=first.get))
    check(told == order, f"Today on {day}: {order}", told)
check(desk.end() == 0, "the desk ends well")
print(f"{len(acts)} forms; {'no' if not wrong else wrong} wrong")
sys.exit(1 if wrong else 0)
