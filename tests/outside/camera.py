#!/usr/bin/env python3
"""A camera's folder, made by exiftool and Pillow, adopted day by day.

    camera.py MATCHMARK SAMPLES

SAMPLES holds published pictures: 02.jpg and r_ricoh.jpg of piexif 1.1.3, test.jpg of
exif-parser 0.1.12.
"""
import json, os, shutil, struct, subprocess, sys, tempfile

import pillow_heif
from PIL import Image

PROGRAM, SAMPLES = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
pillow_heif.register_heif_opener()
folder = tempfile.mkdtemp()
journal, camera = os.path.join(folder, "journal"), os.path.join(folder, "camera")
os.makedirs(os.path.join(camera, "DCIM", "100"))
environment = {**os.environ, "TZ": "Europe/Berlin"}


def run(*arguments, cwd=journal, code=0):
    done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, cwd=cwd, env=environment)
    assert done.returncode == code, (arguments, done.stdout, done.stderr)
    return done.stdout


def adopt(*more):
    return json.loads(run("adopt", camera, "--json", *more))


run("begin", "journal", "--vehicle", "Wren", "--author", "Ada Bench <ada@example.org>", cwd=folder)
os.makedirs(os.path.join(journal, "entries"), exist_ok=True)
with open(os.path.join(journal, "entries", "2026-03-14-tank.md"), "w") as file:
    file.write("---\ndate: 2026-03-14\nvehicle: wren\nphoto: photos/own.jpg\n---\n\n# Tank\n\n## Tank\n\n- status: removed\n")

# Name, tags, day, minutes of the offset (None: unknown), perhaps another day.
ROWS = [
    ("a.jpg", ["DateTimeOriginal=2026:03:14 21:19:26", "OffsetTimeOriginal=+01:00", "ModifyDate=2026:04:01 10:00:00"], "2026-03-14", 60, None),
    ("b.jpg", ["DateTimeOriginal=2026:03:14 23:58:00"], "2026-03-14", None, "2026-03-15"),
    ("c.jpg", ["DateTimeOriginal=2026:03:15 00:30:00", "OffsetTimeOriginal=-05:00"], "2026-03-15", -300, None),
    ("d.jpg", ["DateTimeOriginal=2026:03:15 00:30:00", "GPSDateStamp=2026:03:14", "GPSTimeStamp=23:30:02"], "2026-03-15", 60, None),
    ("e.png", ["EXIF:DateTimeOriginal=2026:03:16 12:00:00", "EXIF:OffsetTimeOriginal=+05:45"], "2026-03-16", 345, None),
    ("f.webp", ["EXIF:DateTimeOriginal=2026:03:16 12:00:00"], "2026-03-16", None, None),
    ("g.heic", ["EXIF:DateTimeOriginal=2026:03:17 09:00:00", "EXIF:OffsetTimeOriginal=+01:00"], "2026-03-17", 60, None),
    ("h.jpg", ["DateTimeOriginal=2026:03:18 12:00:00", "OffsetTimeOriginal=+99:00"], "2026-03-18", None, None),
    ("i.jpg", ["ModifyDate=2026:03:19 12:00:00"], "2026-03-19", None, None),
]
for at, (name, tags, *_) in enumerate(ROWS):
    path = os.path.join(camera, "DCIM", "100", name)
    Image.new("RGB", (64, 64), (at * 20, 50, 90)).save(path)
    subprocess.run(["exiftool", "-q", "-overwrite_original", *[f"-{tag}" for tag in tags], path], check=True)


def box(kind, inside):
    return struct.pack(">I", len(inside) + 8) + kind + inside


def clip(created, seconds):
    header = struct.pack(">IIIII", 0, created + 2082844800 if created else 0, 0, 600, seconds * 600) + bytes(80)
    return box(b"ftyp", b"qt  \0\0\0\0qt  ") + box(b"mdat", os.urandom(1000)) + box(b"moov", box(b"mvhd", header))


with open(os.path.join(camera, "CLIP1.MOV"), "wb") as file:
    file.write(clip(1773523166, 83))  # 2026-03-14 21:19:26
with open(os.path.join(camera, "CLIP2.MP4"), "wb") as file:
    file.write(clip(1773531000, 10))  # 2026-03-14 23:30, of the next day if it is UTC
with open(os.path.join(camera, "CLIP3.mov"), "wb") as file:
    file.write(clip(1773523166, 5))
