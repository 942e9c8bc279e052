"""Text tab as input: what show prints, what people mail, and what cannot be read."""

import json
import pathlib

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[2]
FIXTURES = ROOT / "fixtures"
MAILED = FIXTURES / "mailed-lick.txt"

EMPTY = "-----------------"


def tab(third):
    """A measure with a text for the third string."""
    lines = [f"{name}|{third if name == 'G' else EMPTY}|" for name in "dBGDg"]
    return "\n".join(["Tuning: gDGBD", "Key: G", "Meter: 4/4", "", *lines]) + "\n"


@pytest.mark.parametrize("name", ["lick-slide.musicxml", "lick-choke.musicxml", "soldiers-joy.mid",
                                  "irish-washerwoman.mid", "soldiers-joy.musicxml"])
@pytest.mark.parametrize("width", ["40", "80"])
def test_what_show_prints_reads_back(fifthpeg, tmp_path, name, width):
    shown = fifthpeg("show", FIXTURES / name, "--width", width, "--fingers", "--shapes").out
    path = tmp_path / "shown.txt"
    path.write_bytes(shown)
    again = fifthpeg("show", path, "--width", width, "--fingers", "--shapes")
    assert again.out == shown and again.err == ""


def test_a_mailed_lick(fifthpeg, tmp_path):
    out = tmp_path / "mailed.musicxml"
    result = fifthpeg("convert", MAILED, "-o", out)
    assert result.status == 0
    assert "no tuning is stated; the tab is read in open G (gDGBD)" in result.err or "names of the strings" in result.err
    assert "times are read from the spacing: a column stands for 1/16 of a whole note; --unit and --meter say" in result.err
    assert "no meter is stated; the tab is read in 4/4; --meter says otherwise" in result.err
    shown = fifthpeg("show", out).out.decode()
    assert "Capo: 2" in shown
    assert "   1 & 2 & 3 & 4 &" in shown or "   1  &  2  &  3  &  4  &" in shown or "1 e & 2" in shown


def test_describe(fifthpeg):
    result = fifthpeg("describe", MAILED, "--json")
    described = json.loads(result.out)
    assert "text tab" in json.dumps(described)


def test_a_loss_is_a_loss(fifthpeg, tmp_path):
    result = fifthpeg("convert", MAILED, "-o", tmp_path / "x.musicxml", "--strict")
    assert result.status == 1 and "text that is no part of the tab was left out" in result.err


def test_unit(fifthpeg, tmp_path):
    path = tmp_path / "lick.txt"
    path.write_text(tab("-0-2-------------"))
    assert "Meter: 4/4" in fifthpeg("show", path).out.decode()
    longer = fifthpeg("show", path, "--unit", "1/8", "--meter", "8/4").out.decode()
    assert "Meter: 8/4" in longer and longer.splitlines()[-3].split() == list("12345678")


def test_what_cannot_be_read(fifthpeg, tmp_path):
    path = tmp_path / "lick.txt"
    path.write_text(tab("-0---t----0---0--"))
    out = tmp_path / "x.musicxml"
    result = fifthpeg("convert", path, "-o", out)
    assert result.status == 3 and not out.exists()
    assert "line 7, column 8: 't' is no sign of tab that is known" in result.err


def test_check(fifthpeg, tmp_path):
    path = tmp_path / "lick.txt"
    # A hammer-on that goes down; a bar that stands out of line.
    path.write_text(tab("-4h2-------------"))
    result = fifthpeg("check", path, "--json")
    report = json.loads(result.out)
    assert report["files"][0]["format"] == "text tab"
    found = {finding["rule"] for finding in report["files"][0]["findings"]}
    assert "technique-hammer-on-down" in found and "reading-assumed" in found
    path.write_text(tab("-0---t----0---0--"))
    result = fifthpeg("check", path)
    assert result.status == 3 and "line 7, column 8" in result.out.decode()


def test_a_tab_by_another_name(fifthpeg, tmp_path):
    path = tmp_path / "lick.mid"
    path.write_text(tab("-0---2----0---0--"))
    result = fifthpeg("show", path)
    assert result.status == 0 and "the name says MIDI, the content is text tab" in result.err
