"""`convert` on one input: formats, and what each option does to the music."""

import re
import struct
import xml.etree.ElementTree as ET
import zipfile

import pytest

import material
from conftest import names
from material import midi, midi_notes, musicxml, sounding, voice, xml_note, xml_score


def converted(fifthpeg, *arguments):
    result = fifthpeg("convert", *arguments)
    assert result.status == 0, result.err
    assert result.out == b""
    return result


# ---- formats ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["out.musicxml", "out.xml", "out.MusicXML"])
def test_musicxml(fifthpeg, tmp_path, reel, name):
    converted(fifthpeg, reel, "-o", name, "--transpose", "0")
    root = ET.parse(tmp_path / name).getroot()
    assert root.tag == "score-partwise" and root.get("version") == "4.0"
    assert sounding(root) == material.REEL == sounding(root, "2")
    assert len(frets(root)) == len(material.REEL)


def frets(root, staff="2"):
    return material.frets(root, staff)


def test_mxl(fifthpeg, tmp_path, reel):
    converted(fifthpeg, reel, "-o", "out.mxl", "--transpose", "0")
    with zipfile.ZipFile(tmp_path / "out.mxl") as archive:
        assert archive.testzip() is None
        assert "META-INF/container.xml" in archive.namelist()
    assert sounding(musicxml(tmp_path / "out.mxl")) == material.REEL


@pytest.mark.parametrize("name", ["out.mid", "out.midi", "OUT.MID"])
def test_midi(fifthpeg, tmp_path, lick, name):
    converted(fifthpeg, lick, "-o", name)
    data = (tmp_path / name).read_bytes()
    assert struct.unpack(">HH", data[8:12]) == (1, 2)  # format 1: a conductor and a banjo
    notes, ticks = midi_notes(data)
    assert [(tick, pitch) for tick, _, pitch in notes] == [(at * ticks, p) for at, p in enumerate([67, 67, 59, 69])]


def test_text(fifthpeg, tmp_path, reel):
    converted(fifthpeg, reel, "-o", "out.txt")
    assert (tmp_path / "out.txt").read_bytes() == fifthpeg("show", reel, "--width", "80").out


@pytest.mark.parametrize("format", ["musicxml", "mxl", "mid", "txt"])
def test_to_says_the_format_where_the_name_does_not(fifthpeg, tmp_path, reel, format):
    converted(fifthpeg, reel, "-o", "out", "--to", format)
    converted(fifthpeg, reel, "-o", f"out.{format}", "--to", format)
    assert (tmp_path / "out").read_bytes() == (tmp_path / f"out.{format}").read_bytes()


def test_there_and_back_again(fifthpeg, tmp_path, lick):
    """Strings, frets and pitches survive MusicXML, compressed MusicXML, and MIDI with a channel a string."""
    converted(fifthpeg, lick, "-o", "a.musicxml")
    converted(fifthpeg, "a.musicxml", "-o", "b.mxl")
    converted(fifthpeg, "b.mxl", "-o", "c.mid", "--channel-per-string")
    converted(fifthpeg, "c.mid", "-o", "d.musicxml")
    places = [(5, 0), (4, 17), (2, 0), (5, 7)]
    for name in ("a.musicxml", "b.mxl", "d.musicxml"):
        root = musicxml(tmp_path / name)
        assert frets(root) == places, name
        assert sounding(root) == [67, 67, 59, 69], name


@pytest.mark.parametrize("format", ["musicxml", "mxl", "mid", "txt"])
def test_same_input_same_bytes(fifthpeg, tmp_path, reel, format):
    for name in ("a", "b"):
        result = fifthpeg("convert", reel, "-o", name, "--to", format, env={"SOURCE_DATE_EPOCH": "1"})
        assert result.status == 0
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


@pytest.mark.parametrize(
    "epoch, date", [("0", "1970-01-01"), ("951782400", "2000-02-29"), ("1767225599", "2025-12-31")]
)
def test_source_date_epoch(fifthpeg, tmp_path, reel, epoch, date):
    assert fifthpeg("convert", reel, "-o", "out.musicxml", env={"SOURCE_DATE_EPOCH": epoch}).status == 0
    assert musicxml(tmp_path / "out.musicxml").findtext(".//encoding-date") == date


