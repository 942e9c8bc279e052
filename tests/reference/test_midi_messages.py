"""The channel messages of sound MIDI files, message for message as mido decodes them: the fiddle tunes as music21
writes them, and the MIDI files that music21 and partitura are tested with."""
import os
import subprocess
from pathlib import Path

import fiddle_tunes
import mido
import music21
import partitura
import pytest

BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).resolve().parents[2] / "build")
MESSAGES = BUILD / "tests" / "midi_messages"


def ours(path):
    done = subprocess.run([MESSAGES, path], capture_output=True, text=True, timeout=60)
    assert done.stderr == ""
    return [tuple(map(int, line.split())) for line in done.stdout.splitlines()]


def by_mido(path):
    found = []
    for number, track in enumerate(mido.MidiFile(path).tracks):
        tick = 0
        for message in track:
            tick += message.time
            if not message.is_meta and hasattr(message, "channel"):
                found.append((number, tick, *message.bytes()))
    return found


@pytest.mark.parametrize("name", fiddle_tunes.names())
def test_fiddle_tunes(name):
    path = fiddle_tunes.files(name)[1]
    assert ours(path) == by_mido(path) != []


def test_files_of_others():
    files = [path for package in (music21, partitura) for path in Path(package.__file__).parent.rglob("*.mid")]
    assert len(files) >= 10
    for path in files:
        assert ours(path) == by_mido(path), path


def test_a_difference_is_seen(tmp_path):
    note = b"\x00\x90\x3c\x40\x60\x80\x3c\x40\x00\xff\x2f\x00"
    seen = []
    for track in (note, note.replace(b"\x3c", b"\x3d")):
        path = tmp_path / "note.mid"
        path.write_bytes(b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk" + len(track).to_bytes(4, "big") + track)
        seen.append((ours(path), by_mido(path)))
    assert seen[0][0] == seen[0][1] == [(0, 0, 0x90, 0x3c, 0x40), (0, 96, 0x80, 0x3c, 0x40)]
    assert seen[1][0] == seen[1][1] != seen[0][0]
