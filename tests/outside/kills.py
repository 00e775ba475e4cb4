#!/usr/bin/env python3
"""Kills at any moment of `keep`, `write`, `adopt`, `recap` and `past --bring-back`.

Each round begins a verb in a made-up journal, ends it with SIGKILL, SIGHUP (for a part
of them by hanging up its terminal), SIGTERM or SIGINT after a delay spread over its
whole run, and then looks with eyes that are not ours: every text is there, whole, as it
was or in its new form; real git finds the repository sound and sees nothing unfinished;
the next command does its work without an option that clears anything.

    python3 tests/outside/kills.py PROGRAM [COUNT] [SEED]
"""

import collections
import fcntl
import glob
import os
import pty
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import termios
import threading
import time

PROGRAM = os.path.abspath(sys.argv[1])
COUNT = int(sys.argv[2]) if len(sys.argv) > 2 else 60
SEED = int(sys.argv[3]) if len(sys.argv) > 3 else 1
WORKERS = 2
# A new journal after so many rounds, so that the last round takes no longer than the first.
ROUNDS = 40
VERBS = ["keep", "keep", "write", "write piped", "write in an editor", "adopt", "recap", "past"]
SIGNALS = [signal.SIGKILL] * 4 + [signal.SIGHUP] * 3 + [signal.SIGTERM, signal.SIGINT]


class Shop:
    """A journal in a folder of its own, and what is known to stand in it."""

    def __init__(self, chance):
        self.chance = chance
        self.around = tempfile.mkdtemp(prefix="kills-")
        self.journal = f"{self.around}/journal"
        for folder in ("home", "tmp"):
            os.mkdir(f"{self.around}/{folder}")
        self.environment = {
            "PATH": os.environ["PATH"],
            "HOME": f"{self.around}/home",
            "TMPDIR": f"{self.around}/tmp",
            "GIT_CONFIG_GLOBAL": f"{self.around}/no-settings",
            "GIT_CONFIG_NOSYSTEM": "1",
            "TZ": "UTC",
            "TERM": "xterm",
        }
        self.texts = {}
        self.adopted = set()
        self.rows = 0
        self.run("begin", self.journal, "--vehicle", "Wren", "--author", "Ada Bench <ada@example.org>", here=self.around)
        for number in range(25):
            self.put(entry_path(number), entry(f"bracket {number}", "cracked at the weld"))
        self.run("keep")
        self.put(entry_path(0), entry("bracket 0", "cracked at the weld, and bent"))
        self.run("keep")
        self.texts = self.on_disk()

    def run(self, *arguments, allowed=(0,), here=None, program=PROGRAM, feed=None):
        done = subprocess.run(
            [program, *arguments],
            cwd=here or self.journal,
            env=self.environment,
            input=feed,
            stdin=subprocess.DEVNULL if feed is None else None,
            capture_output=True,
            timeout=120,
        )
        done.said = (done.stdout + done.stderr).decode(errors="replace")
        assert done.returncode in allowed, (arguments, done.returncode, done.said)
        assert "panicked" not in done.said, (arguments, done.said)
        return done

    def git(self, *arguments):
        return self.run(*arguments, program="git").stdout.decode()

    def put(self, path, text):
        path = f"{self.journal}/{path}"
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "w") as file:
            file.write(text)
        self.texts[path[len(self.journal) + 1 :]] = text

    def on_disk(self):
        found = {}
        for folder in ("entries", "vehicles", "episodes", "drafts"):
            for path in glob.glob(f"{self.journal}/{folder}/**/*", recursive=True):
                if os.path.isfile(path):
                    with open(path, newline="") as file:
                        found[path[len(self.journal) + 1 :]] = file.read()
        return found

    def holds_anywhere(self, words):
        for folder, _, names in os.walk(self.around):
            for name in names:
                if "/.git" not in folder and "/editor" not in f"{folder}/{name}":
                    with open(f"{folder}/{name}", "rb") as file:
                        if words.encode() in file.read():
                            return True
        return False


def entry_path(number):
    return f"entries/2026/2026-01-{1 + number:02}-bracket-{number}.md"


def entry(part, prose, day="2026-03-14"):
    return f"---\ndate: {day}\nvehicle: wren\n---\n\n# About the {part}\n\n## {part}\n\n- status: removed\n- stored: rack 2\n\n{prose}\n"


