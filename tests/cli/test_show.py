"""`show`: tab in the terminal."""

import fcntl
import os
import pty
import re
import struct
import subprocess
import termios

import pytest

import material
from conftest import PROGRAM, names


def string_lines(text):
    """The lines that are strings: runs of five, mostly hyphens."""
    return [line for line in text.splitlines() if line.count("-") > len(line) / 3 and "|" in line]


def test_tab(fifthpeg, reel):
    result = fifthpeg("show", reel)
    assert result.status == 0
    text = result.out.decode("ascii")
    assert "Library Reel" in text
    assert "gDGBD" in text
    lines = string_lines(text)
    assert lines and len(lines) % 5 == 0


def test_frets_stand_on_their_strings(fifthpeg, lick):
    """String 1 on top: the lick is the drone, fret 17 of string 4, string 2 open, fret 7 of the drone."""
    lines = string_lines(fifthpeg("show", lick).out.decode())
    assert len(lines) == 5
    numbers = [re.findall(r"(?<![A-Za-z#])\d+", line) for line in lines]
    assert numbers == [[], ["0"], [], ["17"], ["0", "7"]]


def test_standard_input(fifthpeg, reel):
    assert fifthpeg("show", "-", input=reel.read_bytes()).out == fifthpeg("show", reel).out


@pytest.mark.parametrize("width", [40, 72, 132])
def test_width(fifthpeg, tmp_path, width):
    (tmp_path / "long.mid").write_bytes(material.long_reel(24))
    lines = fifthpeg("show", "long.mid", "--width", width).out.decode().splitlines()
    assert width / 2 < max(map(len, lines)) <= width


def test_width_is_80_where_there_is_no_terminal(fifthpeg, tmp_path):
    (tmp_path / "long.mid").write_bytes(material.long_reel(24))
    assert fifthpeg("show", "long.mid").out == fifthpeg("show", "long.mid", "--width", "80").out


def on_terminal(tmp_path, columns, *options, **environment):
    """What `show` prints of a long reel on a terminal of so many columns."""
    (tmp_path / "long.mid").write_bytes(material.long_reel(24))
    controller, terminal = pty.openpty()
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    environ = {name: value for name, value in os.environ.items() if name != "COLUMNS"} | environment
    process = subprocess.Popen([PROGRAM, "show", "long.mid", *options], cwd=tmp_path, stdin=subprocess.DEVNULL,
                               stdout=terminal, stderr=subprocess.DEVNULL, env=environ)
    os.close(terminal)
    seen = b""
    try:
        while piece := os.read(controller, 65536):
            seen += piece
    except OSError:  # the other end is closed
        pass
    os.close(controller)
    assert process.wait(timeout=60) == 0
    return seen.replace(b"\r\n", b"\n")


@pytest.mark.parametrize("columns, as_if", [(60, 60), (120, 120), (20, 40), (0, 80)])
def test_width_of_the_terminal(fifthpeg, tmp_path, columns, as_if):
    seen = on_terminal(tmp_path, columns)
    assert seen == fifthpeg("show", "long.mid", "--width", as_if).out


@pytest.mark.parametrize("asked, as_if", [
    ("100", 100), ("20", 40), ("99999999", 10_000), ("", 60), ("0", 60), ("-100", 60), ("100x", 60), ("9" * 30, 60)])
def test_columns_overrules_the_terminal(fifthpeg, tmp_path, asked, as_if):
    seen = on_terminal(tmp_path, 60, COLUMNS=asked)
    assert seen == fifthpeg("show", "long.mid", "--width", as_if).out


def test_width_overrules_columns(fifthpeg, tmp_path):
    seen = on_terminal(tmp_path, 60, "--width", "72", COLUMNS="100")
    assert seen == fifthpeg("show", "long.mid", "--width", "72").out


def test_columns_says_nothing_where_there_is_no_terminal(fifthpeg, tmp_path, reel):
    assert fifthpeg("show", reel, env={"COLUMNS": "50"}).out == fifthpeg("show", reel, "--width", "80").out


def test_fingers(fifthpeg, tmp_path):
    note = material.xml_note("A", 3, string=3, fret=2).replace("<technical>", "<technical><fingering>2</fingering>")
    (tmp_path / "in.musicxml").write_bytes(material.xml_score(note * 4))
    plain = fifthpeg("show", "in.musicxml").out.decode().splitlines()
    fingers = fifthpeg("show", "in.musicxml", "--fingers").out.decode().splitlines()
    added = [line for line in fingers if line not in plain]
    assert len(fingers) > len(plain)
    assert any(re.findall(r"\d", line) == ["2"] * 4 for line in added)


def test_options_of_the_banjo_and_the_hands(fifthpeg, reel):
    capo = fifthpeg("show", reel, "--capo", "2", "--transpose", "2").out.decode()
    plain = fifthpeg("show", reel).out.decode()
    assert string_lines(capo) and string_lines(plain)
    assert re.search(r"capo\D*2", capo, re.IGNORECASE)
    double_c = fifthpeg("show", reel, "--tuning", "double-c").out.decode()
    assert "gCGCD" in double_c and string_lines(double_c) != string_lines(plain)


def test_a_capo_moves_shapes_along(fifthpeg, tmp_path):
    """A whole tone up with a capo two frets up: the same frets, where the tune stays low on the neck."""
    (tmp_path / "low.mid").write_bytes(material.midi(material.voice("Lead", material.line([55, 57, 59, 60] * 2))))
    capo = fifthpeg("show", "low.mid", "--capo", "2", "--transpose", "2").out.decode()
    assert string_lines(capo) == string_lines(fifthpeg("show", "low.mid").out.decode())


def test_refinger(fifthpeg, lick):
    assert "17" in "".join(string_lines(fifthpeg("show", lick).out.decode()))
    assert "17" not in "".join(string_lines(fifthpeg("show", lick, "--refinger", "all").out.decode()))


def test_not_playable(fifthpeg, tmp_path):
    chord = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(material.midi(material.voice("Banjo", chord)))
    result = fifthpeg("show", "chord.mid")
    assert result.status == 1 and result.out == b"" and len(result.errors) == 1
    assert fifthpeg("show", "chord.mid", "--thin").status == 0


def test_quiet(fifthpeg, tmp_path):
    low = [pitch - 24 for pitch in material.REEL]
    (tmp_path / "low.mid").write_bytes(material.midi(material.voice("Banjo", material.line(low))))
    spoken = fifthpeg("show", "low.mid")
    quiet = fifthpeg("show", "low.mid", "--quiet")
    assert "octave" in spoken.err and quiet.err == ""
    assert spoken.out == quiet.out


def test_writes_no_file(fifthpeg, tmp_path, reel):
    assert fifthpeg("show", reel).status == 0
    assert names(tmp_path) == ["reel.mid"]
