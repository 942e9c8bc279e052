"""`describe`: what is in a file, for people and for programs."""

import re

import pytest

import material
from material import midi, voice, xml_note, xml_score


@pytest.fixture
def session(tmp_path):
    tune = [60, 64, 67, 64, 65, 62, 59, 62]
    chords = [(0, 4, p) for p in (48, 52, 55)] + [(4, 4, p) for p in (43, 47, 50, 53)]
    beats = [(at, 0.5, 38) for at in range(8)]
    path = tmp_path / "session.mid"
    path.write_bytes(midi(
        voice("Drums", beats, channel=10, program=1),
        voice("Piano", chords, channel=2, program=1),
        voice("Mandolin", material.line(tune), channel=3, program=26),
        key=2, meter=(3, 2), tempo=600_000,
    ))
    return path


def described(fifthpeg, valid, *arguments, **options):
    result = fifthpeg("describe", *arguments, "--json", **options)
    assert result.status == 0, result.err
    return valid(result.out, "describe")


def field(text, label):
    """The value of one line of the description."""
    return re.search(rf"^  {label}  +(.*)$", text, re.MULTILINE).group(1)


def test_midi(fifthpeg, valid, session):
    document = described(fifthpeg, valid, session)
    assert document["file"]["format"] == "MIDI format 1"
    assert "480" in document["file"]["resolution"]
    parts = {part["name"]: part for part in document["file"]["parts"]}
    assert set(parts) >= {"Drums", "Piano", "Mandolin"}
    assert parts["Drums"]["percussion"] and parts["Drums"]["channel"] == 10 and parts["Drums"]["notes"] == 8
    assert (parts["Piano"]["program"], parts["Piano"]["channel"], parts["Piano"]["notes"]) == (1, 2, 7)
    mandolin = parts["Mandolin"]
    assert (mandolin["program"], mandolin["channel"], mandolin["notes"]) == (26, 3, 8)
    assert mandolin["range"] == {"lowest": {"midi": 59, "name": "B3"}, "highest": {"midi": 67, "name": "G4"}}
    assert document["file"]["chosen"] == mandolin["number"]
    assert document["file"]["reason"] != ""

    music = document["music"]
    assert [change["meter"] for change in music["meters"]] == ["3/4"]
    assert [(change["key"], change["fifths"]) for change in music["keys"]] == [("D major", 2)]
    assert not music["key_estimated"]
    assert [change["quarters_per_minute"] for change in music["tempos"]] == [100]
    assert (music["measures"], music["measures_as_played"], music["notes"], music["strokes"]) == (3, 3, 8, 8)
    assert document["banjo"]["tuning"] == "gDGBD"
    assert document["banjo"]["outside_range"] == 0
    assert document["positions"]["placed"] == 0


def test_midi_in_words(fifthpeg, session):
    result = fifthpeg("describe", session)
    assert result.status == 0
    text = result.out.decode()
    assert text.splitlines()[0] == str(session)
    assert field(text, "format").startswith("MIDI format 1, 480 ticks")
    assert field(text, "title") == "Library Reel"
    assert re.search(r"^  \d \* +Mandolin +.*program 26, channel 3 +8 +B3 to G4$", text, re.MULTILINE)
    assert re.search(r"^  \d   +Drums +.*percussion +8$", text, re.MULTILINE)
    assert field(text, "reads").startswith("part ")
    assert field(text, "meter") == "3/4"
    assert field(text, "key") == "D major"
    assert field(text, "tempo") == "quarter = 100"
    assert field(text, "measures").startswith("3")
    assert field(text, "repeats") == "none"
    assert field(text, "notes").endswith("all in the banjo's range")


def test_part(fifthpeg, valid, session):
    document = described(fifthpeg, valid, session, "--part", "Piano")
    assert document["music"]["notes"] == 7
    number = document["file"]["chosen"]
    assert document["file"]["parts"][number - 1]["name"] == "Piano"
    assert described(fifthpeg, valid, session, "--part", number)["music"] == document["music"]


