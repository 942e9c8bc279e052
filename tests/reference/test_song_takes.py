"""Songs in quarters and halves, as a beginner plays them into a recorder that knows no tempo: the meter, the tempo and
the first measure have to be found in few notes, of which hardly any divides a beat."""
import random
from collections import Counter
from fractions import Fraction
from pathlib import Path

import music21
import program
import pytest
import seen
import takes

pytestmark = pytest.mark.share

SONGS = Path(__file__).parent / "song_tunes.abc"
SEEDS = 10
SPREADS_MS = 0, 10, 15
QUARTER_S = {"4/4": 0.6, "3/4": 0.6, "6/8": 0.52}
MEASURE = {"4/4": 4, "3/4": 3, "6/8": 3}  # quarter notes, as all times here


def songs():
    """(title, meter, pickup, notes) of each song."""
    for score in music21.converter.parse(SONGS).scores:
        part = score.parts[0]
        meter = next(iter(part.recurse().getElementsByClass(music21.meter.TimeSignature))).ratioString
        notes = [seen.Note(Fraction(note.getOffsetInHierarchy(part)), note.pitch.midi, Fraction(note.quarterLength))
                 for note in part.recurse().notes]
        measures = part.getElementsByClass(music21.stream.Measure)
        first = Fraction(measures[0].duration.quarterLength)
        yield score.metadata.title, meter, first if first < MEASURE[meter] else Fraction(0), notes


def repeated(notes, pickup, measure):
    """A song and once more from its pickup on, a whole number of measures later."""
    later = measure
    while later < notes[-1].onset + notes[-1].length - notes[0].onset:
        later += measure
    return notes + [note._replace(onset=note.onset + later) for note in notes]


def read(folder, played, *options):
    source, target = folder / "take.mid", folder / "read.mid"
    source.write_bytes(takes.recorded(played))
    done = program.run("convert", "--force", *options, source, "-o", target)
    assert done.status == 0, done.err
    return seen.midi_by_mido(target)


def judged(read_song, meter, pickup, notes):
    """Whether meter and tempo are right, and whether the barlines are too."""
    stated = Counter(f"{beats}/{unit}" for _, beats, unit in read_song.meters)
    begins = seen.barlines(read_song.stated, read_song.notes[-1].onset + 8)
    common = Counter(after - before for before, after in zip(begins, begins[1:])).most_common(1)[0][0]
    minute = read_song.tempos[0][1] if read_song.tempos else 120
    right = meter in stated and common == MEASURE[meter] and abs(minute * QUARTER_S[meter] / 60 - 1) < 0.04
    placed = Counter(there.onset - here.onset for here, there in zip(notes, read_song.notes)).most_common(1)[0][0]
    return right, right and ((begins[1] - placed - pickup) / MEASURE[meter]).denominator == 1


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory):
    """(title, spread, right meter and tempo, right barlines) of each take."""
    folder, result = tmp_path_factory.mktemp("songs"), []
    for title, meter, pickup, notes in songs():
        for spread in SPREADS_MS:
            for seed in range(SEEDS):
                chance = random.Random(f"{title} {spread} {seed}")
                played = takes.play(repeated(notes, pickup, MEASURE[meter]), QUARTER_S[meter], spread, "steady",
                                    lambda _: 0, chance)
                song = read(folder, played)
                result.append((title, spread, *judged(song, meter, pickup, notes)))
    return result


def shares(outcomes, index):
    """The share of right ones by song."""
    return {title: sum(one[index] for one in outcomes if one[0] == title) / (SEEDS * len(SPREADS_MS))
            for title in dict.fromkeys(one[0] for one in outcomes)}


@pytest.mark.share
def test_meters_and_tempos(outcomes):
    right = shares(outcomes, 2)
    assert len(right) >= 10
    assert sum(right.values()) / len(right) >= 0.99, right


@pytest.mark.share
def test_barlines(outcomes):
    right = shares(outcomes, 3)
    assert sum(right.values()) / len(right) >= 0.95, right


@pytest.mark.parametrize("options, meter", [(("--meter", "4/4"), "4/4"), (("--meter", "3/4"), "3/4"),
                                            (("--grid", "1/4"), "4/4"), (("--grid", "1/4"), "3/4")])
def test_what_is_stated_keeps_the_beat(tmp_path, options, meter):
    right = []
    for title, own, pickup, notes in songs():
        for seed in range(3 if own == meter else 0):
            chance = random.Random(f"{title} {seed}")
            played = takes.play(repeated(notes, pickup, MEASURE[own]), QUARTER_S[own], 10, "steady", lambda _: 0, chance)
            right.append(judged(read(tmp_path, played, *options), meter, pickup, notes)[0])
    assert len(right) >= 9
    assert sum(right) >= 0.9 * len(right), right


# Their last measure is full, and what the first pass has before the second pickup, it has not at the end.
FULL_AT_END = {"When the Saints Go Marching In", "Amazing Grace", "Old Smoky"}


