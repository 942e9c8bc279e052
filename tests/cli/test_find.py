"""`find`: licks in folders by what they do. What it lists is held against what `describe` says of each file."""

import json
import os
import re
import resource
import shutil
import subprocess
from fractions import Fraction

import pytest

import material
from conftest import PROGRAM, ROOT, names

LICKS = ROOT / "fixtures" / "licks"
SLIDE = ROOT / "fixtures" / "lick-slide.musicxml"


@pytest.fixture(scope="module")
def described():
    """What the collection of licks does, by file."""
    files = sorted(map(str, LICKS.glob("*.musicxml")))
    done = subprocess.run([PROGRAM, "describe", "--json", *files], capture_output=True, timeout=300, check=True)
    return {one["input"]: one["lick"] for one in json.loads(done.stdout)["files"]}


def found(fifthpeg, valid, *arguments, status=0):
    result = fifthpeg("find", *arguments, "--json")
    assert result.status == status, result.err
    document = valid(result.out, "find")
    assert document["status"] == status
    return document


def inputs(document):
    return [lick["input"] for lick in document["licks"]]


# ---- what is found ---------------------------------------------------------------------------------

STEPS = dict(C=0, D=2, E=4, F=5, G=7, A=9, B=11)


def tone(name):
    return STEPS[name[0]] + name.count("#") - name[1:].count("b")


def chord(text):
    """The root, and whether the third is minor; of chords that are major, minor or sevenths."""
    root, kind = re.fullmatch(r"([A-G][#b]*)(m|m7|7|maj7|6|)", text.split("/")[0]).groups()
    return tone(root), kind.startswith("m") and not kind.startswith("maj")


def is_chord(has, asked, moved):
    (root, minor), (wanted, wanted_minor) = chord(has), chord(asked)
    return (root + moved - wanted) % 12 == 0 and minor == wanted_minor


def leads(lick, start=None, end=None, moved=0):
    return (start is None or is_chord(lick["from"], start, moved)) and (end is None or is_chord(lick["to"], end, moved))


def in_key(lick, start=None, end=None, key="G"):
    """Tonic on tonic; or as the relative major of a minor key stands in a major one."""
    name, mode = lick["key"].split()
    minor = mode in ("minor", "dorian", "aeolian", "phrygian", "locrian")
    moves = [tone(key) - tone(name)] + ([tone(key) - tone(name) - 3] if minor else [])
    return any(leads(lick, start, end, moved) for moved in moves)


ASKED = [
    ("--beats 4", lambda lick: 3 < Fraction(lick["beats"]) <= 4),
    ("--beats 3.5", lambda lick: 2.5 < Fraction(lick["beats"]) <= 3.5),
    ("--beats 8", lambda lick: 7 < Fraction(lick["beats"]) <= 8),
    ("--frets 1-5", lambda lick: lick["frets"] is None or 1 <= lick["frets"]["lowest"] <= lick["frets"]["highest"] <= 5),
    ("--frets 5-12", lambda lick: lick["frets"] is None or 5 <= lick["frets"]["lowest"] <= lick["frets"]["highest"] <= 12),
    ("--frets 2", lambda lick: lick["frets"] is None or lick["frets"]["lowest"] == lick["frets"]["highest"] == 2),
    ("--frets 0", lambda lick: lick["frets"] is None),
    ("--technique slide", lambda lick: "slide" in lick["techniques"]),
    ("--technique hammer-on,pinch", lambda lick: {"hammer-on", "pinch"} <= set(lick["techniques"])),
    ("--technique grace-note", lambda lick: "grace note" in lick["techniques"]),
    *[(f"--style {style}", lambda lick, style=style: lick["style"] == style)
      for style in ("roll", "melodic", "single-string", "clawhammer")],
    *[(f"--use {use}", lambda lick, use=use: use == lick["uses"][0]["use"])
      for use in ("fill-in", "walk-up", "segue", "turnaround", "tag", "ending", "kick-off", "low-to-high")],
    ("--level 1-2", lambda lick: lick["difficulty"]["level"] <= 2),
    ("--level 3", lambda lick: lick["difficulty"]["level"] == 3),
    # Without a key the chords are in G; those that sound as asked answer, and the same steps in any key.
    ("--from G --to C", lambda lick: leads(lick, "G", "C") or in_key(lick, "G", "C")),
    ("--from D7 --to G", lambda lick: leads(lick, "D7", "G") or in_key(lick, "D7", "G")),
    ("--from Em", lambda lick: leads(lick, "Em") or in_key(lick, "Em")),
    ("--to G", lambda lick: leads(lick, end="G") or in_key(lick, end="G")),
    ("--from D --to G --key D", lambda lick: in_key(lick, "D", "G", "D")),
    ("--from A --to D --key D", lambda lick: in_key(lick, "A", "D", "D")),
    ("--key A", lambda lick: True),
    ("--from C --beats 4 --level 1-3 --style roll",
     lambda lick: (leads(lick, "C") or in_key(lick, "C")) and 3 < Fraction(lick["beats"]) <= 4
     and lick["difficulty"]["level"] <= 3 and lick["style"] == "roll"),
]


