"""fifthpeg arrange: what is asked for, what is said, and that other commands take the result."""
import json
import os
import re

import pytest
from conftest import ROOT

FIXTURES = ROOT / "fixtures"
CABBAGE, JOY = FIXTURES / "boil-them-cabbage-down.mid", FIXTURES / "soldiers-joy.musicxml"
JIG = FIXTURES / "irish-washerwoman.mid"
STYLES = ["roll", "melodic", "single-string", "clawhammer"]


def roles(path):
    return set(re.findall(r'<other-play type="fifthpeg-role">([a-z-]+)<', path.read_text()))


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("source", [CABBAGE, JOY, JIG], ids=lambda path: path.stem)
def test_every_style(fifthpeg, tmp_path, source, style):
    result = fifthpeg("arrange", source, "-o", "out.musicxml", "--style", style)
    assert result.status == 0, result.err
    assert "melody" in roles(tmp_path / "out.musicxml")
    assert fifthpeg("check", "out.musicxml").status == 0
    assert fifthpeg("show", "out.musicxml").status == 0
    assert fifthpeg("sheet", "out.musicxml", "-o", "out.pdf").status == 0
    assert fifthpeg("convert", "out.musicxml", "-o", "out.mid").status == 0


def test_a_roll_has_what_rolls_have(fifthpeg, tmp_path):
    assert fifthpeg("arrange", CABBAGE, "-o", "out.musicxml").status == 0
    assert {"melody", "fill", "drone"} <= roles(tmp_path / "out.musicxml")


def test_how_hard_it_is_is_told(fifthpeg, tmp_path):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--level", "1")
    said = re.search(r"for a learner this is of difficulty ([1-5]) of 5: start at (\d+) beats a minute, and aim for (\d+)", result.err)
    assert int(said[2]) <= int(said[3])
    # It is the measure that describe has of what was written.
    assert fifthpeg("convert", "out.musicxml", "-o", "again.musicxml").status == 0
    described = json.loads(fifthpeg("describe", "again.musicxml", "--json").out)
    assert described["music"]["measures"] <= 16
    difficulty = described["lick"]["difficulty"]
    assert [str(difficulty[name]) for name in ("level", "start", "goal")] == [said[1], said[2], said[3]]


def test_chords_are_told_and_written(fifthpeg, tmp_path):
    result = fifthpeg("arrange", JIG, "-o", "out.musicxml")
    assert "the chord symbols were inferred" in result.err
    assert "<harmony" in (tmp_path / "out.musicxml").read_text()


@pytest.mark.parametrize("key, capo", [("G", 0), ("A", 2), ("Bb", 3), ("C", 0), ("D", 2)])
def test_a_key_sounds_by_a_capo(fifthpeg, key, capo):
    result = fifthpeg("arrange", CABBAGE, "-o", "-", "--to", "txt", "--key", key)
    text = result.out.decode()
    assert f"Key: {key} major" in text
    assert (f"Capo: {capo}" in text) == (capo > 0)


def test_a_capo_that_is_asked_for_is_used(fifthpeg):
    text = fifthpeg("arrange", CABBAGE, "-o", "-", "--to", "txt", "--capo", "4").out.decode()
    assert "Capo: 4" in text


@pytest.mark.parametrize("arguments, shapes", [
    (["--capo", "2"], "F major, which few players use; --key A plays G shapes with it"),
    (["--capo", "2", "--key", "A"], None),
    (["--capo", "2", "--key", "D"], None),
    (["--capo", "0"], None),
])
def test_a_capo_that_gives_odd_shapes_is_told(fifthpeg, arguments, shapes):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", *arguments)
    assert result.status == 0
    assert ("shapes" in result.err) == (shapes is not None), result.err
    if shapes:
        assert f"with the capo at fret 2 the hands have the shapes of {shapes}" in result.err


def test_a_chart_is_no_music(fifthpeg, tmp_path):
    (tmp_path / "chart.txt").write_text(CHART)
    for command in ("arrange", "convert"):
        result = fifthpeg(command, "chart.txt", "-o", "out.musicxml")
        assert result.status == 3
        assert "a chart of chords, and music is needed; give the music, and the chart with --chords" in result.err


def test_text_without_roles_is_no_news(fifthpeg):
    assert "lost" not in fifthpeg("arrange", CABBAGE, "-o", "out.txt").err
    assert fifthpeg("arrange", CABBAGE, "-o", "strict.txt", "--strict").status == 1
    assert fifthpeg("arrange", CABBAGE, "-o", "arranged.musicxml").status == 0
    assert "lost: what notes are for" in fifthpeg("convert", "arranged.musicxml", "-o", "converted.txt").err


