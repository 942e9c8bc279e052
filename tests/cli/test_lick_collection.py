"""The class's collection of licks: that it is what its script makes, sound, and varied; and that the program finds in
each lick what its author wrote of it (fixtures/make_licks.py) before any program looked.
"""

import json
import subprocess
import sys
from collections import Counter
from fractions import Fraction

import pytest

import lick_table
from conftest import ROOT, run

LICKS = ROOT / "fixtures" / "licks"
FACTS = json.loads((LICKS / "facts.json").read_text(encoding="utf-8"))
USES = {"fill-in", "walk-up", "segue", "turnaround", "tag", "ending", "kick-off", "low-to-high"}
TECHNIQUES = {"slide", "hammer-on", "pull-off", "choke", "pinch", "brush", "let ring", "damped", "grace note", "chime"}


def path_of(name):
    return LICKS / f"{name}.musicxml"


# ---- the files -------------------------------------------------------------------------------------


def test_the_collection_is_what_its_script_makes(tmp_path):
    subprocess.run([sys.executable, "-B", ROOT / "fixtures/make_licks.py", tmp_path], check=True, capture_output=True)
    made = sorted(path.name for path in (tmp_path / "licks").iterdir())
    assert made == sorted(path.name for path in LICKS.iterdir() if path.name != "README.md")
    for name in made:
        assert (tmp_path / "licks" / name).read_bytes() == (LICKS / name).read_bytes(), name


def test_nothing_is_to_be_said_against_any(valid):
    """Not even a note."""
    result = run("check", *map(path_of, FACTS), "--json")
    assert result.status == 0
    reports = valid(result.out, "check")["files"]
    assert len(reports) == len(FACTS)
    assert [(report["input"], report["findings"]) for report in reports if report["findings"]] == []


def test_there_is_some_of_everything():
    assert len(FACTS) >= 40
    assert {said["style"] for said in FACTS.values()} == {"roll", "melodic", "single-string", "clawhammer"}
    assert len({said["key"] for said in FACTS.values()}) >= 5
    likeliest = Counter(said["uses"][0] for said in FACTS.values())
    assert set(likeliest) == USES and min(likeliest.values()) >= 2
    assert {said["level"] for said in FACTS.values()} == {1, 2, 3, 4, 5}
    assert {technique for said in FACTS.values() for technique in said["techniques"]} == TECHNIQUES
    assert max(said["frets"][1] for said in FACTS.values() if said["frets"]) >= 12
    assert any(said["frets"] is None for said in FACTS.values())


# ---- what the program finds, and what their author wrote -------------------------------------------

def found_in(said):
    """What `describe` says of a lick, in the author's words."""
    lick = said["lick"]
    key = lick["key"].replace(" major", "").replace(" minor", "m")
    frets = lick["frets"] and [lick["frets"]["lowest"], lick["frets"]["highest"]]
    return {"key": key, "from": lick["from"], "to": lick["to"], "beats": Fraction(lick["beats"]),
            "pickup": Fraction(lick["pickup"]), "lands": lick["lands"], "frets": frets, "style": lick["style"],
            "techniques": set(lick["techniques"]), "uses": {one["use"] for one in lick["uses"]},
            "rolls": set(lick["rolls"]), "level": lick["difficulty"]["level"]}


def agree(fact, written, found):
    """Uses and rolls that the author wrote are among those found, which may be more; a level is an estimate."""
    if fact in ("uses", "rolls"):
        return set(written) <= found
    if fact == "level":
        return abs(written - found) <= 1
    return set(written) == found if fact == "techniques" else written == found


@pytest.fixture(scope="module")
def collection():
    return {name: found_in(said) for name, said in lick_table.described([*map(path_of, FACTS)]).items()}


@pytest.mark.parametrize("fact", ["key", "from", "to", "beats", "pickup", "lands", "frets", "techniques", "style", "uses",
                                  "rolls", "level"])
def test_what_is_found_is_what_its_author_wrote(fact, collection):
    differ = {name: (FACTS[name][fact], found[fact]) for name, found in collection.items()
              if not agree(fact, FACTS[name][fact], found[fact])}
    assert differ == {}


def copied(tmp_path, licks, *options):
    result = run("convert", *map(path_of, licks), "-d", tmp_path, "--to", "musicxml", *options)
    assert result.status == 0, result.err
    return {name: found_in(said) for name, said in
            lick_table.described([tmp_path / f"{name}.musicxml" for name in licks]).items()}


def test_a_copy_for_a_capo_does_the_same(collection, tmp_path):
    """The same shapes sound higher, and that is all."""
    for name, copy in copied(tmp_path, FACTS, "--capo", "4").items():
        same = {fact: copy[fact] for fact in copy if fact not in ("key", "from", "to")}
        assert same == {fact: collection[name][fact] for fact in same}, name
        assert copy["key"] != FACTS[name]["key"], name


A_TONE_UP = {"A": "B", "Am": "Bm", "Bb": "C", "C": "D", "C7": "D7", "D": "E", "D7": "E7", "E": "F#", "Em": "F#m", "F": "G",
             "G": "A", "G7": "A7", "A7": "B7", "B7": "C#7"}


@pytest.mark.parametrize("key", sorted({said["key"] for said in FACTS.values()}))
def test_a_copy_in_another_key_does_the_same(collection, key, tmp_path):
    """Without a capo it is played in other places; what it does is in its notes."""
    licks = [name for name in FACTS if FACTS[name]["key"] == key]
    moved = copied(tmp_path, licks, "--source-key", key, "--key", A_TONE_UP[key], "--thin")
    for name, copy in moved.items():
        here = collection[name]
        assert (copy["from"], copy["to"]) == (A_TONE_UP[here["from"]], A_TONE_UP[here["to"]]), name
        assert copy["key"] == A_TONE_UP[key], name
        for fact in ("beats", "pickup", "lands"):
            assert copy[fact] == here[fact], (name, fact)
        of_places = {"low-to-high"}
        assert copy["uses"] - of_places == here["uses"] - of_places, name


def test_the_table_is_what_describe_finds():
    assert lick_table.PAGE.read_text(encoding="utf-8") == lick_table.table(), "run tests/cli/lick_table.py --write"
