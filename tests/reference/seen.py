"""What other people's libraries see in a file, all in one form, so that it can be compared.

Times are exact quarter notes from the start of the file; pitches are MIDI numbers as they sound. Grace
notes, which take no time, are left out of `notes` and listed by themselves.
"""
import csv
import functools
import hashlib
import pickle
import subprocess
import warnings
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import made_once
import mido


class Note(NamedTuple):
    onset: Fraction
    midi: int
    length: Fraction


@dataclass
class Seen:
    notes: list = field(default_factory=list)
    graces: list = field(default_factory=list)  # (onset, midi)
    keys: list = field(default_factory=list)  # (onset, sharps or minus flats)
    meters: list = field(default_factory=list)  # (onset, beats, unit)
    stated: list = field(default_factory=list)  # the meters, those that are stated again too
    hanging: list = field(default_factory=list)  # notes of MIDI that nothing ends, to the end of their track
    strays: int = 0  # ends of MIDI notes that never began
    short: set = field(default_factory=set)  # (onset, midi) of staccato notes, which sound shorter than written
    # (onset, quarters a minute): to a hundredth, since MIDI counts whole microseconds
    tempos: list = field(default_factory=list)

    def sort(self):
        for items in (self.notes, self.hanging, self.graces, self.keys, self.meters, self.tempos):
            items.sort()
        self.stated = list(self.meters)
        # What is stated again without a change says nothing new.
        for name in ("keys", "meters", "tempos"):
            kept = []
            for item in getattr(self, name):
                if kept and kept[-1][0] == item[0]:
                    kept[-1] = item
                elif not kept or kept[-1][1:] != item[1:]:
                    kept.append(item)
            setattr(self, name, kept)
        return self


SHARPS = {key: sharps for sharps, pair in enumerate(
    ["CbAbm", "GbEbm", "DbBbm", "AbFm", "EbCm", "BbGm", "FDm", "CAm", "GEm", "DBm", "AF#m", "EC#m", "BG#m",
     "F#D#m", "C#A#m"], -7)
    for key in (pair[:2 if pair[1] in "b#" else 1], pair[2 if pair[1] in "b#" else 1:])}


def _close(open_notes, key, now, seen, unit):
    """Ends the oldest note that sounds on a channel and pitch."""
    if open_notes.get(key):
        begun = open_notes[key].pop(0)
        seen.notes.append(Note(Fraction(begun, unit), key[1], Fraction(now - begun, unit)))
    else:
        seen.strays += 1


def _end_track(open_notes, now, seen, unit):
    for (_, midi), begun in open_notes.items():
        seen.hanging += [Note(Fraction(on, unit), midi, Fraction(now - on, unit)) for on in begun]


def midi_by_mido(path, channels=None):
    """mido's reading; `channels` counts from 0 and leaves percussion out by default."""
    channels = set(range(16)) - {9} if channels is None else set(channels)
    file = mido.MidiFile(path)
    seen, unit = Seen(), file.ticks_per_beat
    for track in file.tracks:
        now, open_notes = 0, {}
        for message in track:
            now += message.time
            if message.type == "set_tempo":
                seen.tempos.append((Fraction(now, unit), round(60_000_000 / message.tempo, 2)))
            elif message.type == "time_signature":
                seen.meters.append((Fraction(now, unit), message.numerator, message.denominator))
            elif message.type == "key_signature":
                seen.keys.append((Fraction(now, unit), SHARPS[message.key]))
            elif message.type in ("note_on", "note_off") and message.channel in channels:
                key = (message.channel, message.note)
                if message.type == "note_on" and message.velocity:
                    open_notes.setdefault(key, []).append(now)
                else:
                    _close(open_notes, key, now, seen, unit)
        _end_track(open_notes, now, seen, unit)
    return seen.sort()


