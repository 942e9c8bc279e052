"""Licks that are made harder step by step: the level that the program gives them never falls, and their effort never
does. Every step asks something more of the hands than the one before; common practice of teachers. Tempo is no step: a
level is that of the notes, at one tempo for all.
"""

import sys

import pytest

import lick_table
from conftest import ROOT, run

sys.path.insert(0, str(ROOT / "fixtures"))
import make_licks  # noqa: E402

C_ROLL = "[C] 4:2T=2 2:1I=1 1:2M=3 5:0T 2:1I=1 1:2M=3 5:0T 1:2M=3"
SEVENTH = "4:0T 2:1I=1 1:0M 3:2T=2 2:1I=1 1:0M 4:4T=4 3:2I=2"
POSITION = "[G] 4:5T=2 3:4I=1 3:7T=4 2:5I=2 3:7T=4 3:5I=2 3:4T=1 4:7I=4"
DITTY = "[G] 3:0N/4 3:0N*2:0N*1:0N 5:0T 3:0N/4 3:0N*2:0N*1:0N 5:0T"

# (what is harder, how it is played, the measures): as in make_licks.py.
LADDERS = {
    "roll": [
        ("open strings, a note a beat", "G 70", "[G] 3:0T/4 2:0I/4 1:0M/4 5:0T/4"),
        ("twice as many", "G 70", "[G] 3:0T 2:0I 1:0M 5:0T 2:0I 1:0M 5:0T 1:0M"),
        ("a chord held down", "G 90", C_ROLL),
        ("with a hammer-on in it", "G 90", C_ROLL.replace("2:1I=1 1:2M=3 5:0T 1:2M=3",
                                                         "2:0I(h/16 2:1-)h=1/16 1:2M=3 5:0T 1:2M=3")),
        ("up the neck", "G 90", "[C] 4:10T=3 2:8I(h=1/16 2:9-)h=2/16 1:10M=4 5:0T 2:8I(h=1/16 2:9-)h=2/16 1:10M=4 5:0T "
                                "1:10M=4"),
        ("and back in every measure", "G 90", "[C] 4:2T=2 2:0I(h/16 2:1-)h=1/16 1:2M=3 5:0T 2:8I(h=1/16 2:9-)h=2/16 "
                                              "1:10M=4 5:0T 1:10M=4"),
    ],
    "note values": [
        ("a note a beat", "G 80", "[D7] 4:0T/4 2:1I=1/4 1:0M/4 3:2T=2/4"),
        ("eighths", "G 80", "[D7] " + SEVENTH),
        ("eighths, with a pull-off", "G 80", "[D7] " + SEVENTH.replace("T=2 2:1I=1", "T=2 2:1I(p=1/16 2:0-)p/16")),
        ("sixteenths", "G 80", "[D7] " + " ".join(f"{note}/16" for note in (SEVENTH + " " + SEVENTH).split())),
        ("sixteenths, and up the neck", "G 80", "[D7] " + " ".join(f"{note}/16" for note in (
            SEVENTH + " 3:7T=1 2:7I=1 1:10M=4 3:7T=1 2:7I=1 1:10M=4 3:7T=1 2:7I=1").split())),
    ],
    "up the neck": [
        (f"the shape at fret {fret}", "G 90", f"3:{fret + 1}T=2 2:{fret}I=1 1:{fret + 2}M=4 5:0T 2:{fret}I=1 1:{fret + 2}M=4 "
                                              f"5:0T 1:{fret + 2}M=4")
        for fret in (1, 3, 5, 7, 9, 11)
    ],
    "single string": [
        ("one position", "G 80", POSITION),
        ("on from there", "G 80", POSITION + " | 4:5T=2 3:4I=1 3:7T=4 2:5I=2 2:8T=4 2:5I=2 3:7T=4 3:4I=1"),
        ("and up to the next position", "G 80", POSITION + " | 4:5T=2 3:4I=1 3:7T=4 2:5I=2 2:8T=1 1:9I=2 1:12T=4 2:10I=3"),
        ("with a slide and a pull-off", "G 80", POSITION + " | 4:5T=2 3:4I=1 3:7T=4 2:5I(s=2/16 2:8-)s=2/16 2:8T=1 1:9I=2 "
                                                         "1:12T(p=4/16 1:9-)p=1/16 2:10I=3"),
    ],
    "clawhammer": [
        ("note, brush and thumb", "G 70", DITTY),
        ("two stopped notes", "G 70", DITTY.replace("3:0N/4", "3:2N=2/4")),
        ("hammered on", "G 70", DITTY.replace("3:0N/4", "3:0N(h 3:2-)h=2")),
        ("the thumb dropped", "G 70", "[G] 3:0N(h 3:2-)h=2 1:0N 2:0T 3:0N(h 3:2-)h=2 1:0N 5:0T"),
        ("slides to the fifth fret", "G 70", "[G] 1:2N(s=2 1:5-)s=2 1:0N 2:0T 1:2N(s=2 1:5-)s=2 1:0N 5:0T"),
        ("and up the neck", "G 70", "[G] 1:5N(s=2 1:9-)s=2 1:0N 2:0T 1:9N(s=2 1:12-)s=2 1:0N 5:0T"),
    ],
}


def written(path, title, play, tab):
    setting, tempo = make_licks.read_setting(play)
    measures = [make_licks.measure_xml(text, setting) for text in tab.split("|")]
    path.write_text(make_licks.lick_document(title, measures, False, setting, tempo), encoding="utf-8")
    return path


@pytest.mark.parametrize("family", LADDERS)
def test_what_is_harder_is_of_no_lower_level(family, tmp_path):
    """And the last step is of a higher level than the first."""
    steps = LADDERS[family]
    paths = [written(tmp_path / f"{number}.musicxml", title, play, tab)
             for number, (title, play, tab) in enumerate(steps)]
    sound = run("check", *paths, "--skip", "teaching")
    assert sound.status == 0, sound.out
    found = [(title, one["lick"]["difficulty"]["level"], one["lick"]["difficulty"]["effort"])
             for (title, _, _), one in zip(steps, lick_table.described(paths).values(), strict=True)]
    for (_, level, effort), (title, next_level, next_effort) in zip(found, found[1:]):
        assert next_level >= level and next_effort >= effort, (title, found)
    assert found[-1][1] > found[0][1], found
