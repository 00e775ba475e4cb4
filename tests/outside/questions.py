#!/usr/bin/env python3
"""`find` on whole questions about text nobody here wrote.

5,485 work orders of mining excavators (Hodkiewicz and Ho, 2016), public domain
(15 USC 105), as shipped in the package nist-nestor 0.4.4 on PyPI,
nestor/datasets/excavators.csv. tests/data/work-order-questions.md says who wrote the
questions, and what each set gave when it was new. A question is answered if one of the
first three records shown has one of its texts.

    python3 tests/outside/questions.py PROGRAM excavators.csv
"""

import csv
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict

FIRST = 3
# Fewer right answers than this, over all sets of a kind, and something was lost.
LEAST = {"plain": 0.85, "own words": 0.65}

program, table = (os.path.abspath(path) for path in sys.argv[1:3])
questions = os.path.join(os.path.dirname(__file__), "../data/work-order-questions.csv")
folder = tempfile.mkdtemp(prefix="questions-")
environment = dict(os.environ, GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", HOME=folder)


def run(*arguments):
    done = subprocess.run([program, *arguments], capture_output=True, env=environment, cwd=folder)
    assert done.returncode in (0, 1), (arguments, done.stderr.decode())
    return done.stdout


def letters(text):
    return "".join(c for c in text.lower() if c.isalnum())


run("begin", "journal", "--currency", "USD")
with open(f"{folder}/journal/journal.toml") as source:
    settings = source.read().replace('author = ""', 'author = "Tester <tester@example.org>"')
with open(f"{folder}/journal/journal.toml", "w") as out:
    out.write(settings)
columns = ["--date", "BscStartDate", "--vehicle", "Asset", "--text", "OriginalShorttext", "--cost", "Cost"]
run("-j", "journal", "adopt", table, *columns, "--yes")

asked, right = defaultdict(int), defaultdict(int)
with open(questions, newline="") as source:
    for row in csv.DictReader(source, delimiter=";"):
        answer = json.loads(run("-j", "journal", "find", "--json", "--most", str(FIRST), "--", row["question"]))
        shown = (answer["hits"] + answer["also"])[:FIRST]
        texts = [letters(text) for text in row["texts"].split(" | ")]
        is_right = any(text in letters(record["passage"]) for record in shown for text in texts)
        for name in (row["set"], row["kind"]):
            asked[name] += 1
            right[name] += is_right
shutil.rmtree(folder)

for name in asked:
    print(f"{name}: {right[name]} of {asked[name]} among the first {FIRST}")
for kind, least in LEAST.items():
    assert right[kind] >= least * asked[kind], f"{kind}: {right[kind]} of {asked[kind]}"