def test_date_of_today(fifthpeg, tmp_path, reel):
    import datetime

    before = datetime.datetime.now(datetime.timezone.utc).date()
    assert fifthpeg("convert", reel, "-o", "out.musicxml", env={"TZ": "Pacific/Kiritimati"}).status == 0
    after = datetime.datetime.now(datetime.timezone.utc).date()
    written = musicxml(tmp_path / "out.musicxml").findtext(".//encoding-date")
    assert before.isoformat() <= written <= after.isoformat()


# ---- reading ---------------------------------------------------------------------------------------


@pytest.fixture
def session(tmp_path):
    """A tune, chords of C and G7 held under it, and percussion."""
    tune = [60, 64, 67, 64, 65, 62, 59, 62]
    chords = [(0, 4, p) for p in (48, 52, 55)] + [(4, 4, p) for p in (43, 47, 50, 53)]
    beats = [(at, 0.5, 38) for at in range(8)]
    path = tmp_path / "session.mid"
    path.write_bytes(midi(
        voice("Drums", beats, channel=10, program=1),
        voice("Piano", chords, channel=2, program=1),
        voice("Mandolin", material.line(tune), channel=3, program=26),
        key=0,
    ))
    return path, tune


def test_part_is_decided_and_said(fifthpeg, tmp_path, session):
    path, tune = session
    result = converted(fifthpeg, path, "-o", "out.musicxml")
    assert sounding(musicxml(tmp_path / "out.musicxml")) == tune
    assert "decided" in result.err and "Mandolin" in result.err


@pytest.mark.parametrize("part", ["Piano", "PIANO"])
def test_part_by_name(fifthpeg, tmp_path, session, part):
    path, _ = session
    converted(fifthpeg, path, "-o", "out.mid", "--part", part)
    assert {pitch % 12 for _, _, pitch in midi_notes((tmp_path / "out.mid").read_bytes())[0]} == {0, 4, 7, 11, 2, 5}


def test_part_by_number(fifthpeg, tmp_path, session, valid):
    path, tune = session
    parts = valid(fifthpeg("describe", path, "--json").out, "describe")["file"]["parts"]
    number = next(part["number"] for part in parts if part["name"] == "Mandolin")
    converted(fifthpeg, path, "-o", "out.mid", "--part", number)
    assert [pitch for _, _, pitch in midi_notes((tmp_path / "out.mid").read_bytes())[0]] == tune


def test_all_parts_gives_chord_symbols(fifthpeg, tmp_path, session):
    path, tune = session
    converted(fifthpeg, path, "-o", "without.musicxml")
    converted(fifthpeg, path, "-o", "with.musicxml", "--all-parts")
    assert musicxml(tmp_path / "without.musicxml").find(".//harmony") is None
    root = musicxml(tmp_path / "with.musicxml")
    symbols = [(h.findtext("root/root-step"), h.findtext("kind")) for h in root.iter("harmony")]
    assert symbols == [("C", "major"), ("G", "dominant")]
    assert sounding(root) == tune


def triplets():
    third = 1 / 3
    return midi(voice("Banjo", [(beat + at * third, third, p) for beat in range(4) for at, p in enumerate((67, 71, 74))]))


def test_grid(fifthpeg, tmp_path):
    (tmp_path / "in.mid").write_bytes(triplets())
    converted(fifthpeg, "in.mid", "-o", "found.musicxml")
    converted(fifthpeg, "in.mid", "-o", "forced.musicxml", "--grid", "1/16")
    assert musicxml(tmp_path / "found.musicxml").find(".//time-modification") is not None
    root = musicxml(tmp_path / "forced.musicxml")
    assert root.find(".//time-modification") is None
    divisions = int(root.findtext(".//divisions"))
    assert all(int(note.findtext("duration")) * 4 % divisions == 0 for note in root.iter("note"))


def test_repeats_that_are_written_out(fifthpeg, tmp_path):
    """Folded only if that is asked for, and told."""
    part = [60, 62, 64, 65, 67, 69, 71, 72] * 2
    tune = part[::-1] + part  # eight measures of quarters, all of them different from their neighbors
    (tmp_path / "in.mid").write_bytes(midi(voice("Fiddle", material.line(tune * 2))))
    plain = fifthpeg("show", "in.mid", "--transpose", "0")
    assert ":|" not in plain.out.decode() and "repeat" not in plain.err
    folded = fifthpeg("show", "in.mid", "--transpose", "0", "--repeats", "fold")
    assert folded.out.decode().count(":|") == 2  # on two lines of the five
    assert "8 measures that repeat others are written with a repeat sign" in folded.err
    converted(fifthpeg, "in.mid", "-o", "out.musicxml", "--repeats", "fold")
    root = musicxml(tmp_path / "out.musicxml")
    assert len(root.findall("part/measure")) == 8
    assert [repeat.get("direction") for repeat in root.iter("repeat")] == ["backward"]
    converted(fifthpeg, "in.mid", "-o", "out.mid", "--repeats", "fold")
    assert len(midi_notes((tmp_path / "out.mid").read_bytes())[0]) == 64


