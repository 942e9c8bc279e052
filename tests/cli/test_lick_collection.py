"""The class's collection of licks: that it is what its script makes, sound, and varied; and that the program finds in
each lick what its author wrote of it (fixtures/make_licks.py) before any program looked.
"""

import json
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
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


# ---- what is asked, and which licks answer -----------------------------------------------------------

# In G, as `find --key G` takes chords.
CHORDS = [[], ["--from", "G"], ["--to", "G"], ["--from", "D7", "--to", "G"], ["--from", "G", "--to", "C"], ["--from", "Em"],
          ["--from", "C", "--to", "D7"], ["--from", "G", "--to", "G", "--beats", "4"], ["--beats", "8"]]
SHAPES = [["--technique", "hammer-on"], ["--frets", "1-5"], ["--style", "roll"], ["--use", "tag"], ["--level", "1-2"],
          ["--use", "segue", "--to", "G", "--level", "1-3"]]


def answering(folder, question):
    """The licks that answer in the key of G, in which all of them stand equally."""
    result = run("find", folder, "--key", "G", *question, "--json")
    assert result.status == 0, result.err
    return {lick["input"].rsplit("/", 1)[1].removesuffix(".musicxml") for lick in json.loads(result.out)["licks"]}


@pytest.fixture(scope="module")
def with_capo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("capo")
    assert run("convert", *map(path_of, FACTS), "-d", folder, "--to", "musicxml", "--capo", "4").status == 0
    return folder


@pytest.fixture(scope="module")
def in_other_keys(tmp_path_factory):
    """A tone up without a capo, in other places on the neck."""
    folder = tmp_path_factory.mktemp("keys")
    for key in sorted({said["key"] for said in FACTS.values()}):
        licks = [path_of(name) for name in FACTS if FACTS[name]["key"] == key]
        result = run("convert", *licks, "-d", folder, "--to", "musicxml", "--source-key", key, "--key", A_TONE_UP[key], "--thin")
        assert result.status == 0, result.err
    return folder


@pytest.mark.parametrize("question", CHORDS + SHAPES, ids=" ".join)
def test_copies_for_a_capo_answer_alike(with_capo, question):
    assert answering(with_capo, question) == answering(LICKS, question)


@pytest.mark.parametrize("question", CHORDS, ids=" ".join)
def test_copies_in_other_keys_answer_alike(in_other_keys, question):
    assert answering(in_other_keys, question) == answering(LICKS, question)


def test_enough_is_asked_of_the_copies():
    counts = [len(answering(LICKS, question)) for question in CHORDS + SHAPES]
    assert counts[0] == len(FACTS) and all(0 < count < len(FACTS) for count in counts[1:])


def likest(lick, folder=LICKS):
    """The names of the licks that are most like one, and how alike they are."""
    result = run("find", folder, "--like", lick, "--json")
    assert result.status == 0, result.err
    licks = json.loads(result.out)["licks"]
    most = licks[0]["likeness"]
    return most, {one["input"].rsplit("/", 1)[1].removesuffix(".musicxml") for one in licks if one["likeness"] == most}


@pytest.mark.parametrize("name", sorted(FACTS)[::6])
def test_copies_are_found_as_the_same_lick(with_capo, in_other_keys, name):
    for folder in (with_capo, in_other_keys):
        most, found = likest(folder / f"{name}.musicxml")
        assert name in found, (folder, found)
        if folder == with_capo:
            assert (most, found) == (1, {name})


def measures_cut_out(tune, first, count):
    """The measures of a MusicXML file from one on, counted by their numbers, with what the file states at its start."""
    root = ElementTree.parse(tune).getroot()
    part = root.find("part")
    attributes = part.find("measure/attributes")
    wanted = [str(first + at) for at in range(count)]
    for measure in list(part):
        if measure.get("number") not in wanted:
            part.remove(measure)
    assert len(part) == count
    if part[0].find("attributes") is None:
        part[0].insert(0, attributes)
    return ElementTree.tostring(root)


# Each fills the measures that it stands in. The note that some land on is the tune's, and missing from what is cut out.
@pytest.mark.parametrize("name, measures", [("fill-g-forward", 1), ("fill-g-hammers", 1), ("fill-c-scale", 1), ("tag-g-blue", 1),
                                            ("tag-g-pinch", 1), ("segue-d7-g", 1), ("ending-g-plain", 2), ("turn-g-thumb", 2)])
@pytest.mark.parametrize("at", [2, 5])
def test_a_lick_that_is_cut_out_of_a_tune_is_found(tmp_path, name, measures, at):
    tune = tmp_path / "tune.musicxml"
    put = run("fit", ROOT / "fixtures/soldiers-joy.musicxml", "--lick", path_of(name), "--at", at, "-o", tune)
    assert put.status == 0, put.err
    (tmp_path / "cut.musicxml").write_bytes(measures_cut_out(tune, at, measures))
    most, found = likest(tmp_path / "cut.musicxml")
    assert found == {name} and most > .9


def test_the_table_is_what_describe_finds():
    assert lick_table.PAGE.read_text(encoding="utf-8") == lick_table.table(), "run tests/cli/lick_table.py --write"
