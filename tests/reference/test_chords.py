"""Inferred chords against those that people have put to tunes, unit by unit: half measures, whole ones in 3/4.

Right is a chord with the root and the third of the one that lasts longest in the unit: a seventh is its triad, a bass
note is not looked at. Weights were chosen on the odd tunes of chord_tunes.abc; nothing was ever chosen on the even
ones, nor on the tunes of the Nottingham Music Database that music21's corpus carries, which are two.
"""
import os
import re
import subprocess
from pathlib import Path

import made_once
import music21
import pytest

HERE = Path(__file__).parent
COMPARE = Path(os.environ.get("FIFTHPEG_BUILD") or HERE.parents[1] / "build") / "tests/inferred_chords"
COLLECTIONS = {"chord_tunes": HERE / "chord_tunes.abc",
               "nottingham": Path(music21.__file__).parent / "corpus/nottingham-dataset/reelsa-c.abc"}
SURE = 0.7


def files(collection, parity):
    """MusicXML files of the tunes with odd or even numbers, or of all."""
    source = COLLECTIONS[collection]
    tunes = {int(re.match(r"X: *(\d+)", tune)[1]): tune
             for tune in re.split(r"^(?=X:)", source.read_text(encoding="utf-8"), flags=re.MULTILINE)[1:]}
    folder = made_once.folder(f"chords-{collection}", __file__)
    content = made_once.hashlib.sha256(source.read_bytes()).hexdigest()[:12]
    targets = {number: folder / f"{content}-{number}.musicxml" for number in sorted(tunes)}

    def work(*paths):
        for number, path in zip(targets, paths):
            music21.converter.parse(tunes[number], format="abc").write("musicxml", fp=path)

    made_once.make(list(targets.values()), work)
    return [target for number, target in targets.items() if parity is None or number % 2 == parity]


def triad(symbol):
    """Root and third of a chord symbol; None for no chord."""
    found = re.match(r"([A-G](?:#|b)*)(m(?!aj)|dim)?", symbol)
    return found and (music21.pitch.Pitch(found[1].replace("b", "-")).pitchClass, bool(found[2]))


class Figures:
    def __init__(self, paths):
        said = subprocess.run([COMPARE, *paths], capture_output=True, text=True, check=True).stdout
        lines = [line.split() for line in said.splitlines() if line.count(" ") == 3]
        judged = [(triad(first) == triad(given), triad(second) == triad(given), float(sure))
                  for given, first, second, sure in lines if triad(given)]
        self.count = len(judged)
        self.right = self.share(right for right, _, _ in judged)
        self.among_two = self.share(right or next_best for right, next_best, _ in judged)
        self.right_where_sure = self.share(right for right, _, sure in judged if sure > SURE)
        self.sure = self.share(sure > SURE for *_, sure in judged)

    @staticmethod
    def share(values):
        values = list(values)
        return sum(values) / len(values)

    def __str__(self):
        return (f"{self.count} units: {self.right:.1%} right, {self.among_two:.1%} among the best two; "
                f"sure of {self.sure:.1%}, of which {self.right_where_sure:.1%} are right")


def test_tunes_that_no_weight_was_chosen_on():
    figures = Figures(files("chord_tunes", 0))
    print(figures)
    assert figures.count > 700
    assert figures.right >= 0.80 and figures.among_two >= 0.92, figures
    assert figures.right_where_sure >= 0.87 and figures.sure >= 0.7, figures


def test_tunes_that_weights_were_chosen_on():
    figures = Figures(files("chord_tunes", 1))
    print(figures)
    assert figures.right >= 0.80 and figures.among_two >= 0.92, figures


def test_two_tunes_of_another_hand():
    figures = Figures(files("nottingham", None))
    print(figures)
    assert figures.count > 60
    assert figures.right >= 0.62 and figures.among_two >= 0.72, figures


@pytest.mark.parametrize("symbol, expected", [("G", (7, False)), ("Gm7", (7, True)), ("Bbmaj7", (10, False)),
                                              ("F#dim7", (6, True)), ("N.C.", None), ("-", None)])
def test_what_counts_as_the_same_chord(symbol, expected):
    assert triad(symbol) == expected
