"""The reader decodes MIDI messages itself. libsmf decodes the same files, and has to find the same messages: the
fiddle tunes as music21 writes them, and the MIDI files that music21 and partitura are tested with."""
import os
import subprocess
from pathlib import Path

import fiddle_tunes
import music21
import partitura

BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).resolve().parents[2] / "build")
MESSAGES = BUILD / "tests" / "midi_messages"


def differences(files):
    return subprocess.run([MESSAGES, *files], capture_output=True, text=True, timeout=300).stdout.splitlines()


def test_fiddle_tunes():
    assert differences([fiddle_tunes.files(name)[1] for name in fiddle_tunes.names()]) == []


def test_files_of_others():
    files = [path for package in (music21, partitura) for path in Path(package.__file__).parent.rglob("*.mid")]
    assert len(files) >= 10
    assert differences(files) == []


def test_a_difference_is_told(tmp_path):
    """A sound file that libsmf does not take, here one of format 2, is one."""
    note = b"\x00\x90\x3c\x40\x60\x80\x3c\x40\x00\xff\x2f\x00"
    track = b"MTrk" + len(note).to_bytes(4, "big") + note
    for midi_format, count in ((1, 0), (2, 1)):
        path = tmp_path / f"format{midi_format}.mid"
        path.write_bytes(b"MThd\x00\x00\x00\x06\x00" + bytes([midi_format]) + b"\x00\x01\x00\x60" + track)
        assert len(differences([path])) == count
