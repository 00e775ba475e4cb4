#!/usr/bin/env python3
"""Speed of matchmark as ratios against public general tools, in one run.

Makes journals of generated entries (five records each), then runs each pair of
commands alternately, warm, output to a file, and prints medians and ratios as
a table for docs/performance.md. Needs ripgrep and git on the PATH.

    python3 benches/speed.py [path to the release binary] [entries ...]
    python3 benches/speed.py --verbs [path to the release binary] [entries ...]

The second form measures every verb that asks, all sizes in one run; the smallest
size is the demo.
"""

import os
import random
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta

NAMES = """brake drum;wheel cylinder;hub;kingpin;spring;damper;shackle;track rod;drag link;
steering box;fuel tank;filler neck;fuel pump;carburettor;dynamo;starter motor;regulator;
fuse box;horn;sidelamp;tail lamp;bonnet;wing;grille;bulkhead;load floor;bread rack;tail door;
door card;sun visor;radiator;water pump;thermostat housing;exhaust pipe;silencer;propshaft;
gearbox;clutch plate;flywheel;pedal box""".replace("\n", "").split(";")
SIDES = ["left front", "right front", "left rear", "right rear", "left", "right", "front", "rear", ""]
FOUND = """scored;pitted halfway round;sound under the dirt;rusted solid;worn to a waist;cracked through;
better than it looked;full of road;seized;bent;fine""".replace("\n", "").split(";")
WORDS = """the a of and it was under behind with after before bolt nut washer thread rust paint oil grease heat
hammer spanner bench shelf lamp cold hand light evening cat kettle neighbour film camera penetrating seam edge
corner lip flange bracket stud pin clip hose pipe wire earth terminal seal gasket bush bearing race cone shim
spacer plate panel rail rivet weld tack grind scrape brush wash dry prime coat cure measure mark bag label tin
drawer box rack loft wall floor stand jack block chock wheel drum shoe lining cylinder piston ring bore sleeve
spring leaf eye shackle damper link arm rod joint taper castle cotter slow careful again twice never always
almost enough little more less left right front rear upper lower inner outer""".split()


def sentence(rng):
    words = rng.choices(WORDS, k=rng.randint(8, 16))
    return " ".join(words).capitalize() + "."


def make(folder, entries, seed=7):
    """A journal with `entries` entries of five records, about 2 kB each."""
    rng = random.Random(seed)
    os.makedirs(f"{folder}/vehicles")
    with open(f"{folder}/journal.toml", "w") as out:
        out.write('name = "Speed"\nauthor = "Bench <bench@example.org>"\n')
    with open(f"{folder}/vehicles/van.md", "w") as out:
        out.write("---\nname: Van\ndriven: right\n---\n")
    day = date(1990, 1, 1)
    for number in range(entries):
        day += timedelta(days=1)
        path = f"{folder}/entries/{day.year}"
        os.makedirs(path, exist_ok=True)
        lines = ["---", f"date: {day}", "vehicle: van", "system: body", "status: removed", "hours: 2:30", "---", "",
                 f"# Evening {number}", "", sentence(rng), ""]
        for _ in range(5):
            # As many parts as a vehicle of this size of journal would have.
            name = rng.choice(NAMES) + f" {rng.randint(1, max(2, entries // 50))}"
            side = rng.choice(SIDES)
            lines += [f"## {name.capitalize()}{', ' + side if side else ''}", "",
                      f"- hardware: {rng.randint(1, 9)} hex nut 7/16-20, bag {rng.randint(1, 400)}",
                      f"- found: {rng.choice(FOUND)}", f"- stored: rack {rng.randint(1, 9)}", "",
                      " ".join(sentence(rng) for _ in range(3)), ""]
        with open(f"{path}/{day}-evening.md", "w") as out:
            out.write("\n".join(lines))


MORE = ["- after: {part}", "- needs: buy a {word} {number}", "- done: bought a {word} {before}", "- cost: {number}.50 {word}",
        "- undone: {word} lead, to {part}", "- replaced by: {word}\n  - kind: rebuilt\n  - cost: 45.00\n  - old: kept",
        "- lesson: {words}", "- tool: {word} puller, return within 2 weeks"]


