"""Notes as somebody plays them into a recorder that knows no tempo, and the file that it writes."""
import math
from fractions import Fraction


def drifted(drift, seconds, whole):
    """How long a second is at a time."""
    return {"steady": 1.0, "faster": 1.05 - 0.1 * seconds / whole, "slower": 0.95 + 0.1 * seconds / whole,
            "wave": 1 + 0.1 * math.sin(2 * math.pi * seconds / 25)}[drift]


def play(notes, quarter, spread, drift, accent, chance):
    """(on, off, pitch, loudness) in seconds; accent(onset) is how much louder a note is than others."""
    played, now, at = [], 0.0, notes[0].onset
    whole = float(notes[-1].onset - at) * quarter
    start = chance.uniform(0, 5)
    for note in notes:
        while at < note.onset:
            step = min(Fraction(1, 8), note.onset - at)
            now += float(step) * quarter * drifted(drift, now, whole)
            at += step
        on = start + max(0.0, now + chance.gauss(0, spread / 1000))
        played.append((on, on + float(note.length) * quarter * chance.uniform(0.75, 0.98), note.midi,
                       max(30, min(120, round(chance.gauss(80, 8) + accent(note.onset))))))
    return sorted(played)


def breathed(played, first, seconds):
    """The same with a pause before the note of that number, longer than what is written by so many seconds."""
    return played[:first] + [(on + seconds, off + seconds, key, loud) for on, off, key, loud in played[first:]]


def recorded(played):
    """A MIDI file of 480 ticks a quarter note and 120 of these a minute."""
    events = [(round(on * 960), 1, bytes([0x90, key, loudness])) for on, _, key, loudness in played]
    events += [(max(round(off * 960), round(on * 960) + 1), 0, bytes([0x80, key, 64])) for on, off, key, _ in played]
    body, now = b"", 0
    for tick, _, data in sorted(events):
        delta, digits = tick - now, [(tick - now) & 0x7f]
        while delta := delta >> 7:
            digits.insert(0, delta & 0x7f | 0x80)
        body, now = body + bytes(digits) + data, tick
    body += b"\0\xff\x2f\0"
    return b"MThd\0\0\0\6\0\0\0\1\1\xe0MTrk" + len(body).to_bytes(4, "big") + body