class Round:
    """One verb to be killed: its arguments, and what must hold afterwards."""

    def __init__(self, shop, number):
        self.shop, self.number = shop, number
        self.arguments, self.feed, self.terminal = [], None, False
        # Texts that may stand at a path besides the one known.
        self.or_this = collections.defaultdict(set)
        # Paths at which new whole lines may stand among the old ones.
        self.may_grow = False
        self.after = lambda: None

    def keep(self):
        shop, chance = self.shop, self.shop.chance
        for part in range(chance.randint(1, 4)):
            shop.put(f"entries/2026/2026-03-14-r{self.number}-{part}.md", entry(f"hinge r{self.number}p{part}", "worn"))
        again = chance.choice(sorted(shop.texts))
        shop.put(again, shop.texts[again] + f"Looked at again in round {self.number}.\n")
        if chance.random() < 0.2:
            gone = chance.choice(sorted(shop.texts))
            os.remove(f"{shop.journal}/{gone}")
            del shop.texts[gone]
        self.arguments = ["keep"]

    def write(self):
        day = f"2026-02-{self.shop.chance.randint(1, 3):02}"
        self.arguments = ["write", "--date", day, "--part", f"clip {self.number}", "--found", "bent"]
        self.may_grow = True

    def write_piped(self):
        words = f"Words of round {self.number}, piped in."
        self.arguments = ["write", "--date", "2026-02-04", "--title", f"Round {self.number}"]
        self.feed = "\n\n".join([words] * 40).encode()
        self.may_grow = True

    def write_in_an_editor(self):
        shop = self.shop
        words = f"Typed in round {self.number} by hand."
        saved = f"{shop.around}/editor-saved"
        if os.path.exists(saved):
            os.remove(saved)
        with open(f"{shop.around}/editor", "w") as file:
            file.write(f'#!/bin/sh\necho "" >> "$1"; echo "{words}" >> "$1" && touch "{saved}"\nsleep 0.05\n')
        os.chmod(f"{shop.around}/editor", 0o755)
        shop.environment["EDITOR"] = f"{shop.around}/editor"
        self.arguments = ["write", "--date", "2026-02-05"]
        self.terminal = True
        self.may_grow = True

        def after():
            if os.path.exists(saved):
                assert shop.holds_anywhere(words), "what was saved in the editor is nowhere"

        self.after = after

    def adopt(self):
        shop = self.shop
        table = f"{shop.around}/table-{self.number}.csv"
        rows = [f"2026-04-{1 + row % 20:02},wren,row {self.number} {row} of the table,{row}.50" for row in range(30)]
        with open(table, "w") as file:
            file.write("date,vehicle,text,cost\n" + "\n".join(rows) + "\n")
        columns = ["--date", "date", "--vehicle", "vehicle", "--text", "text", "--cost", "cost"]
        self.arguments = ["adopt", table, *columns, "--yes"]
        self.may_grow = True

        def after():
            shop.run(*self.arguments, allowed=(0, 1))
            whole = "\n".join(shop.on_disk().values())
            for row in rows:
                words = row.split(",")[2]
                count = len(re.findall(f"^> {words}$", whole, re.M))
                assert count == 1, f"`{words}` is adopted {count} times"

        self.after = after

    def recap(self):
        shop = self.shop
        copy = f"{shop.around}/copy"
        shutil.rmtree(copy, ignore_errors=True)
        shutil.copytree(shop.journal, copy)
        self.arguments = ["recap", "--write", "--minutes", "2", "--again"]
        self.shop.run(*self.arguments, here=copy, allowed=(0, 1))
        for path in glob.glob(f"{copy}/episodes/*"):
            with open(path, newline="") as file:
                self.or_this[path[len(copy) + 1 :]].add(file.read())

    def past(self):
        shop = self.shop
        path = shop.chance.choice(sorted(p for p in shop.texts if p.startswith("entries/2026/2026-01")))
        commits = shop.git("log", "--format=%H", "--diff-filter=AM", "--", path).split()
        commit = shop.chance.choice(commits)
        self.or_this[path].add(shop.git("show", f"{commit}:{path}"))
        self.arguments = ["past", path, "--bring-back", commit]

    def die(self, moment, number):
        """Runs the verb and ends it after this time; whether it was still at work."""
        shop = self.shop
        terminal = None
        options = {"stdin": subprocess.DEVNULL if self.feed is None else subprocess.PIPE}
        if self.terminal:
            terminal, other = pty.openpty()
            # A shell's own doing: the program and its editor belong to this terminal.
            options = {"stdin": other, "preexec_fn": lambda: (os.setsid(), fcntl.ioctl(0, termios.TIOCSCTTY, 0))}
        begun = time.monotonic()
        child = subprocess.Popen(
            [PROGRAM, *self.arguments],
            cwd=shop.journal,
            env=shop.environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            **options,
        )
        if self.terminal:
            os.close(other)
        if self.feed is not None:
            child.stdin.write(self.feed)
            child.stdin.close()
        try:
            child.wait(timeout=max(0.0, moment - (time.monotonic() - begun)))
            alive = False
        except subprocess.TimeoutExpired:
            alive = True
            if terminal is not None and number == signal.SIGHUP:
                os.close(terminal)
                terminal = None
                try:
                    child.wait(timeout=20)
                except subprocess.TimeoutExpired:
                    child.kill()
                    raise AssertionError("hung up on, and still there")
            else:
                child.send_signal(number)
                child.wait(timeout=20)
        if terminal is not None:
            os.close(terminal)
        return alive, time.monotonic() - begun

    def look(self):
        """What must hold now."""
        shop = self.shop
        # What the editor still does after its parent's end is done soon.
        if self.terminal:
            time.sleep(0.1)
        there = shop.on_disk()
        for path, text in shop.texts.items():
            now = there.get(path)
            assert now is not None, f"{path} is gone"
            if now != text and now not in self.or_this[path]:
                assert self.may_grow and grew(text, now), f"{path} reads otherwise"
        for path, text in there.items():
            # A draft that waits is nobody's entry yet.
            if path not in shop.texts and not path.startswith("drafts/"):
                whole = text in self.or_this[path] if path in self.or_this else self.may_grow and text.endswith("\n")
                assert whole, f"{path} is new and not whole: {text!r}"
        fsck = shop.run("fsck", "--strict", "--no-dangling", "--no-progress", program="git")
        assert fsck.said == "", fsck.said
        for line in shop.git("status", "--porcelain", "--no-renames", "--untracked-files=all").splitlines():
            name = line[3:].strip('"')
            assert name in there or name in git_knows(shop) or name == "pictures-sha256.txt", f"git shows {line}"

    def go_on(self):
        """The next commands, without a flag."""
        shop = self.shop
        first = shop.chance.choice(["keep", "find", "check", "write", "part"])
        words = {
            "keep": ["keep"],
            "find": ["find", "bracket"],
            "check": ["check"],
            "write": ["write", "--date", "2026-02-06", "--part", f"pin {self.number}", "--found", "bent"],
            "part": ["part", "bracket 3"],
        }[first]
        said = shop.run(*words, allowed=(0, 1)).said
        assert "clear-locks" not in said, said
        self.after()
        shop.run("keep")
        assert shop.git("status", "--porcelain", "--no-renames", "--untracked-files=all") == "", shop.git("status", "--porcelain")
        left = [path for path in glob.glob(f"{shop.journal}/.git/**/*.lock", recursive=True)]
        assert not left, left
        shop.texts = {path: text for path, text in shop.on_disk().items() if not path.startswith("drafts/")}


