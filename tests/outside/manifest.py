#!/usr/bin/env python3
"""The list of pictures, read by sha256sum and, wrapped as a bag, by the bagit library.

    manifest.py MATCHMARK
"""
import os, shutil, subprocess, sys, tempfile

import bagit

PROGRAM = os.path.abspath(sys.argv[1])
folder = tempfile.mkdtemp()
journal, bag = os.path.join(folder, "journal"), os.path.join(folder, "bag")
NAMES = ["a.jpg", "two words.png", "größe.heic", "'quoted' \"twice\".webp", "#1.mov", "2026-03-14/deep/receipt.pdf"]


def run(*arguments, cwd=journal):
    return subprocess.run(arguments, capture_output=True, text=True, cwd=cwd, check=True).stdout


run(PROGRAM, "begin", "journal", "--vehicle", "Wren", "--author", "Ada Bench <ada@example.org>", cwd=folder)
for name in NAMES:
    path = os.path.join(journal, "photos", name)
    os.makedirs(os.path.dirname(path), exist_ok=True)
    with open(path, "wb") as file:
        file.write(os.urandom(300_000))
run(PROGRAM, "keep")
assert run("sha256sum", "-c", "--strict", "pictures-sha256.txt").count(": OK") == len(NAMES)
assert "pictures-sha256.txt" in run("git", "ls-files")

os.makedirs(os.path.join(bag, "data"))
shutil.copytree(os.path.join(journal, "photos"), os.path.join(bag, "data", "photos"))
with open(os.path.join(bag, "bagit.txt"), "w") as file:
    file.write("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n")
with open(os.path.join(journal, "pictures-sha256.txt"), encoding="utf-8") as lines, open(os.path.join(bag, "manifest-sha256.txt"), "w", encoding="utf-8") as file:
    file.writelines(line.replace("  ", "  data/", 1) for line in lines)
assert bagit.Bag(bag).validate()
with open(os.path.join(bag, "data", "photos", "a.jpg"), "r+b") as file:
    file.seek(1000)
    byte = file.read(1)[0]
    file.seek(1000)
    file.write(bytes([byte ^ 1]))
assert not bagit.Bag(bag).is_valid()
print(f"{len(NAMES)} pictures listed as sha256sum and bagit read it")