def test_a_grid_without_room_for_the_notes(fifthpeg, tmp_path):
    """What it puts together is no chord: the grid is what is said to be wrong."""
    triplets = [(at / 3, 1 / 3, 50 + at % 2) for at in range(48)]  # one string has them
    (tmp_path / "jig.mid").write_bytes(midi(voice("Banjo", triplets)))
    done = fifthpeg("show", "jig.mid", "--grid", "1/8")
    assert done.status == 1
    assert done.errors[-1].endswith("a grid of 1/8 is too coarse: 16 of 48 strokes fall on the one before them; "
                                    "one of 1/12 keeps them apart")
    assert "hand" not in done.errors[-1]
    assert fifthpeg("show", "jig.mid", "--grid", "1/12").status == 0


def test_a_take_without_a_click(fifthpeg, tmp_path):
    """Its beats are found; what is said of it names the options that know better."""
    jig = [(0.31 + at * 0.3625 + 0.02 * (at * 7 % 5 - 2) + at * at * 0.0003, 0.3, 62 + (2, 5, 4, 7, 4, 2)[at % 6])
           for at in range(96)]
    (tmp_path / "take.mid").write_bytes(midi(voice("Banjo", jig)))
    done = fifthpeg("show", "take.mid")
    assert done.status == 0
    assert "the playing does not follow the beats of the file; these were found instead: " in done.err
    assert "; if that is wrong, set --meter, --pickup or --grid, or keep the file's beats with --keep-beats" in done.err
    done = fifthpeg("show", "take.mid", "--meter", "6/8", "--pickup", "0")
    assert "Meter: 6/8   Tempo: dotted quarter = 1" in done.out.decode()
    assert "these were found instead: 6/8, dotted quarter = 1" in done.err and "no pickup and a grid of 1/8" in done.err
    assert "keeps no beat" not in fifthpeg("describe", "take.mid", "--keep-beats").err


def swung():
    pairs = [(beat, 2 / 3, 67) for beat in range(16)] + [(beat + 2 / 3, 1 / 3, 71) for beat in range(16)]
    return midi(voice("Banjo", pairs))


def test_swing(fifthpeg, tmp_path):
    (tmp_path / "in.mid").write_bytes(swung())
    result = converted(fifthpeg, "in.mid", "-o", "even.musicxml")
    converted(fifthpeg, "in.mid", "-o", "kept.musicxml", "--keep-swing")
    even = musicxml(tmp_path / "even.musicxml")
    assert even.find(".//time-modification") is None
    assert {note.findtext("type") for note in even.iter("note")} == {"eighth"}
    assert even.find(".//sound/swing") is not None
    assert "swing" in result.err or "swung" in result.err
    kept = musicxml(tmp_path / "kept.musicxml")
    assert kept.find(".//time-modification") is not None
    assert kept.find(".//sound/swing") is None


# ---- the banjo -------------------------------------------------------------------------------------


def tuning_in(root):
    """String 5 first: the tab staff's lines count from the bottom."""
    lines = sorted(root.iter("staff-tuning"), key=lambda tuning: int(tuning.get("line")))
    return [
        line.findtext("tuning-step") + {"1": "#", "-1": "b"}.get(line.findtext("tuning-alter"), "") + line.findtext("tuning-octave")
        for line in lines
    ]


@pytest.mark.parametrize(
    "tuning, strings",
    [
        (None, ["G4", "D3", "G3", "B3", "D4"]),
        ("open-g", ["G4", "D3", "G3", "B3", "D4"]),
        ("double-c", ["G4", "C3", "G3", "C4", "D4"]),
        ("gDGCD", ["G4", "D3", "G3", "C4", "D4"]),
        ("f#DF#AD", ["F#4", "D3", "F#3", "A3", "D4"]),
        ("g4 D3 G3 B3 D4", ["G4", "D3", "G3", "B3", "D4"]),
    ],
)
def test_tuning(fifthpeg, tmp_path, reel, tuning, strings):
    converted(fifthpeg, reel, "-o", "out.musicxml", "--transpose", "0", *(["--tuning", tuning] if tuning else []))
    root = musicxml(tmp_path / "out.musicxml")
    assert tuning_in(root) == strings
    assert sounding(root) == material.REEL
    check_places(root, strings)


