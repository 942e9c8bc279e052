"""Facts that stand in every handbook, held against what the program writes and says."""
import re
from fractions import Fraction
from pathlib import Path

import mido
import music21
import pretty_midi
import program
import pytest
import schema
import tab

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


def write_midi(path, pitches, key="C", program_number=105, channel=0):
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    track.append(mido.MetaMessage("key_signature", key=key))
    track.append(mido.Message("program_change", program=program_number, channel=channel))
    for pitch in pitches:
        track.append(mido.Message("note_on", note=pitch, velocity=80, channel=channel))
        track.append(mido.Message("note_off", note=pitch, time=480, channel=channel))
    file.save(path)
    return path


def letters(text):
    return re.sub("[^a-z0-9]", "", text.lower())


def test_general_midi_numbers(tmp_path):
    """The names of the 128 programs of General MIDI level 1, as pretty_midi lists them."""
    wrong = {}
    for number in range(128):
        told = program.describe(write_midi(tmp_path / "one.mid", [60], program_number=number))
        part = next(part for part in told["file"]["parts"] if part["notes"])
        assert part["program"] == number + 1
        name = pretty_midi.program_to_instrument_name(number)
        if letters(part["instrument"]) != letters(name):
            wrong[number + 1] = part["instrument"], name
    assert wrong == {}


def test_channel_10_is_percussion(tmp_path):
    told = program.describe(write_midi(tmp_path / "drums.mid", [38, 42], channel=9))
    assert [part["percussion"] for part in told["file"]["parts"] if part["notes"]] == [True]


def test_a_banjo_is_written_as_a_banjo(tmp_path):
    program.convert(FIXTURES / "soldiers-joy.mid", midi := tmp_path / "out.mid")
    programs = [message.program for track in mido.MidiFile(midi).tracks for message in track
                if message.type == "program_change"]
    assert set(programs) == {music21.instrument.Banjo().midiProgram} == {105}
    program.convert(FIXTURES / "soldiers-joy.mid", xml := tmp_path / "out.musicxml")
    root = schema.parse(xml.read_bytes())
    assert root.findtext(".//midi-program") == "106"
    assert root.findtext(".//instrument-sound") == "pluck.banjo"


# Strings 5 4 3 2 1 (common practice).
TUNINGS = {"open-g": "g4 D3 G3 B3 D4", "gCGCD": "g4 C3 G3 C4 D4", "gCGBD": "g4 C3 G3 B3 D4",
           "gDGCD": "g4 D3 G3 C4 D4", "f#DF#AD": "f#4 D3 F#3 A3 D4", "aDF#AD": "a4 D3 F#3 A3 D4"}


@pytest.mark.parametrize("tuning", TUNINGS)
def test_tunings(tuning, tmp_path):
    source = write_midi(tmp_path / "in.mid", [62, 64, 66, 67])
    program.convert(source, target := tmp_path / "out.musicxml", "--tuning", tuning)
    written = tab.Tab(target.read_bytes())
    assert written.flaws == []
    strings = dict(zip((5, 4, 3, 2, 1), TUNINGS[tuning].split()))
    assert written.tuning == {string: int(music21.pitch.Pitch(name[0].upper() + name[1:]).ps)
                              for string, name in strings.items()}


def test_written_an_octave_up_on_five_lines(tmp_path):
    source = write_midi(tmp_path / "in.mid", [50, 55, 59, 62, 67], "G")
    program.convert(source, target := tmp_path / "out.musicxml")
    written = tab.Tab(target.read_bytes())
    assert written.spelled == [("D", 0, 4), ("G", 0, 4), ("B", 0, 4), ("D", 0, 5), ("G", 0, 5)]
    assert written.transpose == -12
    root = schema.parse(target.read_bytes())
    clefs = {clef.get("number"): (clef.findtext("sign"), clef.findtext("line")) for clef in root.iter("clef")}
    assert clefs["1"] == ("G", "2")
    assert clefs["2"][0] == "TAB"
    assert [lines.text for lines in root.iter("staff-lines")] == ["5"]


KEYS = [music21.key.KeySignature(sharps).asKey(mode) for mode in ("major", "minor") for sharps in range(-7, 8)]


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.name)
def test_scales_are_spelled_as_in_the_book(key, tmp_path):
    """A MIDI scale with its key signature comes out in the letters and accidentals that music21 gives it."""
    tonic = music21.pitch.Pitch(key.tonic.name)
    tonic.octave = 4 if tonic.ps < 60 + 6 else 3
    scale = key.getScale(key.mode)
    pitches = scale.getPitches(tonic, tonic.transpose(music21.interval.Interval("P8")))
    assert len(pitches) == 8
    name = key.tonic.name.replace("-", "b") + ("m" if key.mode == "minor" else "")
    source = write_midi(tmp_path / "scale.mid", [int(pitch.ps) for pitch in pitches], name)
    outcome = program.convert(source, target := tmp_path / "out.musicxml", "--transpose", "0")
    assert outcome.octaves == 0
    written = tab.Tab(target.read_bytes())
    assert written.fifths[0] == (0, key.sharps)
    assert written.spelled == [(pitch.step, int(pitch.alter), pitch.octave + 1) for pitch in pitches]


def test_a_key_is_found_where_the_file_has_none(tmp_path):
    """The scale of G, its tonic longest: music21's Krumhansl-Schmuckler analysis says the same."""
    file = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    file.tracks.append(track)
    pitches = [55, 59, 62, 67, 66, 64, 62, 60, 59, 57, 55]
    for index, pitch in enumerate(pitches):
        track.append(mido.Message("note_on", note=pitch, velocity=80))
        track.append(mido.Message("note_off", note=pitch, time=960 if pitch == 55 else 480))
    file.save(source := tmp_path / "in.mid")
    told = program.describe(source)
    stream = music21.converter.parse(source, forceSource=True)
    found = stream.analyze("key.krumhanslschmuckler")
    assert told["music"]["key_estimated"] is True
    assert told["music"]["keys"][0]["key"] == f"{found.tonic.name} {found.mode}" == "G major"
