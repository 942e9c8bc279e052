"""`describe` of a lick: what it does, for people and for programs."""

import re

import pytest

from conftest import ROOT
from material import midi, voice, xml_note, xml_score
from test_describe import described, field

SLIDE = ROOT / "fixtures" / "lick-slide.musicxml"
CHOKE = ROOT / "fixtures" / "lick-choke.musicxml"
MAILED = ROOT / "fixtures" / "mailed-lick.txt"
LONG = ROOT / "fixtures" / "irish-washerwoman.mid"


def test_all_facts_are_there(fifthpeg, valid):
    lick = described(fifthpeg, valid, SLIDE)["lick"]
    # The demo lick: a pickup of a beat and four measures in G, with a slide, a hammer-on and a pull-off.
    assert (lick["key"], lick["fifths"], lick["from"], lick["to"]) == ("G major", 1, "G", "G")
    assert lick["chords_inferred"] is False
    assert (lick["beats"], lick["pickup"], lick["lands"], lick["capo"]) == ("16", "1", False, 0)
    assert lick["frets"] == {"lowest": 1, "highest": 4}
    assert lick["strings"] == [1, 2, 3, 4, 5]
    assert "D7 (open)" in lick["shapes"]
    assert {"slide", "hammer-on", "pull-off"} <= set(lick["techniques"])
    assert "forward" in lick["rolls"]
    assert lick["style"] == "roll"
    assert [found["use"] for found in lick["uses"]][0] == "turnaround"
    difficulty = lick["difficulty"]
    assert 1 <= difficulty["level"] <= 5 and difficulty["effort"] > 0 and difficulty["reasons"]
    assert difficulty["ladder"] == sorted(set(difficulty["ladder"]))
    assert (difficulty["ladder"][0], difficulty["ladder"][-1]) == (difficulty["start"], difficulty["goal"])


def test_in_words(fifthpeg):
    result = fifthpeg("describe", SLIDE)
    assert result.status == 0
    text = result.out.decode()
    assert "\n\n  as a lick\n" in text
    assert field(text, "for").startswith("turnaround: it goes from the tonic over the dominant")
    assert field(text, "leads from") == "G to G, in G major"
    assert field(text, "lasts") == "16 beats, of which 1 is before the barline"
    assert field(text, "plays") == "strings 1, 2, 3, 4, 5, frets 1 to 4"
    assert re.fullmatch(r"level [1-5] of 5: .*strokes a second at 100 beats a minute.*", field(text, "difficulty"))
    start, goal, ladder = re.fullmatch(r"(\d+) beats a minute, aim for (\d+): (\d+(?:, \d+)*)",
                                       field(text, "start at")).groups()
    assert ladder.startswith(f"{start}, ") and ladder.endswith(f", {goal}")


@pytest.mark.parametrize("before, after, said", [
    # A note that a lick lands on does not count.
    (2, 1, "2 beats, all before the barline, then lands on the next measure"),
    (1, 1, "1 beat, before the barline, then lands on the next measure"),
    (2, 2, "4 beats, of which 2 are before the barline"),
    (1, 3, "4 beats, of which 1 is before the barline"),
])
def test_before_the_barline(fifthpeg, tmp_path, before, after, said):
    note = xml_note("G", 3, string=3, fret=0)
    rest = f"<note><rest/><duration>{4 - after}</duration></note>"
    document = xml_score(note * before, note * after + rest).replace(b'<measure number="1"', b'<measure number="0" implicit="yes"', 1)
    (tmp_path / "in.musicxml").write_bytes(document)
    assert field(fifthpeg("describe", "in.musicxml").out.decode(), "lasts") == said


def test_its_own_tempo(fifthpeg, tmp_path):
    note = xml_note("G", 3, string=3, fret=0)
    (tmp_path / "in.musicxml").write_bytes(xml_score(note * 4))
    assert b"its own tempo" not in fifthpeg("describe", "in.musicxml").out
    assert fifthpeg("convert", "in.musicxml", "-o", "out.musicxml", "--tempo", "87").status == 0
    assert b"\n              its own tempo is 87 beats a minute\n" in fifthpeg("describe", "out.musicxml").out


def test_a_key_that_is_estimated_is_one_key(fifthpeg):
    """G, C and D7 held with the capo at the second fret are in A."""
    text = fifthpeg("describe", MAILED).out.decode()
    assert field(text, "key") == "A major (estimated: the file gives none)"
    assert field(text, "leads from") == "A to A, in A major"


