#!/usr/bin/env python3
# SPDX-License-Identifier: MIT
"""One field more in the harvest log is a row, a migration and what is said: one_field.txt, applied to
a copy of the tree. The field is then logged, shown, exported, amended and merged, and a book of
before is migrated. Only what sees the changed headers is compiled; the rest is the build's own.

    python3 tests/face/one_field.py ROOT BUILD
"""
import concurrent.futures
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

root, build = map(os.path.abspath, sys.argv[1:3])
tmp = tempfile.mkdtemp(prefix="simpling-field-")
tree = os.path.join(tmp, "tree")


def fail(text):
    shutil.rmtree(tmp, ignore_errors=True)
    sys.exit("one_field: " + text)


def read(path):
    with open(path, encoding="utf-8") as file:
        return file.read()


# ---- the patch ----
def view():
    """The macro that the last migration makes harvest_now of, with one column more."""
    text = read(os.path.join(tree, "src/book/migration_views.h"))
    made = re.search(r"#define VIEW_HARVEST_NOW_WITH\(NOW, more\)(( *\\\n| *[^\n]*\\\n)*[^\n]*)\n", text)
    if made is None or "NOW(remark)" not in made.group(1):
        fail("src/book/migration_views.h: no macro makes the view harvest_now of NOW()")
    last = re.search(r"VIEW_HARVEST_NOW_WITH\(NOW_HERE, (\"[^\"]*\")\)",
                     read(os.path.join(tree, "src/book/migration_week.c")))
    if last is None:
        fail("src/book/migration_week.c: harvest_now is not made of NOW_HERE()")
    return (re.sub(r" *\\\n", "\n", made.group(1)).replace("NOW(remark)", 'NOW(remark) "," NOW(vessel)')
            .replace("\n    more\n", f"\n    {last.group(1)}\n").replace("NOW(", "NOW_HERE("))


def apply(path, how, anchor, lines):
    file = os.path.join(tree, path)
    text = read(file).split("\n")
    at = [i for i, line in enumerate(text) if anchor in line]
    if not at:
        fail(f"{path}: nothing there says {anchor!r}; the patch is to be mended")
    at = at[0] + 1 if how == ">" else at[0] - 1
    while at > 0 and how == ">" and text[at - 1].count("(") > text[at - 1].count(")"):
        at += 1  # a row of several lines
    text[at:at] = lines
    with open(file, "w", encoding="utf-8") as out:
        out.write("\n".join(text))


shutil.copytree(os.path.join(root, "src"), os.path.join(tree, "src"))
shutil.copytree(os.path.join(root, "include"), os.path.join(tree, "include"))
steps, path = [], None
for line in read(os.path.join(root, "tests/face/one_field.txt")).splitlines():
    if line.startswith("@ "):
        path = line[2:]
    elif line[:2] in ("> ", "^ "):
        steps.append((path, line[0], line[2:], []))
    elif line.startswith("+"):
        steps[-1][3].append(line[1:].replace("VIEW}", view() + "}") if "VIEW}" in line else line[1:])
for step in steps:
    apply(*step)
changed = {os.path.join(tree, step[0]) for step in steps}

# ---- what must be compiled again ----
seen = {}


def includes(path):
    """Every file of ours that a file includes, itself too."""
    if path not in seen:
        seen[path] = {path}
        for name in re.findall(r'^#include "([^"]+)"', read(path), re.M):
            for folder in ("src", "include"):
                there = os.path.join(tree, folder, name)
                if os.path.exists(there):
                    seen[path] = seen[path] | includes(there)
    return seen[path]


def compile_one(entry):
    source = entry["file"].replace(root, tree, 1)
    words = shlex.split(entry["command"].replace(root + "/src", tree + "/src").replace(root + "/include",
                                                                                      tree + "/include"))
    for option in ("-o", "-MF", "-MT"):
        if option in words:
            del words[words.index(option):words.index(option) + 2]
    words = [word for word in words if word != "-MD" and not word.startswith(("-O", "-D_FORTIFY"))]
    target = os.path.join(tmp, os.path.relpath(source, tree).replace("/", "-") + ".o")
    run = subprocess.run(words + ["-O0", "-U_FORTIFY_SOURCE", "-o", target], cwd=entry["directory"],
                         capture_output=True, text=True)
    return target, run.stderr if run.returncode != 0 else None


