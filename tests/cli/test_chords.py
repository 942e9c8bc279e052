"""--chords infer: chord symbols for a file that has none."""
import xml.etree.ElementTree as ET

import material
import pytest

TUNE = [55, 59, 62, 59, 60, 64, 60, 64, 62, 66, 69, 66, 55, 59, 55, 55]  # G, C, D, G: a measure each


@pytest.fixture
def tune(tmp_path):
    path = tmp_path / "tune.mid"
    path.write_bytes(material.midi(material.voice("Banjo", material.line(TUNE))))
    return path


def symbols(path):
    return [(harmony.findtext("root/root-step"), harmony.findtext("kind")) for harmony in ET.parse(path).iter("harmony")]


def test_inferred_chords_are_written_and_told(fifthpeg, tmp_path, tune):
    result = fifthpeg("convert", tune, "-o", "out.musicxml", "--chords", "infer")
    assert result.status == 0
    assert result.err.count("the chord symbols were inferred from the notes, in G major") == 1
    assert symbols(tmp_path / "out.musicxml") == [("G", "major"), ("C", "major"), ("D", "major"), ("G", "major")]


@pytest.mark.parametrize("options", [[], ["--chords", "given"]])
def test_none_are_written_unasked(fifthpeg, tmp_path, tune, options):
    result = fifthpeg("convert", tune, "-o", "out.musicxml", *options)
    assert result.status == 0 and "chord" not in result.err
    assert symbols(tmp_path / "out.musicxml") == []


def test_they_move_with_the_piece(fifthpeg, tmp_path, tune):
    assert fifthpeg("convert", tune, "-o", "out.musicxml", "--chords", "infer", "--transpose", "2").status == 0
    assert [root for root, _ in symbols(tmp_path / "out.musicxml")] == ["A", "D", "E", "A"]


def test_the_chords_of_a_file_are_kept(fifthpeg, tmp_path, tune):
    assert fifthpeg("convert", tune, "-o", "first.musicxml", "--chords", "infer").status == 0
    text = (tmp_path / "first.musicxml").read_text().replace("<root-step>C<", "<root-step>F<")
    (tmp_path / "changed.musicxml").write_text(text)
    result = fifthpeg("convert", "changed.musicxml", "-o", "out.musicxml", "--chords", "infer", "--strict")
    assert result.status == 0
    assert "the chord symbols of the file were kept, and none inferred" in result.err
    assert [root for root, _ in symbols(tmp_path / "out.musicxml")] == ["G", "F", "D", "G"]


def test_show_prints_them(fifthpeg, tune):
    result = fifthpeg("show", tune, "--chords", "infer", "--width", "200")
    chords = next(line for line in result.out.decode().splitlines() if line.strip().startswith("G "))
    assert chords.split() == ["G", "C", "D", "G"]
    assert "inferred" in result.err


def test_another_word_is_wrong_usage(fifthpeg, tune):
    result = fifthpeg("show", tune, "--chords", "guess")
    assert result.status == 2 and "choose given or infer" in result.err
