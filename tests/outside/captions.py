#!/usr/bin/env python3
"""`adopt` on caption files nobody here wrote, whole and broken.

The samples in the source package of webvtt-py 0.6.0 on PyPI (MIT), tests/samples: WebVTT,
SRT and SBV, some of them broken on purpose. Each gives a sheet with every word that this
script finds below a time that can be read, or a problem with a hint. Then each is cut off
at every tenth with bytes exchanged: never a crash, never silence. In UTF-16 it gives the
same sheet.

    python3 tests/outside/captions.py PROGRAM FOLDER
"""

import glob
import html
import os
import random
import re
import subprocess
import sys
import tempfile

program, folder = (os.path.abspath(path) for path in sys.argv[1:3])
place = tempfile.mkdtemp(prefix="captions-")
chance = random.Random(17)
# Without words below a time that can be read.
REFUSED = {
    "empty.vtt": "nothing in it",
    "no_captions.vtt": "no line of it has a time",
    "invalid_format1.srt": "no line of it has a time",
    "invalid_format2.srt": "no line of it has a time",
    "invalid_format3.srt": "no line of it has a time",
    "invalid_format4.srt": "no words",
    "invalid_format.sbv": "no line of it has a time",
}


def adopt(file):
    done = subprocess.run([program, "adopt", file, "--into", "-"], capture_output=True, cwd=place, timeout=60)
    said = " ".join(done.stderr.decode().split())
    assert done.returncode in (0, 2) and "panicked" not in said, (file, said)
    assert done.returncode == 0 or "error:" in said and len(said) > 40, (file, said)
    return done.returncode, done.stdout.decode(), said


def words(text):
    text = html.unescape(re.sub(r"<[^>]*>|\[[^]]*\]|\([^)]*\)", " ", text))
    return re.findall(r"[^\W_]+", text.lower())


def captions(text):
    """The lines below a time that can be read."""
    stamp = r"(?:\d+:)?\d{1,2}:\d{2}[.,]\d{1,3}"
    below, told = False, []
    for line in text.lstrip("\ufeff").splitlines():
        if re.match(rf"\s*{stamp}\s*-->", line) or re.fullmatch(rf"\s*\d+:\d\d:\d\d\.\d+,\d+:\d\d:\d\d\.\d+\s*", line):
            below = True
        elif not line.strip() or "-->" in line:
            below = False
        elif below:
            told += words(line)
    return told


read = refused = 0
files = sorted(file for kind in ("vtt", "srt", "sbv") for file in glob.glob(f"{folder}/*.{kind}"))
assert len(files) >= 38, files
for file in files:
    name = os.path.basename(file)
    code, sheet, said = adopt(file)
    with open(file, "rb") as opened:
        content = opened.read()
    if code:
        refused += 1
        assert name in REFUSED and REFUSED[name] in said, (name, said)
    else:
        read += 1
        shown = words(" ".join(re.sub(r"^> \S+", "", line) for line in sheet.splitlines() if line.startswith(">")))
        missing = set(captions(content.decode("utf-8", "replace"))) - set(shown)
        assert not missing, (name, missing)
    kind = name.rsplit(".", 1)[1]
    for tenth in range(10):
        broken = bytearray(content[: len(content) * tenth // 10])
        for _ in range(tenth):
            if broken:
                broken[chance.randrange(len(broken))] = chance.randrange(256)
        with open(f"{place}/broken.{kind}", "wb") as out:
            out.write(broken)
        adopt(f"broken.{kind}")
    with open(f"{place}/wide.{kind}", "wb") as out:
        out.write(content.decode("utf-8", "replace").encode("utf-16"))
    wide = adopt(f"wide.{kind}")
    assert wide[:2] == (code, sheet), (name, wide)
print(f"{read} of {len(files)} caption files read, {refused} refused with a reason; {11 * len(files)} broken ones without a crash")
