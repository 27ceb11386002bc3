# SPDX-License-Identifier: MIT
"""Runs the examples of every command with --json and holds the answers against data/schema with an
independent validator (python3-jsonschema, draft 2020-12).

    python3 answers.py PROGRAM COMPLETION-FOR-BASH SOURCE-FOLDER

Exits with 77 when the validator is not there.
"""

import base64
import copy
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

try:
    import jsonschema
except ImportError:
    print("python3-jsonschema is not installed")
    sys.exit(77)

# What may have no JSON answer: help; and what asks a host in its examples that there is not
# (command.follow runs these against a service of its own).
WITHOUT = {"desk", "help", "weather follow", "weather refresh"}
# What an example takes for granted beside the demo: a copy kept before an upgrade.
BEFORE = {"book restore": ["book", "backup", "book.db.before-schema-9"]}
# The photo of the examples: two pixels, a PNG whatever it is called.
PHOTO = (
    "iVBORw0KGgoAAAANSUhEUgAAAAIAAAABCAIAAAB7QOjdAAAADUlEQVR42mP4"
    "zwAE/wEHAAH/PX2MSQAAAABJRU5ErkJggg=="
)
# Exit statuses of an answer: done, and check's verdicts `ask` and `closed`.
ANSWERED = (0, 3, 4)
program, completion, source = sys.argv[1:]


def call(words, folder):
    environment = dict(
        os.environ,
        SIMPLING_BOOK=os.path.join(folder, "book.db"),
        SIMPLING_TODAY="2027-06-20",
        XDG_CONFIG_HOME=folder,
    )
    return subprocess.run(
        [program] + words,
        cwd=folder,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


def commands():
    """Every command's words, as the completion lists them; "" is the program alone."""
    with open(completion, encoding="utf-8") as file:
        inside = re.search(r"<<'END'\n(.*?)^END$", file.read(), re.S | re.M).group(1)
    return [""] + [line.strip() for line in inside.splitlines() if line.strip()]


def examples(words, folder):
    told = call(["help"] + words.split(), folder).stdout if words else "Examples:\n  simpling\n"
    _, _, block = told.partition("Examples:\n")
    lines = re.sub(r"\\\n\s*", "", block).splitlines()
    return [shlex.split(line)[1:] for line in lines if line.startswith("  simpling")]


def needed(schema):
    """The keys that a record of the schema must have; a list that was not looked up has none."""
    if isinstance(schema, list):
        return set().union(*map(needed, schema))
    if not isinstance(schema, dict):
        return set()
    here = schema.get("required", [])
    return set(here if isinstance(here, list) else []).union(*map(needed, schema.values()))


def fitting(schema, document):
    """Of a schema that has one form or another, the form of this document."""
    for form in schema.get("anyOf", []):
        whole = {"$defs": schema.get("$defs", {}), **form}
        if jsonschema.Draft202012Validator(whole).is_valid(document):
            return form
    return schema


def spoilt(document, keys):
    """Documents that the schema must refuse: a key lost, a key too many, a value of no kind."""
    at = document[0] if isinstance(document, list) and document else document
    if not isinstance(at, dict):
        return
    for key in at:
        if key in keys:
            yield change(document, lambda record, key=key: record.pop(key))
        yield change(document, lambda record, key=key: record.update({key: {"no": "kind"}}))
    yield change(document, lambda record: record.update({"surplus": 1}))


def change(document, what):
    spoilt_one = copy.deepcopy(document)
    what(spoilt_one[0] if isinstance(spoilt_one, list) else spoilt_one)
    return spoilt_one


def main():
    faults, answers, refused = [], 0, 0
    work = tempfile.mkdtemp(prefix="simpling-answers-")
    demo, folder = os.path.join(work, "demo"), os.path.join(work, "copy")
    os.mkdir(demo)
    made = call(["demo", demo], demo)
    if made.returncode != 0:
        print(made.stderr)
        return 1
    for words in commands():
        name = (words or "today").replace(" ", "-") + ".json"
        path = os.path.join(source, "data/schema", name)
        if words in WITHOUT:
            continue
        if not os.path.exists(path):
            faults.append(f"'{words}' has no data/schema/{name}")
            continue
        with open(path, encoding="utf-8") as file:
            schema = json.load(file)
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(
            schema, format_checker=jsonschema.FormatChecker()
        )
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(demo, folder)
        shutil.copytree(os.path.join(source, "tests/command/samples"), folder, dirs_exist_ok=True)
        with open(os.path.join(folder, "leaf-base.jpg"), "wb") as file:
            file.write(base64.b64decode(PHOTO))
        if words in BEFORE:
            call(BEFORE[words], folder)
        held = 0
        for example in examples(words, folder):
            ours = example[: len(words.split())] == words.split()
            # A dash as the target leaves standard output to the file.
            if not ours or "-" in example:
                call(example, folder)
                continue
            done = call(example + ([] if "--json" in example else ["--json"]), folder)
            if done.returncode not in ANSWERED:
                faults.append(f"{shlex.join(example)}: status {done.returncode}: {done.stderr}")
                continue
            try:
                document = json.loads(done.stdout)
            except ValueError as error:
                faults.append(f"{shlex.join(example)}: {error}")
                continue
            answers, held = answers + 1, held + 1
            for error in validator.iter_errors(document):
                faults.append(f"{shlex.join(example)}: {error.json_path}: {error.message}")
            for wrong in spoilt(document, needed(fitting(schema, document))):
                refused += 1
                if validator.is_valid(wrong):
                    faults.append(f"{name} accepts what is not so")
        if held == 0:
            faults.append(f"no example of '{words}' gave an answer to check")
    inputs = os.path.join(source, "data/schema/input")
    for name in os.listdir(inputs):
        with open(os.path.join(inputs, name), encoding="utf-8") as file:
            schema = json.load(file)
        jsonschema.Draft202012Validator.check_schema(schema)
        unknown = set(schema["required"]) - set(schema["properties"])
        if unknown:
            faults.append(f"input/{name} needs what it has not: {unknown}")
    shutil.rmtree(work)
    print("\n".join(faults))
    print(f"{answers} answers hold; {refused} spoilt ones were tried")
    return 1 if faults else 0


sys.exit(main())
