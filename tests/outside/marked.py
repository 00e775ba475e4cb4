#!/usr/bin/env python3
"""Drafts of journals in which an editor's wishes were marked where a person would mark them.

    marked.py MATCHMARK JOURNAL EDITOR.json...

Each editor lists moments by entry and literal quote, with weights, and private and dull
passages. In a copy of the journal the paragraphs of the weightiest moments get `! ` before
them and the private ones `~ `. Then, at 4 and 8 minutes, the draft tells the marked moments
that fit, and nothing private in any form. Ends with 1 if anything private is told.
"""
import json, os, pathlib, re, shutil, subprocess, sys, tempfile

PROGRAM, JOURNAL, EDITORS = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]), sys.argv[3:]
FORMS = ["draft", "article", "chapters", "chapter-list", "description", "shots", "otio", "edl", "outline"]


def words(text):
    return re.findall(r"[^\W_]+(?:'[^\W_]+)?", text.lower().replace("\u2019", "'"))


def runs(text, n=5):
    w = words(text)
    return {tuple(w[i:i + n]) for i in range(len(w) - n + 1)} or ({tuple(w)} if w else set())


def told(quote, drafted):
    r = runs(quote)
    return len(r & drafted) >= max(1, len(r) / 2)


def fold(text):
    return " ".join(text.split())


def mark(base, passages, sign):
    """Puts the sign before the paragraphs that hold these quotes."""
    for one in passages:
        file = base / one["entry"]
        body = file.read_text(encoding="utf-8")
        head, rest = body[:body.index("---", 3) + 3], body[body.index("---", 3) + 3:]
        pieces = re.split(r"(\n\s*\n)", rest)
        found = False
        for at, piece in enumerate(pieces):
            if fold(one["quote"]) in fold(piece) or len(runs(one["quote"]) & runs(piece)) >= max(1, len(runs(one["quote"])) / 2):
                found = True
                bare = piece.lstrip("\n")
                if bare.startswith("#"):
                    continue
                if bare.startswith("- "):
                    lines = bare.split("\n")
                    lines = [l if not (l.startswith("- ") and runs(one["quote"]) & runs(l)) or re.match(r"- [a-z ]+:", l) else "- " + sign + l[2:] for l in lines]
                    if any(re.match(r"- [a-z ]+:", l) and runs(one["quote"]) & runs(l) for l in bare.split("\n")) and sign == "~ ":
                        lines.append("- tell: no")
                    pieces[at] = piece[:len(piece) - len(bare)] + "\n".join(lines)
                elif not bare.startswith(("! ", "~ ")):
                    pieces[at] = piece[:len(piece) - len(bare)] + sign + bare
                elif sign == "~ ":
                    pieces[at] = piece[:len(piece) - len(bare)] + sign + bare[2:]
        if not found:
            print("    not found:", one["entry"], one["quote"])
        file.write_text(head + "".join(pieces), encoding="utf-8")


leaks = 0
for path in EDITORS:
    editor = json.load(open(path, encoding="utf-8"))
    base = pathlib.Path(tempfile.mkdtemp()) / "j"
    shutil.copytree(JOURNAL, base)
    top = [m for m in editor["moments"] if m["weight"] == 3]
    mark(base, top, "! ")
    mark(base, editor["private"], "~ ")
    for minutes in (4, 8):
        run = lambda *a: subprocess.run([PROGRAM, "-j", str(base), "recap", "--minutes", str(minutes), *a], capture_output=True, text=True)
        draft = json.loads(run("--json").stdout)
        sentences = [s for c in draft["chapters"] for s in c["sentences"]]
        text = runs(" ".join(s["text"] for s in sentences))
        out = [m for m in top if told(m["quote"], text)]
        ids = {m["id"]: m for m in editor["moments"]}
        alone = [m for m in out if any(n in ids and not told(ids[n]["quote"], text) for n in m.get("needs") or [])]
        dull = [m for m in editor["dull"] if told(m["quote"], text)]
        all_weight = sum(m["weight"] for m in editor["moments"])
        weight = sum(m["weight"] for m in editor["moments"] if told(m["quote"], text)) / all_weight
        private = 0
        for form in FORMS:
            done = run("--as", form)
            said = runs(done.stdout)
            private += sum(bool(runs(p["quote"]) & said) for p in editor["private"])
        private += sum(bool(runs(p["quote"]) & runs(run("--untold", "--most", "999").stdout)) for p in editor["private"])
        private += sum(bool(runs(p["quote"]) & runs(run("--as", "outline", "--json").stdout)) for p in editor["private"])
        leaks += private
        missed = [m["quote"][:60] for m in top if m not in out]
        print(f"{JOURNAL.name} {pathlib.Path(path).stem} {minutes} min, {draft['words']} words: marked told {len(out)}/{len(top)}"
              f"  weight {weight:.2f}  dull {len(dull)}  alone {len(alone)}  private {private}" + (f"  missed {missed}" if missed and "-v" in os.environ.get("SHOW", "") else ""))
    shutil.rmtree(base.parent)
sys.exit(leaks > 0)