subprocess.run(["exiftool", "-q", "-overwrite_original", "-Keys:CreationDate=2026:03:20 00:10:00+02:00", os.path.join(camera, "CLIP3.mov")], check=True)
for name in ("02.jpg", "r_ricoh.jpg", "test.jpg"):
    shutil.copy(os.path.join(SAMPLES, name), camera)
shutil.copy(os.path.join(camera, "DCIM", "100", "a.jpg"), os.path.join(camera, "copy-of-a.jpg"))
with open(os.path.join(camera, "broken.mov"), "wb") as file:
    file.write(clip(1773523166, 83)[:500])
with open(os.path.join(camera, "notes.txt"), "w") as file:
    file.write("no picture")

before = {path: os.stat(os.path.join(root, path)).st_size for root, _, files in os.walk(camera) for path in files}
plan = adopt()
assert not plan["written"] and not os.path.exists(os.path.join(journal, "photos", "2026-03-14"))
shots = {os.path.basename(shot["from"]): (day["date"], shot["offset"], shot["perhaps"], shot) for day in plan["days"] for shot in day["files"]}
for name, _, day, offset, perhaps in ROWS:
    if name == "a.jpg" and name not in shots:
        name = "copy-of-a.jpg"
    assert shots[name][:3] == (day, offset, perhaps), (name, shots[name])
assert shots["CLIP1.MOV"][0] == "2026-03-14" and shots["CLIP1.MOV"][3]["seconds"] == 83
assert shots["CLIP2.MP4"][0::2][:2] == ("2026-03-14", "2026-03-15"), shots["CLIP2.MP4"]
assert shots["CLIP3.mov"][:3] == ("2026-03-20", 120, None), shots["CLIP3.mov"]
assert (shots["02.jpg"][0], shots["02.jpg"][3]["time"]) == ("2006-02-16", "21:19:26"), shots["02.jpg"]
assert (shots["r_ricoh.jpg"][0], shots["r_ricoh.jpg"][3]["time"]) == ("2013-03-29", "10:06:41"), shots["r_ricoh.jpg"]
# Read by another reader: a day, and whether its time is one that a clock shows.
raw = subprocess.run(["exiftool", "-s3", "-ModifyDate", os.path.join(camera, "test.jpg")], capture_output=True, text=True).stdout.strip()
assert shots["test.jpg"][0] == raw[:10].replace(":", "-") and int(raw[17:19]) > 59 and shots["test.jpg"][3]["time"] is None, (raw, shots["test.jpg"])
left_out = {os.path.basename(one["file"]) for one in plan["left_out"]}
assert left_out >= {"broken.mov", "notes.txt"} and len(left_out & {"a.jpg", "copy-of-a.jpg"}) == 1, left_out

done = adopt("--yes")
assert done["written"]
entry = open(os.path.join(journal, "entries", "2026-03-14-tank.md"), encoding="utf-8").read()
assert "photo: photos/own.jpg\n" in entry and "photo: photos/2026-03-14/b.jpg\n" in entry and "footage: CLIP1 00:00-01:23\n" in entry, entry
for day in done["days"]:
    for shot in day["files"]:
        if shot["to"]:
            with open(os.path.join(journal, shot["to"]), "rb") as copied, open(os.path.join(camera, shot["from"]), "rb") as original:
                assert copied.read() == original.read()
assert before == {path: os.stat(os.path.join(root, path)).st_size for root, _, files in os.walk(camera) for path in files}
problems = json.loads(run("check", "--no-notes", "--json"))["problems"]
assert not problems, problems
again = adopt("--yes")
assert not again["days"] and again["already"] == sum(len(day["files"]) for day in done["days"]), again
# A clock that was an hour and a day slow.
shifted = json.loads(run("begin", os.path.join(folder, "other"), "--vehicle", "Wren", "--json", cwd=folder))
days = json.loads(run("-j", os.path.join(folder, "other"), "adopt", camera, "--clock=+1d 1:00", "--json"))["days"]
moved = {os.path.basename(shot["from"]): day["date"] for day in days for shot in day["files"]}
assert moved["b.jpg"] == "2026-03-16" and moved["f.webp"] == "2026-03-17", moved
print(f"{sum(len(day['files']) for day in done['days'])} pictures and clips on {len(done['days'])} days, as they were taken")
