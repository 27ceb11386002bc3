#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""The dispensary's papers in the desk: what was given out on a day, the ledger of the spirit, labels for many
at once, settings, whose corrections count. What the pages say is held against the book's own records, summed
here.

    papers.py SIMPLING-PROGRAM
"""
import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from urllib.parse import urlencode

from served import Desk

desk = Desk(sys.argv[1], today="2027-06-20")
wrong = 0


def check(right, what, *facts):
    global wrong
    if not right:
        wrong += 1
        print("WRONG:", what, *facts)


class Tables(HTMLParser):
    """Each table of a page: caption, headings, rows of texts."""

    def __init__(self, text):
        super().__init__()
        self.tables, self.cell = {}, None
        self.caption = self.heads = self.rows = None
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        if tag == "table":
            self.caption, self.heads, self.rows = "", [], []
        elif tag == "tr":
            self.row = []
        elif tag in ("td", "th", "caption"):
            self.cell = ""

    def handle_endtag(self, tag):
        if tag == "caption":
            self.caption = self.cell
        elif tag == "th":
            self.heads.append(self.cell)
        elif tag == "td":
            self.row.append(self.cell)
        elif tag == "tr" and self.row:
            self.rows.append(dict(zip(self.heads, self.row)))
        elif tag == "table":
            self.tables[self.caption] = self.rows
        if tag in ("td", "th", "caption"):
            self.cell = None

    def handle_data(self, data):
        if self.cell is not None:
            self.cell += data


def tables(page):
    answer = desk.wait(desk.get(page))
    check(answer.status == 200, f"{page} opens", answer.status)
    return Tables(answer.text).tables


desk.simpling("demo", f"{desk.folder}/demo")
shutil.copy(f"{desk.folder}/demo/book.db", desk.book)
desk.begin()

# What went out, of every lot of the book, as each lot's own page has it.
uses = [dict(use, lot=lot["code"]) for lot in desk.json("lot", "list", "--all") for use in desk.json("lot", "show", lot["code"])["used"]]
check(len(uses) > 30, "the demo's bottles", len(uses))


def of(first, last):
    return [use for use in uses if first <= use["date"] <= last]


for first, last in (("2027-06-18", "2027-06-18"), ("2027-05-01", "2027-06-20"), ("2026-01-01", "2027-06-20")):
    query = {"from": first} if first == last else {"from": first, "to": last}
    said = tables("/given?" + urlencode(query))
    want = of(first, last)
    check(sorted((row["lot"], row["for"], float(row["mL"])) for row in said["What went out"]) ==
          sorted((use["lot"], use["ref"], use["ml"]) for use in want), f"what went out {first} to {last}", said["What went out"], want)
    for row in said["To whom"]:
        check(abs(float(row["mL together"]) - sum(use["ml"] for use in want if use["ref"] == row["for"])) < 0.06, f"to {row['for']}", row)
    check({row["for"] for row in said["To whom"]} == {use["ref"] for use in want}, "every reference once")
    for row in said["Of which lots"]:
        went = sum(use["ml"] for use in want if use["lot"] == row["lot"])
        check(abs(float(row["went out"]) - went) < 0.6, f"of {row['lot']}", row, went)
check("Nothing went out." in desk.get("/given?from=2027-06-19").text, "a day on which nothing went out")
check(desk.get("/given").status == 200, "today, when nothing is asked")
answer = desk.get("/given?from=2027-06-20&to=2027-06-01")
check(answer.status == 422 and 'href="#f-to"' in answer.text and "before the first day" in answer.text, "a span the wrong way round", answer.status)
answer = desk.get("/given?from=31+June")
check(answer.status == 422 and 'value="31 June"' in answer.text, "no day: what was typed stays", answer.status)
# Taken back, it is gone from the day.
answer = desk.act("lot-use", **{"lots": "L26-009:7mL", "for": "1099"})
check(answer.status == 303 and "1099" in desk.get("/given").text, "given out now, it stands there", answer.status)
back = desk.get(answer.headers["Location"]).fields()
check(desk.act("take-back", last="yes", entry=back["entry"], why="a slip of the pen").status == 303 and "1099" not in desk.get("/given").text,
      "taken back, it does not")


# The ledger: what one period ends with the next begins with; the pure alcohol of the entries is the sum.
def ledger(first=None, last=None):
    text = desk.get("/ledger?" + urlencode({key: day for key, day in (("from", first), ("to", last)) if day})).text
    values = dict(re.findall(r"<dt>([^<]*)</dt>\s*<dd>(-?[0-9.]+)</dd>", text))
    return {key: float(value) for key, value in values.items()}, Tables(text).tables.get("Entries", [])


whole, entries = ledger()
check(len(entries) > 10, "entries", len(entries))
# Litres of pure alcohol are volume times strength (OIML R 22 defines both at 20 degrees).
for row in entries:
    check(abs(abs(float(row["L pure"])) - float(row["mL"]) * float(row["% vol"]) / 1e5) < 0.0006, "volume times strength", row)
before, _ = ledger(None, "2026-12-31")

after, _ = ledger("2027-01-01", None)
check(abs(before["at last"] - after["L pure at first"]) < 0.0015, "one ends with what the next begins with", before, after)
for key in ("came in", "into jars", "otherwise"):
    check(abs(before[key] + after[key] - whole[key]) < 0.0025, f"two periods are the whole: {key}", before, after, whole)
check(abs(whole["L pure at first"] + whole["came in"] - whole["into jars"] - whole["otherwise"] - whole["at last"]) < 0.0025, "it adds up", whole)
answer = desk.get("/ledger?from=2027-06-20&to=2027-06-01")
check(answer.status == 422, "a period the wrong way round", answer.status)

# Labels: what stands is there to be ticked, and one sheet has all of them.
text = desk.get("/labels").text
codes = re.findall(r'type="checkbox"[^>]*name="codes" value="([^"]+)"', text)
standing = [batch["code"] for batch in desk.json("batch", "list", "--standing")] + [lot["code"] for lot in desk.json("lot", "list")]
check(sorted(codes) == sorted(standing), "all that stands can be ticked", codes, standing)
check("checked" not in text and desk.get("/labels?all=lots").text.count(" checked") == sum(code[0] == "L" for code in codes), "all lots ticked at once")
sheet = desk.wait(desk.get("/print?" + urlencode([("what", "labels")] + [("codes", code) for code in codes])))
check(sheet.status == 200 and sheet.body[:5] == b"%PDF-", "the sheet is made", sheet.status, sheet.text[:300])
with open(f"{desk.folder}/labels.pdf", "wb") as out:
    out.write(sheet.body)
if shutil.which("pdftotext"):
    words = subprocess.run(["pdftotext", f"{desk.folder}/labels.pdf", "-"], capture_output=True, text=True, check=True).stdout
    check(all(code in words for code in codes), "every code is on it", [code for code in codes if code not in words])

# A shelf of three hundred things is counted in one form: what is left empty is not.
many = {"form": "0b6f5f5e-6a0e-4b8e-9f0e-3f5a2f1b7c11"}
for i in range(300):
    many |= {f"lines.{i}.code": "L26-009", f"lines.{i}.counted": "" if i != 299 else "500", f"lines.{i}.why": ""}
answer = desk.post("/act/count", many)
check(answer.status == 303 and abs(desk.json("lot", "show", "L26-009")["left_ml"] - 500) < 0.1, "a great shelf is counted", answer.status, answer.text[:200])

# A setting shows what is set; one that cannot be read is told beside its field, and stands as it was.
text = desk.get("/settings").text
for line in desk.json("book", "info")["settings"]:
    check(f'id="s-{line["key"]}"' in text, f"{line['key']} can be set")
    check(not line["value"] or f'value="{line["value"]}"' in text, f"{line['key']} shows {line['value']}")
answer = desk.act("book-set", key="hours", value="thirty")
check(answer.status == 422 and 'value="hours"' in answer.text and ">thirty<" in answer.text and 'href="#f-value"' in answer.text, "no hours", answer.status)
check(desk.act("book-set", key="hours", value="6").status == 303 and 'id="s-hours" name="value" autocomplete="off" value="6"' in desk.get("/settings").text,
      "set, it is shown")
# Whose corrections count: said, since when, taken back, both kept in the book.
check("BECK" in desk.get("/settings").text, "this book's own mark is told")
check(desk.act("book-trust", mark="FELL", on="2027-06-01").status == 303, "a colleague is trusted")
said = tables("/settings")[""]
check(len(said) == 1 and "FELL" in said[0].values() and "1 June 2027" in said[0].values(), "the mark and since when", said)
link = re.search(r'href="/act/book-trust\?([^"]*)"[^>]*>No longer', desk.get("/settings").text)
check(link and "mark=FELL" in link[1] and "no=yes" in link[1], "a way to take it back", link and link[0])
check(desk.act("book-trust", mark="FELL", no="yes").status == 303 and ">Again<" in desk.get("/settings").text, "taken back")
desk.end()
sys.exit(wrong != 0)