def check_places(root, strings, capo=0, fifth_capo=5):
    """Every fret gives its pitch; frets of the fifth string are counted as on the long ones."""
    numbers = dict(C=0, D=2, E=4, F=5, G=7, A=9, B=11)
    opens = []
    for name in strings:
        step, alter, octave = re.fullmatch(r"([A-G])(#|b|)(\d)", name).groups()
        opens.append(numbers[step] + {"#": 1, "b": -1, "": 0}[alter] + 12 * (int(octave) + 1))
    for (string, fret), pitch in zip(frets(root), sounding(root, "2"), strict=True):
        if string == 5:
            sound = opens[0] + (fret + capo - 5 if fret else fifth_capo - 5)
        else:
            sound = opens[5 - string] + fret + capo
        assert sound == pitch, (string, fret, pitch)


def test_tuning_that_the_file_does_not_have_moves_its_places(fifthpeg, tmp_path, lick):
    result = converted(fifthpeg, lick, "-o", "out.musicxml", "--tuning", "double-c")
    root = musicxml(tmp_path / "out.musicxml")
    assert sounding(root) == [67, 67, 59, 69]
    check_places(root, ["G4", "C3", "G3", "C4", "D4"])
    # Only those that do not give their pitch any more: the fourth and second string are tuned otherwise.
    assert [place for place in frets(root) if place[0] == 5][:1] == [(5, 0)]
    assert "a place in the file does not give its pitch" in result.err and "(2 times" in result.err


def test_a_stroke_with_a_wrong_place_is_placed_anew_as_a_whole(fifthpeg, tmp_path):
    def chord_note(*arguments, **options):
        return xml_note(*arguments, **options).replace("<note>", "<note><chord/>")

    # The open chord of G, in which double C puts the second string out; and a G high up, which stays right.
    chord = xml_note("D", 4, string=1, fret=0) + chord_note("B", 3, string=2, fret=0) + chord_note("G", 3, string=3, fret=0)
    (tmp_path / "chord.musicxml").write_bytes(xml_score(chord + xml_note("G", 4, string=1, fret=5) + chord * 2))
    result = converted(fifthpeg, "chord.musicxml", "-o", "out.musicxml", "--tuning", "double-c")
    root = musicxml(tmp_path / "out.musicxml")
    check_places(root, ["G4", "C3", "G3", "C4", "D4"])
    places = frets(root)
    assert places[3] == (1, 5)
    # With the G left on the open third string, its B could only go to fret 11 of the fourth.
    for at in (0, 4, 7):
        assert places[at : at + 3] == [(1, 0), (3, 4), (4, 7)]
    assert "its stroke is placed anew (3 times" in result.err


def test_places_past_the_neck_asked_for_are_placed_anew(fifthpeg, tmp_path, lick):
    result = converted(fifthpeg, lick, "-o", "out.musicxml", "--frets", "12")
    root = musicxml(tmp_path / "out.musicxml")
    check_places(root, ["G4", "D3", "G3", "B3", "D4"])
    assert [place for place in frets(root) if place[1] > 12] == []
    assert "tuning, capo and frets asked for; its stroke is placed anew (measure 1, beat 2)" in result.err


def test_capo(fifthpeg, tmp_path, valid):
    (tmp_path / "in_a.mid").write_bytes(midi(voice("Banjo", material.line([69, 73, 76, 73])), key=3))
    converted(fifthpeg, "in_a.mid", "-o", "out.musicxml", "--capo", "2", "--transpose", "0")
    root = musicxml(tmp_path / "out.musicxml")
    assert root.findtext(".//staff-details/capo") == "2"
    assert sounding(root) == [69, 73, 76, 73]
    check_places(root, ["G4", "D3", "G3", "B3", "D4"], capo=2, fifth_capo=7)
    banjo = valid(fifthpeg("describe", "out.musicxml", "--json").out, "describe")["banjo"]
    assert (banjo["capo"], banjo["fifth_capo"]) == (2, 7)


