"""What must hold in every tab-annotated MusicXML file that the program writes, looked up in the file itself.

No library of music takes part: only the XML and the rules of the format and of the instrument.
"""
from collections import defaultdict
from fractions import Fraction
from typing import NamedTuple

import schema

STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
# The note types of the MusicXML standard, as fractions of a whole note.
TYPES = {"maxima": Fraction(8), "long": Fraction(4), "breve": Fraction(2), "whole": Fraction(1),
         "half": Fraction(1, 2), "quarter": Fraction(1, 4), "eighth": Fraction(1, 8),
         **{name: Fraction(1, int(name[:-2])) for name in ("32nd",)},
         **{f"{number}th": Fraction(1, number) for number in (16, 64, 128, 256, 512, 1024)}}
LAST_FRET = 22


class Played(NamedTuple):
    measure: int  # counted from 0
    onset: Fraction  # in quarters from the start of the measure
    midi: int
    length: Fraction  # 0 of a grace note
    string: int
    fret: int
    struck: bool  # False: goes on from a tie


def midi_of(step, alter, octave):
    return 12 * (int(octave) + 1) + STEPS[step] + int(alter or 0)


class Tab:
    """One part of a file, read measure by measure. `flaws` says what is wrong with it."""

    def __init__(self, data):
        root = schema.parse(data)
        self.flaws = []
        self.lengths = []  # of the measures, in quarters
        self.numbers = []
        self.implicit = []
        self.played = []  # notes of the tab staff
        self.ringing = []  # (end as written, in quarters from the start of the piece; MIDI number): notes let ring
        self.noted = []  # notes of the notation staff, with string and fret 0
        self.spelled = []  # (step, alter, octave) as written, of the upper staff
        self.typeless = []  # measures with a note of a length that no note value has
        self.fifths = []  # (measure, key signature)
        self.transpose, self.capo, self.tuning = 0, 0, {}
        self.tab_staff = None
        self.divisions = None
        self.repeats = repeats_of(data)
        parts = root.findall("part")
        if len(parts) != 1:
            self.flaws.append(f"{len(parts)} parts")
        for index, measure in enumerate(parts[0].findall("measure")):
            self._measure(index, measure)
        if not self.lengths:
            self.flaws.append("no measures")
        self._check_staves()
        self._check_strings()

    def _measure(self, index, measure):
        now, furthest, grace = Fraction(0), Fraction(0), 0
        filled = defaultdict(list)  # (staff, voice) -> [(from, to)]
        onset = Fraction(0)
        self.numbers.append(measure.get("number"))
        self.implicit.append(measure.get("implicit") == "yes")
        for item in measure:
            if item.tag == "attributes":
                self._attributes(index, item)
            elif item.tag in ("backup", "forward"):
                step = Fraction(item.findtext("duration")) / self.divisions
                now += step if item.tag == "forward" else -step
                if now < 0:
                    self.flaws.append(f"measure {index}: backup before its start")
            elif item.tag == "note":
                staff = int(item.findtext("staff") or 1)
                in_chord, is_grace = item.find("chord") is not None, item.find("grace") is not None
                length = Fraction(0) if is_grace else Fraction(item.findtext("duration")) / self.divisions
                if not in_chord:
                    onset = now
                    now += length
                    if not is_grace:
                        filled[staff, item.findtext("voice")].append((onset, now))
                self._check_value(index, item, length, is_grace)
                self._note(index, item, onset, length, staff)
            furthest = max(furthest, now)
        for voice, spans in filled.items():
            spans.sort()
            edges = [Fraction(0)] + [end for _, end in spans]
            if any(start != edge for (start, _), edge in zip(spans, edges)) or edges[-1] != furthest:
                self.flaws.append(f"measure {index}: voice {voice} does not fill it: "
                                  f"{[tuple(map(str, span)) for span in spans]} of {furthest}")
        self.lengths.append(furthest)

    def _attributes(self, index, item):
        if item.findtext("divisions"):
            self.divisions = Fraction(item.findtext("divisions"))
        if item.findtext("key/fifths"):
            self.fifths.append((index, int(item.findtext("key/fifths"))))
        if item.find("transpose") is not None:
            self.transpose = (int(item.findtext("transpose/chromatic")) +
                              12 * int(item.findtext("transpose/octave-change") or 0))
        for clef in item.findall("clef"):
            if clef.findtext("sign") == "TAB":
                self.tab_staff = int(clef.get("number") or 1)
        for details in item.findall("staff-details"):
            lines = details.findall("staff-tuning")
            if lines:
                self.tab_lines = int(details.findtext("staff-lines"))
            for line in lines:
                # Lines are counted from the bottom, strings from the top (MusicXML 4.0).
                string = self.tab_lines + 1 - int(line.get("line"))
                self.tuning[string] = midi_of(line.findtext("tuning-step"), line.findtext("tuning-alter"),
                                              line.findtext("tuning-octave"))
            if details.findtext("capo"):
                self.capo = int(details.findtext("capo"))

    def _check_value(self, index, item, length, is_grace):
        """The printed value and the duration have to agree."""
        kind = item.findtext("type")
        if is_grace or kind is None:
            if kind is None and item.find("rest") is None:
                self.typeless.append(index)
            return
        rest = item.find("rest")
        if rest is not None and rest.get("measure") == "yes":
            return
        printed = TYPES[kind] * 4
        dots = len(item.findall("dot"))
        printed *= 2 - Fraction(1, 2 ** dots)
        if item.find("time-modification") is not None:
            printed *= Fraction(int(item.findtext("time-modification/normal-notes")),
                                int(item.findtext("time-modification/actual-notes")))
        if printed != length:
            self.flaws.append(f"measure {index}: {kind} with {dots} dots lasts {length}, not {printed}")

    def _note(self, index, item, onset, length, staff):
        if item.find("rest") is not None:
            return
        pitch = item.find("pitch")
        if pitch is None:
            self.flaws.append(f"measure {index}: a note without pitch")
            return
        parts = pitch.findtext("step"), pitch.findtext("alter"), pitch.findtext("octave")
        midi = midi_of(*parts) + self.transpose
        if staff == 1:
            self.spelled.append((parts[0], int(parts[1] or 0), int(parts[2])))
        struck = all(tie.get("type") != "stop" for tie in item.findall("tie"))
        if staff != self.tab_staff:
            self.noted.append(Played(index, onset, midi, length, 0, 0, struck))
            return
        string = item.findtext("notations/technical/string")
        fret = item.findtext("notations/technical/fret")
        if string is None or fret is None:
            self.flaws.append(f"measure {index}: a tab note without string and fret")
            return
        self.played.append(Played(index, onset, midi, length, int(string), int(fret), struck))
        if any(tied.get("type") == "let-ring" for tied in item.findall("notations/tied")):
            self.ringing.append((sum(self.lengths) + onset + length, midi))

    def _check_staves(self):
        """Both staves hold the same notes."""
        if self.tab_staff is None:
            self.flaws.append("no tab staff")
        elif self.noted:
            above = sorted((*note[:4], note.struck) for note in self.noted)
            below = sorted((*note[:4], note.struck) for note in self.played)
            if above != below:
                self.flaws.append(f"the staves differ, first at {next(p for p in zip(above, below) if p[0] != p[1])}"
                                  if len(above) == len(below) else
                                  f"{len(above)} notes on the notation staff, {len(below)} on the tab staff")

    def _check_strings(self):
        """Pitch = open string + fret; the fifth string has no frets 1 to 5 and counts from the long strings'
        nut; one note a string at a time (common practice)."""
        taken = {}
        for note in self.played:
            where = f"measure {note.measure}, quarter {note.onset}, string {note.string}, fret {note.fret}"
            if note.string not in self.tuning:
                self.flaws.append(f"{where}: no such string")
                continue
            given = self.tuning[note.string]
            if note.string == 5:
                if 1 <= note.fret <= 5:
                    self.flaws.append(f"{where}: the fifth string has no such fret")
                given += max(0, note.fret - 5)
            else:
                given += self.capo + note.fret
            if given != note.midi:
                self.flaws.append(f"{where} gives {given}, the pitch says {note.midi}")
            if not 0 <= note.fret <= LAST_FRET:
                self.flaws.append(f"{where}: no such fret")
            if note.length:
                key = note.measure, note.onset, note.string
                if key in taken:
                    self.flaws.append(f"{where}: the string is played twice at once")
                taken[key] = note