def midi_by_midicsv(path, channels=None):
    """The reading of Debian's midicsv."""
    channels = set(range(16)) - {9} if channels is None else set(channels)
    text = subprocess.run(["midicsv", str(path)], check=True, capture_output=True).stdout.decode("latin-1")
    seen, unit, open_notes = Seen(), None, {}
    for row in csv.reader(text.splitlines(), skipinitialspace=True):
        track, now, kind, values = int(row[0]), int(row[1]), row[2], row[3:]
        if kind == "Header":
            unit = int(values[2])
        elif kind == "Tempo":
            seen.tempos.append((Fraction(now, unit), round(60_000_000 / int(values[0]), 2)))
        elif kind == "Time_signature":
            seen.meters.append((Fraction(now, unit), int(values[0]), 2 ** int(values[1])))
        elif kind == "Key_signature":
            # midicsv prints the byte of the file, which is a signed one.
            seen.keys.append((Fraction(now, unit), (int(values[0]) + 128) % 256 - 128))
        elif kind in ("Note_on_c", "Note_off_c") and int(values[0]) in channels:
            key = (int(values[0]), int(values[1]))
            place = open_notes.setdefault(track, {})
            if kind == "Note_on_c" and int(values[2]):
                place.setdefault(key, []).append(now)
            else:
                _close(place, key, now, seen, unit)
        elif kind == "End_track":
            _end_track(open_notes.get(track, {}), now, seen, unit)
    return seen.sort()


def seconds_by_pretty_midi(path):
    """[(start, end, midi)] in seconds, percussion left out."""
    import pretty_midi
    file = pretty_midi.PrettyMIDI(str(path))
    return sorted((note.start, note.pitch, note.end) for instrument in file.instruments
                  if not instrument.is_drum for note in instrument.notes)


def to_seconds(tempos, quarters):
    """Seconds from the start to a time in quarter notes, under tempos [(onset, quarters a minute)]."""
    total, since, rate = 0.0, Fraction(0), 120.0  # a file without a tempo plays at 120 (SMF 1.0)
    for onset, tempo in tempos:
        if onset >= quarters:
            break
        total += float(onset - since) * 60 / rate
        since, rate = onset, tempo
    return total + float(quarters - since) * 60 / rate


def barlines(stated, end):
    """The times before `end` at which measures begin, under meters [(onset, beats, unit)]. A meter begins
    a measure, whether it changes or not."""
    result, now = [], Fraction(0)
    changes = stated or [(Fraction(0), 4, 4)]  # a file without a meter is in 4/4 (SMF 1.0)
    index = 0
    while now < end:
        while index + 1 < len(changes) and changes[index + 1][0] <= now:
            index += 1
        result.append(now)
        now += Fraction(changes[index][1] * 4, changes[index][2])
        if index + 1 < len(changes) and changes[index + 1][0] < now:
            now = changes[index + 1][0]
    return result


def starts(lengths):
    """Where measures of these lengths begin."""
    result, now = [], Fraction(0)
    for length in lengths:
        result.append(now)
        now += length
    return result


def in_force(changes, now):
    """What a list of changes [(onset, ...)] says at a time."""
    return [change[1:] for change in changes if change[0] <= now][-1]


def same_measures(meters, lengths, in_midi):
    """What is wrong with the meters of a MIDI file that holds measures of these lengths under these meters:
    barlines have to stand at the same times, and full measures to have the same meter. A pickup or a short
    measure has a meter of its own in MIDI, since there is no other way to say it; two measures that make
    a full one together may be one."""
    begins = starts(lengths)
    lines = set(barlines(in_midi.stated, begins[-1] + lengths[-1]))
    if lines - set(begins):
        return f"barlines in MIDI alone: {sorted(map(str, lines - set(begins)))[:5]}"
    for index, (begin, length) in enumerate(zip(begins, lengths)):
        beats, unit = in_force(meters, begin)
        full = Fraction(beats * 4, unit)
        if begin not in lines:
            if lengths[index - 1] + length != full:
                return f"no barline in MIDI at {begin}"
        elif length == full and in_force(in_midi.meters, begin) != (beats, unit):
            return f"at {begin} a meter of {in_force(in_midi.meters, begin)}, not {(beats, unit)}"
    return None


def _fraction(number):
    return Fraction(number).limit_denominator(100_000)


