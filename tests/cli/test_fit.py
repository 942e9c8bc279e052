"""fit: where licks go in a tune, and one put there. The tune has two phrases of four measures, whose last notes
are held; a lick that begins with such a note, over its chord, is where a player would put it (common practice)."""

import re
import xml.etree.ElementTree as ET

import pytest

from conftest import ROOT, names
from material import midi_notes, xml_note, xml_score

# What strings and frets sound in open G.
PITCHES = {"3:0": ("G", 3), "3:2": ("A", 3), "2:0": ("B", 3), "2:1": ("C", 4), "1:0": ("D", 4), "5:0": ("G", 4)}
TUNE = ["G 3:0 3:2 2:0 3:0", "C 2:1 2:0 3:2 3:0", "G 2:0 3:2 2:0 1:0", "2:0*4",
        "3:0 3:2 2:0 3:0", "C 2:1 2:0 3:2 3:0", "D 2:0 3:2 3:0 3:2", "G 3:0*4"]


def measure(words):
    """Quarters, or * that many; a letter is a chord."""
    text = ""
    for word in words.split():
        if word in "CDG":
            text += f"<harmony><root><root-step>{word}</root-step></root><kind>major</kind></harmony>"
            continue
        place, _, times = word.partition("*")
        string, fret = place.split(":")
        text += xml_note(*PITCHES[place], int(times or 1), string, fret)
    return text


def write(path, measures, change=lambda text: text):
    path.write_bytes(change(xml_score(*map(measure, measures)).decode()).encode())
    return path.name


def score(path):
    """Of each measure: what its tab says, its chords, its repeats and endings."""
    found = []
    for one in ET.parse(path).getroot().iter("measure"):
        tab = [f"{note.findtext('.//string')}:{note.findtext('.//fret')}" for note in one.iter("note")
               if note.findtext("staff") == "2" and note.find(".//string") is not None]
        signs = [ET.tostring(sign) for sign in [*one.iter("repeat"), *one.iter("ending")]]
        found.append((tab, [chord.findtext("root/root-step") for chord in one.iter("harmony")], signs))
    return found


def roles(path, number):
    one = [one for one in ET.parse(path).getroot().iter("measure") if one.get("number") == str(number)][0]
    return {role.text for role in one.iter("other-play")}


@pytest.fixture
def folder(tmp_path):
    write(tmp_path / "tune.musicxml", TUNE)
    write(tmp_path / "lick.musicxml", ["G 2:0 3:0 1:0 3:0"])
    return tmp_path


@pytest.fixture
def fit(fifthpeg, folder):
    return lambda *arguments, **options: fifthpeg("fit", *arguments, **options)


# ---- lists -------------------------------------------------------------------------------------------


def test_places_are_listed_with_reasons(fit):
    result = fit("tune.musicxml", "--licks", "lick.musicxml")
    assert result.status == 0
    lines = result.out.decode().splitlines()
    assert lines[0].startswith("measure 4, beat 1: lick.musicxml: it begins with the last note of a phrase, B3; ")
    assert "; over G; " in lines[0]


def test_json_has_its_schema(fit, valid):
    result = fit("tune.musicxml", "--licks", "lick.musicxml", "--json")
    document = valid(result.out, "fit")
    assert document["input"] == "tune.musicxml" and document["title"] == "Handout 3"
    best = document["licks"][0]["places"][0]
    assert (best["measure"], best["beat"], best["half_steps"], best["melody_notes_replaced"]) == ("4", "1", 0, 0)
    assert document["licks"][0]["why_none"] is None


def test_the_best_come_first_and_no_more_than_asked_for(fit, folder, valid):
    write(folder / "half.musicxml", ["G 3:0 2:0"])  # half a measure
    few = valid(fit("tune.musicxml", "--licks", "lick.musicxml", "half.musicxml", "--most", "1", "--json").out, "fit")
    assert [len(lick["places"]) for lick in few["licks"]] == [1, 1]
    many = valid(fit("tune.musicxml", "--licks", "half.musicxml", "--most", "100", "--json").out, "fit")
    costs = [place["cost"] for place in many["licks"][0]["places"]]
    assert len(costs) > 1 and costs == sorted(costs)


