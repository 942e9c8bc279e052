"""What is said when options and file pull in different directions, and what follows from it."""

import re

from conftest import ROOT
from material import midi, voice, xml_note, xml_score

FIXTURES = ROOT / "fixtures"
LICK = FIXTURES / "lick-slide.musicxml"


def tab(result):
    return [line for line in result.out.decode().splitlines() if re.match(r"[dBGDg]\|", line)]


def test_a_capo_on_a_finished_tab_keeps_the_tab(fifthpeg):
    result = fifthpeg("show", LICK, "--capo", "2")
    assert result.status == 0
    assert tab(result) == tab(fifthpeg("show", LICK))
    said, = (line for line in result.err.splitlines() if "the tab stays as it is and sounds 2 half steps higher" in line)
    assert "--keep-pitches" in said


def test_keep_pitches_changes_the_tab(fifthpeg):
    kept = fifthpeg("show", LICK, "--capo", "2", "--keep-pitches")
    assert kept.status == 0
    assert "placed anew" in kept.err and "sounds 2 half steps" not in kept.err
    assert tab(kept) != tab(fifthpeg("show", LICK))


def test_a_capo_keeps_the_pitches_of_what_has_no_tab(fifthpeg):
    tune = FIXTURES / "soldiers-joy.mid"
    result = fifthpeg("convert", tune, "--capo", "2", "--transpose", "0", "-o", "-", "--to", "mid")
    plain = fifthpeg("convert", tune, "--transpose", "0", "-o", "-", "--to", "mid")
    assert result.status == plain.status == 0
    assert "higher with the strings" not in fifthpeg("show", tune, "--capo", "2").err


def test_a_capo_with_its_transposition_keeps_every_place_and_finger(fifthpeg, tmp_path):
    plain, raised = tmp_path / "plain.musicxml", tmp_path / "raised.musicxml"
    assert fifthpeg("convert", LICK, "-o", plain).status == 0
    result = fifthpeg("convert", LICK, "-o", raised, "--capo", "2", "--transpose", "2")
    assert result.status == 0
    assert "place in the file" not in result.err
    for name in ("string", "fret", "fingering", "pluck"):
        values = [re.findall(f"<{name}[^>]*>([^<]+)<", path.read_text()) for path in (plain, raised)]
        assert values[0] == values[1] and values[0]


def test_other_moves_find_other_places(fifthpeg):
    assert tab(fifthpeg("show", LICK, "--transpose", "12")) != tab(fifthpeg("show", LICK))


def test_a_capo_on_the_short_string_alone_moves_no_shapes(fifthpeg):
    result = fifthpeg("show", LICK, "--fifth-capo", "7", "--transpose", "2", "--thin")
    assert "sounds" not in result.err


def test_a_style_says_that_the_fingering_of_the_file_is_kept(fifthpeg):
    kept = fifthpeg("show", LICK, "--style", "clawhammer")
    assert "--refinger all" in kept.err
    assert tab(kept) == tab(fifthpeg("show", LICK))
    anew = fifthpeg("show", LICK, "--style", "clawhammer", "--refinger", "all")
    assert "--refinger all" not in anew.err
    assert " N " in anew.out.decode()


def test_a_piece_high_on_the_neck_points_to_advice(fifthpeg):
    high = fifthpeg("show", FIXTURES / "irish-washerwoman.mid", "--transpose", "-12")
    assert re.search(r"\d+ of 190 notes lie above fret 12; 'fifthpeg advise'", high.err)
    low = fifthpeg("show", FIXTURES / "irish-washerwoman.mid")
    assert "above fret 12" not in low.err


def test_show_and_describe_say_nothing_of_a_layout_that_they_do_not_write(fifthpeg):
    for command in ("show", "describe", "advise"):
        assert "layout" not in fifthpeg(command, LICK).err
    assert "layout" in fifthpeg("convert", LICK, "-o", "-", "--to", "musicxml").err


def test_fingers_in_text_tab(fifthpeg):
    with_fingers = fifthpeg("convert", LICK, "-o", "-", "--to", "txt", "--fingers")
    assert with_fingers.status == 0 and "ingers" not in with_fingers.err
    assert "   2  1  0  2  1  0  2  4    0  0  0  0  000" in with_fingers.out.decode()
    without = fifthpeg("convert", LICK, "-o", "-", "--to", "txt")
    assert "lost: fingers of the fret hand" in without.err
    assert fifthpeg("convert", LICK, "-o", "x.mid", "--fingers").status == 2


def test_positions_from_0_are_from_1(fifthpeg):
    assert fifthpeg("show", LICK, "--refinger", "all", "--position", "0-5").out == \
        fifthpeg("show", LICK, "--refinger", "all", "--position", "1-5").out


def test_help_as_a_word(fifthpeg):
    assert fifthpeg("help").out == fifthpeg("--help").out
    assert fifthpeg("help", "show").out == fifthpeg("show", "--help").out
    result = fifthpeg("help", "nothing")
    assert result.status == 2 and "unknown command 'nothing'" in result.err


def test_a_missing_value_is_called_missing(fifthpeg):
    assert "--capo needs a value" in fifthpeg("show", LICK, "--capo").err