with open(os.path.join(build, "compile_commands.json"), encoding="utf-8") as file:
    entries = [entry for entry in json.load(file) if entry["file"].startswith(root + "/src/")
               and re.search(r" CMakeFiles/(base|core|book|exchange|season|command)\.dir/",
                             entry["command"])]
again = [entry for entry in entries if includes(entry["file"].replace(root, tree, 1)) & changed]
with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
    results = list(pool.map(compile_one, again))
for _, errors in results:
    if errors is not None:
        fail(errors)
objects = [target for target, _ in results]
print(f"{len(again)} of {len(entries)} files compiled again")

# ---- the program of it ----
links = [line for line in subprocess.run(["ninja", "-t", "commands", "simpling"], cwd=build,
                                         capture_output=True, text=True).stdout.splitlines()
         if " -o bin/simpling " in line]
if not links:
    print("the build is not ninja's: there is no line to link by")
    shutil.rmtree(tmp)
    sys.exit(77)
os.mkdir(os.path.join(tmp, "bin"))
for name in ("share", "libexec"):
    os.symlink(os.path.join(build, name), os.path.join(tmp, name))
program = os.path.join(tmp, "bin", "simpling")
line = links[-1].replace(" -o bin/simpling ", f" -o {program} {' '.join(objects)} ")
run = subprocess.run(line, shell=True, cwd=build, capture_output=True, text=True)
if run.returncode != 0:
    fail(run.stderr)


# ---- what it does ----
def call(words, book, what=program):
    run = subprocess.run([what] + shlex.split(words), capture_output=True, text=True, cwd=tmp,
                         env=dict(os.environ, SIMPLING_BOOK=os.path.join(tmp, book), LC_ALL="C.UTF-8",
                                  SIMPLING_TODAY="2027-06-20", XDG_CONFIG_HOME=tmp))
    if run.returncode != 0:
        fail(f"{words}: {run.stderr}")
    return json.loads(run.stdout) if "--json" in words else run.stdout


def expect(got, wanted, what):
    if got != wanted:
        fail(f"{what}: {got!r}, wanted {wanted!r}")


SITE = "site add 'Withy Gill' --at 54.6012,-2.5871 --accuracy 10"
PICK = "harvest add 'Withy Gill' nettle/leaf --weight 400g --stage 35 --on 2027-05-01"
before = os.path.join(build, "bin", "simpling")
for words in ("book init --mark ANN", SITE, PICK):
    call(words, "ann.db", before)  # a book from before the field
logged = call(PICK + " --vessel 'willow basket' --json", "ann.db")
expect(logged["vessel"], "willow basket", "what was logged")
expect(call("harvest show H27-001 --json", "ann.db")["vessel"], None, "a record of before")
if not re.search(r"carried in +willow basket", call("harvest show H27-002", "ann.db")):
    fail("it is not shown")
call("amend H27-001 --vessel 'linen bag' --why 'asked her'", "ann.db")
expect([row["vessel"] for row in call("harvest list --all --json", "ann.db")].count("linen bag"), 1,
       "amended, in the list")
for words in ("book init --mark BOB", SITE.replace("Withy Gill", "High Croft"),
              PICK.replace("Withy Gill", "High Croft") + " --vessel crate"):
    call(words, "bob.db")
call("book merge bob.db", "ann.db")
expect(call("harvest show BOB:H27-001 --json", "ann.db")["vessel"], "crate", "merged")
call("book export out", "ann.db")
if "vessel" not in read(os.path.join(tmp, "out", "harvest.csv")).split("\n")[0]:
    fail("it is not carried out")
call("book check", "ann.db")
if "--vessel" not in call("help harvest add", "ann.db"):
    fail("help does not know it")
shutil.rmtree(tmp)