def test_of_a_folder_each_lick_has_places_or_a_reason(fit, valid):
    result = fit("tune.musicxml", "--licks", ROOT / "fixtures/licks", "--json")
    assert result.status == 0
    licks = valid(result.out, "fit")["licks"]
    assert len(licks) == len(list((ROOT / "fixtures/licks").glob("*.musicxml")))
    assert any(lick["places"] for lick in licks)
    why = {lick["lick"]: lick["why_none"] for lick in licks}
    assert why["walk-c-f-frailed.musicxml"] == "it is for double C (gCGCD), and the tune is in open G (gDGBD)"
    assert why["segue-g-em-waltz.musicxml"] == "it is in 3/4, and the tune in 4/4"


def test_nothing_found_is_said(fit, folder):
    write(folder / "away.musicxml", ["C 2:1 3:0 2:1 3:0"])
    result = fit("tune.musicxml", "--licks", "away.musicxml")
    assert result.status == 1 and result.out == b""
    assert "the lick away.musicxml has no place: the melody moves wherever the tune has its chords" in result.err
    result = fit("tune.musicxml", "--lick", "away.musicxml", "-o", "out.musicxml")
    assert result.status == 1 and "--at MEASURE puts it where you want it" in result.errors[0]
    assert "out.musicxml" not in names(folder)


def test_chords_that_are_not_there_are_found_and_that_is_said(fit, folder):
    write(folder / "bare.musicxml", [re.sub("[CDG] ", "", words) for words in TUNE])
    result = fit("bare.musicxml", "--licks", "lick.musicxml")
    assert result.status == 0 and b"measure 4, beat 1" in result.out
    assert "the tune has no chord symbols" in result.err


# ---- one put in ----------------------------------------------------------------------------------------


def test_it_is_put_in_and_nothing_else_is_changed(fit, fifthpeg, folder):
    assert fifthpeg("convert", "tune.musicxml", "-o", "before.musicxml").status == 0
    result = fit("tune.musicxml", "--lick", "lick.musicxml", "-o", "after.musicxml")
    assert result.status == 0 and "the lick is put here" in result.err and "measure 4, beat 1" in result.err
    before, after = score(folder / "before.musicxml"), score(folder / "after.musicxml")
    assert after[3][0] == ["2:0", "3:0", "1:0", "3:0"]
    assert after[:3] + after[4:] == before[:3] + before[4:] and after[3][1:] == before[3][1:]
    assert roles(folder / "after.musicxml", 4) == {"lick"}
    assert fifthpeg("check", "after.musicxml", "--min-severity", "error").status == 0


def test_a_measure_that_is_asked_for_has_it_whatever_speaks_against(fit, folder):
    result = fit("tune.musicxml", "--lick", "lick.musicxml", "--at", "2", "-o", "out.musicxml")
    assert result.status == 0
    assert "speaks against this place: measure 2 has C, and the lick is over G" in result.err
    assert "the lick stands in place of 3 notes of the melody: C4, B3, A3 (measure 2, beat 1)" in result.err
    assert score(folder / "out.musicxml")[1][:2] == (["2:0", "3:0", "1:0", "3:0"], ["C"])


def test_a_beat_can_be_asked_for(fit, folder):
    write(folder / "short.musicxml", ["G 3:0 1:0"])
    assert fit("tune.musicxml", "--lick", "short.musicxml", "--at", "8:3", "-o", "out.musicxml").status == 0
    assert score(folder / "out.musicxml")[7][0] == ["3:0", "3:0", "1:0"]


@pytest.mark.parametrize("name", ["out.musicxml", "out.mxl", "out.mid", "out.txt"])
def test_formats_are_those_of_convert(fit, folder, name):
    assert fit("tune.musicxml", "--lick", "lick.musicxml", "-o", name).status == 0
    assert (folder / name).stat().st_size > 0
    if name == "out.mid":
        assert len(midi_notes((folder / name).read_bytes())[0]) == 4 * 6 + 4 + 1
    # Not over what is there, unless asked, and never over an input.
    assert fit("tune.musicxml", "--lick", "lick.musicxml", "-o", name).status == 4
    assert fit("tune.musicxml", "--lick", "lick.musicxml", "-o", name, "--force").status == 0
    assert fit("tune.musicxml", "--lick", "lick.musicxml", "-o", "lick.musicxml", "--force").status == 2


def test_standard_output(fit):
    result = fit("tune.musicxml", "--lick", "lick.musicxml", "-o", "-", "--to", "txt", "--roles")
    assert result.status == 0 and b"l  " in result.out