def test_backup_is_in_the_other_part(fifthpeg, tmp_path):
    assert fifthpeg("arrange", CABBAGE, "-o", "both.musicxml", "--backup").status == 0
    result = fifthpeg("convert", "both.musicxml", "-o", "backup.txt", "--only", "backup")
    assert result.status == 2 and not (tmp_path / "backup.txt").exists()
    assert "part 2 (Banjo backup) has such notes: --part 2 reads it" in result.err
    assert fifthpeg("convert", "both.musicxml", "-o", "backup.txt", "--only", "backup", "--part", "2").status == 0


def test_an_arrangement_is_arranged_anew_from_its_melody(fifthpeg, tmp_path):
    assert fifthpeg("arrange", CABBAGE, "-o", "once.musicxml", "--level", "3").status == 0
    result = fifthpeg("arrange", "once.musicxml", "-o", "twice.musicxml", "--level", "3")
    assert "marked as the melody" in result.err
    for name in ("once", "twice"):
        assert fifthpeg("convert", f"{name}.musicxml", "--only", "melody", "-o", f"{name}.mid").status == 0
    once, twice = ((tmp_path / f"{name}.mid").read_bytes() for name in ("once", "twice"))
    assert once == twice


def test_reasons(fifthpeg):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--explain")
    assert re.search(r"^measure 1, beat 1, \d:\d+: melody; [-0-9: +]+ instead is harder by \d+$", result.err, re.MULTILINE)
    assert re.search(r"^measure \d+, beat \d &, 5:0: drone, the root of G$", result.err, re.MULTILINE)
    assert re.search(r"^measure \d+, beat \d( &)?, \d:\d+: fill, the (root|third|fifth) of [A-G]$", result.err, re.MULTILINE)


def test_levels_ask_for_more(fifthpeg):
    frets = []
    for level in "1234":
        text = fifthpeg("arrange", JOY, "-o", "-", "--to", "txt", "--level", level).out.decode()
        tab = re.findall(r"^[dBGDg]\|.*$", text, re.MULTILINE)
        frets.append(max(int(fret) for line in tab for fret in re.findall(r"\d+", line)))
    assert frets[0] <= 4
    assert frets == sorted(frets)


CHART = """# Boil them cabbage down, the chords of a picking party
| G | C | G | D |
| G | Am | G D | G |  # Am instead of C
| G | C | % | D |
| G | C | G D7 | G |
"""


def chords_of(fifthpeg, *arguments):
    """The chord names over the tab, in order."""
    result = fifthpeg("arrange", CABBAGE, "-o", "-", "--to", "txt", "--width", "1000", *arguments)
    assert result.status == 0, result.err
    lines = result.out.decode().splitlines()
    return [chord for above, below in zip(lines, lines[1:]) if below.startswith("d|") for chord in above.split()]


def test_chords_of_a_chart(fifthpeg, tmp_path):
    (tmp_path / "chart.txt").write_text(CHART)
    chords = chords_of(fifthpeg, "--chords", "chart.txt")
    assert chords == "G C G D G Am G D G C D G C G D7 G".split()
    # They are of the tune as it stands, and move with it.
    moved = chords_of(fifthpeg, "--chords", "chart.txt", "--key", "A")
    assert moved == "A D A E A Bm A E A D E A D A E7 A".split()
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--chords", "chart.txt")
    assert "the chord symbols are those of the chart" in result.err and "inferred" not in result.err


def test_chords_of_other_music(fifthpeg, tmp_path):
    (tmp_path / "chart.txt").write_text(CHART)
    assert fifthpeg("arrange", CABBAGE, "-o", "other.musicxml", "--chords", "chart.txt").status == 0
    assert fifthpeg("convert", "other.musicxml", "-o", "other.txt").status == 0
    for other in ("other.musicxml", "other.txt"):
        assert chords_of(fifthpeg, "--chords", other) == chords_of(fifthpeg, "--chords", "chart.txt")