@pytest.mark.parametrize(
    "options, lowest, highest, fifth",
    [
        ([], 50, 84, 5),
        (["--capo", "2"], 52, 84, 7),  # the drone goes along
        (["--capo", "2", "--fifth-capo", "5"], 52, 84, 5),
        (["--fifth-capo", "9"], 50, 84, 9),
        (["--frets", "12"], 50, 74, 5),
        (["--tuning", "double-c"], 48, 84, 5),
    ],
)
def test_range_of_the_banjo(fifthpeg, reel, valid, options, lowest, highest, fifth):
    banjo = valid(fifthpeg("describe", reel, "--json", *options).out, "describe")["banjo"]
    assert banjo["fifth_capo"] == fifth
    assert (banjo["range"]["lowest"]["midi"], banjo["range"]["highest"]["midi"]) == (lowest, highest)


def test_frets_bound_the_places(fifthpeg, tmp_path):
    (tmp_path / "high.mid").write_bytes(midi(voice("Banjo", material.line([79, 83, 84, 79]))))
    converted(fifthpeg, "high.mid", "-o", "far.musicxml", "--transpose", "0")
    assert max(fret for _, fret in frets(musicxml(tmp_path / "far.musicxml"))) == 22
    result = fifthpeg("convert", "high.mid", "-o", "near.musicxml", "--transpose", "0", "--frets", "17")
    assert result.status == 1
    assert "measure 1, beat 2" in result.err  # fret 17 is a G; the B above it is the first that is not there
    assert names(tmp_path) == ["far.musicxml", "high.mid"]


# ---- hands -----------------------------------------------------------------------------------------


def test_transpose_by_half_steps(fifthpeg, tmp_path, reel):
    converted(fifthpeg, reel, "-o", "out.musicxml", "--transpose", "-2")
    root = musicxml(tmp_path / "out.musicxml")
    assert sounding(root) == [pitch - 2 for pitch in material.REEL]
    assert root.findtext(".//key/fifths") == "-1"  # from G to F


def test_transpose_auto_moves_by_octaves_and_says_so(fifthpeg, tmp_path):
    low = [pitch - 24 for pitch in material.REEL]
    (tmp_path / "low.mid").write_bytes(midi(voice("Banjo", material.line(low))))
    for options in ([], ["--transpose", "auto"]):
        result = converted(fifthpeg, "low.mid", "-o", "out.musicxml", "--force", *options)
        moved = {after - before for before, after in zip(low, sounding(musicxml(tmp_path / "out.musicxml")), strict=True)}
        assert len(moved) == 1 and moved.pop() in (12, 24)
        assert "octave" in result.err
    refused = fifthpeg("convert", "low.mid", "-o", "never.musicxml", "--transpose", "0")
    assert refused.status == 1
    assert len(refused.errors) == 1 and "measure 1, beat 1" in refused.errors[0] and "G2" in refused.errors[0]
    assert not (tmp_path / "never.musicxml").exists()


def test_out_of_range_even_by_octaves(fifthpeg, tmp_path):
    (tmp_path / "wide.mid").write_bytes(midi(voice("Banjo", material.line([40, 100, 67, 67]))))
    result = fifthpeg("convert", "wide.mid", "-o", "out.musicxml")
    assert result.status == 1 and len(result.errors) == 1
    assert names(tmp_path) == ["wide.mid"]
    # The first note of the file that has no place, and no advice that cannot help.
    assert ("wide.mid: measure 1, beat 2: E7 lies above the last fret, C6, when moved up an octave to E8; "
            "the notes span 60 half steps (E2 to E7)") in result.err
    assert "no --transpose brings them all in" in result.err
    assert fifthpeg("show", "wide.mid").err == result.err


def test_a_move_that_is_proposed_works(fifthpeg, tmp_path):
    (tmp_path / "low.mid").write_bytes(midi(voice("Banjo", material.line([28, 31, 35, 62]))))
    refused = fifthpeg("convert", "low.mid", "-o", "out.musicxml")
    assert refused.status == 1 and "measure 1, beat 4: D4 lies above" in refused.err
    proposed = re.search(r"--transpose (-?\d+) brings every note in", refused.err).group(1)
    converted(fifthpeg, "low.mid", "-o", "out.musicxml", "--transpose", proposed)