def test_versions_to_compare(fit, folder, valid):
    write(folder / "half.musicxml", ["G 3:0 2:0"])
    result = fit("tune.musicxml", "--lick", "half.musicxml", "--try", "3", "-o", "version.musicxml", "--json")
    assert result.status == 0
    versions = valid(result.out, "fit")["versions"]
    assert [one["output"] for one in versions] == [f"version-{n}.musicxml" for n in (1, 2, 3)]
    assert [one["place"]["cost"] for one in versions] == sorted(one["place"]["cost"] for one in versions)
    texts = {(folder / one["output"]).read_bytes() for one in versions}
    assert len(texts) == 3 and "version-1.musicxml" in result.err
    # None is written where one is there already.
    (folder / "version-1.musicxml").unlink()
    assert fit("tune.musicxml", "--lick", "half.musicxml", "--try", "3", "-o", "version.musicxml").status == 4
    assert "version-1.musicxml" not in names(folder)


def test_fewer_places_make_fewer_versions_and_that_is_said(fit, folder):
    result = fit("tune.musicxml", "--lick", "lick.musicxml", "--try", "9", "-o", "v.musicxml")
    assert result.status == 0 and "the lick has no more places than" in result.err
    assert 1 <= len([name for name in names(folder) if name.startswith("v-")]) < 9


def ending(number, kind):
    return f'<barline location="{"left" if kind == "start" else "right"}"><ending number="{number}" type="{kind}"/>'


def in_endings(text):
    first = ending(1, "start") + "</barline>"
    last = ending(1, "stop") + '<repeat direction="backward"/></barline>'
    second, end = ending(2, "start") + "</barline>", ending(2, "discontinue") + "</barline>"
    text = re.sub(r'(<measure number="4">)(.*?)(</measure>)', rf"\1{first}\2{last}\3", text, flags=re.DOTALL)
    return re.sub(r'(<measure number="5">)(.*?)(</measure>)', rf"\1{second}\2{end}\3", text, flags=re.DOTALL)


def test_one_ending_has_it_only_where_that_is_asked_for(fit, folder):
    write(folder / "endings.musicxml", TUNE, in_endings)
    said = fit("endings.musicxml", "--lick", "lick.musicxml", "--at", "4", "-o", "out.musicxml")
    assert said.status == 1 and "--in-one-ending" in said.errors[0] and "measure 4" in said.errors[0]
    assert "out.musicxml" not in names(folder)
    assert fit("endings.musicxml", "--lick", "lick.musicxml", "--at", "4", "--in-one-ending", "-o",
               "out.musicxml").status == 0
    assert len(score(folder / "out.musicxml")[3][2]) == 3


# ---- what cannot be ------------------------------------------------------------------------------------

REFUSED = [
    (["--at", "99"], 2, "no measure 99 in the tune; its last is 8"),
    (["--at", "3:9"], 2, "no beat 9"),
    (["--at", "8:3"], 1, "the tune ends before the lick would"),
]


@pytest.mark.parametrize("where,status,words", REFUSED)
def test_places_that_are_not_there(fit, folder, where, status, words):
    result = fit("tune.musicxml", "--lick", "lick.musicxml", *where, "-o", "out.musicxml")
    assert result.status == status and len(result.errors) == 1 and words in result.errors[0]
    assert "out.musicxml" not in names(folder)


def test_what_is_no_lick(fit, folder):
    write(folder / "long.musicxml", ["G 2:0 3:0 1:0 3:0"] * 200)
    (folder / "empty.musicxml").write_bytes(
        xml_score("<note><rest/><duration>4</duration><voice>1</voice><type>whole</type></note>"))
    for name, words in ("long.musicxml", "at most 16 measures, and this has 200"), ("empty.musicxml", "no notes"):
        result = fit("tune.musicxml", "--lick", name, "--at", "4", "-o", "out.musicxml")
        assert result.status == 1 and len(result.errors) == 1, name
        assert words in result.errors[0] and name in result.errors[0]
        result = fit("tune.musicxml", "--licks", name, "lick.musicxml")
        assert result.status == 0 and words in result.err and name in result.err
    assert "out.musicxml" not in names(folder)


def test_another_tuning(fit, folder):
    lick = ROOT / "fixtures/licks/walk-c-f-frailed.musicxml"
    result = fit("tune.musicxml", "--lick", lick, "--at", "4", "-o", "out.musicxml")
    assert result.status == 1 and "double C" in result.errors[0] and "open G" in result.errors[0]


