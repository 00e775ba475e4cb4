#!/usr/bin/env python3
"""`adopt` on text nobody here wrote, checked by readers that are not ours.

5,485 work orders of mining excavators (Hodkiewicz and Ho, 2016), public domain
(15 USC 105), as shipped in the package nist-nestor 0.4.4 on PyPI,
nestor/datasets/excavators.csv. Rows by asset and numbers of hits are figures of
an SQL full-text engine over the same texts.

    python3 tests/outside/adopt.py PROGRAM excavators.csv
"""

import csv
import glob
import json
import os
import random
import re
import subprocess
import sys
import tempfile
from collections import Counter
from decimal import Decimal

# plain/stemmed hits by the full-text engine; ours stems words, phrases are literal.
HITS = {"bucket": 501, '"oil leak"': 257, "bucket tooth": 105, "starter motor": 12}
ASSETS = {"D": 2374, "B": 1017, "C": 992, "E": 951, "A": 151}

program, table = (os.path.abspath(path) for path in sys.argv[1:3])
folder = tempfile.mkdtemp(prefix="adopt-")
copy = f"{folder}/excavators.csv"
with open(table, "rb") as source, open(copy, "wb") as target:
    target.write(source.read())
journal = f"{folder}/journal"
environment = dict(os.environ, GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", HOME=folder)


def run(*arguments, allowed=(0,)):
    done = subprocess.run([program, *arguments], capture_output=True, env=environment, cwd=folder)
    assert done.returncode in allowed, (arguments, done.stderr.decode())
    return done.stdout


run("begin", journal, "--currency", "USD")
with open(f"{journal}/journal.toml", "a") as settings:
    settings.write("")
text = open(f"{journal}/journal.toml").read()
with open(f"{journal}/journal.toml", "w") as settings:
    settings.write(text.replace('author = ""', 'author = "Tester <tester@example.org>"'))

with open(copy, newline="") as source:
    rows = list(csv.DictReader(source))
columns = ["--date", "BscStartDate", "--vehicle", "Asset", "--text", "OriginalShorttext", "--cost", "Cost"]


def adopt(table, *further):
    return run("-j", journal, "adopt", table, *columns, *further, allowed=(0, 1)).decode()


print(adopt(copy, "--yes"))
with open(f"{folder}/excavators-not-adopted.csv", newline="") as source:
    reported = list(csv.DictReader(source))
with open(f"{folder}/excavators-not-adopted.txt") as source:
    numbers = [int(number) for number in re.findall(r"^row (\d+), line", source.read(), re.M)]
assert [rows[number - 1] for number in numbers] == reported

adopted, assets, money = {}, Counter(), Decimal(0)
for path in glob.glob(f"{journal}/entries/*/*.md"):
    with open(path, newline="") as entry:
        entry = entry.read()
    vehicle = re.search(r"^vehicle: (.*)$", entry, re.M).group(1)
    money += sum(Decimal(cost) for cost in re.findall(r"^  - USD (-?[\d.]+) row \d+$", entry, re.M))
    for section in re.split(r"^## Row ", entry, flags=re.M)[1:]:
        number = int(section.split("\n", 1)[0])
        assert number not in adopted, number
        # The text is the first quotation of the section.
        quotation = section.split("\n\n")[1]
        adopted[number] = "\n".join(line[2:] for line in quotation.rstrip("\n").split("\n"))
        assets[vehicle.upper()] += 1

assert len(adopted) + len(reported) == len(rows) == 5485, (len(adopted), len(reported))
for number, text in adopted.items():
    assert rows[number - 1]["OriginalShorttext"] == text, number
for row in reported:
    # The one row whose columns are shifted: its money is "PM01", its asset's text "won".
    assert not re.fullmatch(r"-?\d+(\.\d+)?", row["Cost"]), row
    assets[row["Asset"]] += 1
assert dict(assets) == ASSETS, assets
wanted = sum(Decimal(row["Cost"]) for number, row in enumerate(rows, 1) if number in adopted)
assert money == wanted, (money, wanted)
for words, expected in HITS.items():
    answer = json.loads(run("-j", journal, "find", words, "--json"))
    assert answer["total"] == expected and answer["said"] is None, (words, answer["total"], answer["said"])
# `tally` by any key comes to the same cent; by asset and by year to what the table says.
cents = lambda sum: {own["currency"]: Decimal(own["amount"]) for own in sum["money"]}
by_table = {"vehicle": Counter(), "year": Counter()}
for number in adopted:
    row = rows[number - 1]
    by_table["vehicle"][row["Asset"]] += Decimal(row["Cost"])
    by_table["year"][row["BscStartDate"][:4]] += Decimal(row["Cost"])
for by in ("vehicle", "system", "part", "month", "year", "supplier", "kind"):
    tally = json.loads(run("-j", journal, "tally", "--by", by, "--json"))
    assert cents(tally["total"]) == {"USD": money}, (by, tally["total"])
    assert sum(cents(row).get("USD", 0) for row in tally["rows"]) == money, by
    if by in by_table:
        sums = {row["key"].upper(): cents(row)["USD"] for row in tally["rows"] if row["money"]}
        assert sums == dict(by_table[by]), (by, sums, by_table[by])
# The same rows in another order, with one more, twice: nothing is added but that one.
with open(copy, newline="") as source:
    head, *lines = source.read().splitlines(keepends=True)
another = "2005-01-03,A,one more row,PM01,0\n"
shuffled = lines[:]
random.Random(14).shuffle(shuffled)
for name, body, new in [
    ("again", lines, 0),
    ("reversed", lines[::-1], 0),
    ("shuffled", shuffled, 0),
    ("longer", [another, *lines], 1),
    ("longer-again", [another, *lines], 0),
]:
    with open(f"{folder}/{name}.csv", "w", newline="") as target:
        target.write(head + "".join(body))
    preview = adopt(f"{folder}/{name}.csv")
    there = len(body) - len(reported) - new
    assert f"{new} row{'s' * (new != 1)} to be added, {there} in the journal already" in preview, preview
    adopt(f"{folder}/{name}.csv", "--yes")
    tally = json.loads(run("-j", journal, "tally", "--json"))
    assert cents(tally["total"]) == {"USD": money}, (name, tally["total"])
for arguments in (["fsck", "--strict"], ["status", "--porcelain"]):
    done = subprocess.run(["git", *arguments], cwd=journal, capture_output=True, text=True, env=environment)
    assert done.stdout == "" and done.returncode == 0, (arguments, done.stdout)
# A year told in three minutes: every sentence stands in a row, its text or another column.
year = ["--vehicle", "d", "--since", "2005-01-01", "--until", "2005-12-31"]
draft = json.loads(run("-j", journal, "recap", *year, "--minutes", "3", "--json"))
texts = {" ".join(text.split()) for text in adopted.values()}
texts |= {f"PMType: {rows[number - 1]['PMType']}" for number in adopted}
said = [line for chapter in draft["chapters"] for line in chapter["sentences"]]
for line in said:
    if line["entry"]:
        assert any(line["text"] in text for text in texts), line
assert 405 <= draft["words"] <= 495, draft["words"]
print(f"{len(adopted)} rows adopted and {len(reported)} reported, {money} USD, hits {HITS}: as outside")
