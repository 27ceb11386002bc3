#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""Rows of one's own in the desk: shown beside the program's, written whole or not at all, a bad cell told
beside it; the file stays one that spreadsheets open, and what else stands in it stays.

    tables.py SIMPLING-PROGRAM
"""
import csv
import io
import os
import re
import stat
import sys

from served import Desk

desk = Desk(sys.argv[1], today="2027-06-20")
own = f"{desk.folder}/simpling"
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


def raw(table):
    try:
        with open(f"{own}/{table}.csv", "rb") as file:
            return file.read()
    except FileNotFoundError:
        return None


def rows(table, between=","):
    return list(csv.DictReader(io.StringIO(raw(table).decode("utf-8-sig"), newline=""), delimiter=between))


def write(table, query, **cells):
    """Fills in the form under this query and sends it."""
    sent = desk.get(f"/table/{table}?{query}").fields()
    for column, cell in cells.items():
        if column != "take_out":
            check(f"c.{column}" in sent, f"{table} has a cell for {column}", list(sent))
            column = f"c.{column}"
        sent[column] = cell
    return desk.post(f"/table/{table}", sent)


desk.simpling("start", "--quiet", "--mark", "EDD", "--who", "Edda")
desk.begin()
names = re.findall(r'href="/table/([a-z]+)"', desk.get("/tables").text)
check(len(names) == 11 and 'href="/tables"' in desk.get("/settings").text, "the tables are there", names)
for name in names:
    text = desk.get(f"/table/{name}").text
    check("None yet." in text and text.count("Say it otherwise") > 2, f"{name}: the program's rows stand there")
    check(desk.get(f"/table/{name}?row=new").status == 200 and desk.get(f"/table/{name}?like=0").status == 200, f"{name}: forms")
check(desk.get("/table/nothing").status == 404 and desk.get("/table/..%2Fplants").status in (400, 404), "no other table", desk.get("/table/nothing").status)

# A row of one's own counts at once, beside the program's; its file is its owner's alone.
check(raw("presses") is None, "nothing is written by looking")
answer = write("presses", "row=new", press="lever", name="a lever, over a bucket", retained_fresh_ml_per_g="0.8", retained_dry_ml_per_g="1")
check(answer.status == 303 and answer.headers["Location"] == "/table/presses", "written", answer.status, answer.text[-600:])
check([row["press"] for row in rows("presses")] == ["lever"], "it is in the file", raw("presses"))
check(stat.S_IMODE(os.stat(f"{own}/presses.csv").st_mode) == 0o600, "the file is its owner's alone")
desk.simpling("book", "set", "press", "lever")
check("over a bucket" in desk.get("/table/presses").text, "and shown")

# A bad cell is told beside it; nothing is written; what was typed stays.
before = raw("presses")
answer = write("presses", "row=new", press="stone", retained_fresh_ml_per_g="much, \"very\" <b>")
check(answer.status == 422 and raw("presses") == before, "not written", answer.status)
told = re.search(r'<p class="is-wrong"><label for="([^"]*)"', re.sub(r"\s*\n\s*", "", answer.text))
check(told and told[1] == "c-retained_fresh_ml_per_g" and 'href="#c-retained_fresh_ml_per_g"' in answer.text, "the cell is named", told, answer.text[-1500:])
check("much, &quot;very&quot; &lt;b&gt;" in answer.text or "much, &#34;very&#34; &lt;b&gt;" in answer.text, "what was typed stays")
for cells in ({"press": ""}, {"press": "stone", "retained_fresh_ml_per_g": "-3"}, {"press": "lever", "retained_fresh_ml_per_g": "1", "retained_dry_ml_per_g": "1"}):
    answer = write("presses", "row=new", **cells)
    check(answer.status == 422 and raw("presses") == before, "refused", cells, answer.status)
answer = write("materials", "row=new", plant="no such plant", part="leaf")
check(answer.status == 422 and raw("materials") is None and 'class="summary"' in answer.text, "a plant that nobody knows", answer.status)

# Another figure for a row of the program: the rest stays as the program has it.
like = re.search(r'<strong>hand</strong>.*?\?like=(\d+)', desk.get("/table/presses").text, re.S)
text = desk.get(f"/table/presses?like={like[1]}").text
check('value="hand"' in text and "the program has: 1.25" in text, "the program's figures stand beside the fields")
check(write("presses", f"like={like[1]}", retained_fresh_ml_per_g="1.1", retained_fresh_low_ml_per_g="1", retained_fresh_high_ml_per_g="1.2").status == 303, "said otherwise")
check([row["press"] for row in rows("presses")] == ["lever", "hand"] and rows("presses")[1]["name"] == "", "only what differs is written", rows("presses"))
check("your row says it otherwise" in desk.get("/table/presses").text, "and told beside the program's")

# Changed meanwhile by another program: told, and not overwritten.
sent = desk.get("/table/presses?row=0").fields()
with open(f"{own}/presses.csv", "ab") as file:
    file.write(b"barn,the barn's,0.6,,,0.7,,,\n")
changed = raw("presses")
answer = desk.post("/table/presses", dict(sent, **{"c.name": "mine"}))
check(answer.status == 409 and raw("presses") == changed and "meanwhile" in answer.text, "a conflict is told", answer.status)
answer = desk.post("/table/presses", desk.get("/table/presses").fields() | dict(sent, row="99"))
check(answer.status == 409 and raw("presses") == changed, "a row that is not there", answer.status)
check(write("presses", "row=0", take_out="yes").status == 303 and [row["press"] for row in rows("presses")] == ["hand", "barn"], "taken out", raw("presses"))

# A file out of a spreadsheet: its sign between cells, its mark, its line ends, its own columns and its mode stay.
os.makedirs(own, exist_ok=True)
with open(f"{own}/jars.csv", "wb") as file:
    file.write("\ufeffnominal_ml;brimful_ml;note;source\r\n333;350;\"from the market; blue, wide\";brimful=measured\r\n\r\n444;no;broken;brimful=measured\r\n".encode())
os.chmod(f"{own}/jars.csv", 0o640)
text = desk.get("/table/jars").text
check("from the market; blue, wide" in text and 'class="wrong">Left out: jars.csv:4' in text, "a row that cannot be used is told", re.findall(r'class="wrong">[^<]*', text))
check(write("jars", "row=new", nominal_ml="555", brimful_ml="580,5", note="Zo\u00eb's \u2018best\u2019", source="brimful=measured").status == 303, "one more")
text = raw("jars").decode()
check(text.startswith("\ufeffnominal_ml;brimful_ml;note;source\r\n") and "\n" not in text.replace("\r\n", ""), "as the spreadsheet writes it", text)
check([row["nominal_ml"] for row in rows("jars", ";")] == ["333", "444", "555"] and rows("jars", ";")[0]["note"] == "from the market; blue, wide" and
      rows("jars", ";")[2]["note"] == "Zo\u00eb's \u2018best\u2019", "every row stands", rows("jars", ";"))
check(stat.S_IMODE(os.stat(f"{own}/jars.csv").st_mode) == 0o640, "its mode is as the person set it")
check(write("jars", "row=1", brimful_ml="460").status == 303 and "Left out" not in desk.get("/table/jars").text, "the bad one mended")
# What no table is says so, and is not written over.
with open(f"{own}/hazards.csv", "wb") as file:
    file.write(b"\x00\x01\x02 no table")
kept = raw("hazards")
check(desk.get("/table/hazards").status >= 400 and desk.get("/tables").status == 200 and raw("hazards") == kept, "a file that is no table")
answer = desk.post("/table/hazards", {"row": "new", "c.method": "x"})
check(answer.status >= 400 and raw("hazards") == kept, "and is not written over", answer.status)
check(not [name for _, _, files in os.walk(desk.temp) for name in files], "nothing is left in the temp folder")
# Not without the door: a page of another house cannot write.
answer = desk.ask("POST", "/table/presses", "row=new&c.press=evil", **{"Content-Type": "application/x-www-form-urlencoded", "Origin": "http://other.example"})
check(b"evil" not in raw("presses"), "another house writes nothing", answer.status)
desk.end()
sys.exit(wrong != 0)
