"""Usage: help, version, and command lines that make no sense."""

import json
import re

import pytest

from conftest import ROOT, names


def test_version(fifthpeg):
    result = fifthpeg("--version")
    assert result.status == 0
    assert re.fullmatch(rb"fifthpeg \d+\.\d+\.\d+\n", result.out)
    assert result.err == ""


def test_help_names_commands_and_statuses(fifthpeg):
    result = fifthpeg("--help")
    assert result.status == 0 and result.err == ""
    text = result.out.decode()
    for command in ("convert", "arrange", "show", "describe", "advise", "check", "sheet", "practice", "fit"):
        assert f"fifthpeg {command} IN" in text
    assert "fifthpeg find DIR" in text
    assert [line.split()[0] for line in text.split("Exit status")[1].splitlines() if line.strip()] == list("01234")


OPTIONS = {
    "convert": """--output --directory --to --force --skip-existing --strict --json --jobs --quiet --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats
        --keep-swing --max-bytes --only --repeats --chords --key --source-key --tuning --capo --fifth-capo --keep-pitches --frets --transpose --fold --thin
        --at --positions --refinger --title --composer --credit --rights --part-name --tempo --staves
        --fifth-frets --picking-fingers --channel-per-string --no-repeats --width --fingers --shapes --roles --neck --position --closed --slurs --style
        --scale-length --reach""",
    "arrange": """--output --directory --to --force --skip-existing --strict --json --jobs --quiet --style --level
        --backup --kickoff --ending --variations --seed --licks --explain
        --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --repeats --chords --key --source-key
        --tuning --capo --fifth-capo --keep-pitches --frets --title --composer --credit --rights --part-name --tempo --staves
        --fifth-frets --picking-fingers --channel-per-string --no-repeats --width --fingers --shapes --roles""",
    "show": """--width --fingers --shapes --roles --explain --quiet --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --only --repeats --chords --key --source-key --tuning
        --capo --fifth-capo --keep-pitches --frets --transpose --fold --thin --at --positions --refinger --neck
        --position --closed --slurs --style --scale-length --reach""",
    "describe": """--json --quiet --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --only --tuning --capo
        --fifth-capo --keep-pitches --frets""",
    "advise": """--other-keys --most --json --quiet --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --only
        --key --source-key --style --scale-length --reach""",
    "check": """--rules --fix --force --strict --all --json --sarif --jobs --max-bytes --only --skip --min-severity
        --max-severity --style --scale-length --reach""",
    "sheet": """--output --force --quiet --paper --landscape --size --measures-a-line --dpi --notation --fingers --shapes --chord-grids --roles
        --title --composer --credit --rights --part-name --tempo --note --phrases --every --in-tune --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --only --repeats
        --chords --key --source-key --tuning --capo --fifth-capo --keep-pitches --frets --transpose --fold --thin --at --positions --refinger --neck
        --position --closed --slurs --style --scale-length --reach""",
    "practice": """--output --force --quiet --speed --times --count-in --click --measures --backup --swing --tempo --title
        --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --only
        --chords --key --source-key --tuning --capo --fifth-capo --keep-pitches --frets --transpose --fold --thin --at --positions --refinger --neck
        --position --closed --slurs --style --scale-length --reach""",
    "find": """--from --to --key --beats --frets --technique --style --use --tuning --level --like --json --files --nul --jobs --max-bytes
        --quiet""",
    "fit": """--licks --lick --at --try --in-one-ending --most --output --to --force --strict --json --quiet
        --part --staff --voice --all-parts --grid --unit --pickup --meter --keep-beats --keep-swing --max-bytes --chords --key --source-key
        --tuning --capo --fifth-capo --keep-pitches --frets --style --scale-length --reach --title --composer --credit --rights --part-name --tempo
        --staves --fifth-frets --picking-fingers --channel-per-string --no-repeats --width --fingers --shapes --roles""",
}


@pytest.mark.parametrize("command", OPTIONS)
@pytest.mark.parametrize("flag", ["--help", "-h"])
def test_help_of_a_command_lists_every_option(fifthpeg, command, flag):
    result = fifthpeg(command, flag)
    assert result.status == 0 and result.err == ""
    text = result.out.decode()
    listed = set(re.findall(r"^  (?:-\w, )?(--[a-z-]+)", text, re.MULTILINE))
    assert listed == set(OPTIONS[command].split()) | {"--help"}
    assert "Examples\n" in text
    assert max(map(len, text.splitlines())) <= 80


