#!/usr/bin/env python3
"""Damages captions as a bad microphone and a machine do, to see what is still heard.

    damaged_captions.py NARRATION.vtt [SEED] > DAMAGED.vtt

No punctuation, no capitals, 4 % of the words heard as another word that sounds or looks
near, cues cut anywhere, noise tags between them. The words of a cue keep its times, shared
out evenly. The same seed gives the same damage.
"""
import random
import re
import sys

# Heard for one another; common homophones and near ones of English, no list of parts.
NEAR = """off of|of off|four for|for four|two to|to too|nut not|bolt bald|screw crew|wheel we'll
brake break|pin bin|clip click|plate late|cap cab|lid lit|hose hoes|line lime|rod rot|arm harm
seat seek|door dore|cover cuff|seal ceil|shaft chef|gear ear|lead led|wire wear|spring sprint
bearing baring|drum drub|shoe show|plug blood|cable table|switch which|light lie|bracket racket
washer watcher|stud stood|tank thank|pipe pie|pump bump|fan van|belt bell|chain shane|lever leather
rear ear|left lift|right write|front fund|out our|there their|it's is|that's that|the a|and in
housing howling|cylinder silliner|piston pistol|gasket casket|manifold manual|carburettor carburetta
radiator radiate|thermostat thermos|gearbox gear rocks|clutch crutch|axle actual|hub hob|rubber robber
panel pedal|dash dish|heater eater|loom room|fuse few|bulb bulge|coil cole|points pints""".replace("\n", "|")


def seconds(stamp):
    total = 0.0
    for piece in stamp.split(":"):
        total = total * 60 + float(piece.replace(",", "."))
    return total


def stamp(at):
    return f"{int(at // 3600):02}:{int(at // 60 % 60):02}:{at % 60:06.3f}"


def misheard(word, near, chance):
    if chance.random() >= 0.04:
        return word
    if word in near:
        return chance.choice(near[word])
    if len(word) < 4:
        return word
    at = chance.randrange(1, len(word) - 1)
    return word[:at] + chance.choice([word[at + 1:], word[at] + word[at] + word[at + 1:]])


def main():
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 17)
    near = {}
    for pair in NEAR.split("|"):
        word, *others = pair.split()
        near.setdefault(word, []).append(" ".join(others))
    words = []
    text = open(sys.argv[1], encoding="utf-8").read()
    for block in re.split(r"\n\s*\n", text):
        cue = re.search(r"(\S+) --> (\S+)[^\n]*\n(.*)", block, re.S)
        if not cue:
            continue
        start, end = seconds(cue[1]), seconds(cue[2])
        plain = re.sub(r"\[[^]]*\]|<[^>]*>", " ", cue[3]).lower()
        own = re.findall(r"[a-z0-9/]+(?:'[a-z]+)?", plain.replace("-", " "))
        for number, word in enumerate(own):
            words.append((start + (end - start) * number / max(1, len(own)), misheard(word, near, chance)))
    print("WEBVTT\n")
    at = 0
    while at < len(words):
        length = chance.randint(3, 14)
        piece = words[at:at + length]
        after = words[at + length][0] if at + length < len(words) else piece[-1][0] + 1
        if chance.random() < 0.05:
            print(f"{stamp(piece[0][0])} --> {stamp(piece[0][0])}\n[{chance.choice(['noise', 'Music', 'clank', 'applause'])}]\n")
        print(f"{stamp(piece[0][0])} --> {stamp(after)}\n{' '.join(word for _, word in piece)}\n")
        at += length


main()
