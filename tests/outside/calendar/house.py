# SPDX-License-Identifier: MIT
"""The demo season's book, asked as a person would, for sync.py and changes.py."""
import json
import os
import subprocess
import sys


class House:
    def __init__(self, program, work):
        self.program, self.work = program, work
        self.run("demo", f"{work}/demo")
        os.environ["SIMPLING_BOOK"] = f"{work}/demo/book.db"
        os.environ["SIMPLING_TODAY"] = "2027-06-20"

    def run(self, *words, status=0):
        run = subprocess.run([self.program, *words], capture_output=True, text=True, check=False)
        if run.returncode != status:
            sys.exit(f"{words}: {run.returncode}\n{run.stdout}{run.stderr}")
        return run.stdout

    def ask(self, *words):
        return json.loads(self.run(*words, "--json"))

    def step(self, batch, step):
        found = self.ask("batch", "show", batch)["steps"]
        return next(one for one in found if one["step"] == step)


NEWS = ("moved", "done", "dropped", "again", "kept", "deleted", "conflicts", "ignored")


def news(read):
    """What a reading found, list by list, as "change: title"."""
    return {name: sorted(f"{one['change']}: {one['what']}" for one in read[name])
            for name in NEWS if read[name]}