def test_thin(fifthpeg, tmp_path):
    chord = (50, 55, 59, 62, 67, 71)
    (tmp_path / "chord.mid").write_bytes(midi(voice("Banjo", [(0, 4, pitch) for pitch in chord])))
    result = fifthpeg("convert", "chord.mid", "-o", "out.mid")
    assert result.status == 1 and "--thin" in result.err and "measure 1" in result.err
    assert names(tmp_path) == ["chord.mid"]
    result = converted(fifthpeg, "chord.mid", "-o", "out.mid", "--thin")
    kept = {pitch for _, _, pitch in midi_notes((tmp_path / "out.mid").read_bytes())[0]}
    assert kept < set(chord) and max(chord) in kept and len(kept) >= 2
    assert "lost: " in result.err


def test_refinger(fifthpeg, tmp_path, lick):
    converted(fifthpeg, lick, "-o", "kept.musicxml")
    converted(fifthpeg, lick, "-o", "missing.musicxml", "--refinger", "missing")
    converted(fifthpeg, lick, "-o", "all.musicxml", "--refinger", "all")
    assert frets(musicxml(tmp_path / "kept.musicxml")) == [(5, 0), (4, 17), (2, 0), (5, 7)]
    assert frets(musicxml(tmp_path / "missing.musicxml")) == [(5, 0), (4, 17), (2, 0), (5, 7)]
    anew = musicxml(tmp_path / "all.musicxml")
    assert (4, 17) not in frets(anew)  # nobody goes there for a G between two open strings
    assert sounding(anew) == [67, 67, 59, 69]


# ---- writing ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("which, clefs", [(None, ["G", "TAB"]), ("both", ["G", "TAB"]), ("notation", ["G"]), ("tab", ["TAB"])])
def test_staves(fifthpeg, tmp_path, reel, which, clefs):
    converted(fifthpeg, reel, "-o", "out.musicxml", *(["--staves", which] if which else []))
    root = musicxml(tmp_path / "out.musicxml")
    assert [sign.text for sign in root.find("part/measure").iter("sign")] == clefs
    assert len(list(root.iter("note"))) == len(material.REEL) * len(clefs)


@pytest.mark.parametrize("numbering, fret", [(None, 7), ("long-nut", 7), ("own-nut", 2)])
def test_fifth_frets(fifthpeg, tmp_path, lick, numbering, fret):
    converted(fifthpeg, lick, "-o", "out.musicxml", *(["--fifth-frets", numbering] if numbering else []))
    root = musicxml(tmp_path / "out.musicxml")
    assert frets(root)[3] == (5, fret)
    assert frets(root)[0] == (5, 0)
    assert sounding(root) == [67, 67, 59, 69]
    # Either is read back as what it means.
    converted(fifthpeg, "out.musicxml", "-o", "again.musicxml")
    assert frets(musicxml(tmp_path / "again.musicxml"))[3] == (5, 7)


def test_channel_per_string(fifthpeg, tmp_path, lick):
    converted(fifthpeg, lick, "-o", "one.mid")
    converted(fifthpeg, lick, "-o", "five.mid", "--channel-per-string")
    one, _ = midi_notes((tmp_path / "one.mid").read_bytes())
    five, _ = midi_notes((tmp_path / "five.mid").read_bytes())
    assert len({channel for _, channel, _ in one}) == 1
    assert [channel for _, channel, _ in five] == [5, 4, 2, 5]


def test_no_repeats(fifthpeg, tmp_path):
    (tmp_path / "in.musicxml").write_bytes(material.repeated())
    converted(fifthpeg, "in.musicxml", "-o", "played.mid")
    converted(fifthpeg, "in.musicxml", "-o", "once.mid", "--no-repeats")
    assert len(midi_notes((tmp_path / "played.mid").read_bytes())[0]) == 16
    assert len(midi_notes((tmp_path / "once.mid").read_bytes())[0]) == 8


def test_the_neck_of_the_file_is_lost_in_midi_and_the_one_asked_for_is_not(fifthpeg, tmp_path, reel):
    asked = converted(fifthpeg, reel, "-o", "asked.mid", "--frets", "19", "--strict")
    assert "lost:" not in asked.err
    converted(fifthpeg, reel, "-o", "short.musicxml", "--frets", "19")
    given = converted(fifthpeg, "short.musicxml", "-o", "given.mid", "--refinger", "all")
    assert given.err.count("the number of the neck's frets is lost") == 1