def git_knows(shop):
    return set(shop.git("ls-tree", "-r", "--name-only", "HEAD").splitlines())


def grew(old, new):
    """Whether each line of the old text stands in the new one, in its order."""
    lines = iter(new.split("\n"))
    return all(line in lines for line in old.split("\n"))


class Count:
    alive, faults = 0, []
    rounds = collections.Counter()
    usual = {}
    lock = threading.Lock()


def work(worker, rounds):
    chance = random.Random(SEED * 1000 + worker)
    shop = None
    for number in range(rounds):
        if number % ROUNDS == 0:
            if shop:
                shutil.rmtree(shop.around, ignore_errors=True)
            shop = Shop(chance)
        verb = chance.choice(VERBS)
        one = Round(shop, number)
        getattr(one, verb.replace(" ", "_"))()
        sign = chance.choice(SIGNALS)
        # The first run of each verb is let be, to see how long it takes.
        usual = Count.usual.get(verb)
        moment = 60.0 if usual is None else chance.random() * usual * 1.1
        try:
            alive, took = one.die(moment, sign)
            with Count.lock:
                Count.rounds[verb] += alive
                Count.alive += alive
                if not alive:
                    Count.usual[verb] = took if usual is None else 0.7 * usual + 0.3 * took
            one.look()
            one.go_on()
        except (AssertionError, subprocess.TimeoutExpired) as fault:
            with Count.lock:
                Count.faults.append(f"seed {SEED}, worker {worker}, round {number}, `{verb}`, {sign.name} after {moment:.3f} s: {fault} ({shop.around})")
                print(Count.faults[-1], flush=True)
            # Its folder stays, to be looked at.
            shop = Shop(chance)


if __name__ == "__main__":
    threads = [threading.Thread(target=work, args=(worker, -(-COUNT // WORKERS))) for worker in range(WORKERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    usual = ", ".join(f"{verb} {time * 1000:.0f} ms" for verb, time in sorted(Count.usual.items()))
    print(f"{COUNT} rounds, {Count.alive} killed at work ({dict(Count.rounds)}), usual time: {usual}")
    print(f"{len(Count.faults)} faults")
    sys.exit(bool(Count.faults))