def test_all_parts(fifthpeg, valid, session):
    assert described(fifthpeg, valid, session)["music"]["chord_symbols"] == []
    symbols = described(fifthpeg, valid, session, "--all-parts")["music"]["chord_symbols"]
    assert [symbol["name"] for symbol in symbols] == ["C", "G7"]


def test_key_is_estimated_and_said_to_be(fifthpeg, valid, tmp_path):
    (tmp_path / "in.mid").write_bytes(midi(voice("Banjo", material.line(material.REEL)), key=None))
    music = described(fifthpeg, valid, "in.mid")["music"]
    assert music["key_estimated"] and music["keys"][0]["fifths"] == 1
    assert "estimated" in field(fifthpeg("describe", "in.mid").out.decode(), "key")


def test_musicxml(fifthpeg, valid, tmp_path, lick):
    document = described(fifthpeg, valid, lick)
    assert document["file"]["format"] == "MusicXML 4.0 partwise"
    assert document["file"]["encoding"] == "UTF-8"
    assert document["work"]["title"] == "Handout 3"
    assert document["positions"] == {
        "placed": 4, "open": 2, "on_string": [0, 1, 0, 1, 2], "frets": {"lowest": 7, "highest": 17},
        "fret_hand_fingers": 0, "picking_digits": 0,
    }
    text = fifthpeg("describe", lick).out.decode()
    assert field(text, "positions") == "4 of 4 in the file, 2 open, frets 7 to 17; strings 1 to 5: 0 1 0 1 2"


def test_compressed_musicxml(fifthpeg, valid, lick):
    assert fifthpeg("convert", lick, "-o", "lick.mxl").status == 0
    assert described(fifthpeg, valid, "lick.mxl")["file"]["format"] == "compressed MusicXML 4.0 partwise"


def test_repeats(fifthpeg, valid, tmp_path):
    (tmp_path / "in.musicxml").write_bytes(material.repeated())
    music = described(fifthpeg, valid, "in.musicxml")["music"]
    assert (music["repeats"], music["measures"], music["measures_as_played"], music["notes"]) == (1, 2, 4, 8)
    assert field(fifthpeg("describe", "in.musicxml").out.decode(), "repeats") == "1 repeat, 4 measures as played"


def slid(first, second):
    """Two notes with a slide between them."""
    start = '<slide type="start" line-type="solid" number="1"/>'
    stop = '<slide type="stop" line-type="solid" number="1"/>'
    return xml_note(*first, string=3, fret=2, more=start) + xml_note(*second, string=3, fret=4, more=stop)


def test_techniques_chords_and_digits(fifthpeg, valid, tmp_path):
    harmony = "<harmony><root><root-step>{}</root-step></root><kind>{}</kind></harmony>".format
    pinch = xml_note("D", 4, string=1, fret=0) + xml_note("G", 4, string=5, fret=0).replace("<note>", "<note><chord/>")
    plucked = xml_note("G", 3, string=3, fret=0).replace("<technical>", "<technical><pluck>T</pluck>")
    first = harmony("G", "major") + slid(("A", 3), ("B", 3)) + pinch + plucked
    second = harmony("D", "dominant") + xml_note("D", 4, string=1, fret=0) * 2 + harmony("G", "major") + pinch + plucked
    (tmp_path / "in.musicxml").write_bytes(xml_score(first, second))
    document = described(fifthpeg, valid, "in.musicxml")
    counts = {technique["name"]: technique["count"] for technique in document["music"]["techniques"]}
    assert counts == {"slide": 1, "pinch": 2}
    assert document["music"]["chord_symbols"] == [{"name": "G", "count": 2}, {"name": "D7", "count": 1}]
    assert (document["music"]["strokes"], document["music"]["notes"]) == (8, 10)
    assert document["positions"]["picking_digits"] == 2
    text = fifthpeg("describe", "in.musicxml").out.decode()
    assert field(text, "techniques") == "slide, pinch (2)"
    assert field(text, "chords") == "G (2)  D7"
    assert field(text, "fingers") == "0 of the fret hand, 2 of the picking hand"