def make_full(folder, entries, seed=7):
    """A journal whose records say something for every verb: open work, costs,
    replacements, connections, orders, loans."""
    rng = random.Random(seed)
    make(folder, 0)
    names = [f"{name} {word}" for name in NAMES for word in rng.sample(WORDS, 20)]
    day = date(1999, 1, 1)
    for number in range(entries):
        own = day + timedelta(days=number * 9000 // entries)
        path = f"{folder}/entries/{own.year}"
        os.makedirs(path, exist_ok=True)
        lines = ["---", f"date: {own}", "vehicle: van", "hours: 2", "---", "", f"# Evening {number}", ""]
        for place, name in enumerate(rng.sample(names, 5)):
            side = rng.choice(SIDES)
            lines += [f"## {name}{', ' + side if side else ''}", "", "- system: body",
                      f"- status: {rng.choice(['removed', 'removed', 'fitted', 'apart'])}",
                      f"- hardware: {rng.randint(1, 8)} bolt 3/8-16, bag {rng.randint(1, 400)}",
                      f"- stored: shelf {rng.randint(1, 40)}"]
            if place == number % 5:
                lines += [more.format(part=rng.choice(names), word=rng.choice(WORDS), number=number,
                                      before=max(0, number - 40), words=" ".join(rng.choices(WORDS, k=9)))
                          for more in rng.sample(MORE, 3)]
            lines += ["", " ".join(sentence(rng) for _ in range(4)), ""]
        with open(f"{path}/{own}-evening-{number}.md", "w") as out:
            out.write("\n".join(lines))


VERBS = [
    ("find", ["find", "hammer", "kettle"]),
    ("part, list", ["part"]),
    ("part, unclear name", ["part", "drum"]),
    ("part, unknown name", ["part", "nosuchthing"]),
    ("needs", ["needs"]),
    ("bags", ["bags"]),
    ("bags --buy", ["bags", "--buy"]),
    ("refit", ["refit"]),
    ("replaced", ["replaced"]),
    ("tally", ["tally"]),
    ("torque --for", ["torque", "M8", "--class", "8.8", "--for", "horn"]),
    ("check", ["check"]),
    ("past", ["past"]),
]


def verbs(binary, counts):
    """Medians of every verb that asks, in ms and as multiples of `find`; then what
    the first answer after a change of one entry takes."""
    columns = {}
    for count in counts:
        above = tempfile.mkdtemp(prefix="speed-")
        folder = f"{above}/journal"
        program = shutil.copy(binary, f"{above}/program")
        if count == 53:
            shutil.copytree(os.path.join(os.path.dirname(__file__), "..", "demo-journal"), folder)
        else:
            os.makedirs(folder)
            make_full(folder, count)
        # The stamps of new files are not trusted at once.
        time.sleep(2)
        once([program, "keep"], folder, (0, 1))
        times = 5 if count > 20000 else 21
        found = {}
        for name, verb in VERBS:
            took = [once([program] + verb, folder, (0, 1)) for _ in range(times + 2)][2:]
            found[name] = statistics.median(took)
        entries = sorted(os.path.join(root, name) for root, _, files in os.walk(f"{folder}/entries") for name in files)
        for name, verb in [("find", ["find", "hammer"]), ("needs", ["needs"]), ("check", ["check"])]:
            took = []
            for turn in range(3):
                with open(entries[len(entries) // 2], "a") as out:
                    out.write(f"\nOne line more, {turn}.\n")
                took.append(once([program] + verb, folder, (0, 1)))
            found[f"{name}, first after a change"] = statistics.median(took)
        columns[count] = found
        shutil.rmtree(above)
    print("| ms (times `find`) | " + " | ".join(f"{count:,} entries" for count in counts) + " |")
    print("|---" * (len(counts) + 1) + "|")
    for name in columns[counts[0]]:
        cells = [f"{columns[count][name] * 1e3:.0f} ({columns[count][name] / columns[count]['find']:.1f})" for count in counts]
        print(f"| {name} | " + " | ".join(cells) + " |")


def past_of_many_commits(binary, commits=1000):
    """`past`, asked again and for the first time, where each entry is a commit."""
    above = tempfile.mkdtemp(prefix="speed-")
    folder = f"{above}/journal"
    os.makedirs(folder)
    make_full(folder, commits)
    entries = sorted(os.path.join(root, name) for root, _, files in os.walk(f"{folder}/entries") for name in files)
    texts = []
    for entry in entries:
        with open(entry) as opened:
            texts.append(opened.read())
        os.remove(entry)
    for entry, text in zip(entries, texts):
        with open(entry, "w") as out:
            out.write(text)
        once([binary, "keep"], folder, (0, 1))
    # An answer kept is an answer not measured.
    first = []
    for _ in range(5):
        shutil.rmtree(f"{folder}/.matchmark")
        once([binary, "find", "hammer"], folder, (0, 1))
        first.append(once([binary, "past"], folder))
    again = statistics.median(once([binary, "past"], folder) for _ in range(21))
    found = statistics.median(once([binary, "find", "hammer"], folder, (0, 1)) for _ in range(21))
    shutil.rmtree(above)
    print(f"\n`past` on {commits:,} commits: {again * 1e3:.0f} ms ({again / found:.1f} times `find`), "
          f"for the first time {statistics.median(first) * 1e3:.0f} ms ({statistics.median(first) / found:.1f})")


def environment():
    clean = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
    return clean | {"GIT_CONFIG_GLOBAL": "/dev/null", "GIT_CONFIG_NOSYSTEM": "1"}


def once(command, folder, allowed=(0,)):
    with open(os.path.join(folder, "..", "out"), "w") as out:
        start = time.perf_counter()
        done = subprocess.run(command, cwd=folder, stdout=out, stderr=subprocess.PIPE, env=environment())
        took = time.perf_counter() - start
    if done.returncode not in allowed:
        sys.exit(f"{command} failed: {done.stderr.decode()}")
    return took


def alternate(pairs, times=50):
    """Median seconds of each command, the commands taking turns."""
    took = {name: [] for name, _, _ in pairs}
    for turn in range(times + 3):
        for name, command, folder in pairs:
            seconds = once(command, folder)
            if turn >= 3:
                took[name].append(seconds)
    return {name: statistics.median(values) for name, values in took.items()}


def sizes(folder):
    total = 0
    for root, _, files in os.walk(f"{folder}/entries"):
        total += sum(os.path.getsize(os.path.join(root, name)) for name in files)
    return total


def keeping(binary, folder, times=25):
    """`keep` of one new entry of the day after the last, in its own words about a
    part the journal knows, against `git add` and `git commit`, all synced."""
    ours, theirs = [], []
    twin = folder + "-git"
    shutil.copytree(folder, twin, symlinks=True)
    part = part_of(folder)
    rng = random.Random(11)
    git = ["git", "-c", "core.fsync=all", "-c", "user.name=B", "-c", "user.email=b@example.org"]
    last = max(name[:10] for _, _, files in os.walk(f"{folder}/entries") for name in files)
    day = date.fromisoformat(last) + timedelta(days=1)
    for turn in range(times + 2):
        name = f"entries/{day.year}/{day}-{turn}-kept.md"
        words = " ".join(sentence(rng) for _ in range(8))
        text = f"---\ndate: {day}\nvehicle: van\n---\n\n# Kept\n\n## {part}\n\n- bag: 3\n\n{words}\n"
        for root in (folder, twin):
            os.makedirs(f"{root}/entries/{day.year}", exist_ok=True)
            with open(f"{root}/{name}", "w") as out:
                out.write(text)
        took_ours = once([binary, "keep"], folder)
        took_theirs = once(git + ["add", name], twin) + once(git + ["commit", "-q", "-m", "kept"], twin)
        if turn >= 2:
            ours.append(took_ours)
            theirs.append(took_theirs)
    shutil.rmtree(twin)
    return statistics.median(ours), statistics.median(theirs)


def building(binary, folder, times=5):
    """The index from nothing: median of seconds, and highest peak of memory in MB."""
    took, peak = [], 0
    for _ in range(times):
        shutil.rmtree(f"{folder}/.matchmark", ignore_errors=True)
        start = time.perf_counter()
        child = subprocess.Popen([binary, "find", "horn"], cwd=folder, stdout=subprocess.DEVNULL, env=environment())
        _, _, usage = os.wait4(child.pid, 0)
        took.append(time.perf_counter() - start)
        peak = max(peak, usage.ru_maxrss / 1024)
    return statistics.median(took), peak


def measure(binary, entries):
    above = tempfile.mkdtemp(prefix="speed-")
    folder = f"{above}/journal"
    # All programs on one disk: a file's pages do not come equally fast from each.
    binary = shutil.copy(binary, f"{above}/program")
    os.makedirs(folder)
    make(folder, entries)
    once([binary, "keep"], folder)
    rows = []
    text = sizes(folder)
    seconds, memory = building(binary, folder)
    rows.append(("index from nothing", f"{text / 1e6 / seconds:.1f} MB/s", f"{text / 1e6:.0f} MB, {seconds:.2f} s, peak {memory:.0f} MB"))
    found = alternate([
        ("find", [binary, "find", "hammer", "kettle"], folder),
        ("rg", ["rg", "-i", "hammer|kettle", "entries"], folder),
        ("part", [binary, "part", part_of(folder)], folder),
        # The same look at the disk by a general tool: every file's size.
        ("look", ["find", "entries", "-name", "*.md", "-size", "+0"], folder),
        # What both cost before they do anything.
        ("start", [binary, "--version"], folder),
        ("look's start", ["find", "vehicles", "-name", "*.md", "-size", "+0"], folder),
    ])
    rows.append(("`find` two words / `rg`", f"{found['rg'] / found['find']:.2f} times faster", f"{found['find'] * 1e3:.1f} ms / {found['rg'] * 1e3:.1f} ms"))
    look = found["look"] - found["look's start"]
    index = max(found["find"] - found["start"] - look, 1e-4)
    rows.append(("the index's share / `rg`", f"{found['rg'] / index:.1f} times faster",
                 f"{index * 1e3:.1f} ms: `find` less its start, {found['start'] * 1e3:.1f} ms, and the look at the disk, {look * 1e3:.1f} ms"))
    rows.append(("`part` / `find`", f"{found['part'] / found['find']:.2f}", f"{found['part'] * 1e3:.1f} ms"))
    ours, theirs = keeping(binary, folder)
    rows.append(("`keep` one entry / `git add` + `git commit`, core.fsync=all", f"{theirs / ours:.2f} times faster", f"{ours * 1e3:.1f} ms / {theirs * 1e3:.1f} ms"))
    shutil.rmtree(above)
    print(f"\n{entries} entries, {entries * 5} records\n")
    print("| what | ratio | medians |\n|---|---|---|")
    for row in rows:
        print("| " + " | ".join(row) + " |")


def part_of(folder):
    """A part with a name and position that stands for one place."""
    for root, _, files in sorted(os.walk(f"{folder}/entries")):
        for name in sorted(files):
            with open(os.path.join(root, name)) as entry:
                for heading in re.findall(r"^## (.*, (?:left|right) (?:front|rear))$", entry.read(), re.M):
                    return heading
    return "horn 1"


if __name__ == "__main__":
    arguments = [argument for argument in sys.argv[1:] if argument != "--verbs"]
    binary = os.path.abspath(arguments[0] if arguments else "target/release/matchmark")
    counts = [int(count) for count in arguments[1:]]
    if "--verbs" in sys.argv:
        verbs(binary, counts or [53, 1000, 10000])
        past_of_many_commits(binary)
    else:
        for count in counts or [1000, 10000]:
            measure(binary, count)
