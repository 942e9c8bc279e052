"""The worked example of the Standard MIDI Files 1.0 specification (MIDI Manufacturers Association 1996, last
section): the same music as format 0, with running status, and as format 1. The bytes are written from memory;
the first test checks that they are consistent and mean what the specification's table of events says."""
import mido
import program
import pytest
import seen

FORMAT_0 = bytes.fromhex(
    "4D546864 00000006 0000 0001 0060"
    "4D54726B 0000003B"
    "00 FF5804 04021808" "00 FF5103 07A120"
    "00 C005" "00 C12E" "00 C246"
    "00 923060" "00 3C60" "60 914340" "60 904C20"
    "8140 823040" "00 3C40" "00 814340" "00 804C40"
    "00 FF2F00")
FORMAT_1 = bytes.fromhex(
    "4D546864 00000006 0001 0004 0060"
    "4D54726B 00000014" "00 FF5804 04021808" "00 FF5103 07A120" "8300 FF2F00"
    "4D54726B 00000010" "00 C005" "8140 904C20" "8140 4C00" "00 FF2F00"
    "4D54726B 0000000F" "00 C12E" "60 914340" "8220 4300" "00 FF2F00"
    "4D54726B 00000015" "00 C246" "00 923060" "00 3C60" "8300 3000" "00 3C00" "00 FF2F00")

# channel from 1, program from 1, [(onset in quarters, pitch, length in quarters)]
EXAMPLE = [(1, 6, [(2, 76, 2)]), (2, 47, [(1, 67, 3)]), (3, 71, [(0, 48, 4), (0, 60, 4)])]


@pytest.fixture(params=[FORMAT_0, FORMAT_1], ids=["format 0", "format 1"])
def example(request, tmp_path):
    path = tmp_path / "example.mid"
    path.write_bytes(request.param)
    return path


def test_bytes_are_the_example(example):
    for channel, number, notes in EXAMPLE:
        assert [tuple(note) for note in seen.midi_by_mido(example, [channel - 1]).notes] == \
               [(onset, midi, length) for onset, midi, length in notes]
        programs = [message.program + 1 for track in mido.MidiFile(example).tracks for message in track
                    if message.type == "program_change" and message.channel == channel - 1]
        assert programs == [number]
    assert seen.midi_by_mido(example) == seen.midi_by_midicsv(example)


def test_describe_tells_what_is_in_it(example):
    told = program.describe(example)
    assert told["file"]["format"] == f"MIDI format {example.read_bytes()[9]}"
    assert "96" in told["file"]["resolution"]
    parts = {part["channel"]: part for part in told["file"]["parts"] if part["notes"]}
    assert sorted(parts) == [1, 2, 3]
    for channel, number, notes in EXAMPLE:
        assert parts[channel]["program"] == number
        assert parts[channel]["notes"] == len(notes)
        pitches = [midi for _, midi, _ in notes]
        assert parts[channel]["range"]["lowest"]["midi"] == min(pitches)
        assert parts[channel]["range"]["highest"]["midi"] == max(pitches)
    assert [meter["meter"] for meter in told["music"]["meters"]] == ["4/4"]
    assert [tempo["quarters_per_minute"] for tempo in told["music"]["tempos"]] == [120]
    assert told["music"]["measures"] == 1


@pytest.mark.parametrize("channel, _, notes", EXAMPLE)
def test_each_part_converts(example, channel, _, notes, tmp_path):
    parts = program.describe(example)["file"]["parts"]
    number = next(part["number"] for part in parts if part["channel"] == channel and part["notes"])
    outcome = program.convert(example, target := tmp_path / "out.musicxml", "--part", number, "--transpose", "0" if channel != 3 else "auto")
    read = seen.musicxml_by_music21(target)
    start = notes[0][0] - read.notes[0].onset  # a rest in front may have become a pickup
    assert [tuple(note) for note in read.notes] == \
           [(onset - start, midi + 12 * outcome.octaves, length) for onset, midi, length in notes]
    assert outcome.octaves == (1 if channel == 3 else 0)  # C3 lies below the lowest string