@pytest.mark.parametrize("width", [40, 60, 200])
def test_width(fifthpeg, tmp_path, width):
    (tmp_path / "long.mid").write_bytes(material.long_reel(24))
    converted(fifthpeg, "long.mid", "-o", "out.txt", "--width", width)
    longest = max(map(len, (tmp_path / "out.txt").read_text().splitlines()))
    assert width / 2 < longest <= width


# ---- what is said ----------------------------------------------------------------------------------


def test_strict(fifthpeg, tmp_path, reel):
    chord = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(midi(voice("Banjo", chord)))
    (tmp_path / "old.mid").write_text("precious")
    result = fifthpeg("convert", "chord.mid", "-o", "old.mid", "--thin", "--strict", "--force")
    assert result.status == 1
    assert len(result.errors) == 1 and "nothing was written because of --strict" in result.errors[0] and "--strict" in result.errors[0]
    assert (tmp_path / "old.mid").read_text() == "precious"
    assert names(tmp_path) == ["chord.mid", "old.mid", "reel.mid"]
    # What loses nothing is written.
    converted(fifthpeg, reel, "-o", "reel.musicxml", "--strict")


def test_strict_knows_what_only_the_writer_loses(fifthpeg, tmp_path):
    """MIDI has no place for a fret-hand finger."""
    note = xml_note("A", 3, string=3, fret=2).replace("<technical>", "<technical><fingering>1</fingering>")
    (tmp_path / "in.musicxml").write_bytes(xml_score(note * 4))
    converted(fifthpeg, "in.musicxml", "-o", "out.musicxml", "--strict")
    result = fifthpeg("convert", "in.musicxml", "-o", "out.mid", "--strict")
    assert result.status == 1 and "nothing was written because of --strict" in result.err
    assert names(tmp_path) == ["in.musicxml", "out.musicxml"]
    result = converted(fifthpeg, "in.musicxml", "-o", "out.mid")
    assert re.search(r"^in\.musicxml: lost: .*\(4 times, first at measure 1, beat 1\)$", result.err, re.MULTILINE)


def technical(*marks):
    return "<technical>" + "".join(f"<{name}>{value}</{name}>" for name, value in marks) + "</technical>"


@pytest.mark.parametrize("stroke, said", [
    (xml_note("D", 4, string=1, fret=3), "a string and fret that do not give the note's pitch"),
    (xml_note("D", 4, string=1, fret=0) + xml_note("E", 4, string=1, fret=2).replace("<note>", "<note><chord/>"),
     "the second is given another"),
    (xml_note("E", 4, string=1, fret=2, more=technical(("fingering", 1))) +
     xml_note("C", 4, string=2, fret=1, more=technical(("fingering", 3))).replace("<note>", "<note><chord/>"),
     "fret-hand fingers"),
    (xml_note("D", 4, string=1, fret=0, more=technical(("pluck", "I"))) +
     xml_note("G", 3, string=3, fret=0, more=technical(("pluck", "I"))).replace("<note>", "<note><chord/>"),
     "picking fingers"),
    (xml_note("D", 4, string=1, fret=0).replace("<type>quarter", "<type>half"), "type and dots"),
    (xml_note("D", 4, string=1, fret=0, more='<tied type="stop"/>').replace("<voice>", '<tie type="stop"/><voice>'),
     "one end of a tie"),
], ids=["place", "string twice", "fingers", "picking fingers", "printed value", "tie"])
def test_strict_keeps_what_the_source_states(fifthpeg, tmp_path, stroke, said):
    """What contradicts something else is a value of the source all the same."""
    sound = "".join(xml_note("G", 3, string=3, fret=0) for _ in range(3))
    (tmp_path / "in.musicxml").write_bytes(xml_score(stroke + sound))
    result = fifthpeg("convert", "in.musicxml", "-o", "out.musicxml", "--strict")
    assert result.status == 1 and said in result.errors[0] and names(tmp_path) == ["in.musicxml"]
    assert "lost: " in converted(fifthpeg, "in.musicxml", "-o", "out.musicxml").err


def test_another_counting_of_the_fifth_strings_frets_is_no_loss(fifthpeg, tmp_path):
    """A4 on the fifth string is its own second fret, and the seventh of the neck."""
    (tmp_path / "in.musicxml").write_bytes(xml_score(xml_note("A", 4, string=5, fret=2) * 4))
    converted(fifthpeg, "in.musicxml", "-o", "out.musicxml", "--strict")


