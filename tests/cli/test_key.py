"""--key and --source-key: music in another key, without arithmetic."""

import re
import shlex

import pytest
from conftest import ROOT

FIXTURES = ROOT / "fixtures"
LICK = FIXTURES / "lick-slide.musicxml"  # in G major, with tab
TUNE = FIXTURES / "irish-washerwoman.mid"  # in G major
MODAL = FIXTURES / "soldiers-joy.musicxml"

# Sharps and flats of the signatures: common practice.
SIGNATURES = {"C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5, "F": -1, "Bb": -2, "Eb": -3, "Ab": -4, "Db": -5}
HALF_STEPS = {"C": 5, "G": 0, "D": -5, "A": 2, "E": -3, "B": 4, "F": -2, "Bb": 3, "Eb": -4, "Ab": 1, "Db": 6}


def tab(result):
    return [line for line in result.out.decode().splitlines() if re.match(r"[dBGDg]\|", line)]


def pitches(document):
    steps = dict(zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11)))
    found = re.findall(r"<step>(.)</step>(?:\s*<alter>(-?\d)</alter>)?\s*<octave>(\d)", document)
    return [steps[step] + int(alter or 0) + 12 * int(octave) for step, alter, octave in found]


@pytest.mark.parametrize("key", SIGNATURES)
@pytest.mark.parametrize("source", [TUNE, LICK], ids=["without tab", "with tab"])
def test_music_moves_to_a_key(fifthpeg, source, key):
    plain = fifthpeg("convert", source, "-o", "-", "--to", "musicxml", "--staves", "notation")
    result = fifthpeg("convert", source, "-o", "-", "--to", "musicxml", "--staves", "notation", "--key", key)
    assert result.status == 0
    document = result.out.decode()
    assert re.search(r"<fifths>(-?\d)</fifths>", document).group(1) == str(SIGNATURES[key])
    moves = {after - before for before, after in zip(pitches(plain.out.decode()), pitches(document))}
    assert len(moves) == 1 and (moves.pop() - HALF_STEPS[key]) % 12 == 0
    if key == "G":
        assert "the music is in G major as it is" in result.err
    else:
        up, away = HALF_STEPS[key], abs(HALF_STEPS[key])
        assert f"the music moves {away} half step{'s' if away > 1 else ''} {'up' if up > 0 else 'down'}, " \
               f"from G major to {key} major" in result.err
        assert "--source-key" in result.err
        assert ("tab is placed anew" in result.err) == (source == LICK)


def test_a_capo_that_gives_the_key_keeps_the_tab(fifthpeg):
    result = fifthpeg("show", LICK, "--key", "A", "--capo", "2")
    assert result.status == 0 and "Key: A major" in result.out.decode()
    assert tab(result) == tab(fifthpeg("show", LICK))


def test_a_capo_does_not_take_the_music_out_of_the_key(fifthpeg):
    for capo in ("2", "5"):
        result = fifthpeg("show", LICK, "--key", "G", "--capo", capo)
        assert result.status == 0 and "Key: G major" in result.out.decode()


@pytest.mark.parametrize("source, key, hint", [
    (LICK, "A", "with a capo the tab stays as it is: --key A --capo 2"),
    (TUNE, "A", "in G shapes with a capo: --key A --capo 2"),
    (TUNE, "Bb mixolydian", "in G shapes with a capo: --key 'Bb mixolydian' --capo 3"),
    (TUNE, "D", None), (LICK, "D", None), (TUNE, "C", None), (LICK, "G", None),
], ids=str)
def test_a_capo_that_would_help_is_named(fifthpeg, source, key, hint):
    said = fifthpeg("show", source, "--key", key).err
    assert (hint in said) if hint else "with a capo" not in said
    if not hint:
        return
    asked = fifthpeg("show", source, *shlex.split(hint.split(": ")[1]))
    assert asked.status == 0 and "Capo: " in asked.out.decode() and "with a capo" not in asked.err
    if source == LICK:
        assert tab(asked) == tab(fifthpeg("show", source))
    else:
        strings = "".join(tab(asked))
        assert strings.count("0") > "".join(tab(fifthpeg("show", source, "--key", key))).count("0")  # open ones


