"""What the program writes, seen by libraries that nobody here wrote: mido, pretty_midi and midicsv for MIDI,
music21 and partitura for MusicXML. All have to see the same music, and the schema has to agree."""
import os
import subprocess
import sys
import zipfile
from fractions import Fraction
from pathlib import Path

import program
import pytest
import schema
import seen
import tab

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).resolve().parents[2] / "build")
DEMO = sorted(path.name for path in FIXTURES.iterdir() if path.suffix in (".mid", ".musicxml", ".mxl"))
TUNES = [name for name in DEMO if not name.startswith("lick")]  # no grace notes, nothing left ringing


@pytest.fixture(params=DEMO)
def source(request):
    return FIXTURES / request.param


@pytest.fixture(params=TUNES)
def tune(request):
    return FIXTURES / request.param


def test_demo_data_is_what_its_script_makes(tmp_path):
    subprocess.run([sys.executable, FIXTURES / "make_demo_data.py", tmp_path], check=True, capture_output=True)
    made = sorted([*DEMO, "mailed-lick.txt"])
    assert sorted(path.name for path in tmp_path.iterdir() if path.is_file()) == made
    for name in [*made, "mistakes/lick-choke.musicxml", "mistakes/lick-slide.musicxml"]:
        assert (tmp_path / name).read_bytes() == (FIXTURES / name).read_bytes(), name


@pytest.mark.parametrize("staves", ["both", "notation", "tab"])
def test_musicxml_is_valid(source, staves, tmp_path):
    program.convert(source, target := tmp_path / "out.musicxml", "--staves", staves)
    data = target.read_bytes()
    assert schema.errors(data) == []
    if staves != "notation":
        assert tab.Tab(data).flaws == []


def test_mxl_holds_the_same_document(source, tmp_path):
    program.convert(source, plain := tmp_path / "out.musicxml")
    program.convert(source, packed := tmp_path / "out.mxl")
    with zipfile.ZipFile(packed) as archive:
        assert archive.testzip() is None
        container = schema.parse(archive.read("META-INF/container.xml"))
        root = container.find(".//{*}rootfile").get("full-path")
        assert archive.read(root) == plain.read_bytes()


def test_samples_of_the_writer_are_valid(tmp_path):
    samples = BUILD / "tests" / "musicxml_samples"
    subprocess.run([samples, tmp_path], check=True, capture_output=True)
    written = sorted(tmp_path.rglob("*.musicxml"))
    assert written
    assert {path.name: errors for path in written if (errors := schema.errors(path.read_bytes()))} == {}


def test_midi_readers_agree(source, tmp_path):
    program.convert(source, target := tmp_path / "out.mid")
    by_mido, by_midicsv = seen.midi_by_mido(target), seen.midi_by_midicsv(target)
    assert by_mido.notes
    assert by_mido == by_midicsv
    exact = sorted((seen.to_seconds(by_mido.tempos, note.onset), note.midi,
                    seen.to_seconds(by_mido.tempos, note.onset + note.length)) for note in by_mido.notes)
    by_pretty_midi = seen.seconds_by_pretty_midi(target)
    assert len(by_pretty_midi) == len(exact)
    for ours, theirs in zip(exact, by_pretty_midi):
        assert ours == pytest.approx(theirs, abs=1e-4)  # mido's tempo is rounded to a hundredth


def test_musicxml_readers_agree(source, tmp_path):
    program.convert(source, target := tmp_path / "out.musicxml")
    by_music21 = seen.musicxml_by_music21(target)
    shift = tab.Tab(target.read_bytes()).transpose
    assert by_music21.notes
    assert by_music21.notes == seen.musicxml_by_music21(target, part=1).notes  # the tab staff
    for staves in ("notation", "tab"):  # partitura mixes up ties of two staves
        program.convert(source, target := tmp_path / f"{staves}.musicxml", "--staves", staves)
        by_partitura = seen.musicxml_by_partitura(target)
        # partitura sees the written pitches.
        assert by_music21.notes == sorted(note._replace(midi=note.midi + shift) for note in by_partitura.notes)
        assert by_music21.graces == [(onset, midi + shift) for onset, midi in by_partitura.graces]
        assert by_music21.keys == by_partitura.keys
        assert by_music21.meters == by_partitura.meters