@pytest.mark.parametrize("asked, wanted", ASKED, ids=[asked for asked, _ in ASKED])
def test_what_describe_says_of_each(fifthpeg, valid, described, asked, wanted):
    document = found(fifthpeg, valid, LICKS, *asked.split())
    assert set(inputs(document)) == {name for name, lick in described.items() if wanted(lick)}
    assert len(inputs(document)) == len(set(inputs(document)))
    assert document["searched"] == len(described)
    for lick in document["licks"]:
        assert lick["lick"] == described[lick["input"]]
    ranks = [(lick["rank"], lick["lick"]["difficulty"]["level"], lick["input"]) for lick in document["licks"]]
    assert ranks == sorted(ranks)
    assert all((lick["rank"] == 0) == (lick["reasons"] == []) for lick in document["licks"])


def test_enough_is_asked(described):
    """The collection has some and has others, for nearly all that is asked above."""
    one_sided = [asked for asked, wanted in ASKED
                 if len({wanted(lick) for lick in described.values()}) < 2]
    assert len(one_sided) <= 4, one_sided


def test_nothing_asked_is_all(fifthpeg, valid, described):
    assert set(inputs(found(fifthpeg, valid, LICKS))) == set(described)


def test_the_key_asked_for(fifthpeg, valid, described):
    document = found(fifthpeg, valid, LICKS, "--from", "D", "--to", "G", "--key", "D")
    assert document["licks"]
    for lick in document["licks"]:
        facts = lick["lick"]
        name, mode = facts["key"].split()
        if mode == "major":
            assert (tone(name) + lick["half_steps"] - tone("D")) % 12 == 0 and -5 <= lick["half_steps"] <= 6
        capo = (facts["capo"] + lick["half_steps"]) % 12
        assert lick["capo"] == (capo if capo <= 7 else None)
    text = fifthpeg("find", LICKS, "--from", "D", "--to", "G", "--key", "D").out.decode()
    in_g = [line for line in text.splitlines() if " in G major" in line]
    assert in_g and all("capo 7" in line for line in in_g)


def test_the_relative_key_comes_last_and_says_so(fifthpeg, valid):
    for key, relative, mode in (("D", "B minor", "major"), ("Am", "C major", "minor")):
        licks = found(fifthpeg, valid, LICKS, "--key", key)["licks"]
        # Of modes, E mixolydian is with the major keys and A dorian with the minor ones.
        major = [lick["lick"]["key"].split()[1] in ("major", "mixolydian", "lydian") for lick in licks]
        in_key = [is_major == (mode == "major") for is_major in major]
        assert 0 < sum(in_key) < len(licks) and in_key == sorted(in_key, reverse=True), key
        for lick, is_in_key in zip(licks, in_key):
            assert any("it sounds in" in reason for reason in lick["reasons"]) != is_in_key, lick["input"]
        said = [lick["reasons"] for lick in licks if lick["lick"]["key"].split()[1] in ("major", "minor")]
        assert sum(f"it sounds in {relative}" in reasons for reasons in said) > 0
    line, = [line for line in fifthpeg("find", LICKS, "--use", "kick-off", "--key", "D").out.decode().splitlines()
             if "in A minor" in line]
    assert line.endswith("; it sounds in B minor, capo 4")