def test_no_capo_is_named_where_it_was_asked_for_or_cannot_be(fifthpeg):
    for options in (["--capo", "0"], ["--transpose", "2"], ["--tuning", "double-c"]):
        assert "with a capo" not in fifthpeg("show", TUNE, "--key", "A", *options).err
    assert "with a capo" not in fifthpeg("advise", TUNE, "--key", "A").err  # it weighs capos


def test_the_key_of_the_source_can_be_corrected(fifthpeg):
    result = fifthpeg("show", TUNE, "--source-key", "Am", "--key", "Em")
    assert result.status == 0
    assert "moves 5 half steps down, from A minor to E minor" in result.err and "--source-key" not in result.err


def test_an_estimate_is_replaced_by_what_is_said(fifthpeg, tmp_path):
    bare = tmp_path / "bare.mid"
    data = TUNE.read_bytes()
    signature = re.compile(rb"\xff\x59\x02..", re.DOTALL)
    assert signature.search(data)
    bare.write_bytes(signature.sub(b"\xff\x06\x02..", data))
    assert "Key: D major" in fifthpeg("show", bare, "--source-key", "D").out.decode()
    assert "Key: G major" in fifthpeg("show", bare).out.decode()


def test_no_move_makes_major_minor(fifthpeg):
    result = fifthpeg("show", LICK, "--key", "Em")
    assert result.status == 1 and result.out == b""
    assert "the music is in G major, and moving it does not make it minor; if that key is wrong, give the right one with --source-key" in result.err


def test_advice_for_another_key(fifthpeg):
    result = fifthpeg("advise", TUNE, "--key", "D")
    assert result.status == 0
    assert "from G major to D major" in result.err
    assert result.out != fifthpeg("advise", TUNE).out


PIANO = """<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part></part-list>
<part id="P1"><measure number="1"><attributes><divisions>1</divisions><key><fifths>1</fifths><mode>major</mode></key>
<time><beats>4</beats><beat-type>4</beat-type></time><staves>2</staves></attributes>{upper}
<backup><duration>4</duration></backup>{lower}</measure></part></score-partwise>"""


def note(step, octave, duration, staff, chord=""):
    return (f"<note>{chord}<pitch><step>{step}</step><octave>{octave}</octave></pitch><duration>{duration}</duration>"
            f"<voice>{staff}</voice><staff>{staff}</staff></note>")


@pytest.mark.parametrize("options", [["--staff", "1"], ["--voice", "1"]], ids=" ".join)
def test_chord_symbols_belong_to_the_part(fifthpeg, tmp_path, options):
    """Wherever in the part they stand."""
    source = tmp_path / "piano.musicxml"

    def symbol(root):
        return f"<harmony><root><root-step>{root}</root-step></root><kind>major</kind><staff>2</staff></harmony>"

    lower = symbol("G") + note("G", 3, 2, 2) + symbol("C") + note("C", 4, 2, 2)
    source.write_text(PIANO.format(upper="".join(note(step, 4, 1, 1) for step in "GABD"), lower=lower))
    assert "   G       C\n" in fifthpeg("show", source, *options).out.decode()


@pytest.mark.parametrize("options", [["--key", "D"], ["--key", "D", "--source-key", "G"], ["--staff", "1"],
                                     ["--staff", "1", "--key", "A"], ["--voice", "1"]])
def test_commands_of_advice_bring_their_options_along(fifthpeg, tmp_path, options):
    """Each command can be run as it is printed, and does what was advised."""
    source = TUNE
    if "--staff" in options or "--voice" in options:
        source = tmp_path / "piano.musicxml"
        upper = "".join(note(step, 5, 1, 1) for step in "GABD")
        chord = "".join(note(step, 2, 4, 2, "<chord/>" if at else "") for at, step in enumerate("CDEFGAB"))
        source.write_text(PIANO.format(upper=upper, lower=chord))
    advice = fifthpeg("advise", source, *options).out.decode()
    commands = re.findall(r"fifthpeg (convert .*)", advice)
    assert commands
    key = options[options.index("--key") + 1] if "--key" in options else "G"
    for command in commands:
        words = shlex.split(command)
        assert [word for word in options if word not in words] == []
        words[words.index("-o") + 1] = str(tmp_path / "out.txt")
        done = fifthpeg(*words, "--force")
        assert done.status == 0, done.err
        assert f"Key: {key} major" in (tmp_path / "out.txt").read_text()
