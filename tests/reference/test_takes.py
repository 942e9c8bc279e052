"""Fiddle tunes from 1883 as somebody plays them into a recorder that knows no tempo: unsteadily, at a tempo that
drifts by a tenth, from any time on. The program has to find the beats and the measures in them."""
import random
from collections import Counter
from fractions import Fraction

import fiddle_tunes
import program
import pytest
import seen
import tab
import takes

pytestmark = pytest.mark.share

TAKES = 120
SPREADS_MS = 5, 15, 25  # of the onsets, as a standard deviation
# Beats a minute by meter: how many quarter notes a beat has, and how fast players are.
BEATS = {"2/4": (1, 90, 120), "C": (1, 100, 180), "4/4": (1, 100, 180), "C|": (2, 90, 120), "2/2": (2, 90, 120),
         "6/8": (1.5, 100, 125), "9/8": (1.5, 100, 120)}
DOTTED = 60, 76  # half notes a minute of hornpipes and the like, whose sixteenths would otherwise be too fast


def compare(wanted, pickup, measure, found, barline, own):
    """The share of notes that are at the right distance from each other, and whether the barlines are at barlines.
    Whether a sixteenth is written as an eighth, or two measures as one, is a matter of taste."""
    best = 0.0, False
    for scale in (Fraction(1, 2), Fraction(1), Fraction(2)):
        if len(wanted) != len(found):
            continue
        offsets = Counter(there.onset - here.onset * scale for here, there in zip(wanted, found))
        offset, count = offsets.most_common(1)[0]
        if count / len(wanted) <= best[0]:
            continue
        shorter = min(measure * scale, own)
        nested = (measure * scale / own).denominator == 1 or (own / measure / scale).denominator == 1
        best = count / len(wanted), nested and ((barline - (pickup * scale + offset)) / shorter).denominator == 1
    return best


def regular(name):
    """Whether the measures of a tune are a measure apart from beginning to end: only then they can be counted."""
    lengths = tab.lengths_of(fiddle_tunes.files(name)[0].read_bytes())
    measure = Counter(lengths).most_common(1)[0][0]
    after = [(begin - lengths[0]) / measure for begin in seen.starts(lengths)[1:]]
    return sum(begin.denominator == 1 for begin in after) >= 0.9 * len(after)


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory):
    """(spread, whether it has accents, share of notes on the right beats, whether the downbeat is right) of each take.
    Every second player makes the beginning of a measure, and half as much its middle, a little louder than the rest,
    by less than the loudness varies anyway."""
    folder = tmp_path_factory.mktemp("takes")
    chance = random.Random(1883)
    names = [name for name in fiddle_tunes.names() if fiddle_tunes.header(name, "M") in BEATS and regular(name)]
    assert len(names) >= 40
    result = []
    for take in range(TAKES):
        name = names[take % len(names)]
        xml = fiddle_tunes.files(name)[0]
        notes = seen.musicxml_by_music21(xml).notes
        meter = fiddle_tunes.header(name, "M")
        beat, slowest, fastest = BEATS[meter]
        if meter in ("C|", "2/2", "C", "4/4") and sum(note.length < Fraction(1, 2) for note in notes) * 10 > len(notes):
            slowest, fastest = (side * 2 // beat for side in DOTTED)
        quarter = 60 / chance.uniform(slowest, fastest) / beat
        spread, drift = SPREADS_MS[take % 3], ("steady", "faster", "slower", "wave")[take // 3 % 4]
        source, target = folder / "take.mid", folder / "read.mid"
        lengths = tab.lengths_of(xml.read_bytes())
        measure = Counter(lengths).most_common(1)[0][0]
        pickup = lengths[0] if lengths[0] < measure else Fraction(0)
        accented = take // 12 % 2 == 1

        def accent(onset):
            halves = (onset - pickup) / measure * 2
            return 0 if not accented or halves.denominator > 1 else 6 if halves % 2 == 0 else 3

        source.write_bytes(takes.recorded(takes.play(notes, quarter, spread, drift, accent, chance)))
        done = program.run("convert", "--force", source, "-o", target)
        if done.status:
            result.append((spread, accented, 0.0, False))
            continue
        read = seen.midi_by_mido(target)
        begins = seen.barlines(read.stated, read.notes[-1].onset + read.notes[-1].length + 8)
        own = Counter(after - before for before, after in zip(begins, begins[1:])).most_common(1)[0][0]
        result.append((spread, accented, *compare(notes, pickup, measure, read.notes, begins[1], own)))
    return result


def test_beats(outcomes):
    assert len(outcomes) == TAKES
    for spread, least in ((5, 0.99), (15, 0.95), (25, 0.90)):
        shares = [share for ms, _, share, _ in outcomes if ms == spread]
        assert sum(shares) / len(shares) >= least, (spread, shares)


def test_measures(outcomes):
    for accented, least in ((False, 0.78), (True, 0.96)):
        right = [downbeat for _, has_accents, _, downbeat in outcomes if has_accents == accented]
        assert len(right) == TAKES / 2
        assert sum(right) / len(right) >= least, (accented, right)