def test_chords_are_found_although_the_file_has_some(fifthpeg, tmp_path):
    (tmp_path / "chart.txt").write_text("\n".join(["F#"] * 16))
    assert fifthpeg("arrange", CABBAGE, "-o", "wrong.musicxml", "--chords", "chart.txt").status == 0
    kept = fifthpeg("arrange", "wrong.musicxml", "-o", "kept.musicxml")
    assert "inferred" not in kept.err and "F</root-step>" in (tmp_path / "kept.musicxml").read_text()
    found = fifthpeg("arrange", "wrong.musicxml", "-o", "found.musicxml", "--chords", "infer")
    assert "the chord symbols were inferred" in found.err
    assert "F</root-step>" not in (tmp_path / "found.musicxml").read_text()


@pytest.mark.parametrize("chart, status, said", [
    ("G | H7", 3, "--chords chart.txt: line 1, column 5: 'H7' is no chord"),
    ("G |\n% C", 3, "--chords chart.txt: line 2, column 1: % stands for a whole measure"),
    ("", 3, "--chords chart.txt: there is no chord in it"),
    ("G | C", 2, "the chart has 2 measures, and the music has 16"),
])
def test_a_chart_that_cannot_be_used(fifthpeg, tmp_path, chart, status, said):
    (tmp_path / "chart.txt").write_text(chart)
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--chords", "chart.txt")
    assert result.status == status and said in result.err
    assert len(result.err.splitlines()) == 1 and not (tmp_path / "out.musicxml").exists()


def test_music_without_chords_gives_none(fifthpeg):
    result = fifthpeg("arrange", JIG, "-o", "out.musicxml", "--chords", JIG)
    assert result.status == 3 and "has no chord symbols" in result.err
    result = fifthpeg("arrange", JIG, "-o", "out.musicxml", "--chords", "none.txt")
    assert result.status == 3 and "--chords none.txt" in result.err


def test_a_chart_is_not_written_over(fifthpeg, tmp_path):
    (tmp_path / "chart.txt").write_text(CHART)
    result = fifthpeg("arrange", CABBAGE, "-o", "chart.txt", "--chords", "chart.txt", "--force")
    assert result.status != 0 and (tmp_path / "chart.txt").read_text() == CHART


@pytest.mark.parametrize("arguments, said", [
    (["--level", "5"], "--level"),
    (["--style", "waltz"], "--style"),
    (["--level", "x"], "--level"),
    (["--style", "auto"], "not a style; choose roll, melodic, single-string or clawhammer"),
])
def test_wrong_usage(fifthpeg, arguments, said):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", *arguments)
    assert result.status == 2 and said in result.err


# ---- licks of one's own ----------------------------------------------------------------------------

OPEN_STRINGS = {1: 62, 2: 59, 3: 55, 4: 50, 5: 67}


def note(string, fret, technique="", head=""):
    midi = OPEN_STRINGS[string] + fret
    step, alter = [("C", 0), ("C", 1), ("D", 0), ("D", 1), ("E", 0), ("F", 0), ("F", 1), ("G", 0), ("G", 1), ("A", 0),
                   ("A", 1), ("B", 0)][midi % 12]
    return f"""<note><pitch><step>{step}</step><alter>{alter}</alter><octave>{midi // 12 - 1}</octave></pitch>
      <duration>1</duration><type>eighth</type>{head}<notations><technical><string>{string}</string>
      <fret>{fret}</fret>{technique}</technical></notations></note>"""


def lick_file(notes, beats=4, kind="major"):
    """Over G, an eighth each."""
    notes = [("" if at == 0 or at % (2 * beats) else f"</measure><measure number='{at // 2 // beats + 1}'>") + one
             for at, one in enumerate(notes)]
    lines = "".join(f"<staff-tuning line='{6 - string}'><tuning-step>{step}</tuning-step><tuning-octave>{octave}"
                    "</tuning-octave></staff-tuning>"
                    for string, step, octave in [(5, "G", 4), (4, "D", 3), (3, "G", 3), (2, "B", 3), (1, "D", 4)])
    return f"""<?xml version="1.0" encoding="UTF-8"?>
    <score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list>
    <part id="P1"><measure number="1"><attributes><divisions>2</divisions><time><beats>{beats}</beats>
    <beat-type>4</beat-type></time><clef><sign>TAB</sign></clef><staff-details><staff-lines>5</staff-lines>{lines}
    </staff-details></attributes><harmony><root><root-step>G</root-step></root><kind>{kind}</kind></harmony>
    {"".join(notes)}</measure></part></score-partwise>"""


def notes_of(places):
    return [note(*map(int, place.split(":"))) for place in places]


def plays(path, places):
    """Whether these places follow each other in the tab of MusicXML."""
    found = re.findall(r"<string>(\d)</string>\s*<fret>(\d+)</fret>", path.read_text())
    return ",".join(places) in ",".join(f"{string}:{fret}" for string, fret in found)