def test_what_every_recording_loses_is_told_last(fifthpeg, tmp_path):
    """Loudness differs in whatever was played; it must not stand before what only this file loses."""
    notes = [(at, 1, pitch) for at, pitch in enumerate((55, 59, 62, 67))] + [(4, 4, p) for p in (50, 55, 59, 62, 67, 71)]
    take = voice("Banjo", notes).replace(bytes([55, 80]), bytes([55, 99]), 1)
    (tmp_path / "take.mid").write_bytes(midi(take))
    lines = converted(fifthpeg, "take.mid", "-o", "take.musicxml", "--thin").err.splitlines()
    assert "no hand can hold" in "".join(line for line in lines if ": lost: " in line)
    assert lines[-1] == "take.mid: lost: the loudness of the notes was ignored"
    result = fifthpeg("convert", "take.mid", "-o", "no.musicxml", "--thin", "--strict")
    assert result.status == 1 and not (tmp_path / "no.musicxml").exists()
    # Many takes: one line for all of them, and one for the file that loses something else.
    even = voice("Banjo", notes[:4]).replace(bytes([55, 80]), bytes([55, 99]), 1)
    (tmp_path / "other.mid").write_bytes(midi(even))
    batch = fifthpeg("convert", "take.mid", "other.mid", "-d", "out", "--to", "musicxml", "--thin")
    losses = [line for line in batch.err.splitlines() if "lost" in line]
    assert len(losses) == 2 and losses[0].startswith("take.mid: lost: a note that no hand can hold")
    assert losses[1] == "lost in 2 files: the loudness of the notes was ignored"
    strict = fifthpeg("convert", "other.mid", "-o", "no.musicxml", "--strict")
    assert strict.status == 1 and "the loudness of the notes" in strict.err


def test_only_what_was_given_can_be_lost(fifthpeg, tmp_path, reel, lick):
    """Strings and frets that were found for a tune are no loss of the tune; a lick's own are one of the lick."""
    result = converted(fifthpeg, reel, "-o", "reel2.mid", "--strict")
    assert "lost" not in result.err and "--channel-per-string" in result.err
    result = fifthpeg("convert", lick, "-o", "lick.mid", "--strict")
    assert result.status == 1 and "nothing was written because of --strict: strings and frets" in result.err
    converted(fifthpeg, lick, "-o", "lick.mid", "--strict", "--channel-per-string", "--refinger", "missing")


def test_quiet(fifthpeg, tmp_path, session):
    path, _ = session
    assert fifthpeg("convert", path, "-o", "out.mid").err != ""
    assert fifthpeg("convert", path, "-o", "again.mid", "--quiet").err == ""
    assert fifthpeg("convert", path, "-o", "again.mid", "--quiet").errors != []  # it exists


def test_json(fifthpeg, tmp_path, valid):
    chord = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(midi(voice("Banjo", chord)))
    result = fifthpeg("convert", "chord.mid", "-o", "out.mid", "--thin", "--json")
    assert result.status == 0
    report = valid(result.out, "report")
    assert (report["status"], report["converted"], report["failed"]) == (0, 1, 0)
    (file,) = report["files"]
    assert (file["input"], file["output"], file["status"], file["error"]) == ("chord.mid", "out.mid", 0, None)
    losses = [told for told in file["told"] if told["telling"] == "loss"]
    assert losses and all(loss["places"][0]["measure"] == "1" for loss in losses)
    # On standard error the same is said as without --json.
    assert result.err == fifthpeg("convert", "chord.mid", "-o", "out.mid", "--thin", "--force").err


@pytest.mark.parametrize(
    "content, options, status",
    [
        (b"nothing", [], 3),
        (midi(voice("Banjo", [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)])), [], 1),
        (material.reel(), ["--part", "Bassoon"], 2),
    ],
)
def test_json_of_failures(fifthpeg, tmp_path, valid, content, options, status):
    (tmp_path / "in.mid").write_bytes(content)
    result = fifthpeg("convert", "in.mid", "-o", "out.mid", "--json", *options)
    assert result.status == status
    report = valid(result.out, "report")
    assert report["status"] == status == report["files"][0]["status"]
    assert report["files"][0]["error"]["what"] in result.err
    assert names(tmp_path) == ["in.mid"]


def test_json_of_an_output_that_cannot_be_written(fifthpeg, reel, valid):
    result = fifthpeg("convert", reel, "-o", "/dev/full", "--to", "mid", "--json")
    assert result.status == 4
    assert "No space left" in valid(result.out, "report")["files"][0]["error"]["what"]
