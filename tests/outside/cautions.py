#!/usr/bin/env python3
"""The hazards recognised in text nobody here wrote: no text stops the program.

5,485 work orders of mining excavators (Hodkiewicz and Ho, 2016), public domain
(15 USC 105), as shipped in the package nist-nestor 0.4.4 on PyPI,
nestor/datasets/excavators.csv. Every text becomes a section of an entry.

    python3 tests/outside/cautions.py PROGRAM excavators.csv
"""

import csv
import os
import subprocess
import sys
import tempfile

program, table = (os.path.abspath(path) for path in sys.argv[1:3])
folder = tempfile.mkdtemp(prefix="cautions-")
journal = f"{folder}/journal"
environment = dict(os.environ, GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", HOME=folder)


def run(*arguments, allowed=(0,)):
    done = subprocess.run([program, *arguments], capture_output=True, env=environment, cwd=folder)
    assert done.returncode in allowed, (arguments, done.stderr.decode())
    return done.stdout.decode()


run("begin", "journal", "--vehicle", "Digger", "--author", "A <a@example.org>")
with open(table, newline="") as source:
    texts = [row["OriginalShorttext"] for row in csv.DictReader(source)]
assert len(texts) == 5485, len(texts)
os.makedirs(f"{journal}/entries/2012", exist_ok=True)
for day in range(28):
    with open(f"{journal}/entries/2012/2012-11-{day + 1:02}-orders.md", "w") as entry:
        entry.write(f"---\ndate: 2012-11-{day + 1:02}\nvehicle: digger\n---\n\n# Orders\n")
        for number in range(day, len(texts), 28):
            entry.write(f"\n## Order {number}\n\n{texts[number]}\n")
kept = run("-j", journal, "keep")
for hazard in ["carbon monoxide", "fuel vapour", "refrigerant", "battery acid and gas"]:
    assert kept.count(f"caution, {hazard} (") == 1, (hazard, kept)
assert kept.count("Local rules, the service manual and licensed people come first.") == 1
print(f"{len(texts)} texts read, each hazard said once")
