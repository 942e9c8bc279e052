"""Nothing in a measure of MusicXML is lost in silence, values of numbers and texts among them: two files that differ in
one value give two outputs, or else two reports.

The files are those of every_element and support_matrix_music, each with other values in place of the one that means
something there; those that the published MusicXML 4.0 schema forbids are left to `check`.
"""

import functools
import re

import every_element
import pytest
import schema
import support_matrix_judge
import support_matrix_music
import support_matrix_table

NUMBERS = ["-13", "-7", "-2", "-1", "-0.5", "0", "0.5", "1", "1.5", "2", "3", "4", "5", "6", "7", "9", "12", "13", "19", "22", "25", "40",
           "99", "120", "1000"]
OFFSETS = ["-1", "0", "1", "2", "3", "12", "20"]  # to where the next note begins
FINGERS = ["0", "1", "2", "3", "4", "5", "T", "p", "2-3", "1 2"]
PICKING = ["T", "p", "I", "M", "R", "a", "L", "c", "x", "TI", "2"]

# By the path of the element in a measure: what is put there.
VALUES = {
    "attributes/staff-details/capo": NUMBERS,
    "attributes/staff-details/staff-tuning/tuning-alter": NUMBERS,
    "attributes/staff-details/staff-tuning/tuning-octave": NUMBERS,
    "attributes/key/fifths": NUMBERS,
    "attributes/time/beats": [*NUMBERS, "3+2", "2+3", "1+1+1"],
    "attributes/time/beat-type": NUMBERS,
    "attributes/transpose/chromatic": NUMBERS,
    "attributes/transpose/octave-change": NUMBERS,
    "note/pitch/alter": NUMBERS,
    "note/pitch/octave": NUMBERS,
    "note/duration": NUMBERS,
    "note/notations/technical/bend/bend-alter": NUMBERS,
    "note/notations/technical/fingering": FINGERS,
    "note/notations/technical/fret": NUMBERS,
    "note/notations/technical/pluck": PICKING,
    "note/notations/technical/string": NUMBERS,
    "note/play/other-play": ["melody", "fill", "drone", "lick", "kick-off", "backup", "Melody", "harmony"],
    "note/play/other-play@type": ["fifthpeg-role", "vibrato", "Fifthpeg-role"],
    "note/time-modification/actual-notes": NUMBERS,
    "note/time-modification/normal-notes": NUMBERS,
    "harmony/degree/degree-alter": NUMBERS,
    "harmony/degree/degree-value": NUMBERS,
    "harmony/bass/bass-alter": NUMBERS,
    "harmony/root/root-alter": NUMBERS,
    "harmony/offset": OFFSETS,
    "direction/offset": OFFSETS,
    "direction/direction-type/metronome/per-minute": [*NUMBERS, "90", "c. 90", "90-96", "fast"],
    "direction/direction-type/rehearsal": ["A", "a", "A1"],
    "direction/direction-type/words": ["A", "a", "A1"],
    "note/lyric/text": ["la", "La", "l'a"],
    "sound/swing/first": NUMBERS,
    "sound/swing/second": NUMBERS,
    "barline/repeat@times": NUMBERS,
    "barline/ending@number": [*NUMBERS, "1,2", "1, 2", "2,1", "1,1"],
    "sound@tempo": NUMBERS,
    "direction/sound@tempo": NUMBERS,
}

# Values that mean the same: why.
SAME = {
    ("note/notations/technical/pluck", frozenset({"T", "p"})): "both are the thumb",
    ("note/notations/technical/pluck", frozenset({"R", "a"})): "both are the ring finger",
    ("note/notations/technical/pluck", frozenset({"L", "c"})): "both are the little finger",
    ("barline/ending@number", frozenset({"1,2", "1, 2"})): "blanks only",
    ("attributes/transpose/octave-change", frozenset({"-1", "-2"})): "two octaves down is too low, and played in the next",
}


@functools.cache
def examples():
    """By name; of the same name the first."""
    found = {}
    for one in every_element.generate(schema.locate()):
        if one.kind in ("element", "attribute"):
            found.setdefault(one.name, one)
    return found


def example_of(path):
    return examples()[f"score-partwise/part/measure/{path}"]


def variants(path):
    """(value, document) for each value that the schema lets stand there."""
    example = example_of(path)
    steps, _, attribute = path.partition("@")
    last = steps.split("/")[-1]
    table, name = ((support_matrix_music.ATTRIBUTES, f"{last}@{attribute}") if attribute
                   else (support_matrix_music.TEXTS, "/".join(steps.split("/")[-2:])))
    for value in VALUES[path]:
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(table, name, value)
            document = support_matrix_music.place(example).xml
        if schema.errors(document) == []:
            yield value, document


@pytest.mark.parametrize("path", VALUES)
def test_each_value_is_kept_or_told(path, tmp_path):
    documents = dict(variants(path))
    assert len(documents) > 1
    usual, *results = support_matrix_judge.convert_all(
        tmp_path, [support_matrix_music.place(example_of(path)).xml, *documents.values()])
    assert usual["status"] == 0
    silent = {}
    for value, result in zip(documents, results):
        if result["status"] == 0 and not support_matrix_judge.told_more(result, usual):
            silent.setdefault(frozenset(result["facts"].items()), set()).add(value)
    alike = {frozenset(values) for values in silent.values() if len(values) > 1}
    assert alike == {values for place, values in SAME if place == path}
