"""Whether a refusal of the program is right: its reason is looked up in the music."""
import itertools
import re

import music21

# Open strings 5 to 1 in open G, and the frets that they have.
STRINGS = [(67, [0, *range(6, 23)]), (50, range(23)), (55, range(23)), (59, range(23)), (62, range(23))]
LOWEST, HIGHEST = 50, 62 + 22


def line(outcome):
    """Whatever the music, the program ends in order and says one clear line."""
    assert outcome.status == 1, f"exit status {outcome.status}: {outcome.err}"
    lines = [line for line in outcome.err.splitlines() if line.startswith("fifthpeg: ")]
    assert len(lines) == 1, outcome.err
    assert re.search(r": measure \S+, beat ", lines[0])
    return lines[0]


def reason(said, part):
    """The kind of reason, after a look at whether it is true."""
    if part["percussion"] and "percussion" in said:
        return "percussion has no pitches"
    if part["notes"] == 0 and "no notes" in said:
        return "no notes"
    if "outside the banjo's range" in said:
        low, high = part["range"]["lowest"]["midi"], part["range"]["highest"]["midi"]
        fits = [octaves for octaves in range(-8, 9) if LOWEST <= low + 12 * octaves and high + 12 * octaves <= HIGHEST]
        return "more range than the banjo has, in any octave" if not fits else f"NOT TRUE: fits at {fits} octaves"
    chord = re.search(r"no hand can hold ((?:[A-G][#b]*-?\d )+)together", said)
    if chord:
        pitches = [music21.pitch.Pitch(name.replace("b", "-")).midi for name in chord.group(1).split()]
        held = grip(pitches)
        return "a chord that no hand can hold" if held is None else f"NOT TRUE: held at {held}"
    return "NOT TRUE: a reason that is none"


def grip(pitches):
    """(string, fret) of each pitch, all on different strings and no more than three frets apart, open strings
    aside, which any hand can hold; None if there is no such way."""
    if len(pitches) > len(STRINGS):
        return None
    for strings in itertools.permutations(range(len(STRINGS)), len(pitches)):
        frets = []
        for string, pitch in zip(strings, pitches):
            opened, exist = STRINGS[string]
            fret = pitch - opened + (5 if string == 0 and pitch != opened else 0)
            if fret not in exist:
                break
            frets.append(fret)
        else:
            stopped = [fret for fret in frets if fret]
            if not stopped or max(stopped) - min(stopped) <= 3:
                return [(5 - string, fret) for string, fret in zip(strings, frets)]
    return None