LICK = ["3:0", "1:0", "4:2", "2:0"]  # on the G that ends the second phrase of Cabbage


@pytest.fixture
def licks(tmp_path):
    folder = tmp_path / "my licks"
    folder.mkdir()
    (folder / "one.musicxml").write_text(lick_file(notes_of(LICK)))
    return folder


def test_a_lick_of_ones_own_is_played(fifthpeg, tmp_path, licks):
    assert fifthpeg("arrange", CABBAGE, "-o", "without.musicxml").status == 0
    assert not plays(tmp_path / "without.musicxml", LICK)
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks, "--explain")
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    assert result.err.count("lick on G (one.musicxml)") >= 3
    assert fifthpeg("check", "out.musicxml").status == 0
    moved = fifthpeg("arrange", CABBAGE, "-o", "moved.musicxml", "--licks", licks, "--key", "A")
    assert moved.status == 0 and plays(tmp_path / "moved.musicxml", LICK)


@pytest.mark.parametrize("name", ["Übung 1 – G-Lauf.musicxml", "-x.xml", "a\nb.XML", "100%'$(x).musicxml", "lick.mxl"])
def test_odd_names_of_licks(fifthpeg, tmp_path, licks, name):
    (licks / "one.musicxml").rename(licks / name)
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks, "--explain")
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    assert f"({name})".replace("\n", "?") in result.err


def test_names_of_licks_that_are_no_text(fifthpeg, tmp_path, licks):
    os.rename(bytes(licks / "one.musicxml"), bytes(licks) + b"/\xff\x1b[31m.musicxml")
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks, "--explain", "--json")
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    assert "\x1b" not in result.err


CHOKE = "<bend><bend-alter>2</bend-alter></bend>"


@pytest.mark.parametrize("content, said", [
    (b"", "cannot be read: the file is empty"),
    (b"hello, world\n", "cannot be read: this is neither MIDI nor MusicXML nor tab"),
    (b"<?xml version='1.0'?><score-partwise>", "cannot be read: "),
    ((FIXTURES / "boil-them-cabbage-down.mid").read_bytes(), "is of no use here: it is not in tab"),
    (lick_file([note(3, 0), note(2, 2, CHOKE), *notes_of(LICK)]), "dead notes, chimes or chokes"),
    (lick_file([note(3, 0), note(2, 2, "", "<notehead>x</notehead>"), *notes_of(LICK)]), "dead notes"),
    (lick_file(notes_of(["3:0", "1:0", "4:4", "4:2", "3:0", "1:0"]), beats=3), "is not played: no phrase ends with that"),
    (lick_file(notes_of(LICK * 4)), "is not played: no phrase ends with that much room over its chords; phrases end in"),
    (lick_file(notes_of(LICK * 20)), "longer than any rest"),
    (lick_file(notes_of(LICK), kind="diminished"), "not over chords that are major or minor"),
    (lick_file([note(3, 0), note(2, 0), note(1, 7), note(1, 9)]), "it is for arrangements of level 3"),
])
def test_what_is_no_lick_is_told_and_stops_nothing(fifthpeg, tmp_path, licks, content, said):
    (licks / "bad.musicxml").write_bytes(content if isinstance(content, bytes) else content.encode())
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks)
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    told = [line for line in result.err.splitlines() if "'bad.musicxml'" in line]
    assert len(told) == 1 and said in told[0], result.err


def test_what_else_is_in_the_folder(fifthpeg, tmp_path, licks):
    (licks / "read me.txt").write_text("for my students")
    (licks / ".hidden.musicxml").write_text("x")
    (licks / "old.musicxml").mkdir()
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks)
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    assert "'old.musicxml' cannot be read: is a directory" in result.err
    assert "hidden" not in result.err and "read me" not in result.err


@pytest.mark.parametrize("named", ["my licks", "my licks/", "./my licks"])
def test_folders_in_the_folder(fifthpeg, tmp_path, licks, named):
    (licks / "week 1").mkdir()
    (licks / "one.musicxml").rename(licks / "week 1" / "one.musicxml")
    (licks / "week 1" / "bad.musicxml").write_text("x")
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", named)
    assert result.status == 0 and plays(tmp_path / "out.musicxml", LICK)
    assert "the lick 'week 1/bad.musicxml' cannot be read" in result.err