def test_a_lick_that_is_not_in_tab_is_fingered_first(fit, folder):
    bare = xml_score(measure("G 2:0 3:0 1:0 3:0")).decode()
    (folder / "bare.musicxml").write_text(re.sub("<technical>.*?</technical>", "", bare))
    result = fit("tune.musicxml", "--lick", "bare.musicxml", "--at", "4", "-o", "out.musicxml")
    assert result.status == 0 and "its strings and frets were found" in result.err
    assert len(score(folder / "out.musicxml")[3][0]) == 4


def test_what_is_offered_has_nothing_against_it_when_it_is_asked_for(fit, fifthpeg, folder, valid):
    tune = ROOT / "fixtures/boil-them-cabbage-down.mid"
    assert fifthpeg("arrange", tune, "--level", "2", "-o", "cab.musicxml").status == 0
    lick = ROOT / "fixtures/licks/tag-g-pinch.musicxml"
    best = valid(fit("cab.musicxml", "--licks", lick, "--most", "100", "--json").out, "fit")["licks"][0]["places"]
    # The last note of the first part, and that of the tune, which is struck twice.
    assert {"8", "16"} <= {place["measure"] for place in best}
    for place in best:
        asked = fit("cab.musicxml", "--lick", lick, "--at", f"{place['measure']}:{place['beat']}", "-o", "out.musicxml",
                    "--json", "--force")
        assert valid(asked.out, "fit")["versions"][0]["place"] == place
        assert place["against"] == [] and not any("what follows" in one for one in place["reasons"])


def test_a_pickup_for_which_the_tune_has_no_room(fit, folder):
    result = fit("tune.musicxml", "--lick", ROOT / "fixtures/licks/kick-g-three.musicxml", "--at", "1", "-o", "x.musicxml")
    assert result.status == 1 and "give the tune a pickup measure of 3 beats of rest" in result.errors[0]


def test_a_capo_that_would_help_is_named(fit, fifthpeg, folder):
    assert fifthpeg("convert", "tune.musicxml", "--key", "A", "--capo", "0", "-o", "in-a.musicxml").status == 0
    result = fit("in-a.musicxml", "--licks", "lick.musicxml")
    assert result.status == 1
    assert "nowhere has the tune its chords; with --capo 2 it might have one" in result.err


def test_all_music_of_a_folder_is_taken(fit, fifthpeg, folder):
    (folder / "mine").mkdir()
    for ending in ("txt", "mid"):
        assert fifthpeg("convert", "lick.musicxml", "-o", f"mine/lick.{ending}").status == 0
    (folder / "mine" / "read me.txt").write_text("for my students")
    result = fit("tune.musicxml", "--licks", "mine")
    assert result.status == 0 and "read me" not in result.err + result.out.decode()
    for ending in ("txt", "mid"):
        assert f"lick.{ending}: it begins with the last note of a phrase" in result.out.decode()


def test_a_tune_that_is_shorter_than_the_lick(fit, folder):
    write(folder / "short.musicxml", ["G 2:0*4"])
    write(folder / "two.musicxml", ["G 2:0 3:0 1:0 3:0", "2:0 3:0 1:0 3:0"])
    result = fit("short.musicxml", "--licks", "two.musicxml")
    assert result.status == 1 and "it is longer than the tune" in result.err


def test_what_cannot_be_read(fit, folder):
    (folder / "noise.musicxml").write_bytes(b"noise")
    assert fit("noise.musicxml", "--licks", "lick.musicxml").status == 3
    assert fit("tune.musicxml", "--licks", "noise.musicxml").status == 3
    assert fit("tune.musicxml", "--licks", "nothing.musicxml").status == 3


def test_a_lick_in_a_tune_of_the_fixtures(fit, fifthpeg, folder):
    """Each best place of each lick of the collection, in a tune that was arranged: sound, and without errors."""
    assert fifthpeg("arrange", ROOT / "fixtures/boil-them-cabbage-down.mid", "-o", "tune2.musicxml").status == 0
    put = 0
    for lick in sorted((ROOT / "fixtures/licks").glob("*.musicxml")):
        result = fit("tune2.musicxml", "--lick", lick, "-o", f"out-{lick.name}")
        assert result.status in (0, 1), lick.name
        if result.status == 0:
            assert fifthpeg("check", f"out-{lick.name}", "--min-severity", "error").status == 0, lick.name
            put += 1
    assert put >= 2