def test_both_formats_hold_the_same_music(tune, tmp_path):
    program.convert(tune, xml := tmp_path / "out.musicxml")
    program.convert(tune, midi := tmp_path / "out.mid", "--no-repeats")
    in_xml, in_midi = seen.musicxml_by_music21(xml), seen.midi_by_mido(midi)
    for what in ("notes", "keys", "tempos"):
        assert getattr(in_xml, what) == getattr(in_midi, what), what
    lengths = tab.Tab(xml.read_bytes()).lengths
    assert seen.same_measures(in_xml.meters, lengths, in_midi) is None


def test_midi_plays_the_repeats(tmp_path):
    source = FIXTURES / "soldiers-joy.musicxml"
    program.convert(source, midi := tmp_path / "out.mid")
    assert seen.musicxml_by_music21(source, expand=True).notes == seen.midi_by_mido(midi).notes


def test_a_channel_a_string(source, tmp_path):
    """String n sounds on channel n, and every note is one that its string can give."""
    program.convert(source, xml := tmp_path / "out.musicxml")
    program.convert(source, midi := tmp_path / "out.mid", "--channel-per-string", "--no-repeats")
    placed = tab.Tab(xml.read_bytes())
    starts = seen.starts(placed.lengths)
    struck = {string: sorted((starts[note.measure] + note.onset, note.midi) for note in placed.played
                             if note.string == string and note.length and note.struck) for string in range(1, 6)}
    for string in range(1, 6):
        heard = {(note.onset, note.midi) for note in seen.midi_by_mido(midi, [string - 1]).notes}
        slurred = {where for where in struck[string] if where not in heard}
        if source.name in TUNES:
            assert not slurred
        assert len(heard & set(struck[string])) + len(slurred) == len(set(struck[string]))


MELODIES = {"soldiers-joy.mid": [0], "irish-washerwoman.mid": [0], "boil-them-cabbage-down.mid": [0]}


@pytest.mark.parametrize("name", MELODIES)
def test_midi_melody_arrives(name, tmp_path):
    """From a MIDI file to both formats."""
    outcome = program.convert(FIXTURES / name, xml := tmp_path / "out.musicxml")
    program.convert(FIXTURES / name, midi := tmp_path / "out.mid")
    before = seen.midi_by_mido(FIXTURES / name, MELODIES[name])
    in_xml, in_midi = seen.musicxml_by_music21(xml), seen.midi_by_mido(midi)
    # A rest before the pickup may have become a shorter first measure.
    shift = before.notes[0].onset - in_xml.notes[0].onset
    assert 0 <= shift < before.meters[0][1] * 4 / before.meters[0][2]
    for after in (in_xml, in_midi):
        assert [(note.onset - shift, note.midi + 12 * outcome.octaves) for note in before.notes] == \
               [(note.onset, note.midi) for note in after.notes]
        assert before.keys == after.keys
        assert before.tempos == after.tempos
    # Gaps between notes of even length are a way of playing, not rests: written lengths reach the next note.
    lengths = [note.length for note in in_xml.notes]
    if name == "soldiers-joy.mid":
        assert lengths == [note.length for note in before.notes]
    else:
        gate = Fraction(9, 10) if name == "boil-them-cabbage-down.mid" else Fraction(19, 20)
        assert lengths == [pytest.approx(note.length / gate, abs=0.01) for note in before.notes]
    assert outcome.octaves == {"irish-washerwoman.mid": -2, "boil-them-cabbage-down.mid": -1}.get(name, 0)


@pytest.mark.parametrize("name", [name for name in DEMO if name.endswith(".musicxml")])
def test_musicxml_arrives(name, tmp_path):
    program.convert(FIXTURES / name, target := tmp_path / "out.musicxml")
    before, after = seen.musicxml_by_music21(FIXTURES / name), seen.musicxml_by_music21(target)
    assert before == after
    data = (FIXTURES / name).read_bytes()
    written = tab.Tab(target.read_bytes())
    assert tab.lengths_of(data) == written.lengths
    assert tab.repeats_of(data) == written.repeats


@pytest.mark.parametrize("name", ["lick-slide.musicxml", "lick-slide.mxl", "lick-choke.musicxml"])
def test_a_lick_keeps_its_strings_fingers_and_techniques(name, tmp_path):
    program.convert(FIXTURES / name, target := tmp_path / "out.musicxml", "--staves", "tab")
    if name.endswith(".mxl"):
        with zipfile.ZipFile(FIXTURES / name) as archive:
            before = archive.read("lick-slide.musicxml")
    else:
        before = (FIXTURES / name).read_bytes()
    before, after = techniques(before), techniques(target.read_bytes())
    assert [note[:-1] for note in before] == [note[:-1] for note in after]
    for wanted, marks in zip([note[-1] for note in before], [note[-1] for note in after]):
        assert wanted <= marks
        assert {tag for tag, _ in marks - wanted} <= {"fingering", "pluck"}  # what the file left open


