#!/usr/bin/env python3
"""The edit lists of `recap`, read back by OpenTimelineIO and its CMX 3600 adapter.

    edit_lists.py MATCHMARK JOURNAL

Every clip of the shot list stands in both, in the same order, with the times that were
written down; chapters are markers.
"""
import json, os, subprocess, sys, tempfile

import opentimelineio as otio

PROGRAM, JOURNAL = os.path.abspath(sys.argv[1]), sys.argv[2]


def run(*arguments):
    done = subprocess.run([PROGRAM, "-j", JOURNAL, "recap", "--vehicle", "wren", "--minutes", "12", *arguments],
                          capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def seconds(clock):
    h, m, s = clock.split(":")
    return int(h) * 3600 + int(m) * 60 + int(s)


draft = json.loads(run("--json"))
settings = open(os.path.join(JOURNAL, "journal.toml"), encoding="utf-8").read()
for rate in ("25", "24", '"29.97"', '"59.94"'):
    lines = [line for line in settings.splitlines() if not line.startswith("frame_rate")]
    with open(os.path.join(JOURNAL, "journal.toml"), "w", encoding="utf-8") as out:
        # A setting stands before the tables.
        out.write(f"frame_rate = {rate}\n" + "\n".join(lines) + "\n")
    exact = {'"29.97"': 30000 / 1001, '"59.94"': 60000 / 1001}.get(rate) or float(rate)
    timeline = otio.adapters.read_from_string(run("--as", "otio"), "otio_json")
    listed = otio.adapters.read_from_string(run("--as", "edl"), "cmx_3600", rate=exact)
    clips, events = list(timeline.find_clips()), list(listed.find_clips())
    assert len(clips) == len(events) == len(draft["shots"]) > 5, (len(clips), len(events), len(draft["shots"]))
    for clip, event in zip(clips, events):
        shot = next(s for s in draft["shots"] if s["clip"] == clip.name and s["chapter"] == clip.metadata["matchmark"]["chapter"])
        assert event.name == clip.name, (event.name, clip.name)
        assert abs(clip.source_range.duration.value - event.source_range.duration.value) < 1e-6
        start = clip.source_range.start_time
        assert start.rate == exact and abs(start.to_seconds() - (seconds(shot["in"]) if shot["in"] else 0)) <= 1 / exact
        if shot["in"] and shot["out"]:
            assert abs(clip.source_range.duration.to_seconds() - (seconds(shot["out"]) - seconds(shot["in"]))) <= 2 / exact
    marked = [marker.name for clip in clips for marker in clip.markers]
    assert marked == [chapter["title"] for chapter in draft["chapters"]], marked
    assert sum(len(event.markers) for event in events) == len(marked)
with open(os.path.join(JOURNAL, "journal.toml"), "w", encoding="utf-8") as out:
    out.write(settings)
print(f"{len(clips)} clips and {len(marked)} chapters, as they were written down")
