"""Slips: one thing wrong in a sound tab file, of which it is known what `check` has to call it.

Each function makes one slip in a parsed score and returns True, or False where there is no place for it. The same
file and seed give the same slips.
"""

from __future__ import annotations

import math
import random
from copy import deepcopy
from typing import Iterator, NamedTuple

from lxml import etree

NUMBERS = ("duration", "offset")
TYPES = ["whole", "half", "quarter", "eighth", "16th", "32nd"]


class Slip(NamedTuple):
    rules: frozenset  # one of them has to be found
    xml: bytes


def slips(xml: bytes, seed: str, each: int) -> Iterator[Slip]:
    """Up to `each` different slips of every kind."""
    whole = etree.fromstring(xml)
    for make, rules in SLIPS:
        chance = random.Random(f"{seed} {make.__name__}")
        made = {_bytes(whole)}
        for _ in range(3 * each):
            root = deepcopy(whole)
            if len(made) > each:
                break
            if not make(root, chance):
                continue
            xml = _bytes(root)
            if xml not in made:
                made.add(xml)
                yield Slip(frozenset(rules.split()), xml)


def with_fewest_divisions(xml: bytes) -> bytes:
    """The same music, with divisions no finer than its durations need."""
    root = etree.fromstring(xml)
    for part in root.iter("part"):
        numbers = [element for name in (*NUMBERS, "divisions") for element in part.iter(name)]
        common = math.gcd(*(int(element.text) for element in numbers))
        for element in numbers:
            element.text = str(int(element.text) // common)
    return _bytes(root)


def with_pickup(xml: bytes) -> bytes:
    """The same music from the last beat of its first measure on; as it is where nothing begins there."""
    root = etree.fromstring(xml)
    first = root.find("part/measure")
    beat = int(root.findtext(".//divisions")) * 4 // int(root.findtext(".//beat-type"))
    length = beat * int(root.findtext(".//beats"))
    now, gone = 0, []
    for note in list(first.iter("note")):
        if now >= length - beat:
            break
        gone.append(note)
        if note.find("chord") is None:
            now += int(note.findtext("duration") or 0)
    if now != length - beat or any(note.find(f".//{name}") is not None for note in gone for name in MARKS):
        return xml
    for note in gone:
        first.remove(note)
    first.set("implicit", "yes")
    return _bytes(root)


def with_ties(xml: bytes) -> bytes:
    """The same music, with every seventh plain note in two halves that are tied."""
    root = etree.fromstring(xml)
    plain = [note for note in root.iter("note") if _is_alone(note) and note.findtext("type") in TYPES[1:-1]
             and not any(note.find(f".//{name}") is not None for name in (*MARKS, "rest", "dot", "time-modification"))]
    for element in [e for name in (*NUMBERS, "divisions") for e in root.iter(name)]:
        element.text = str(2 * int(element.text))
    for first in plain[::7]:
        first.find("duration").text = str(int(first.findtext("duration")) // 2)
        first.find("type").text = TYPES[TYPES.index(first.findtext("type")) + 1]
        second = deepcopy(first)
        first.addnext(second)
        for pluck in second.findall(".//pluck"):
            pluck.getparent().remove(pluck)
        for note, kind in ((first, "start"), (second, "stop")):
            note.find("duration").addnext(etree.Element("tie", type=kind))
            note.find("notations").insert(0, etree.Element("tied", type=kind))
    return with_fewest_divisions(_bytes(root))


MARKS = ("tied", "slur", "slide", "hammer-on", "pull-off", "tuplet", "grace")


def _bytes(root) -> bytes:
    return etree.tostring(root, encoding="utf-8", xml_declaration=True)


def _notes(root):
    return [note for note in root.iter("note") if note.find("grace") is None]


def _pick(chance, things):
    return chance.choice(things) if things else None


def _remove(element):
    element.getparent().remove(element)


def _has(note, path):
    return note.find(path) is not None


def _is_alone(note):
    """Neither a further note of a chord nor one that has some."""
    after = note.getnext()
    return not _has(note, "chord") and not (after is not None and after.tag == "note" and _has(after, "chord"))


def _full_measures(root):
    """Those that nothing lets be short: in the middle, with no sign at either end where music may go on elsewhere."""
    measures = list(root.iter("measure"))
    found = []
    for at in range(1, len(measures) - 1):
        here, after = measures[at], measures[at + 1]
        signs = [f".//{name}" for name in ("repeat", "ending", "segno", "coda", "sound[@dacapo]", "sound[@dalsegno]",
                                           "sound[@fine]", "sound[@tocoda]")]
        if any(_has(measure, sign) for measure in (here, after) for sign in signs):
            continue
        if "implicit" not in here.attrib and "implicit" not in after.attrib:
            found.append(here)
    return found


# ---- time ----


def note_left_out(root, chance):
    note = _pick(chance, [n for m in _full_measures(root) for n in m.iter("note") if _is_alone(n)
                          and not _has(n, "grace") and len(m.findall("note")) > 1])
    return note is not None and (_remove(note) or True)


def note_doubled(root, chance):
    note = _pick(chance, [n for m in _full_measures(root) for n in m.iter("note")
                          if _is_alone(n) and not _has(n, "grace")])
    if note is None:
        return False
    note.addnext(deepcopy(note))
    return True


def _printed(root):
    return [n for n in _notes(root) if _has(n, "type") and not (_has(n, "rest") and n.findtext("type") == "whole")]


def other_type(root, chance):
    note = _pick(chance, _printed(root))
    if note is None:
        return False
    was = note.findtext("type")
    note.find("type").text = chance.choice([one for one in TYPES if one != was])
    return not (_has(note, "rest") and note.findtext("type") == "whole")


def dot_added(root, chance):
    note = _pick(chance, _printed(root))
    if note is None:
        return False
    note.find("type").addnext(etree.Element("dot"))
    return True


def dot_lost(root, chance):
    dot = _pick(chance, [n.find("dot") for n in _printed(root) if _has(n, "dot")])
    return dot is not None and (_remove(dot) or True)


def other_duration(root, chance):
    note = _pick(chance, _printed(root))
    if note is None:
        return False
    duration = note.find("duration")
    duration.text = str(int(duration.text) * 2 if chance.random() < 0.5 else int(duration.text) + 1)
    return True


def tuplet_ratio_lost(root, chance):
    ratio = _pick(chance, list(root.iter("time-modification")))
    return ratio is not None and (_remove(ratio) or True)


def type_lost(root, chance):
    note = _pick(chance, [n for n in _printed(root) if not _has(n, "rest")])
    return note is not None and (_remove(note.find("type")) or [_remove(d) for d in note.findall("dot")] or True)


def divisions_lost(root, chance):
    for divisions in list(root.iter("divisions")):
        _remove(divisions)
    return True


def backup_too_far(root, chance):
    note = _pick(chance, [n for n in _notes(root) if not _has(n, "chord")])
    if note is None:
        return False
    backup = etree.fromstring("<backup><duration>100000</duration></backup>")
    note.addprevious(backup)
    return True


def backup_into_note(root, chance):
    note = _pick(chance, [n for n in _notes(root) if _is_alone(n) and n.getprevious() is not None
                          and n.getprevious().tag == "note" and not _has(n.getprevious(), "chord")
                          and not _has(n.getprevious(), "grace")])
    if note is None:
        return False
    backup = etree.fromstring(f"<backup><duration>{note.getprevious().findtext('duration')}</duration></backup>")
    note.addprevious(backup)
    return True


def forward_for_note(root, chance):
    note = _pick(chance, [n for n in _notes(root) if _is_alone(n)])
    if note is None:
        return False
    note.addprevious(etree.fromstring(f"<forward><duration>{note.findtext('duration')}</duration></forward>"))
    _remove(note)
    return True


def chord_alone(root, chance):
    first = [next(iter(_notes(m)), None) for m in root.iter("measure")]
    note = _pick(chance, [n for n in first if n is not None and not _has(n, "rest")])
    if note is None:
        return False
    note.insert(0, etree.Element("chord"))
    return True


def chord_longer(root, chance):
    note = _pick(chance, [n for n in _notes(root) if _has(n, "chord")])
    if note is None:
        return False
    note.find("duration").text = str(int(note.findtext("duration")) * 2)
    return True


# ---- pairs ----


def _end_lost(*names, kind):
    def make(root, chance):
        note = _pick(chance, [n for n in _notes(root) if any(_has(n, f".//{name}[@type='{kind}']") for name in names)])
        if note is None:
            return False
        for name in names:
            for element in note.findall(f".//{name}[@type='{kind}']"):
                _remove(element)
        return True
    make.__name__ = f"{names[-1]}_{kind}_lost"
    return make


def tie_for_the_ear_lost(root, chance):
    tie = _pick(chance, list(root.iter("tie")))
    return tie is not None and (_remove(tie) or True)


def tie_for_the_eye_lost(root, chance):
    tied = _pick(chance, [t for t in root.iter("tied") if t.get("type") in ("start", "stop")])
    return tied is not None and (_remove(tied) or True)


def tie_to_another_pitch(root, chance):
    note = _pick(chance, [n for n in _notes(root) if _has(n, "tie[@type='stop']") and not _has(n, "tie[@type='start']")])
    if note is None:
        return False
    octave = note.find("pitch/octave")
    octave.text = str(int(octave.text) + 1)
    return True


def repeat_without_end(root, chance):
    if not _has(root, ".//repeat[@direction='forward']"):
        return False
    for repeat in root.findall(".//repeat[@direction='backward']"):
        _remove(repeat)
    return True


# ---- tab ----


def _places(root):
    return [n for n in _notes(root) if _has(n, "pitch") and _has(n, ".//string") and _has(n, ".//fret")
            and not _has(n, ".//bend") and not _has(n, ".//harmonic") and n.findtext("notehead") is None]


def other_fret(root, chance):
    note = _pick(chance, _places(root))
    if note is None:
        return False
    fret = note.find(".//fret")
    fret.text = str(max(0, int(fret.text) + chance.choice((-2, -1, 1, 2))))
    return True


def other_string(root, chance):
    note = _pick(chance, _places(root))
    if note is None:
        return False
    string = note.find(".//string")
    was, string.text = string.text, chance.choice([one for one in "12345" if one != string.text])
    return {was, string.text} != {"1", "5"}  # in open tunings these two give the same at a fret


def other_octave(root, chance):
    note = _pick(chance, [n for n in _places(root) if not _has(n, "tie")])
    if note is None:
        return False
    octave = note.find("pitch/octave")
    octave.text = str(int(octave.text) + chance.choice((-1, 1)))
    return True


def sixth_string(root, chance):
    note = _pick(chance, _places(root))
    if note is None:
        return False
    note.find(".//string").text = "6"
    return True


def fret_past_the_neck(root, chance):
    note = _pick(chance, _places(root))
    if note is None:
        return False
    note.find(".//fret").text = "31"
    return True


def fret_lost(root, chance):
    note = _pick(chance, _places(root))
    return note is not None and (_remove(note.find(".//fret")) or True)


def two_on_a_string(root, chance):
    note = _pick(chance, [n for n in _places(root) if _is_alone(n)])
    if note is None:
        return False
    other = deepcopy(note)
    other.insert(0, etree.Element("chord"))
    note.addnext(other)
    return True


def tuning_lost(root, chance):
    for tuning in list(root.iter("staff-tuning")):
        _remove(tuning)
    return True


def string_tuned_an_octave_off(root, chance):
    octave = _pick(chance, list(root.iter("tuning-octave")))
    octave.text = str(int(octave.text) + chance.choice((-1, 1)))
    return True


# ---- technique ----


def hammer_on_for_pull_off(root, chance):
    """And the other way round, throughout: both ends of each."""
    marks = [m for m in root.iter("hammer-on", "pull-off")]
    if not marks:
        return False
    for mark in marks:
        mark.tag = "pull-off" if mark.tag == "hammer-on" else "hammer-on"
    return True


SLIPS = [
    (note_left_out, "time-measure-too-short"),
    (note_doubled, "time-measure-too-long"),
    (other_type, "time-type-contradicts-duration"),
    (dot_added, "time-type-contradicts-duration"),
    (dot_lost, "time-type-contradicts-duration"),
    (other_duration, "time-type-contradicts-duration"),
    (tuplet_ratio_lost, "time-type-contradicts-duration"),
    (type_lost, "time-no-type"),
    (divisions_lost, "time-no-divisions"),
    (backup_too_far, "time-backup-too-far"),
    (backup_into_note, "time-voices-overlap"),
    (forward_for_note, "time-voice-hole"),
    (chord_alone, "time-chord-alone"),
    (chord_longer, "time-chord-longer"),
    (_end_lost("tie", "tied", kind="start"), "pairs-tie"),
    (_end_lost("tie", "tied", kind="stop"), "pairs-tie"),
    (tie_for_the_ear_lost, "pairs-tie-not-heard"),
    (tie_for_the_eye_lost, "pairs-tie-not-shown"),
    (tie_to_another_pitch, "pairs-tie-pitch"),
    (_end_lost("slur", kind="start"), "pairs-slur"),
    (_end_lost("slur", kind="stop"), "pairs-slur"),
    (_end_lost("slide", kind="start"), "pairs-slide"),
    (_end_lost("slide", kind="stop"), "pairs-slide"),
    (_end_lost("hammer-on", kind="start"), "pairs-hammer-on"),
    (_end_lost("hammer-on", kind="stop"), "pairs-hammer-on"),
    (_end_lost("pull-off", kind="start"), "pairs-pull-off"),
    (_end_lost("pull-off", kind="stop"), "pairs-pull-off"),
    (_end_lost("tuplet", kind="start"), "pairs-tuplet"),
    (_end_lost("tuplet", kind="stop"), "pairs-tuplet"),
    (repeat_without_end, "pairs-repeat"),
    (other_fret, "tab-fret-contradicts-pitch tab-fret-not-there tab-fifth-own-nut tab-fifth-numbering-mixed"),
    (other_string, "tab-fret-contradicts-pitch tab-fret-not-there tab-fifth-own-nut tab-fifth-numbering-mixed"),
    (other_octave, "tab-fret-contradicts-pitch tab-fret-not-there"),
    (sixth_string, "tab-string-not-there"),
    (fret_past_the_neck, "tab-fret-past-neck"),
    (fret_lost, "tab-no-placement"),
    (two_on_a_string, "tab-two-on-one-string"),
    (tuning_lost, "tab-no-tuning"),
    (string_tuned_an_octave_off, "tab-tuning-strange tab-string-off"),
    (hammer_on_for_pull_off, "technique-hammer-on-down technique-pull-off-up"),
]
