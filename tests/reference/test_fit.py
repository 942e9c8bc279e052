"""Licks of the collection in sixty fiddle tunes from 1883: whatever is put where, the result is sound.

Fiddle tunes leave hardly any room: they move in eighths from one end to the other, and what a player puts a lick in
place of is the end of a part (common practice). So some have places, and by far not all.
"""
import collections
import functools
import json
import os
import subprocess
from pathlib import Path

import fiddle_tunes
import program
import pytest

LICKS = Path(__file__).parents[2] / "fixtures/licks"
FITTED = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).parents[2] / "build") / "tests/fitted_licks"
# Why a lick may be refused in a measure that somebody asks for.
REFUSALS = {"lick-over-end", "lick-over-barline", "lick-over-repeat", "lick-in-one-ending", "tuplet-parted", "lick-off-neck",
            "seam-too-fast", "no-room-for-pickup", "tuning"}


@functools.cache
def places(tune):
    outcome = program.run("fit", tune, "--licks", LICKS, "--json", "-q")
    assert outcome.status in (0, 1), outcome.err
    found = [(place["cost"], lick["lick"], place) for lick in json.loads(outcome.out)["licks"] for place in lick["places"]]
    return sorted(found, key=lambda one: one[:2])


def errors(file):
    """Findings of check that weigh as much, by rule and place."""
    outcome = program.run("check", file, "--json", "--min-severity", "error")
    return {(one["rule"], one["place"]["text"]) for one in json.loads(outcome.out)["files"][0]["findings"]}


@pytest.mark.share
@pytest.mark.parametrize("name", fiddle_tunes.names())
def test_what_is_put_into_a_tune_is_sound(name, tmp_path):
    tune, _ = fiddle_tunes.files(name)
    program.convert(tune, tmp_path / "plain.musicxml")
    before = errors(tmp_path / "plain.musicxml")
    best = places(tune)[:2]
    every = sorted(LICKS.glob("*.musicxml"))
    number = fiddle_tunes.names().index(name)
    # The two best places, and two licks wherever, as somebody might ask for.
    asked = [(lick, place["measure"] + ":" + str(place["beat_number"])) for _, lick, place in best]
    asked += [(every[(number * 2 + i) % len(every)].name, str(2 + (number + i * 3) % 7)) for i in range(2)]
    for i, (lick, where) in enumerate(asked):
        out = tmp_path / f"{i}.musicxml"
        outcome = program.run("fit", tune, "--lick", LICKS / lick, "--at", where, "-o", out)
        assert outcome.status == 0 if i < len(best) else outcome.status in (0, 1), (lick, where, outcome.err)
        assert out.exists() == (outcome.status == 0)
        if outcome.status == 0:
            assert errors(out) <= before, (lick, where)


@pytest.mark.share
def test_nothing_else_changes_wherever_any_lick_is_put():
    """Each lick in each tune, by fitted_licks.cpp: the lick is there, note by note; repeats, endings, chords and all notes
    outside its time are as they were, but for the strokes at the seams; ties and slurs have both ends; check finds no
    errors that the tune did not have."""
    files = [str(xml) for xml, _ in fiddle_tunes.all_files()]
    said = subprocess.run([FITTED, LICKS, *files], capture_output=True, text=True, check=True).stdout.splitlines()
    assert [line for line in said if line.startswith("wrong:")] == []
    sums = collections.Counter()
    for line in said:
        for name, value in (field.split("=") for field in line.split("\t")[1:]):
            sums[name] += int(value)
    print(dict(sums))
    refused = {name.removeprefix("refused-"): count for name, count in sums.items() if name.startswith("refused-")}
    assert set(refused) <= REFUSALS
    asked = len(files) * len(list(LICKS.glob("*.musicxml")))
    assert sums["put"] - sums["placed"] + sum(refused.values()) == asked
    assert sums["put"] > .75 * asked and sums["checked"] > asked / 5


def test_some_have_places():
    found = [bool(places(tune)) for tune, _ in fiddle_tunes.all_files()]
    assert sum(found) >= len(found) * .2