def test_tunings(fifthpeg, valid, tmp_path):
    shutil.copy(SLIDE, tmp_path / "g.musicxml")
    assert fifthpeg("convert", SLIDE, "-o", "c.musicxml", "--tuning", "double-c").status == 0
    assert fifthpeg("convert", SLIDE, "-o", "own.musicxml", "--tuning", "gDGBE").status == 0
    lines = {line.split(":")[0]: line for line in fifthpeg("find", ".").out.decode().splitlines()}
    assert ", roll, in double C (gCGCD), fret" in lines["./c.musicxml"] and "tuning" not in lines["./g.musicxml"]
    assert "in gDGBE" in lines["./own.musicxml"] and "(gDGBD)" not in lines["./g.musicxml"]
    for asked, file in (("double-c", "c"), ("gCGCD", "c"), ("open G", "g"), ("gDGBE", "own")):
        assert inputs(found(fifthpeg, valid, ".", "--tuning", asked)) == [f"./{file}.musicxml"], asked
    tunings = {lick["input"]: lick["tuning"] for lick in found(fifthpeg, valid, ".")["licks"]}
    assert tunings == {"./g.musicxml": "gDGBD", "./c.musicxml": "gCGCD", "./own.musicxml": "gDGBE"}
    assert found(fifthpeg, valid, ".", "--tuning", "sawmill")["searched"] == 3


def test_moved_where_no_capo_reaches(fifthpeg):
    line, = fifthpeg("find", SLIDE, "--key", "F").out.decode().splitlines()
    assert "moved down 2 half steps" in line
    line, = fifthpeg("find", SLIDE, "--key", "A").out.decode().splitlines()
    assert line.endswith("; capo 2")


# ---- likeness --------------------------------------------------------------------------------------


@pytest.fixture
def copies(fifthpeg, tmp_path):
    """A lick, the same with a capo, in another key, in other formats, and another one."""
    folder = tmp_path / "licks"
    folder.mkdir()
    shutil.copy(SLIDE, folder / "slide.musicxml")
    shutil.copy(ROOT / "fixtures" / "lick-choke.musicxml", folder / "choke.musicxml")
    for name, *options in [("capo.musicxml", "--capo", "2"), ("in-c.musicxml", "--key", "C"), ("zipped.mxl",),
                           ("tab.txt",)]:
        assert fifthpeg("convert", SLIDE, "-o", folder / name, *options).status == 0
    return folder


def test_the_likest_first(fifthpeg, valid, copies):
    document = found(fifthpeg, valid, copies, "--like", SLIDE)
    alike = {os.path.basename(lick["input"]): lick["likeness"] for lick in document["licks"]}
    assert {name for name, likeness in alike.items() if likeness == 1} >= {
        "slide.musicxml", "capo.musicxml", "in-c.musicxml", "zipped.mxl"}
    assert alike["tab.txt"] > 0.9
    assert list(alike.values()) == sorted(alike.values(), reverse=True)
    text = fifthpeg("find", copies, "--like", SLIDE).out.decode()
    assert text.count("; 100 % alike") >= 4


def test_what_is_less_than_half_alike_is_not_listed(fifthpeg, valid):
    frailed = LICKS / "tag-g-frailed.musicxml"
    document = found(fifthpeg, valid, LICKS, "--like", frailed)
    less = document["passed_over"]["less_alike"]
    assert document["searched"] == len(document["licks"]) + less and less > len(document["licks"]) > 0
    assert all(lick["likeness"] >= 0.5 for lick in document["licks"])
    for form in ([], ["--files"]):
        result = fifthpeg("find", LICKS, "--like", frailed, *form)
        assert len(result.out.splitlines()) == len(document["licks"])
        assert result.err == f"{less} other licks are less than half alike\n"
    # What does not answer is not counted.
    asked = found(fifthpeg, valid, LICKS, "--like", frailed, "--style", "melodic")
    assert 0 < asked["passed_over"]["less_alike"] < less
    result = fifthpeg("find", ROOT / "fixtures" / "lick-choke.musicxml", "--like", frailed)
    assert (result.status, result.out, result.err) == (0, b"", "1 lick is less than half alike\n")


def test_licks_that_are_written_twice(fifthpeg, valid, copies):
    document = found(fifthpeg, valid, copies)
    same = {os.path.basename(lick["input"]): lick["same_as"] and os.path.basename(lick["same_as"])
            for lick in document["licks"]}
    assert same["choke.musicxml"] is None
    first = next(name for name in same if name not in ("choke.musicxml", "tab.txt"))
    assert {name for name, of in same.items() if of == first} >= (
        {"slide.musicxml", "capo.musicxml", "in-c.musicxml", "zipped.mxl"} - {first})
    assert same[first] is None
    text = fifthpeg("find", "licks").out.decode()
    assert text.count(f"the same as licks/{first}") >= 3