# The command line, and what the one line about it must name.
WRONG = [
    ([], "convert, arrange, show, describe, advise, check, sheet, practice, find or fit"),
    (["fit"], "no tune"),
    (["fit", "reel.mid"], "no lick"),
    (["fit", "--licks", "licks", "reel.mid"], "before --licks"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "--licks", "licks"], "--lick and --licks"),
    (["fit", "reel.mid", "--licks", "licks", "-o", "x.mid"], "--lick"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "--at", "3"], "--at needs -o"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "--try", "3"], "--try needs -o"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--at", "3", "--try", "2"], "--at and --try"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--at", ":3"], "7:3"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--at", "3:x"], "7:3"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--try", "0"], "--try"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--most", "3"], "--most"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x.mid", "--staves", "tab"], "--staves"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "x"], ".musicxml"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "-"], "--to"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "-", "--to", "txt", "--json"], "--json"),
    (["fit", "reel.mid", "--lick", "lick.musicxml", "-o", "-", "--to", "txt", "--try", "2"], "--try"),
    (["frobnicate"], "frobnicate"),
    (["--frob"], "--frob"),
    (["convert"], "no input"),
    (["show"], "no input"),
    (["describe"], "no input"),
    (["convert", "reel.mid"], "-o OUT or -d DIR"),
    (["convert", "reel.mid", "-o", ""], "-o OUT or -d DIR"),
    (["convert", "reel.mid", "-o", "x.mid", "-d", "out"], "-o OUT or -d DIR"),
    (["convert", "reel.mid", "-o", "x.mid", "-o", "y.mid"], "--output"),
    (["convert", "reel.mid", "-o"], "--output"),
    (["convert", "reel.mid", "lick.musicxml", "-o", "x.mid"], "-d DIR"),
    (["convert", "reel.mid", "-o", "x"], ".musicxml"),
    (["convert", "reel.mid", "-o", "x.doc"], ".musicxml"),
    (["convert", "reel.mid", "-o", "-"], "--to"),
    (["convert", "reel.mid", "-d", "out"], "--to"),
    (["convert", "reel.mid", "-o", "x.mid", "--to", "musicxml"], "different formats"),
    (["convert", "reel.mid", "-o", "x", "--to", "doc"], "musicxml, mxl, mid or txt"),
    (["convert", "-", "-", "-d", "out", "--to", "mid"], "only once"),
    (["convert", "-", "-d", "out", "--to", "mid"], "standard input"),
    (["convert", "reel.mid", "-o", "-", "--to", "mid", "--json"], "--json"),
    (["convert", "reel.mid", "-o", "x.mid", "--frob"], "--frob"),
    (["convert", "reel.mid", "-o", "x.mid", "--tuning", "open-x"], "open-g"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo"], "--capo"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo", "two"], "'two'"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo", "-1"], "--capo"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo", "99999999999999999999"], "--capo"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo", "12", "--frets", "12"], "--capo"),
    (["convert", "reel.mid", "-o", "x.mid", "--capo", "25"], "--frets"),
    (["convert", "reel.mid", "-o", "x.mid", "--fifth-capo", "4"], "--fifth-capo"),
    (["convert", "reel.mid", "-o", "x.mid", "--frets", "2"], "--frets"),
    (["convert", "reel.mid", "-o", "x.mid", "--transpose", "up"], "auto"),
    (["convert", "reel.mid", "-o", "x.mid", "--transpose", "1.5"], "--transpose"),
    (["convert", "reel.mid", "-o", "x.mid", "--refinger", "some"], "missing, all or frets-only"),
    (["convert", "reel.mid", "-o", "x.mid", "--grid", "16"], "1/16"),
    (["convert", "reel.mid", "-o", "x.mid", "--grid", "1/0"], "--grid"),
    (["convert", "reel.mid", "-o", "x.mid", "--grid", "1/7"], "1/24 for triplets of sixteenths"),
    (["convert", "reel.mid", "-o", "x.mid", "--grid", "1/1024"], "1/512"),
    (["convert", "reel.mid", "-o", "x.mid", "--unit", "16"], "1/16"),
    (["convert", "reel.mid", "-o", "x.mid", "--unit", "1/7"], "--unit"),
    (["convert", "reel.mid", "-o", "x.mid", "--pickup", "1"],
     "a pickup of 1 (in whole notes) does not fit into a first measure of 4/4"),
    (["convert", "reel.mid", "-o", "x.mid", "--tuning", "open-x"], "modal-g or sawmill (gDGCD)"),
    (["convert", "reel.mid", "-o", "x.mid", "--pickup", "1/0"], "--pickup"),
    (["convert", "reel.mid", "-o", "x.mid", "--pickup", "one"], "1/8"),
    (["convert", "reel.mid", "-o", "x.mid", "--grid", "-1/8"], "--grid"),
    (["convert", "reel.mid", "-o", "x.mid", "--meter", "6/7"], "such as 4/4, 3/4 or 6/8"),
    (["convert", "reel.mid", "-o", "x.mid", "--meter", "0/4"], "--meter"),
    (["convert", "reel.mid", "-o", "x.mid", "--max-bytes", "lots"], "256M"),
    (["convert", "reel.mid", "-o", "x.mid", "--max-bytes", "0"], "--max-bytes"),
    (["convert", "reel.mid", "-o", "x.mid", "--max-bytes", "99999999999G"], "--max-bytes"),
    (["convert", "reel.mid", "-o", "x.mid", "--jobs", "0"], "--jobs"),
    (["convert", "reel.mid", "-o", "x.mid", "--part", "Bassoon"], "Bassoon"),
    (["convert", "reel.mid", "-o", "x.mid", "--part", "7"], "7"),
    (["convert", "reel.mid", "-o", "x.xml", "--staves", "three"], "both, notation or tab"),
    (["convert", "reel.mid", "-o", "x.xml", "--fifth-frets", "bridge"], "long-nut or own-nut"),
    (["convert", "reel.mid", "-o", "x.xml", "--key", "H"], "'D mixolydian'"),
    (["convert", "reel.mid", "-o", "x.xml", "--picking-fingers", "toes"], "technical or lyrics"),
    (["convert", "reel.mid", "-o", "x.mid", "--picking-fingers", "lyrics"], "--picking-fingers is for MusicXML"),
    (["convert", "reel.mid", "-o", "x.txt", "--width", "10"], "--width"),
    (["convert", "reel.mid", "-o", "x.mid", "--staves", "tab"], "--staves is for MusicXML"),
    (["convert", "reel.mid", "-o", "x.mid", "--fifth-frets", "own-nut"], "--fifth-frets is for MusicXML"),
    (["convert", "reel.mid", "-o", "x.xml", "--channel-per-string"], "--channel-per-string is for MIDI"),
    (["convert", "reel.mid", "-o", "x.xml", "--no-repeats"], "--no-repeats is for MIDI"),
    (["convert", "reel.mid", "-o", "x.xml", "--width", "80"], "--width is for text tab"),
    (["convert", "reel.mid", "-o", "x.mid", "--roles"], "--roles is for text tab"),
    (["show", "reel.mid", "lick.musicxml"], "one input"),
    (["show", "reel.mid", "--width", "wide"], "--width"),
    (["show", "reel.mid", "--part", "Bassoon"], "Bassoon"),
    (["convert", "reel.mid", "-o", "x.mid", "--force", "--skip-existing"], "--force and --skip-existing"),
    (["describe", "reel.mid", "--json", "--part"], "--part"),
    (["advise", "--json"], "no input"),
    (["check", "reel.mid", "--json", "--only", "nonsense"], "nonsense"),
    (["show", "reel.mid", "--only", "tune"], "melody, fill, drone, lick, kick-off or backup"),
    (["convert", "reel.mid", "-o", "x.mid", "--only", "melody"], "does not say what its notes are for"),
    (["find"], "no input given; name a folder of licks"),
    (["find", "-"], "not into standard input"),
    (["find", ".", "--from", "H"], "give one such as G, Am or D7"),
    (["find", ".", "--to", "N.C."], "give one such as G, Am or D7"),
    (["find", ".", "--key", "H"], "'D mixolydian'"),
    (["find", ".", "--beats", "0"], "such as 4, 3.5 or 10/3"),
    (["find", ".", "--beats", "four"], "such as 4, 3.5 or 10/3"),
    (["find", ".", "--beats", "3.333"], "such as 4, 3.5 or 10/3"),
    (["find", ".", "--beats", "99999999999999999999"], "such as 4, 3.5 or 10/3"),
    (["find", ".", "--frets", "12-5"], "such as 5-9"),
    (["find", ".", "--frets", "40"], "or one, such as 5"),
    (["find", ".", "--frets", "low"], "or one, such as 5"),
    (["find", ".", "--tuning", "open-q"], "unknown tuning 'open-q'; choose open-g"),
    (["find", ".", "--technique", "slide,whistle"], "'whistle' is not a technique; choose hammer-on, pull-off, slide"),
    (["find", ".", "--technique", ","], "such as slide,pinch"),
    (["find", ".", "--style", "auto"], "roll, melodic, single-string or clawhammer"),
    (["find", ".", "--use", "solo"], "fill-in, walk-up, segue, turnaround, tag, ending, kick-off or low-to-high"),
    (["find", ".", "--level", "6"], "1 to 5"),
    (["find", ".", "--level", "3-2"], "such as 1-3"),
    (["find", ".", "--level", "easy"], "such as 1-3"),
    (["find", ".", "--json", "--files"], "either --json or names of files"),
    (["find", ".", "--like"], "--like"),
    (["describe", "-", "-"], "standard input (-) can be read only once"),
    (["describe", "reel.mid", "--part", "Bassoon"], "Bassoon"),
    (["describe", "reel.mid", "--transpose", "2"], "--transpose"),
]


