"""Values inside elements that are read: what cannot be kept is told, and --strict refuses it."""

import re

import pytest
from conftest import ROOT

LICK = (ROOT / "fixtures" / "lick-slide.musicxml").read_text()
SLID_TO = LICK.index('<slide type="stop"')


def after(marker, old, new, start=0):
    at = LICK.index(old, LICK.index(marker, start))
    return LICK[:at] + new + LICK[at + len(old):]


def without_fret_on_string(number):
    """The first string element, with another number and no fret."""
    at = LICK.index("<string>")
    end = LICK.index("</fret>", at) + len("</fret>")
    return f"{LICK[:at]}<string>{number}</string>{LICK[end:]}"


CASES = {
    "a string that no banjo has": (without_fret_on_string(6), "string 6 is left out: a banjo has strings 1 to 5"),
    "no string at all": (without_fret_on_string(0), "string 0 is left out"),
    "a picking finger where nothing is picked": (
        after("<slide type=\"stop\"", "<technical>", "<technical><pluck>I</pluck>"),
        "a picking finger is left out where nothing is picked"),
}


@pytest.mark.parametrize("case", CASES)
def test_a_value_that_is_lost_is_told(case, fifthpeg, tmp_path):
    document, told = CASES[case]
    source = tmp_path / "lick.musicxml"
    source.write_text(document)
    result = fifthpeg("convert", source, "-o", tmp_path / "out.musicxml")
    assert result.status == 0 and told in result.err
    strict = fifthpeg("convert", source, "-o", tmp_path / "strict.musicxml", "--strict")
    assert strict.status == 1 and told in strict.err
    assert not (tmp_path / "strict.musicxml").exists()


def test_a_slide_without_an_end_is_told(fifthpeg, tmp_path):
    source = tmp_path / "lick.musicxml"
    source.write_text(after("<slide", '<slide type="stop" number="1" line-type="solid"/>', ""))
    result = fifthpeg("show", source)
    assert result.status == 0
    assert "a slide, hammer-on or pull-off leads to no note: its sign is kept, and the next note is picked (measure 1, beat" \
        in result.err
    assert "leads to no note" not in fifthpeg("show", ROOT / "fixtures" / "lick-slide.musicxml").err


@pytest.mark.parametrize("length", [6, 20, 300])
def test_a_file_that_is_cut_off_is_asked_about(fifthpeg, tmp_path, length):
    source = tmp_path / "cut.mid"
    source.write_bytes((ROOT / "fixtures" / "soldiers-joy.mid").read_bytes()[:length])
    result = fifthpeg("show", source)
    assert result.status == 3 and "is it cut off?" in result.err


def test_more_notes_than_strings_are_called_that(fifthpeg, tmp_path):
    source = tmp_path / "lick.musicxml"
    at = LICK.rindex("<note><chord/>")
    note = LICK[at:LICK.index("</note>", at) + len("</note>")]
    more = "".join(note.replace("<step>D</step>", f"<step>{step}</step>") for step in "EFAC")
    source.write_text(LICK[:at] + more + LICK[at:])
    result = fifthpeg("show", source, "--refinger", "all")
    assert result.status == 1
    assert re.search(r"no hand can hold .* together: 7 notes, on five strings; thinning \(--thin\) lets inner notes go", result.err)


def test_what_thinning_writes_passes_check(fifthpeg, tmp_path):
    """Chords of seven notes, and a unison tied into the next of them."""
    source, thinned = tmp_path / "chords.musicxml", tmp_path / "thin.musicxml"

    def chord(tie, steps):
        return "".join(
            f"<note>{'<chord/>' if at else ''}<pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>4</duration>"
            f'<tie type="{tie}"/><voice>1</voice><type>whole</type><notations><tied type="{tie}"/></notations></note>'
            for at, (step, octave) in enumerate(steps))

    notes = [("D", 4), ("G", 4), ("G", 4), ("B", 4), ("C", 5), ("D", 5), ("D", 5)]
    source.write_text(
        '<score-partwise version="4.0"><work><work-title>Chords</work-title></work><part-list><score-part id="P1">'
        '<part-name>Banjo</part-name></score-part></part-list><part id="P1"><measure number="1"><attributes>'
        "<divisions>1</divisions><key><fifths>1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>"
        "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>"
        f'{chord("start", notes)}</measure><measure number="2">{chord("stop", notes)}</measure></part></score-partwise>')
    assert fifthpeg("convert", source, "-o", thinned).status == 1
    assert fifthpeg("convert", source, "-o", thinned, "--thin").status == 0
    checked = fifthpeg("check", thinned, "--min-severity", "warning", "--skip", "teaching")
    assert checked.status == 0 and "0 errors, 0 warnings" in checked.out.decode()


def test_folding_says_where_there_is_nothing_to_fold(fifthpeg):
    lick = ROOT / "fixtures" / "lick-slide.musicxml"
    assert "nothing is folded" in fifthpeg("show", lick, "--repeats", "fold").err
    assert "nothing is folded" not in fifthpeg("show", lick).err
    assert "nothing is folded" not in fifthpeg("show", ROOT / "fixtures" / "soldiers-joy.mid", "--repeats", "fold").err