def test_a_lick_that_others_are_to_be_like_must_be_one(fifthpeg, tmp_path, copies):
    (tmp_path / "empty.musicxml").write_bytes(material.xml_score('<note><rest/><duration>4</duration></note>'))
    for name, says in [("nowhere.mid", "No such file"), ("licks", "is a directory"), ("empty.musicxml", "no notes")]:
        result = fifthpeg("find", "licks", "--like", name)
        assert result.status == 3 and result.out == b""
        assert result.err.startswith(f"fifthpeg: {name}: ") and says in result.err and len(result.err.splitlines()) == 1


# ---- names of files --------------------------------------------------------------------------------


def test_names_alone(fifthpeg, valid, copies):
    listed = fifthpeg("find", "licks", "--files")
    assert listed.status == 0 and listed.err == ""
    assert listed.out.decode().splitlines() == inputs(found(fifthpeg, valid, "licks"))
    assert fifthpeg("find", "licks", "-0").out == listed.out.replace(b"\n", b"\0")
    assert fifthpeg("find", "licks", "--nul", "--files").out == listed.out.replace(b"\n", b"\0")


def test_names_for_a_sheet(tmp_path, copies):
    subprocess.run(["sh", "-c", '"$0" sheet $("$0" find licks --technique slide --files) -o week.pdf', PROGRAM],
                   cwd=tmp_path, timeout=60, check=True, capture_output=True)
    assert (tmp_path / "week.pdf").read_bytes().startswith(b"%PDF")


ODD = ["a lick.musicxml", "two\nlines.musicxml", "\x1b[31mred.musicxml", "-q.musicxml", "\udcff.musicxml", "*.musicxml",
       "' \".musicxml"]


@pytest.fixture
def odd(tmp_path):
    folder = tmp_path / "odd names"
    folder.mkdir()
    for name in ODD:
        shutil.copy(SLIDE, folder / name)
    return folder


def test_odd_names(fifthpeg, tmp_path, odd):
    text = fifthpeg("find", odd).out
    assert len(text.splitlines()) == len(ODD) and b"\x1b" not in text
    nul = fifthpeg("find", "odd names", "-0")
    assert nul.err == ""
    assert sorted(nul.out.split(b"\0")) == sorted([b"", *[b"odd names/" + os.fsencode(name) for name in ODD]])
    lines = fifthpeg("find", "odd names", "--files")
    assert "left out 1 file with a line end in the name; -0 prints it too" in lines.err
    assert sorted(lines.out.splitlines()) == sorted(
        b"odd names/" + os.fsencode(name) for name in ODD if "\n" not in name)
    done = subprocess.run(["sh", "-c", '"$0" find "odd names" -0 | xargs -0 "$0" describe --json', PROGRAM],
                          cwd=tmp_path, capture_output=True, timeout=60, check=True)
    assert len(json.loads(done.stdout)["files"]) == len(ODD)


# ---- what is in folders ----------------------------------------------------------------------------


def test_folders_in_folders(fifthpeg, tmp_path, copies):
    (copies / "week 1" / "monday").mkdir(parents=True)
    (copies / "slide.musicxml").rename(copies / "week 1" / "monday" / "Slide.MUSICXML")
    (copies / ".hidden").mkdir()
    (copies / ".hidden" / "x.musicxml").write_text("x")
    (copies / ".x.musicxml").write_text("x")
    listed = fifthpeg("find", "licks", "--files")
    assert listed.status == 0 and listed.err == ""
    assert "licks/week 1/monday/Slide.MUSICXML" in listed.out.decode().splitlines()
    assert b"hidden" not in listed.out and len(listed.out.splitlines()) == 6


def test_files_and_folders(fifthpeg, copies):
    listed = fifthpeg("find", SLIDE, "licks", "--files").out.decode().splitlines()
    assert str(SLIDE) in listed and "licks/choke.musicxml" in listed and len(listed) == 7
    # What is named is read by its content, as everywhere.
    (copies / "slide.musicxml").rename(copies / "slide")
    assert fifthpeg("find", "licks/slide", "--files").out == b"licks/slide\n"