@pytest.mark.parametrize("arguments, named", WRONG, ids=lambda value: " ".join(value) if isinstance(value, list) else "")
def test_wrong_usage(fifthpeg, tmp_path, reel, lick, arguments, named, valid):
    before = names(tmp_path)
    result = fifthpeg(*arguments)
    assert result.status == 2
    if "--json" in arguments:  # whoever reads JSON gets some
        answer = valid(result.out, "failure")
        assert answer["status"] == 2 and named in answer["error"]["what"]
    else:
        assert result.out == b""
    # One line, of ours, that names what is wrong.
    assert len(result.err.splitlines()) == 1 == len(result.errors), result.err
    assert named in result.err
    assert names(tmp_path) == before


def test_source_date_epoch_that_is_none(fifthpeg, tmp_path, reel):
    for wrong in ("yesterday", "-1", "12.5", "999999999999999"):
        result = fifthpeg("convert", reel, "-o", "x.xml", env={"SOURCE_DATE_EPOCH": wrong})
        assert result.status == 2 and "SOURCE_DATE_EPOCH" in result.err
    assert names(tmp_path) == ["reel.mid"]


def test_options_may_stand_anywhere_and_names_may_begin_with_a_hyphen(fifthpeg, tmp_path, reel):
    reel.rename(tmp_path / "-reel.mid")
    assert fifthpeg("convert", "-o", "x.mid", "--capo=2", "--", "-reel.mid").status == 0
    assert (tmp_path / "x.mid").exists()


