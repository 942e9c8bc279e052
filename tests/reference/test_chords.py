"""Inferred chords against those that people have put to tunes, unit by unit: half measures, whole ones in 3/4.

Right is a chord with the root and the third of the one that lasts longest in the unit: a seventh is its triad, a bass
note is not looked at. The traditional tunes of chord_tunes.abc were written down from memory, with plain chords; beside
them stand the four pieces with chords in music21's corpus, by other hands and less plain: two of the Nottingham Music
Database and two lead sheets. Weights were chosen on half of either, TUNED; nothing was ever chosen on the others.
"""
import os
import re
import subprocess
from pathlib import Path

import made_once
import music21
import pytest

pytestmark = pytest.mark.share

HERE = Path(__file__).parent
COMPARE = Path(os.environ.get("FIFTHPEG_BUILD") or HERE.parents[1] / "build") / "tests/inferred_chords"
CORPUS = Path(music21.__file__).parent / "corpus"
NOTTINGHAM = CORPUS / "nottingham-dataset/reelsa-c.abc"
TUNED = 1  # odd numbers; of the lead sheets, the second
SURE = 0.7


def files(source, remainder):
    """MusicXML files of the tunes of a collection whose numbers leave a remainder when they are halved."""
    text = source.read_text(encoding="utf-8")
    tunes = {int(re.match(r"X: *(\d+)", tune)[1]): tune
             for tune in re.split(r"^(?=X:)", text, flags=re.MULTILINE)[1:]}
    folder = made_once.folder(f"chords-{source.stem}", source)
    targets = {number: folder / f"{number}.musicxml" for number in sorted(tunes) if number % 2 == remainder}

    def work(*paths):
        for number, path in zip(targets, paths):
            music21.converter.parse(tunes[number], format="abc").write("musicxml", fp=path)

    made_once.make(list(targets.values()), work)
    return list(targets.values())


def plain(remainder):
    return files(HERE / "chord_tunes.abc", remainder)


def less_plain(remainder):
    songs = [CORPUS / "leadSheet/fosterBrownHair.mxl", CORPUS / "leadSheet/berlinAlexandersRagtime.mxl"]
    return files(NOTTINGHAM, remainder) + [songs[remainder]]


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


# Music, at least so many units; at least so many right, and so many among the best two.
@pytest.mark.parametrize("music, half, count, right, among_two", [
    (plain, 1 - TUNED, 850, 0.83, 0.92), (plain, TUNED, 890, 0.80, 0.92),
    (less_plain, 1 - TUNED, 100, 0.63, 0.77), (less_plain, TUNED, 100, 0.55, 0.74),
], ids=["plain", "plain, tuned", "less plain", "less plain, tuned"])
def test_chords_are_those_that_people_put(music, half, count, right, among_two):
    figures = Figures(music(half))
    print(figures)
    assert figures.count >= count
    assert figures.right >= right and figures.among_two >= among_two, figures
    assert figures.right_where_sure > figures.right, figures


@pytest.mark.parametrize("symbol, expected", [("G", (7, False)), ("Gm7", (7, True)), ("Bbmaj7", (10, False)),
                                              ("F#dim7", (6, True)), ("N.C.", None), ("-", None)])
def test_what_counts_as_the_same_chord(symbol, expected):
    assert triad(symbol) == expected
