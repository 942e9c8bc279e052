"""From which chord to which a lick leads, in pieces of two measures cut out of the tunes with chords of test_chords.py:
what people wrote is what is found; and where their symbols are taken out, how often what is inferred is the same triad.

Two measures tell less than a tune: a melody that stays on notes that two chords have says little of which it is over. So
the shares are smaller than those of whole tunes.
"""
import os
import subprocess
from pathlib import Path

import pytest
import test_chords

pytestmark = pytest.mark.share

CUT = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).parents[2] / "build") / "tests/lick_chords"


def pieces(music, half):
    said = subprocess.run([CUT, *music(half)], capture_output=True, text=True, check=True).stdout
    return [line.split("\t") for line in said.splitlines()]


def agree(one, other):
    return test_chords.triad(one) == test_chords.triad(other)


# Music, its half, pieces; of them at least that share from the same chord, and to the same one.
@pytest.mark.parametrize("music, half, count, starts, ends", [
    (test_chords.plain, 1 - test_chords.TUNED, 240, .65, .57), (test_chords.plain, test_chords.TUNED, 240, .65, .50),
    (test_chords.less_plain, 1 - test_chords.TUNED, 25, .34, .30),
    (test_chords.less_plain, test_chords.TUNED, 25, .30, .23),
], ids=["plain", "plain, tuned", "less plain", "less plain, tuned"])
def test_a_piece_leads_from_the_chord_that_people_put_to_the_one_that_they_put(music, half, count, starts, ends):
    found = pieces(music, half)
    assert len(found) >= count
    assert [piece for piece in found if piece[:2] != piece[2:4]] == []
    same_start = sum(agree(piece[0], piece[4]) for piece in found) / len(found)
    same_end = sum(agree(piece[1], piece[5]) for piece in found) / len(found)
    print(f"{len(found)} pieces without symbols: {same_start:.1%} from the same triad, {same_end:.1%} to the same")
    assert same_start >= starts and same_end >= ends