def test_what_else_is_in_a_folder(fifthpeg, valid, copies):
    (copies / "notes.txt").write_text("Learn these by Friday.\n")
    (copies / "chart.txt").write_text("| G | C | D | G |\n")
    (copies / "settings.xml").write_text("<settings/>")
    (copies / "cover.pdf").write_text("%PDF-1.4")
    (copies / "empty.txt").write_text("")
    result = fifthpeg("find", "licks")
    assert (result.status, result.err) == (0, "")  # nobody misses them
    result = fifthpeg("find", "licks", "--beats", "1/48")
    assert result.err == "passed over 5 files of other kinds\nnone of the 6 licks there does what is asked\n"
    assert found(fifthpeg, valid, "licks")["passed_over"] == {
        "other_kinds": 5, "too_long": 0, "less_alike": 0, "linked_folders": 0}
    assert fifthpeg("find", "licks", "--quiet").err == ""


def test_the_answer_may_be_written_into_the_folder(tmp_path, copies):
    for name in ("answer.txt", "answer.json"):
        for _ in range(2):
            done = subprocess.run(["sh", "-c", f'"$0" find licks > licks/{name}', PROGRAM], cwd=tmp_path,
                                  capture_output=True, timeout=60, check=False)
            assert done.returncode == 0, done.stderr
            assert len((copies / name).read_text().splitlines()) == 6


def test_tunes_are_no_licks(fifthpeg, valid, tmp_path):
    (tmp_path / "long.mid").write_bytes(material.long_reel(17))
    (tmp_path / "short.mid").write_bytes(material.long_reel(16))
    result = fifthpeg("find", ".")
    assert result.status == 0 and result.err == "passed over 1 piece of more than 16 measures\n"
    assert [line.split(":")[0] for line in result.out.decode().splitlines()] == ["./short.mid"]
    assert found(fifthpeg, valid, ".")["passed_over"]["too_long"] == 1


def test_files_that_cannot_be_read_are_listed_at_the_end(fifthpeg, valid, copies):
    (copies / "a-empty.mid").write_bytes(b"")
    (copies / "a-empty.musicxml").write_bytes(b"")
    (copies / "a-cut.musicxml").write_bytes(SLIDE.read_bytes()[:700])
    (copies / "a-rests.musicxml").write_bytes(material.xml_score('<note><rest/><duration>4</duration></note>'))
    (copies / "a-folder.mid").mkdir()
    os.symlink("nowhere", copies / "a-gone.mid")
    os.mkfifo(copies / "a-pipe.mid")
    result = fifthpeg("find", "licks")
    assert result.status == 3 and len(result.out.splitlines()) == 6
    bad = ["a-cut.musicxml", "a-empty.mid", "a-empty.musicxml", "a-folder.mid", "a-gone.mid", "a-pipe.mid", "a-rests.musicxml"]
    assert [line.split(": ")[1] for line in result.errors] == [f"licks/{name}" for name in bad]
    assert "empty" in result.errors[1] and "is a directory" in result.errors[3] and "no notes" in result.errors[6]
    document = found(fifthpeg, valid, "licks", status=3)
    assert [failure["input"] for failure in document["failures"]] == [f"licks/{name}" for name in bad]
    assert len(document["licks"]) == 6 == document["searched"]


def test_what_no_banjo_plays_is_said(fifthpeg, valid, tmp_path):
    chord = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(material.midi(material.voice("Banjo", chord)))
    drums = [(at, 0.5, 38) for at in range(8)]
    (tmp_path / "drums.mid").write_bytes(material.midi(material.voice("Drums", drums, channel=10, program=1)))
    shutil.copy(SLIDE, tmp_path)
    document = found(fifthpeg, valid, ".", status=1)
    assert inputs(document) == ["./lick-slide.musicxml"]
    assert [failure["input"] for failure in document["failures"]] == ["./chord.mid", "./drums.mid"]


def test_links(fifthpeg, copies):
    os.symlink(".", copies / "again")
    os.symlink("..", copies / "up")
    os.symlink("slide.musicxml", copies / "linked.musicxml")
    result = fifthpeg("find", "licks", "--files")
    assert result.status == 0
    assert result.err == "did not follow 2 links to folders; name them to have them searched\n"
    assert len(result.out.splitlines()) == 7 and b"licks/linked.musicxml\n" in result.out
    assert len(fifthpeg("find", "licks/again", "--files").out.splitlines()) == 7


def test_folders_without_licks(fifthpeg, valid, tmp_path):
    (tmp_path / "none" / "deeper").mkdir(parents=True)
    result = fifthpeg("find", "none")
    assert (result.status, result.out, result.err) == (0, b"", "there are no licks there\n")
    assert found(fifthpeg, valid, "none")["licks"] == []
    (tmp_path / "none" / "read me.md").write_text("x")
    assert fifthpeg("find", "none").err == "passed over 1 file of another kind\nthere are no licks there\n"


