"""--at and --positions: notes that are to be where somebody says."""
import xml.etree.ElementTree as ET

import material
import pytest


@pytest.fixture
def tune(tmp_path):
    path = tmp_path / "tune.mid"
    path.write_bytes(material.midi(material.voice("Banjo", material.line([55, 59, 62, 55]))))
    return path


def places(fifthpeg, tmp_path, tune, *options):
    result = fifthpeg("convert", tune, "-o", "out.musicxml", "--force", "--transpose", "0", *options)
    assert result.status == 0, result.err
    return material.frets(ET.parse(tmp_path / "out.musicxml").getroot())


def test_a_string_is_fixed(fifthpeg, tmp_path, tune):
    assert places(fifthpeg, tmp_path, tune)[1] == (2, 0)
    assert places(fifthpeg, tmp_path, tune, "--at", "1:2 string 4")[1] == (4, 9)
    assert places(fifthpeg, tmp_path, tune, "--at", "1:2 fret 4")[1] == (3, 4)


def test_beats_are_written_as_reports_write_them(fifthpeg, tmp_path):
    path = tmp_path / "eighths.mid"
    path.write_bytes(material.midi(material.voice("Banjo", [(at / 2, 1 / 2, 55 + at) for at in range(4)])))
    for beat in ("1 1/2", "1.5", "3/2"):
        assert places(fifthpeg, tmp_path, path, "--at", f"1:{beat} string 4")[1][0] == 4, beat
    path.write_bytes(material.midi(material.voice("Banjo", [(at / 3, 1 / 3, 55 + at) for at in range(6)])))
    told = fifthpeg("show", path, "--transpose", "0", "--at", "1:1.5 string 4").err
    assert "one is at beat 1, beat 1 1/3, beat 1 2/3, beat 2," in told
    assert places(fifthpeg, tmp_path, path, "--at", "1:1 1/3 string 4")[1][0] == 4


def test_several_points_and_a_file(fifthpeg, tmp_path, tune):
    points = tmp_path / "points.txt"
    points.write_text("# where my class plays it\n1:2 string 4\n\n  1:3 string 2   # the D\n")
    assert places(fifthpeg, tmp_path, tune, "--positions", points)[1:3] == [(4, 9), (2, 3)]
    # What the command line says is the stronger.
    assert places(fifthpeg, tmp_path, tune, "--positions", points, "--at", "1:2 string 3")[1:3] == [(3, 4), (2, 3)]
    assert places(fifthpeg, tmp_path, tune, "--at", "1:2 string 4", "--at", "1:3 string 2")[1:3] == [(4, 9), (2, 3)]


@pytest.mark.parametrize("point, said", [
    ("", "begin with the measure and the beat"), (":1 string 2", "begin with the measure and the beat"),
    ("1:2", "say what is fixed"), ("1:2 string", "'string' needs a value"), ("1:2 string 6", "a string is 1 to 5"),
    ("1:2 finger X", "a finger is 1 to 4 or T"), ("1:2 pick P", "a picking finger is T, I, M, R, L or N"),
    ("1:2 fret -1", "a fret is a number"), ("1:2 hand left", "instead of 'hand'")])
def test_what_is_no_point_is_wrong_usage(fifthpeg, tune, point, said):
    result = fifthpeg("show", tune, "--at", point)
    assert result.status == 2 and said in result.err


def test_the_line_of_a_file_is_named(fifthpeg, tmp_path, tune):
    points = tmp_path / "points.txt"
    points.write_text("1:2 string 4\n1:3 strings 2\n")
    result = fifthpeg("show", tune, "--positions", points)
    assert result.status == 2 and "line 2" in result.err
    missing = fifthpeg("show", tune, "--positions", "none.txt")
    assert missing.status == 3 and "none.txt" in missing.err


def test_a_note_that_is_not_there(fifthpeg, tune):
    result = fifthpeg("show", tune, "--at", "7:1 string 2")
    assert result.status == 1 and "measure 7, beat 1: there is no such measure; the last one is 1" in result.err


def test_a_pickup_has_the_beats_that_the_tab_prints(fifthpeg, tmp_path):
    path = tmp_path / "pickup.mid"
    path.write_bytes(material.midi(material.voice("Banjo", [(3, 1 / 2, 59), (3.5, 1 / 2, 60)] +
                                                  [(at, 1, 62) for at in range(4, 8)])))
    assert places(fifthpeg, tmp_path, path, "--at", "0:4 1/2 string 3")[1] == (3, 5)
    result = fifthpeg("show", path, "--at", "0:1 string 3")
    assert "no note is struck here; one is at beat 4 or beat 4.5" in result.err
