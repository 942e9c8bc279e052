"""The class's collection of licks: that it is what its script makes, sound, and varied; and that the program finds in
each lick what its author wrote of it (fixtures/make_licks.py) before any program looked.
"""

import json
import subprocess
import sys
from collections import Counter

import pytest

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
