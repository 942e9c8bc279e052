"""Fiddle tunes from 1883, read and written by music21, go through the program: the melody has to arrive note
for note, and every note on a string and fret that give its pitch."""
import re

import fiddle_tunes
import music21
import program
import pytest
import schema
import seen
import tab

TUNES = fiddle_tunes.names()


@pytest.fixture(scope="module", params=TUNES)
def tune(request):
    return request.param, *fiddle_tunes.files(request.param)


def moved(notes, octaves):
    return sorted(seen.Note(note.onset, note.midi + 12 * octaves, note.length) for note in notes)


def sound(target):
    """A valid file that can be played as it is written. Returns what is in it."""
    data = target.read_bytes()
    assert schema.errors(data) == []
    result = tab.Tab(data)
    assert result.flaws == []
    assert result.played
    return result


def test_sample_covers_what_fiddlers_play():
    kinds = {fiddle_tunes.header(name, "R").lower() for name in TUNES}
    assert {"reel", "jig", "hornpipe", "strathspey"} <= kinds
    assert len({fiddle_tunes.header(name, "K") for name in TUNES}) >= 8
    assert len({fiddle_tunes.header(name, "M") for name in TUNES}) >= 5
    texts = [fiddle_tunes.abc(name) for name in TUNES]
    assert sum("(3" in text for text in texts) >= 5  # tuplets
    assert sum("|:" in text or ":|" in text for text in texts) >= 20  # repeats
    first = [tab.lengths_of(fiddle_tunes.files(name)[0].read_bytes())[:2] for name in TUNES]
    assert sum(lengths[0] < lengths[1] for lengths in first) >= 10  # pickups


def test_musicxml_to_musicxml(tune, tmp_path):
    name, source, _ = tune
    outcome = program.convert(source, target := tmp_path / "out.musicxml")
    written = sound(target)
    before, after = seen.musicxml_by_music21(source), seen.musicxml_by_music21(target)
    assert moved(before.notes, outcome.octaves) == after.notes
    assert [(onset, midi + 12 * outcome.octaves) for onset, midi in before.graces] == after.graces
    assert before.keys == after.keys
    assert before.meters == after.meters
    data = source.read_bytes()
    assert tab.lengths_of(data) == written.lengths  # pickups and split measures among them
    assert tab.repeats_of(data) == written.repeats


def test_musicxml_to_midi(tune, tmp_path):
    name, source, _ = tune
    outcome = program.convert(source, target := tmp_path / "out.mid", "--no-repeats")
    before, after = seen.musicxml_by_music21(source), seen.midi_by_mido(target)
    assert pitches(moved(before.notes, outcome.octaves), before.graces) == pitches(after.notes, before.graces)
    assert before.meters[:1] == after.meters[:1]
    assert before.keys[:1] == after.keys[:1]


def pitches(notes, graces):
    """Onset and pitch; with its length too in a tune without grace notes, which take their time in MIDI
    from a neighbour."""
    return [note if not graces else note[:2] for note in notes]


def test_midi_to_musicxml(tune, tmp_path):
    name, _, source = tune
    outcome = program.convert(source, target := tmp_path / "out.musicxml")
    sound(target)
    before, after = seen.midi_by_mido(source), seen.musicxml_by_music21(target)
    assert moved(before.notes, outcome.octaves) == after.notes
    assert before.keys == after.keys
    assert before.meters == after.meters


def test_midi_to_midi(tune, tmp_path):
    name, _, source = tune
    outcome = program.convert(source, target := tmp_path / "out.mid")
    before, after = seen.midi_by_mido(source), seen.midi_by_mido(target)
    assert moved(before.notes, outcome.octaves) == after.notes
    assert before.keys == after.keys
    assert before.meters == after.meters
    assert before.tempos == after.tempos