def test_changes_of_meter_and_key(fifthpeg, valid, tmp_path):
    change = (
        "<attributes><key><fifths>2</fifths></key><time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
    )
    quarter = xml_note("D", 4)
    (tmp_path / "in.musicxml").write_bytes(xml_score(quarter * 4, change + quarter * 3, quarter * 3))
    music = described(fifthpeg, valid, "in.musicxml")["music"]
    assert [(c["measure"], c["meter"]) for c in music["meters"]] == [("1", "4/4"), ("2", "3/4")]
    assert [(c["measure"], c["fifths"]) for c in music["keys"]] == [("1", 1), ("2", 2)]
    assert field(fifthpeg("describe", "in.musicxml").out.decode(), "meter") == "4/4; from measure 2: 3/4"


def test_out_of_range(fifthpeg, valid, tmp_path):
    (tmp_path / "in.mid").write_bytes(midi(voice("Fiddle", material.line([55, 49, 90, 48]), program=41)))
    assert described(fifthpeg, valid, "in.mid")["banjo"]["outside_range"] == 3
    # The fourth string down to C reaches one of them.
    assert described(fifthpeg, valid, "in.mid", "--tuning", "double-c")["banjo"]["outside_range"] == 1
    text = fifthpeg("describe", "in.mid").out.decode()
    assert field(text, "notes").endswith("3 outside the banjo's range")


def test_grid_and_residual(fifthpeg, valid, tmp_path):
    late = [(at + (0.02 if at % 2 else 0), 1, pitch) for at, pitch in enumerate(material.REEL)]
    (tmp_path / "played.mid").write_bytes(midi(voice("Banjo", late)))
    (tmp_path / "exact.mid").write_bytes(material.reel())
    assert described(fifthpeg, valid, "exact.mid")["file"]["residual"] == 0
    residual = described(fifthpeg, valid, "played.mid", "--grid", "1/8")["file"]["residual"]
    # Every second note lies 0.02 quarters (at 480 ticks: 10 of them) late.
    assert residual == pytest.approx(10 / 1920 / 2, rel=0.05)
    assert "timing" in fifthpeg("describe", "played.mid", "--grid", "1/8").out.decode()


def test_swing(fifthpeg, valid, tmp_path):
    pairs = [(beat, 2 / 3, 67) for beat in range(16)] + [(beat + 2 / 3, 1 / 3, 71) for beat in range(16)]
    (tmp_path / "in.mid").write_bytes(midi(voice("Banjo", pairs)))
    assert described(fifthpeg, valid, "in.mid")["music"]["swing"] == {"unit": "1/8", "first": 2, "second": 1}
    assert described(fifthpeg, valid, "in.mid", "--keep-swing")["music"]["swing"] is None


def test_what_was_told(fifthpeg, valid, tmp_path):
    (tmp_path / "reel.musicxml").write_bytes(material.reel())
    told = described(fifthpeg, valid, "reel.musicxml")["told"]
    assert "wrong-extension" in [one["slug"] for one in told]
    assert "the name says MusicXML" in fifthpeg("describe", "reel.musicxml").err
    assert fifthpeg("describe", "reel.musicxml", "--quiet").err == ""


def test_standard_input(fifthpeg, valid, reel):
    piped = described(fifthpeg, valid, "-", input=reel.read_bytes())
    named = described(fifthpeg, valid, reel)
    assert piped.pop("input") == "-" and named.pop("input") == str(reel)
    assert piped == named
    assert fifthpeg("describe", "-", input=reel.read_bytes()).out.startswith(b"standard input\n")


def test_unplayable_music_is_described_all_the_same(fifthpeg, valid, tmp_path):
    chord = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(midi(voice("Banjo", chord)))
    assert described(fifthpeg, valid, "chord.mid")["music"]["notes"] == 6