def lengths_of(data, part=0):
    """Lengths of the measures of a part of any partwise file, in quarters."""
    root, result, divisions = schema.parse(data), [], None
    for measure in root.findall("part")[part].findall("measure"):
        now = furthest = Fraction(0)
        for item in measure:
            if item.tag == "attributes" and item.findtext("divisions"):
                divisions = Fraction(item.findtext("divisions"))
            elif item.tag in ("backup", "forward", "note") and item.findtext("duration"):
                if item.find("chord") is None:
                    step = Fraction(item.findtext("duration")) / divisions
                    now += -step if item.tag == "backup" else step
            furthest = max(furthest, now)
        result.append(furthest)
    return result


def repeats_of(data, part=0):
    """[(barline, direction)] of the repeat signs of a part. Barline n stands before measure n, counted from 0:
    the right side of one measure and the left side of the next are one barline."""
    root = schema.parse(data)
    return [(index + (barline.get("location", "right") == "right"), repeat.get("direction"))
            for index, measure in enumerate(root.findall("part")[part].findall("measure"))
            for barline in measure.iterfind("barline") for repeat in barline.iterfind("repeat")]


def melody_of(root, part):
    """[(onset, midi, length)] of a part that has one voice and one staff, ties joined and grace notes left
    out, as the standard says how to read it; None of any other part."""
    notes, open_ties, begin, divisions, shift, voices = [], {}, Fraction(0), Fraction(1), 0, set()
    for measure in root.findall("part")[part].findall("measure"):
        now = furthest = onset = Fraction(0)
        for item in measure:
            if item.tag == "attributes":
                divisions = Fraction(item.findtext("divisions") or divisions)
                if int(item.findtext("staves") or 1) > 1:
                    return None
                if item.find("transpose") is not None:
                    shift = (int(item.findtext("transpose/chromatic")) +
                             12 * int(item.findtext("transpose/octave-change") or 0))
            elif item.tag == "backup":
                return None
            elif item.tag == "forward":
                now += Fraction(item.findtext("duration")) / divisions
            elif item.tag == "note" and item.find("grace") is None:
                voices.add(item.findtext("voice"))
                length = Fraction(item.findtext("duration")) / divisions
                if item.find("chord") is None:
                    onset = now
                    now += length
                    furthest = max(furthest, now)
                if item.find("rest") is not None:
                    continue
                if item.find("pitch") is None or item.find("cue") is not None or len(voices) > 1:
                    return None
                pitch = item.find("pitch")
                midi = midi_of(pitch.findtext("step"), pitch.findtext("alter"), pitch.findtext("octave")) + shift
                ties = {tie.get("type") for tie in item.findall("tie")}
                index = open_ties.pop((midi, begin + onset), None) if "stop" in ties else None
                if index is None:
                    index = len(notes)
                    notes.append((begin + onset, midi, length))
                else:
                    notes[index] = (*notes[index][:2], notes[index][2] + length)
                if "start" in ties:
                    open_ties[midi, begin + onset + length] = index
            furthest = max(furthest, now)
        begin += furthest
    return sorted(notes)
