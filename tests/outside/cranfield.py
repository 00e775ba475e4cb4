#!/usr/bin/env python3
"""`find` on the Cranfield collection (Cleverdon 1967): nDCG at 10 of its 225 questions.

1,400 abstracts become a journal by `adopt`, title and text in one cell. The
collection is not shipped here and no package registry has it: give the folder that
holds `cran.all.1400`, `cran.qry` and `cranqrel` as they are published. Judgements 1 to 4
count as gains 4 to 1, and 5 or -1 as none.

    python3 tests/outside/cranfield.py PROGRAM FOLDER
"""

import csv
import json
import math
import os
import re
import subprocess
import sys
import tempfile

program, folder = (os.path.abspath(path) for path in sys.argv[1:3])
work = tempfile.mkdtemp(prefix="cranfield-")
environment = dict(os.environ, GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", HOME=work)


def run(*arguments):
    done = subprocess.run([program, *arguments], capture_output=True, env=environment, cwd=work)
    assert done.returncode in (0, 1), (arguments, done.stderr.decode())
    return done.stdout


def records(name):
    """The records of a file in the collection's own form: number and fields."""
    with open(f"{folder}/{name}", encoding="latin-1") as file:
        for record in re.split(r"^\.I ", file.read(), flags=re.M)[1:]:
            number, *parts = re.split(r"^\.([TABW])\s*$", record, flags=re.M)
            yield int(number), {key: " ".join(words.split()) for key, words in zip(parts[::2], parts[1::2])}


texts = {}
with open(f"{work}/abstracts.csv", "w", newline="") as file:
    table = csv.writer(file)
    table.writerow(["date", "text", "vehicle"])
    for row, (number, fields) in enumerate(records("cran.all.1400"), 1):
        title, text = fields.get("T", ""), fields.get("W", "")
        # The text begins with its title.
        words = text if text.startswith(title) else f"{title} {text}"
        texts[row] = number
        table.writerow([f"1967-{1 + row % 12:02}-{1 + row // 12 % 28:02}", words or "-", "tunnel"])

gains = {}
with open(f"{folder}/cranqrel") as file:
    for line in file:
        question, number, level = (int(word) for word in line.split()[:3])
        if 1 <= level <= 4:
            gains.setdefault(question, {})[number] = 5 - level

run("begin", "journal", "--currency", "USD")
settings = open(f"{work}/journal/journal.toml").read()
with open(f"{work}/journal/journal.toml", "w") as file:
    file.write(settings.replace('author = ""', 'author = "Tester <tester@example.org>"'))
run("-j", "journal", "adopt", "abstracts.csv", "--date", "date", "--text", "text", "--vehicle", "vehicle", "--yes")


def ndcg(found, wanted):
    sum_of = lambda gains: sum(gain / math.log2(place + 2) for place, gain in enumerate(gains[:10]))
    return sum_of([wanted.get(number, 0) for number in found]) / sum_of(sorted(wanted.values(), reverse=True))


scores = []
# Judgements number the questions in their order in the file.
for place, (_, fields) in enumerate(records("cran.qry"), 1):
    if place not in gains:
        continue
    answer = json.loads(run("-j", "journal", "find", fields["W"], "--json", "--most", "10"))
    found = []
    for hit in answer["hits"] + answer.get("also", []):
        with open(f"{work}/journal/{hit['entry']}") as entry:
            heading = entry.read().split("\n")[hit["line"] - 1]
        row = re.fullmatch(r"## Row (\d+)", heading)
        found.append(texts[int(row.group(1))] if row else None)
    scores.append(ndcg(found, gains[place]))
print(f"{len(scores)} questions over {len(texts)} abstracts, nDCG@10 {sum(scores) / len(scores):.4f}")