@pytest.mark.parametrize("make, said", [
    (lambda path: None, "there is no such folder"),
    (lambda path: path.mkdir(), "there is no MusicXML in that folder"),
    (lambda path: path.write_text("x"), "is a file"),
])
def test_a_folder_that_cannot_be_used(fifthpeg, tmp_path, make, said):
    make(tmp_path / "folder")
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", "folder")
    assert result.status == 3 and "--licks folder: " in result.err and said in result.err
    assert len(result.err.splitlines()) == 1 and not (tmp_path / "out.musicxml").exists()


def test_a_folder_of_text_tab_is_told_what_to_do(fifthpeg, tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "folder" / "lick.txt").write_text("d|-0-|")
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", "folder")
    assert result.status == 3 and "'fifthpeg convert LICK.txt -o LICK.musicxml' makes it of text tab" in result.err


def test_other_music_in_the_folder_is_counted(fifthpeg, tmp_path, licks):
    assert fifthpeg("convert", licks / "one.musicxml", "-o", licks / "two.txt").status == 0
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks)
    assert result.status == 0 and "1 file of MIDI or text tab in the folder of licks is passed over" in result.err


def test_a_lick_that_is_more_work_for_the_hands_is_played(fifthpeg, tmp_path, licks):
    """Thumb on one string over and over: nothing that the program would have chosen."""
    awkward = ["3:0", "4:0", "4:2", "3:0", "4:4", "3:2", "3:0", "4:4"]
    (licks / "one.musicxml").write_text(lick_file(notes_of(awkward)))
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks)
    assert result.status == 0 and "is not played" not in result.err, result.err
    assert plays(tmp_path / "out.musicxml", awkward)


def test_licks_are_for_rolls(fifthpeg, licks):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", "--licks", licks, "--style", "clawhammer")
    assert result.status == 2 and "for rolls" in result.err


def test_a_lick_is_not_written_over(fifthpeg, licks):
    before = (licks / "one.musicxml").read_text()
    result = fifthpeg("arrange", CABBAGE, "-o", licks / "one.musicxml", "--licks", licks, "--force")
    assert result.status == 2 and (licks / "one.musicxml").read_text() == before


# ---- more than the tune ----------------------------------------------------------------------------

WHOLE = ["--kickoff", "--ending", "--variations", "2", "--backup"]


@pytest.mark.parametrize("style", STYLES)
def test_all_that_can_be_asked_for(fifthpeg, tmp_path, style):
    for name in ("out.musicxml", "out.mid", "out.txt"):
        result = fifthpeg("arrange", CABBAGE, "-o", name, "--style", style, *WHOLE)
        assert result.status == 0, result.err
        assert ("text tab has one part" in result.err) == name.endswith(".txt")
    assert {"melody", "kick-off", "lick", "backup"} <= roles(tmp_path / "out.musicxml")
    for name in ("out.musicxml", "out.mid"):
        described = json.loads(fifthpeg("describe", name, "--json").out)
        assert [part["name"] for part in described["file"]["parts"]] == ["Banjo", "Banjo backup"]
    assert fifthpeg("check", "out.musicxml", "--min-severity", "error").status == 0
    text = (tmp_path / "out.txt").read_text()
    assert "Break 1" in text and "Break 2" in text
    # What is read again is the tune.
    again = fifthpeg("convert", "out.musicxml", "-o", "again.txt")
    assert again.status == 0 and "part 1 of 2 (Banjo)" in again.err


def test_seeds(fifthpeg, tmp_path):
    def made(*arguments):
        assert fifthpeg("arrange", JOY, "-o", "out.mid", "--force", *arguments).status == 0
        return (tmp_path / "out.mid").read_bytes()

    assert made() == made("--seed", "0") != made("--seed", "4") == made("--seed", "4")


@pytest.mark.parametrize("arguments", [["--variations", "0"], ["--variations", "9"], ["--seed", "-1"], ["--seed", "x"]])
def test_numbers_that_cannot_be(fifthpeg, arguments):
    result = fifthpeg("arrange", CABBAGE, "-o", "out.musicxml", *arguments)
    assert result.status == 2 and arguments[0] in result.err


def test_a_kick_off_is_for_tunes_without_a_pickup(fifthpeg, tmp_path):
    result = fifthpeg("arrange", JOY, "-o", "out.musicxml", "--kickoff")
    assert result.status == 0 and "no kick-off is added" in result.err
    assert "kick-off" not in roles(tmp_path / "out.musicxml")