def test_no_answer(fifthpeg, valid, copies):
    result = fifthpeg("find", "licks", "--from", "C#m", "--to", "F#dim")
    assert (result.status, result.out) == (0, b"")
    assert result.err == "none of the 6 licks there does what is asked\n"
    assert fifthpeg("find", "licks", "--beats", "1/48", "--files").out == b""
    assert fifthpeg("find", SLIDE, "--beats", "1/48").err == "the one lick there does not do what is asked\n"
    assert found(fifthpeg, valid, "licks", "--beats", "1/48")["searched"] == 6


def test_folders_that_do_not_exist(fifthpeg, valid, copies):
    result = fifthpeg("find", "nowhere", "licks")
    assert result.status == 3 and len(result.out.splitlines()) == 6
    assert len(result.errors) == 1 and "nowhere" in result.err and "check the name" in result.err
    assert found(fifthpeg, valid, "nowhere", status=3)["licks"] == []


def test_folders_that_may_not_be_read(as_nobody, open_folder):
    (open_folder / "licks" / "closed").mkdir(parents=True)
    shutil.copy(SLIDE, open_folder / "licks")
    (open_folder / "licks" / "closed").chmod(0)
    result = as_nobody("find", "licks")
    assert result.status == 3 and len(result.out.splitlines()) == 1
    assert len(result.errors) == 1 and "licks/closed" in result.err and "ermission" in result.err
    result = as_nobody("find", "licks/closed")
    assert result.status == 3 and len(result.errors) == 1 and "ermission" in result.err


def test_ten_thousand_files(fifthpeg, valid, tmp_path):
    folder = tmp_path / "many"
    folder.mkdir()
    for at in range(10_000):
        (folder / f"{at}.{'txt' if at % 2 else 'jpeg'}").write_text("Learn this by Friday.")
    for at in range(20):
        shutil.copy(SLIDE, folder / f"{at}.musicxml")
    document = found(fifthpeg, valid, "many")
    assert document["passed_over"]["other_kinds"] == 10_000 and len(inputs(document)) == 20
    assert len({lick["same_as"] for lick in document["licks"]}) == 2


def test_few_files_are_open_at_a_time(fifthpeg, tmp_path):
    folder = tmp_path
    for at in range(100):
        folder = folder / "d"
        folder.mkdir()
        shutil.copy(SLIDE, folder)
    result = fifthpeg("find", ".", "--files",
                      preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (32, 32)))
    assert result.status == 0 and len(result.out.splitlines()) == 100


def test_the_number_of_jobs_changes_nothing(fifthpeg, copies):
    assert fifthpeg("find", LICKS, copies, "--jobs", "1").out == fifthpeg("find", LICKS, copies, "--jobs", "8").out


def test_nothing_is_written(fifthpeg, tmp_path, copies):
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    fifthpeg("find", "licks", "--like", SLIDE)
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


# ---- other commands --------------------------------------------------------------------------------


def test_a_folder_is_the_music_in_it_wherever_several_files_can_be_given(fifthpeg, valid, tmp_path, copies):
    (copies / "notes.txt").write_text("Learn these by Friday.\n")
    (copies / "deeper").mkdir()
    (copies / "choke.musicxml").rename(copies / "deeper" / "choke.musicxml")
    files = sorted(fifthpeg("find", "licks", "--files").out.decode().splitlines())
    checked = fifthpeg("check", "licks", "--json", "--skip", "teaching")
    assert [file["input"] for file in valid(checked.out, "check")["files"]] == files
    assert [file["input"] for file in valid(fifthpeg("describe", "licks", "--json").out, "files")["files"]] == files
    assert fifthpeg("sheet", "licks", "-o", "licks.pdf").status == 0
    assert fifthpeg("convert", "licks", "-d", "out", "--to", "mid").status == 0
    assert len(names(tmp_path / "out")) == len(files)
    result = fifthpeg("convert", "licks", "-o", "out.mid")
    assert result.status == 2 and "-o takes one input" in result.err


def test_a_folder_without_music_is_no_input(fifthpeg, tmp_path):
    (tmp_path / "none").mkdir()
    for command in (["check"], ["describe"], ["convert", "-d", "out", "--to", "mid"], ["sheet", "-o", "out.pdf"]):
        result = fifthpeg(*command, "none")
        assert result.status == 3 and "none: is a directory" in result.err