def musicxml_by_music21(path, part=0, expand=False):
    """music21's reading of one part, or of one staff of a part that has several (0 is the upper one).

    With `expand`, in playing order. music21 takes long, and the same bytes come again, from the sanitized program at
    the latest: what it saw in them is kept."""
    data = Path(path).read_bytes()
    asked = hashlib.sha256(f"{part} {expand} ".encode() + data).hexdigest()
    kept = _kept() / asked

    def look(target):
        stream = list(_score_by_music21(str(path), data).parts)[part]
        target.write_bytes(pickle.dumps(stream_by_music21(stream, expand)))
    made_once.make([kept], look)
    return pickle.loads(kept.read_bytes())


@functools.cache
def _kept():
    return made_once.folder("seen", __file__)


@functools.lru_cache(maxsize=2)
def _score_by_music21(path, data):
    import music21
    return music21.converter.parse(path, format="musicxml", forceSource=True)


def lyrics_by_music21(path):
    """The syllables of the first part, in order."""
    part = _score_by_music21(str(path), Path(path).read_bytes()).parts[0]
    return [note.lyric for note in part.recurse().notes if note.lyric]


def stream_by_music21(stream, expand=False):
    import music21
    if expand:
        stream = stream.expandRepeats()
    stream = stream.toSoundingPitch(inPlace=False)
    seen, open_ties = Seen(), {}
    for element in stream.flatten():
        onset = _fraction(element.offset)
        if isinstance(element, (music21.note.Note, music21.chord.Chord)):
            if isinstance(element, music21.harmony.Harmony):
                continue
            for note in element.notes if isinstance(element, music21.chord.Chord) else [element]:
                midi, length = int(note.pitch.ps), _fraction(element.duration.quarterLength)
                if any(isinstance(mark, music21.articulations.Staccato) for mark in element.articulations):
                    seen.short.add((onset, midi))
                if element.duration.isGrace:
                    seen.graces.append((onset, midi))
                    continue
                kind = note.tie.type if note.tie else None
                if kind in ("stop", "continue") and open_ties.get(midi, (0, None))[1] == onset:
                    index = open_ties.pop(midi)[0]
                    begun = seen.notes[index]
                    seen.notes[index] = Note(begun.onset, midi, begun.length + length)
                else:
                    index = len(seen.notes)
                    seen.notes.append(Note(onset, midi, length))
                if kind in ("start", "continue"):
                    open_ties[midi] = (index, onset + length)
        elif isinstance(element, music21.key.KeySignature):
            seen.keys.append((onset, element.sharps))
        elif isinstance(element, music21.meter.TimeSignature):
            seen.meters.append((onset, element.numerator, element.denominator))
        elif isinstance(element, music21.tempo.MetronomeMark) and element.number:
            seen.tempos.append((onset, round(float(element.getQuarterBPM()), 2)))
    return seen.sort()


def musicxml_by_partitura(path, staff=1):
    """partitura's reading: notes, keys and meters of one staff of the first part. Written pitch: partitura
    leaves transposition to its user."""
    import partitura
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = partitura.load_musicxml(str(path), force_note_ids=True)[0]
    seen, times = Seen(), _quarter_times(part)
    for note in part.notes_tied:
        if note.staff not in (None, staff):
            continue
        onset, end = times(note.start.t), times(note.end_tied.t)
        if isinstance(note, partitura.score.GraceNote):
            seen.graces.append((onset, note.midi_pitch))
        else:
            seen.notes.append(Note(onset, note.midi_pitch, end - onset))
    for key in part.iter_all(partitura.score.KeySignature):
        seen.keys.append((times(key.start.t), key.fifths))
    for meter in part.iter_all(partitura.score.TimeSignature):
        seen.meters.append((times(meter.start.t), meter.beats, meter.beat_type))
    return seen.sort()


def _quarter_times(part):
    """From partitura's divisions to exact quarters, through the divisions in force."""
    changes = [(int(start), int(divisions)) for start, divisions in part.quarter_durations()]

    def quarters(time):
        total = Fraction(0)
        for index, (start, divisions) in enumerate(changes):
            end = changes[index + 1][0] if index + 1 < len(changes) else time
            total += Fraction(max(0, min(time, end) - start), divisions)
        return total
    return quarters
