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
    assert re.search(r": (measure \S+|the pickup), beat ", lines[0])
    return lines[0]


def reason(said, part):
    """The kind of reason, after a look at whether it is true."""
    if part["percussion"] and "percussion" in said:
        return "percussion has no pitches"
    if part["notes"] == 0 and "no notes" in said:
        return "no notes"
    if "lies below the lowest string" in said or "lies above the last fret" in said:
        return out_of_range(said, part["range"]["lowest"]["midi"], part["range"]["highest"]["midi"])
    chord = re.search(r"no hand can hold ((?:[A-G][#b]*-?\d )+)together", said)
    if chord:
        pitches = [midi_of(name) for name in chord.group(1).split()]
        held = grip(pitches)
        return "a chord that no hand can hold" if held is None else f"NOT TRUE: held at {held}"
    return "NOT TRUE: a reason that is none"


def midi_of(name):
    return music21.pitch.Pitch(name.replace("b", "-")).midi


def out_of_range(said, low, high):
    """No octave may bring the notes from `low` to `high` in, and all that is said about it has to be so: that
    the note is out, where it was moved to, and the smallest move that helps or that there is none."""
    fits = [move for move in range(-60, 61) if LOWEST <= low + move and high + move <= HIGHEST]
    if octaves := [move // 12 for move in fits if move % 12 == 0]:
        return f"NOT TRUE: fits at {octaves} octaves"
    note = re.search(r"([A-G][#b]*-?\d) lies (below|above)[^;]*?"
                     r"(?:, when moved (up|down) (an|\d+) octaves? to (\S+))?; ", said)
    pitch = midi_of(note.group(1))
    if note.group(3):
        octaves = 1 if note.group(4) == "an" else int(note.group(4))
        pitch += 12 * octaves * (1 if note.group(3) == "up" else -1)
        if pitch != midi_of(note.group(5)):
            return f"NOT TRUE: moved to {pitch}"
    if pitch >= LOWEST if note.group(2) == "below" else pitch <= HIGHEST:
        return f"NOT TRUE: {pitch} lies on the banjo"
    if move := re.search(r"--transpose (-?\d+) brings every note in", said):
        if int(move.group(1)) not in fits or abs(int(move.group(1))) > min(map(abs, fits)):
            return f"NOT TRUE: these moves bring every note in: {fits}"
    elif fits or f"the notes span {high - low} half steps" not in said:
        return f"NOT TRUE: a span of {high - low} half steps, which these moves bring in: {fits}"
    return "more range than the banjo has, in any octave"


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