def techniques(data):
    """What stands in the notations of each note of the tab staff, by stroke and string."""
    root = schema.parse(data)
    staves = {int(clef.get("number") or 1) for clef in root.iter("clef") if clef.findtext("sign") == "TAB"}
    result, stroke = [], 0
    for measure in root.iter("measure"):
        for note in measure.findall("note"):
            if int(note.findtext("staff") or 1) not in staves or note.find("rest") is not None:
                continue
            stroke += note.find("chord") is None
            marks = {(child.tag, child.findtext("bend-alter") or child.get("type") or child.text)
                     for child in note.iterfind("notations/technical/*")}
            marks |= {(child.tag, child.get("type")) for child in note.iterfind("notations/*")
                      if child.tag in ("slide", "tied")}
            result.append((stroke, int(note.findtext("notations/technical/string")),
                           measure.get("number"), note.find("grace") is not None, marks))
    return sorted(result, key=lambda note: note[:2])


def fingers_by_staff(data):
    """For each staff how many notes have a finger of the fret hand, and how many one of the picking hand."""
    root = schema.parse(data)
    found = {}
    for note in root.iter("note"):
        counts = found.setdefault(note.findtext("staff"), [0, 0])
        counts[0] += note.find("notations/technical/fingering") is not None
        counts[1] += note.find("notations/technical/pluck") is not None
    return found


def test_each_finger_stands_once_and_none_on_an_open_string(source, tmp_path):
    program.convert(source, target := tmp_path / "out.musicxml")
    data = target.read_bytes()
    fingers = fingers_by_staff(data)
    assert fingers["1"][0] > 0 and fingers["1"][1] == 0
    assert fingers["2"][0] == 0 and fingers["2"][1] > 0
    for technical in schema.parse(data).iter("technical"):
        assert technical.findtext("fingering") != "0"
        assert technical.findtext("fret") != "0" or technical.find("fingering") is None
    for staves in ("notation", "tab"):
        program.convert(source, target := tmp_path / f"{staves}.musicxml", "--staves", staves)
        assert fingers_by_staff(target.read_bytes()) == {None: [fingers["1"][0], fingers["2"][1]]}


def test_partitura_reads_a_thumb_over_the_neck(tmp_path):
    lick = (FIXTURES / "lick-slide.musicxml").read_text()
    assert "<fingering>2</fingering>" in lick
    source = tmp_path / "thumb.musicxml"
    source.write_text(lick.replace("<fingering>2</fingering>", "<fingering>T</fingering>", 1))
    program.convert(source, target := tmp_path / "out.musicxml", "--staves", "tab")
    data = target.read_bytes()
    assert data.count(b"thumb over the neck") == 1 and b"<fingering>T" not in data
    assert seen.musicxml_by_partitura(target).notes == seen.musicxml_by_partitura(FIXTURES / "lick-slide.musicxml").notes
    program.convert(target, again := tmp_path / "again.musicxml", "--staves", "tab")
    assert again.read_bytes() == data


def test_a_midi_tune_ends_with_a_final_barline(tmp_path):
    program.convert(FIXTURES / "irish-washerwoman.mid", target := tmp_path / "out.musicxml")
    last = schema.parse(target.read_bytes()).findall("part/measure")[-1]
    assert last.findtext("barline/bar-style") == "light-heavy"


def test_picking_fingers_as_lyrics_are_what_music21_sings(tmp_path):
    source = FIXTURES / "lick-slide.musicxml"
    program.convert(source, plain := tmp_path / "plain.musicxml", "--staves", "tab")
    program.convert(source, target := tmp_path / "out.musicxml", "--staves", "tab", "--picking-fingers", "lyrics")
    sung = []
    plucked = []
    for note in schema.parse(target.read_bytes()).iter("note"):
        pluck = note.findtext("notations/technical/pluck")
        if pluck is None:
            continue
        plucked[-1:] = [pluck + plucked[-1]] if note.find("chord") is not None else plucked[-1:] + [pluck]
        if note.find("lyric") is not None:
            sung.append(note.findtext("lyric/text"))
    assert schema.errors(target.read_bytes()) == []
    assert "".join(sung) == "".join(plucked) and len(sung) > 10
    assert seen.lyrics_by_music21(target) == sung
    # A copy, not read again.
    program.convert(target, again := tmp_path / "again.musicxml", "--staves", "tab")
    assert again.read_bytes() == plain.read_bytes()
