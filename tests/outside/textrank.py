#!/usr/bin/env python3
"""TextRank on the worked example of those who published it.

Mihalcea and Tarau, "TextRank: Bringing Order into Texts" (EMNLP 2004), show a
newswire story of 1988 as ranked sentences. It is shipped in the package gensim
3.8.3 on PyPI (gensim/test/test_data/mihalcea_tarau.txt). With stop words out and
stemming, the four sentences that rank highest are those of its lines 9, 15, 16
and 18, as two other programs find as well (gensim 3.8.3, summa 1.2.0).

    python3 tests/outside/textrank.py PROGRAM mihalcea_tarau.txt
"""

import json
import os
import subprocess
import sys
import tempfile

program, story = (os.path.abspath(path) for path in sys.argv[1:3])
folder = tempfile.mkdtemp(prefix="textrank-")
environment = dict(os.environ, GIT_CONFIG_GLOBAL="/dev/null", GIT_CONFIG_NOSYSTEM="1", HOME=folder)


def run(*arguments):
    done = subprocess.run([program, *arguments], capture_output=True, env=environment, cwd=folder)
    assert done.returncode == 0, (arguments, done.stderr.decode())
    return done.stdout.decode()


with open(story) as source:
    lines = [line.strip() for line in source]
run("begin", "journal", "--vehicle", "Story")
# Each sentence is a part of its own, so that each has a weight of its own.
text = "---\ndate: 1988-09-11\nvehicle: story\n---\n\n# Story\n"
for number, line in enumerate(lines, 1):
    text += f"\n## Line {chr(64 + number)}\n\n- stored: {number}\n\n{line.replace('`', chr(39))}\n"
os.makedirs(f"{folder}/journal/entries/1988")
with open(f"{folder}/journal/entries/1988/1988-09-11-story.md", "w") as entry:
    entry.write(text)
answer = json.loads(run("-j", "journal", "recap", "--untold", "--json"))
ranks = {}
for row in answer["untold"]:
    if row["part"]:
        # "central 83 of 100; ...": the rank alone, without what an audience cares about.
        ranks[ord(row["part"][-1]) - 64] = int(row["why"].split()[1])
assert len(ranks) == len(lines) == 24, (len(ranks), len(lines))
best = sorted(ranks, key=lambda number: -ranks[number])[:4]
assert set(best) == {9, 15, 16, 18}, (best, ranks)
assert min(ranks[number] for number in best) > sorted(ranks.values())[-5], ranks
print(f"TextRank: lines {sorted(best)} of {len(lines)}, as published")