def test_a_capo_moves_key_and_chords_alone(fifthpeg, valid):
    plain = described(fifthpeg, valid, SLIDE)["lick"]
    moved = described(fifthpeg, valid, SLIDE, "--capo", "2")["lick"]
    assert (moved["key"], moved["from"], moved["to"], moved["capo"]) == ("A major", "A", "A", 2)
    as_they_sound = {"key", "fifths", "from", "to", "capo", "shapes"}
    assert {name: value for name, value in moved.items() if name not in as_they_sound} == \
           {name: value for name, value in plain.items() if name not in as_they_sound}


def test_chords_are_found(fifthpeg, valid, tmp_path):
    measure = "".join(xml_note(*pitch) for pitch in (("G", 3), ("B", 3), ("D", 4), ("G", 4)))
    (tmp_path / "in.musicxml").write_bytes(xml_score(measure, measure))
    lick = described(fifthpeg, valid, "in.musicxml")["lick"]
    assert lick["chords_inferred"] and (lick["from"], lick["to"]) == ("G", "G")
    assert field(fifthpeg("describe", "in.musicxml").out.decode(), "leads from") == \
        "G to G (found in its notes), in G major"


def test_a_tune_is_no_lick(fifthpeg, valid):
    document = described(fifthpeg, valid, LONG)
    assert document["lick"] is None and document["no_lick"] == ""
    assert "as a lick" not in fifthpeg("describe", LONG).out.decode()


@pytest.mark.parametrize("measures, is_lick", [(16, True), (17, False)])
def test_up_to_sixteen_measures(fifthpeg, valid, tmp_path, measures, is_lick):
    one = xml_note("G", 3, string=3, fret=0) * 4
    (tmp_path / "in.musicxml").write_bytes(xml_score(*[one] * measures))
    assert (described(fifthpeg, valid, "in.musicxml")["lick"] is not None) == is_lick


def test_silence_is_no_lick(fifthpeg, valid, tmp_path):
    (tmp_path / "in.musicxml").write_bytes(xml_score('<note><rest measure="yes"/><duration>4</duration></note>'))
    document = described(fifthpeg, valid, "in.musicxml")
    assert document["lick"] is None and document["no_lick"] == ""


def test_percussion_has_no_hands(fifthpeg, valid, tmp_path):
    beats = [(at, 0.5, 38) for at in range(8)]
    (tmp_path / "in.mid").write_bytes(midi(voice("Drums", beats, channel=10, program=1)))
    document = described(fifthpeg, valid, "in.mid", "--part", "Drums")
    assert document["lick"] is None and "percussion" in document["no_lick"]
    text = fifthpeg("describe", "in.mid", "--part", "Drums").out.decode()
    assert "percussion has no strings" in field(text, "as a lick")


def test_what_no_hand_plays_is_described_all_the_same(fifthpeg, valid, tmp_path):
    # D and the E above it are both on the fourth string alone; a third note has its place, so that nothing moves.
    both = xml_note("D", 3) + xml_note("E", 3).replace("<note>", "<note><chord/>")
    (tmp_path / "in.musicxml").write_bytes(xml_score(both + xml_note("G", 3, string=3, fret=0) * 3))
    document = described(fifthpeg, valid, "in.musicxml")
    assert document["lick"] is None
    assert "nothing to say of hands" in document["no_lick"] and "measure 1" in document["no_lick"]
    assert document["music"]["notes"] == 5
    assert fifthpeg("describe", "in.musicxml").status == 0


def test_a_great_stretch_has_its_caution(fifthpeg, valid, tmp_path):
    # Frets 1 and 5 lie 130 mm apart on the usual scale.
    grip = xml_note("D", 3, string=4, fret=1, alter=1)
    high = xml_note("G", 4, string=1, fret=5).replace("<note>", "<note><chord/>")
    (tmp_path / "in.musicxml").write_bytes(xml_score((grip + high) * 4))
    difficulty = described(fifthpeg, valid, "in.musicxml")["lick"]["difficulty"]
    assert "130 mm" in difficulty["caution"] and "teacher" in difficulty["caution"]
    assert any("a stretch of 130 mm" in reason for reason in difficulty["reasons"])
    assert "130 mm" in field(fifthpeg("describe", "in.musicxml").out.decode(), "caution")


def test_a_folder_of_licks(fifthpeg, valid):
    result = fifthpeg("describe", SLIDE, CHOKE, MAILED, "--json", "--quiet")
    assert result.status == 0
    for one in valid(result.out, "files")["files"]:
        assert one["lick"]["uses"], one["input"]