def test_chords_of_a_band_begin_with_the_bass(fifthpeg):
    """Bass on the beat, strum after it (common practice of a boom-chuck backing): the chord is the bass's beat's."""
    result = fifthpeg("show", FIXTURES / "boil-them-cabbage-down.mid", "--all-parts", "--transpose", "-12")
    numbers, symbols = result.out.decode().split("\n\n")[2].splitlines()[:2]
    assert numbers.split() == ["1", "2", "3", "4"]
    assert symbols == "   G                 C                 G                 D"


def test_a_part_that_is_not_there_is_told_with_those_that_are(fifthpeg):
    result = fifthpeg("show", FIXTURES / "boil-them-cabbage-down.mid", "--part", "banjo")
    assert result.status == 2
    assert "1 (Fiddle), 2 (Guitar), 3 (Bass), 4 (Woodblock and brushes)" in result.err


def test_drums_are_no_pitches_and_that_is_said(fifthpeg):
    result = fifthpeg("show", FIXTURES / "boil-them-cabbage-down.mid", "--part", "4")
    assert result.status == 1
    assert "the part that was taken is percussion" in result.err


def test_no_library_source_names_an_option(fifthpeg):
    """The library says what is wrong; which option helps is for the program to say, in src/cli/hints.cpp."""
    helps = [fifthpeg(*command, "--help").out.decode()
             for command in ([], ["convert"], ["show"], ["describe"], ["advise"], ["check"])]
    options = {option for text in helps for option in re.findall(r"(?<![\w-])--[a-z][a-z-]+", text)}
    assert {"--transpose", "--part", "--thin", "--max-bytes", "--rules"} <= options
    named = re.compile(f"(?<![\\w-])({'|'.join(sorted(options))})(?![\\w-])")
    sources = [path for folder in ("src", "include") for path in (ROOT / folder).rglob("*.?pp")
               if ROOT / "src/cli" not in path.parents]
    assert len(sources) > 100
    assert [f"{path.relative_to(ROOT)}: {line.strip()}" for path in sources
            for line in path.read_text().splitlines() if named.search(line)] == []


def piano(staves):
    """The notes of each staff, one voice a staff, as one part."""
    backup = "<backup><duration>4</duration></backup>"
    return xml_score(backup.join("".join(xml_note(step, octave).replace("<voice>1", f"<voice>{staff}").replace(
        "<notations>", f"<staff>{staff}</staff><notations>") for step, octave in notes)
        for staff, notes in enumerate(staves, 1)), name="Piano")


def test_a_hand_of_a_piano(fifthpeg, tmp_path):
    """Both hands together are too much for one banjo; each alone is not, and there is no other part."""
    right = [("B", 4), ("D", 5), ("E", 5), ("D", 5)]
    left = [("D", 3), ("E", 3), ("F", 3), ("E", 3)]
    path = tmp_path / "piano.musicxml"
    path.write_bytes(piano([right, left]))
    assert "staff 1, 2; voice 1, 2" in fifthpeg("describe", path).out.decode()
    assert fifthpeg("show", path, "--staff", "1").status == 0
    assert fifthpeg("show", path, "--voice", "2").status == 0
    # On one string only, two of them at once.
    path.write_bytes(piano([[("D", 3)] * 4, [("E", 3)] * 4]))
    result = fifthpeg("show", path, "--transpose", "0")
    assert result.status == 1
    assert "no hand can hold" in result.errors[-1] and "--staff or --voice reads one of them" in result.errors[-1]
    assert "--part" not in result.errors[-1]
    assert fifthpeg("show", path, "--transpose", "0", "--staff", "2").status == 0
    result = fifthpeg("show", path, "--staff", "3")
    assert result.status == 2 and "no notes on staff 3 of the part, which has them on staff 1 and 2" in result.err


def test_no_other_part_where_there_is_only_one(fifthpeg, tmp_path):
    """More notes than the neck has, of one part or of one of two."""
    wide = "".join(xml_note("C", octave) for octave in (1, 3, 5, 8))
    path = tmp_path / "wide.musicxml"
    path.write_bytes(xml_score(wide))
    result = fifthpeg("show", path)
    assert result.status == 1 and "--tuning" in result.errors[-1] and "--part" not in result.errors[-1]
    two = midi(voice("Wide", [(at, 1, pitch) for at, pitch in enumerate((24, 48, 72, 108))], channel=1),
               voice("Bass", [(0, 4, 40)], channel=2))
    (tmp_path / "two.mid").write_bytes(two)
    result = fifthpeg("show", "two.mid", "--part", "Wide")
    assert result.status == 1 and "--part" in result.errors[-1]


def test_a_left_hand_below_the_strings(fifthpeg, tmp_path):
    """What moves both hands in is no help to who wants the tune."""
    path = tmp_path / "piano.musicxml"
    path.write_bytes(piano([[("B", 4), ("D", 5), ("E", 5), ("D", 5)], [("A", 2), ("B", 2), ("A", 2), ("B", 2)]]))
    result = fifthpeg("show", path)
    assert result.status == 1
    said = result.errors[-1]
    assert "--staff 1 reads one staff of the part" in said and said.index("--staff") < said.index("--transpose")
    assert fifthpeg("show", path, "--staff", "1").status == 0