def test_nothing_is_open_but_the_program_still_ends_properly(fifthpeg, reel):
    """Standard descriptors that are closed are not taken for files."""
    import subprocess

    from conftest import PROGRAM

    for closed in ("<&-", ">&-", "2>&-", "<&- >&- 2>&-"):
        done = subprocess.run(
            ["sh", "-c", f'"$0" convert "$1" -o out.mid --force {closed}', PROGRAM, reel],
            cwd=reel.parent, capture_output=True, timeout=60, check=False,
        )
        assert done.returncode == 0, closed
        assert (reel.parent / "out.mid").read_bytes().startswith(b"MThd")
        (reel.parent / "out.mid").unlink()
    done = subprocess.run(
        ["sh", "-c", '"$0" show "$1" >&-', PROGRAM, reel], capture_output=True, timeout=60, check=False
    )
    assert done.returncode == 4
    assert b"standard output" in done.stderr


@pytest.mark.parametrize("option,name,other", [
    ("--style", "clawhammer", "frailing"), ("--style", "roll", "three-finger"), ("--style", "single-string", "singleString"),
    ("--tuning", "open-g", "openG"), ("--tuning", "open-g", "Open G"), ("--tuning", "modal-g", "mountain-minor"),
    ("--tuning", "aDADE", "double-d"), ("--tuning", "c", "Drop C")])
def test_names_of_the_trade(fifthpeg, option, name, other):
    tune = ROOT / "fixtures" / "soldiers-joy.mid"
    shown = fifthpeg("show", tune, option, other)
    assert shown.status == 0 and shown.out == fifthpeg("show", tune, option, name).out


def test_version_as_a_word(fifthpeg):
    assert fifthpeg("version").out == fifthpeg("--version").out


def test_help_takes_one_command(fifthpeg):
    result = fifthpeg("help", "show", "me")
    assert result.status == 2 and "help takes one command, not 'me' as well" in result.err


def test_limit_is_another_name_of_most(fifthpeg):
    tune = ROOT / "fixtures" / "soldiers-joy.mid"
    assert fifthpeg("advise", tune, "--limit", "2").out == fifthpeg("advise", tune, "--most", "2").out
    assert "--most" in fifthpeg("advise", tune, "--limit", "none").err


def test_beats_are_numbers_too(fifthpeg):
    described = json.loads(fifthpeg("describe", ROOT / "fixtures" / "lick-slide.musicxml", "--json").out)
    tempo, = described["music"]["tempos"]
    assert tempo["beat"] == "4" and tempo["beat_number"] == 4


@pytest.mark.parametrize("line,meant", [
    (["show", "x.mid", "--tunning", "open-g"], "unknown option '--tunning'; perhaps --tuning was meant"),
    (["convert", "x.mid", "--ouptut=y.mid"], "unknown option '--ouptut=y.mid'; perhaps --output was meant"),
    (["shwo", "x.mid"], "unknown command 'shwo'; perhaps show was meant"),
    (["show", "x.mid", "--title", "Reel"], "--title is an option of convert; see"),
    (["show", "x.mid", "--zither"], "unknown option '--zither'; see"),
    (["zither", "x.mid"], "unknown command 'zither'; choose convert, arrange, show")])
def test_what_was_meant(fifthpeg, line, meant):
    result = fifthpeg(*line)
    assert result.status == 2 and meant in result.err
