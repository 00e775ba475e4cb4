#!/usr/bin/env python3
"""Fills fuzz/corpus/read_entry with what the tests hold: wrong entries, the
demo journal, the CommonMark examples and the YAML cases."""

import json
import pathlib

root = pathlib.Path(__file__).resolve().parent.parent
corpus = root / "fuzz/corpus/read_entry"
corpus.mkdir(parents=True, exist_ok=True)
above = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n"

for number, path in enumerate(
    [*root.glob("tests/malformed/*.md"), *root.glob("demo-journal/**/*.md")]
):
    (corpus / f"entry-{number}").write_bytes(path.read_bytes())
for example in json.loads((root / "tests/data/commonmark/examples.json").read_text("utf-8")):
    path = corpus / f"commonmark-{example['example']}"
    path.write_bytes((above + example["markdown"]).encode("utf-8"))
for case in json.loads((root / "tests/data/yaml/cases.json").read_text("utf-8")):
    path = corpus / f"yaml-{case['id'].replace('/', '-')}"
    path.write_bytes(f"---\n{case['yaml']}\n---\n".encode("utf-8"))