@pytest.mark.share
@pytest.mark.parametrize("beats, barlines, folded, of_all", [(0.3, 0.9, 0.92, 0.86), (0.5, 0.9, 0.9, 0.81),
                                                             (1, 0.75, 0.69, 0.58)])
def test_a_breath_is_no_beat(tmp_path, beats, barlines, folded, of_all):
    """Whoever breathes before the second pass goes on as if nothing had been."""
    right, repeats, full = [], [], []
    for title, meter, pickup, notes in songs():
        for spread in (0, 10, 15):
            for seed in range(2):
                chance = random.Random(f"{title} {spread} {seed}")
                twice = repeated(notes, pickup, MEASURE[meter])
                beat = QUARTER_S[meter] * (1.5 if meter == "6/8" else 1)
                played = takes.breathed(takes.play(twice, QUARTER_S[meter], spread, "steady", lambda _: 0, chance),
                                        len(notes), beats * beat)
                right.append(judged(read(tmp_path, played), meter, pickup, twice)[1])
                target = tmp_path / "read.musicxml"
                program.convert(tmp_path / "take.mid", target, "--repeats", "fold")
                one = target.read_text().count('<repeat direction="backward"') == 1
                (full if title in FULL_AT_END else repeats).append(one)
    assert len(right) == 60 and len(repeats) == 42 and len(full) == 18
    assert sum(right) / len(right) >= barlines, right
    assert sum(repeats) / len(repeats) >= folded, repeats
    assert sum(repeats + full) / len(right) >= of_all, full


SUSANNA = {  # two parts of eight measures, from the quarter before them on, each without the last quarter
    "A": "67 .5,69 .5,71 1,74 1,74 1.5,76 .5,74 1,71 1,67 1.5,69 .5,71 1,71 1,69 1,67 1,69 3,67 .5,69 .5,"
         "71 1,74 1,74 1.5,76 .5,74 1,71 1,67 1.5,69 .5,71 1,71 1,69 1,69 1,67 3",
    "B": "0 1,72 2,72 2,76 1,76 2,76 1,74 1,74 1,71 1,67 1,69 3,67 .5,69 .5,"
         "71 1,74 1,74 1.5,76 .5,74 1,71 1,67 1.5,69 .5,71 1,71 1,69 1,69 1,67 3"}


def test_the_last_measure_lacks_the_pickup(tmp_path):
    """Two parts twice each, with a breath of half a beat before the second pass: no endings, and no note longer."""
    plain = []
    for seed in range(12):
        chance = random.Random(f"Susanna {seed}")
        notes, now, second = [], Fraction(0), 0
        for i, part in enumerate("AABB"):
            second = len(notes) if i == 1 else second
            for note in SUSANNA[part].split(","):
                midi, length = int(note.split()[0]), Fraction(note.split()[1])
                if midi:
                    notes.append(seen.Note(now, midi, length))
                now += length
        played = takes.play(notes, 0.57, (0, 10, 15)[seed % 3], "steady", lambda _: 0, chance)
        (tmp_path / "take.mid").write_bytes(takes.recorded(takes.breathed(played, second, 0.285)))
        target = tmp_path / "read.musicxml"
        program.convert(tmp_path / "take.mid", target, "--repeats", "fold")
        xml = target.read_text()
        plain.append((xml.count('<repeat direction="backward"'), "<ending" in xml, "<type>whole" in xml))
    assert plain.count((2, False, False)) >= 10, plain


def test_repeats_are_folded(tmp_path):
    """Whoever plays AABB lets go of the keys at other times when a part comes again."""
    by_title = {title: notes for title, _, _, notes in songs()}
    pairs = [("Mary Had a Little Lamb", "Go Tell Aunt Rhody"), ("Skip to My Lou", "Twinkle, Twinkle, Little Star"),
             ("Ode to Joy", "Mary Had a Little Lamb")]
    folded = []
    for first, second in pairs:
        whole, now = [], Fraction(0)
        for notes in (by_title[first], by_title[first], by_title[second], by_title[second]):
            whole += [note._replace(onset=note.onset + now) for note in notes]
            now = whole[-1].onset + whole[-1].length
        for spread in SPREADS_MS:
            for seed in range(4):
                chance = random.Random(f"{first} {second} {spread} {seed}")
                source, target = tmp_path / "take.mid", tmp_path / "read.musicxml"
                source.write_bytes(takes.recorded(takes.play(whole, 0.6, spread, "steady", lambda _: 0, chance)))
                program.convert(source, target, "--repeats", "fold", "--meter", "4/4", "--pickup", "0")
                xml = target.read_text()
                folded.append((first, spread, seed, xml.count('<repeat direction="backward"'), xml.count("<rest")))
    assert len(folded) == 36
    assert all(repeats == 2 and rests == 0 for *_, repeats, rests in folded), folded
